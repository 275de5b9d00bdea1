"""`why` answers by number, name, word and id, in sentences, and never guesses."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from lattermath.desk import why as module
from lattermath.desk.demo import Shown
from lattermath.desk.log_visit import log
from lattermath.desk.why import why
from lattermath.record.journal import Journal
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan


@pytest.fixture(scope="module")
def asked(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Path, Plan]]:
    folder = tmp_path_factory.mktemp("why") / "plot"
    yield folder, make_demo(folder).plan


def test_a_number_of_the_sheet_is_that_task(asked: tuple[Path, Plan]) -> None:
    folder, made = asked
    first = next(task for task in made.visits[0].tasks if task.part == "on arrival")
    assert why(folder, "1") == why(folder, first.id)


def test_a_name_and_a_word_are_enough(asked: tuple[Path, Plan]) -> None:
    folder, _ = asked
    assert why(folder, "pole beans") == why(folder, "beans")
    assert why(folder, "whitefly") == why(folder, "greenhouse_whitefly")


@pytest.mark.parametrize("asks", ["1", "courgettes", "beans", "whitefly", "label:soap/crops"])
def test_no_raw_record_is_shown(asked: tuple[Path, Plan], asks: str) -> None:
    for line in why(asked[0], asks):
        assert not re.search(r"[({]\w+=|\{'|datetime|None|True|False", line), line


@pytest.mark.parametrize("address", ["event:9999", "rule:blom", "label:sope", "plot:planting/bean"])
def test_what_never_was_is_refused_with_what_is_near(
    asked: tuple[Path, Plan], address: str
) -> None:
    with pytest.raises(InputError) as refusal:
        why(asked[0], address)
    assert refusal.value.faults[0].remedy


def test_a_misspelt_name_is_answered_with_the_right_one(asked: tuple[Path, Plan]) -> None:
    with pytest.raises(InputError) as refusal:
        why(asked[0], "courgets")
    assert "Courgettes" in refusal.value.faults[0].remedy


def test_the_word_of_a_kind_finds_its_species_in_the_plan_and_no_other_name_is_offered(
    asked: tuple[Path, Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`aphids` stood for the melon aphid alone, though the sheet had the green peach aphid."""
    folder, _ = asked
    with pytest.raises(InputError) as refusal:
        why(folder, "aphids")  # the tables name them, no section of this plan is about them
    assert "aphid" not in refusal.value.faults[0].remedy
    whitefly = why(folder, "greenhouse_whitefly")
    held = module._last_plan

    def of_another(journal: Journal) -> dict[str, Any]:
        plan = held(journal)
        for one in plan["populations"]:
            if one["organism"] == "greenhouse_whitefly":
                one["organism"] = "green_peach_aphid"
        return plan

    monkeypatch.setattr(module, "_last_plan", of_another)
    assert why(folder, "aphids") == why(folder, "greenfly") == whitefly


def test_what_was_only_logged_is_told_as_logged_and_not_refused(
    asked: tuple[Path, Plan], tmp_path: Path
) -> None:
    """A word of the grower's own, of which the sheet itself says that it is not reckoned."""
    folder, made = asked
    copy = tmp_path / "plot"
    shutil.copytree(folder, copy)
    seen = Sighting("courgettes", "leek moth", "count", looked_at=3, counts=(3, 4, 5))
    log(copy, seen, made.as_of.replace(tzinfo=None))
    for asks in ("leek moth", "Leek Moth", "leek_moth"):
        told = " ".join(why(copy, asks))
        assert "seen, and not reckoned" in told and "3 leaves looked at, 12 in all" in told
    with pytest.raises(InputError):
        why(copy, "leek fly")
