"""A count that the plot before it would hardly have given: said, explained, and a look named."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import opened
from tests.seasons.test_did_it_work import FILE

from lattermath.desk.at_odds import odds_of, with_odds
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Population, Span

WHITEFLY, ON = "greenhouse_whitefly", date(2011, 7, 24)
NOTHING = Population("", (), "", (), (), "", Span(0, 0, 0, ""))

BEFORE = (20, 11, 15, 9, 13, 12, 16, 10, 14, 15)
AFTER = {
    "fair": (7, 4, 6, 3, 5, 4, 8, 3, 5, 4),
    "left": (92, 85, 101, 80, 89, 96, 81, 100, 88, 93),
}


def counted(folder: Path, after: tuple[int, ...], *, sprayed: bool, enemies: bool = False) -> Path:
    opened(folder, FILE)

    def count(planting: str, counts: tuple[int, ...], day: int) -> None:
        seen = Sighting(planting, WHITEFLY, "count", "scales", counts=counts)
        log(folder, seen, datetime(2011, 7, day, 18, 0))

    for day in (8, 13, 19):
        count("aubergines", BEFORE, day)
    if sprayed:
        soap = Treatment(("aubergines",), "", "soap", WHITEFLY, 1.0)
        log(folder, soap, datetime(2011, 7, 19, 20, 0))
    if enemies:
        scales = Sighting("aubergines", "black_scales", "count", counts=(1, 0, 2, 1, 0))
        log(folder, scales, datetime(2011, 7, 21, 18, 0))
    count("aubergines", after, 24)
    return folder


def planned(folder: Path) -> Population:
    """As the plan has it."""
    made = plan(folder, ON)
    return next(p for p in made.populations if p.organism == WHITEFLY)


def held_against(folder: Path) -> Population:
    """What the plan hands its population to, without the courses, which say nothing of it."""
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, ON, None)
    belief = believe_insects(facts, WHITEFLY)
    assert belief is not None
    return with_odds(facts, belief, NOTHING, odds_of(facts, belief))


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Population]:
    folder = tmp_path_factory.mktemp("odds")
    fair = counted(folder / "fair", AFTER["fair"], sprayed=True)
    left = counted(folder / "left", AFTER["left"], sprayed=True)
    unsprayed = counted(folder / "unsprayed", AFTER["left"], sprayed=False)
    return {
        "fair": held_against(fair),
        "left": planned(left),
        "unsprayed": held_against(unsprayed),
    }


def test_the_plan_tells_what_was_found_at_odds(told: dict[str, Population], tmp_path: Path) -> None:
    alone = held_against(counted(tmp_path / "left", AFTER["left"], sprayed=True))
    for name in ("disagrees", "may_be", "to_tell", "more_at_odds"):
        assert getattr(told["left"], name) == getattr(alone, name)


def test_what_is_as_expected_is_not_spoken_of(told: dict[str, Population]) -> None:
    assert told["fair"].disagrees == ""


def test_what_was_left_after_a_spray_is_laid_to_the_spray_first(
    told: dict[str, Population],
) -> None:
    says = told["left"].disagrees
    assert says.startswith("Aubergines: 905 counted on 10 leaves on 24 Jul, where")
    causes = told["left"].may_be
    assert causes[0].what in (
        "the spray missed undersides",
        "they withstand the spray or it is stale",
    )
    chances = [one.chance for one in causes if one.what != "something else"]
    assert chances == sorted(chances, reverse=True) and 0 < sum(chances) <= 1.0 + 1e-9
    assert told["left"].to_tell.startswith("To tell: ")
    reason = next(b for b in told["left"].because if "one thing changed" in b.says)
    assert reason.rests_on and all(a.startswith("event:") for a in reason.rests_on)


def test_without_a_spray_no_spray_has_failed(told: dict[str, Population]) -> None:
    unsprayed = told["unsprayed"]
    assert not any("spray" in one.what for one in unsprayed.may_be)
    assert "spray" not in unsprayed.disagrees + unsprayed.to_tell


def test_enemies_first_counted_after_the_look_before_are_reckoned_with(tmp_path: Path) -> None:
    """Nothing was known of enemies at the look that the belief is taken back to."""
    told = held_against(counted(tmp_path / "enemies", AFTER["left"], sprayed=True, enemies=True))
    assert told.disagrees.startswith("Aubergines: 905 counted")


def test_a_count_that_stands_alone_may_be_what_is_wrong(tmp_path: Path) -> None:
    """None, 520 and none within six days: the last look disagrees, and the slip may be the one
    before it, which is named with its number."""
    opened(tmp_path, FILE)
    serials = [
        log(
            tmp_path,
            Sighting("aubergines", WHITEFLY, "count", "scales", looked_at=10, total=total),
            datetime(2011, 7, day, 18, 0),
        ).serial
        for day, total in ((18, 0), (21, 520), (24, 0))
    ]
    told = held_against(tmp_path)
    assert told.disagrees.startswith("Aubergines: 0 counted")
    assert told.to_tell.endswith(
        "If the count of 21 Jul, which stands alone, was the slip, take that back: lattermath log "
        f"withdraw {serials[1]}."
    )
