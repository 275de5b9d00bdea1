"""What a look says to do can be done, and it stops once no answer would change it.

Truth: common practice. Nobody cuts the roots off a cabbage; of powdery mildew on peas, which no
plan follows, the same is told whatever a finger rubs off.
"""

from __future__ import annotations

import pytest

from lattermath.desk.diagnose import diagnose
from lattermath.desk.look_reckoned import DEEDS, deed_of
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()


@pytest.mark.parametrize("cause", ["cabbage_root_fly", "lettuce_root_aphid"])
def test_roots_are_not_taken_off(cause: str) -> None:
    does = deed_of(TABLES, cause)
    assert does != DEEDS["clean"] and does.startswith("pull and bin the plants that wilt badly")
    assert "water" in does


def test_white_powder_on_peas_asks_no_more() -> None:
    found = diagnose(TABLES, "pea", "europe", ["white_powder_top"])
    assert next(iter(found.told.probabilities)) == "pea_powdery_mildew"
    assert found.verdict.next_look is None


def test_what_is_not_clear_on_peas_is_still_asked_about() -> None:
    found = diagnose(TABLES, "pea", "europe", ["uniform_pale_yellow_old"])
    assert found.verdict.next_look is not None
