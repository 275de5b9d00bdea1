"""What a sheet says of what lives there: named where it takes, and by looks that were taken."""

from __future__ import annotations

from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from lattermath.desk.did_it_work import _looked_over, _tenths
from lattermath.desk.leaf_disease_answers import _with_insects
from lattermath.knowledge.tables import load_tables
from lattermath.planning.fates import Care
from lattermath.planning.leaf_disease_told import _says
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plan import Population, Presence, Span, Verdict

NONE = Span(0.0, 0.0, 0.0, "")
EVENING = datetime(2026, 7, 24, 18, 0, tzinfo=UTC)


def decided(left: float, *, seen: bool) -> Verdict:
    """Leeks let run, of which insects leave a share; thrips were seen there, or are believed."""
    thrips = Population(
        *("onion_thrips", ("leeks",), "", (), (), "", NONE),
        where=(Presence("leeks", seen, NONE),),
    )  # fmt: skip
    run = Verdict("leeks", "let run", "leave", (), NONE, 0.0, 0.0, None, "let run")
    pests: Any = SimpleNamespace(
        cares={"leeks": Care(left=np.full((4, 9), left))}, populations=(thrips,)
    )
    facts: Any = SimpleNamespace(tables=load_tables())
    return _with_insects(facts, run, pests)


def test_what_takes_of_a_planting_that_is_let_run_is_named() -> None:
    taken = decided(0.6, seen=True)
    assert taken.says == "let run, but onion thrips is on it" and taken.minds
    assert decided(0.99, seen=True).says == "let run"
    assert decided(0.6, seen=False).says == "let run"


@pytest.mark.parametrize(
    ("seen", "day", "tells"),
    [
        (Sighting("leeks", "onion_thrips", "some", looked_at=10, total=8), 24, True),
        (Sighting("leeks", "onion_thrips", "count", looked_at=10, level="few"), 24, True),
        (Sighting("leeks", "onion_thrips", "count", counts=(1, 2)), 22, False),
        (Sighting("chives", "onion_thrips", "some", looked_at=10, total=8), 24, False),
        (Sighting("leeks", "melon_aphid", "some", looked_at=10, total=8), 24, False),
    ],
)
def test_leaves_with_any_count_as_a_look_after_a_treatment(
    seen: Sighting, day: int, *, tells: bool
) -> None:
    at = EVENING.replace(day=day)
    event = Event(7, "7", "sighting", 1, at, "UTC", at, seen)
    facts: Any = SimpleNamespace(events=(event,))
    found = _looked_over(facts, "onion_thrips", {"leeks"}, date(2026, 7, 21))
    assert found == ((7,) if tells else ())


def test_no_treatment_takes_ten_of_ten() -> None:
    assert [_tenths(share) for share in (0.02, 0.8, 0.97)] == [
        "hardly any", "8 in 10", "nearly all",
    ]  # fmt: skip


def test_both_sides_of_a_leaf_are_told_with_their_range() -> None:
    state = np.zeros((100, 1, 2))
    state[:, 0, 0] = np.linspace(0.0, 0.10, 100)
    state[:, 0, 1] = np.linspace(0.10, 0.30, 100)
    belief: Any = SimpleNamespace(
        state=state,
        stands=(SimpleNamespace(name="Melon"),),
        disease=SimpleNamespace(scout_threshold=None),
    )
    assert "5 % of the leaf on top (1 to 9) and 20 % underneath (12 to 28)." in _says(
        belief, 0, "mildew"
    )
