"""The first sighting of all: ordinary finds agree, what nobody could expect is explained."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk import clock
from lattermath.desk.at_odds import odds_of, with_odds
from lattermath.desk.entry_ids import new_id
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.leaf_at_odds import leaf_with_odds
from lattermath.desk.leaf_disease_belief import believe_leaf_disease_here
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.journal import Entry
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Population, Span

FILE = (
    PLACE
    + """region = "north_america"
country = "invented"
[[planting]]
key = "cucumbers"
name = "Cucumbers"
crop = "cucumber"
plants = 5
set_out = 2011-06-01
[[planting]]
key = "tomatoes"
name = "Tomatoes"
crop = "tomato"
plants = 5
set_out = 2011-06-01
"""
)
WHITEFLY, MILDEW = "greenhouse_whitefly", "cucurbit_powdery_mildew"
BORER = "squash_vine_borer"
NOTHING = Population("", (), "", (), (), "", Span(0, 0, 0, ""))


def seen(folder: Path, *looks: tuple[int, Sighting]) -> SeasonFacts:
    """A plot with these looks, as of the evening of the last."""
    opened(folder, FILE)
    for day, look in looks:
        log(folder, look, datetime(2011, 7, day, 18, 0))
    return as_of(folder, looks[-1][0])


def as_of(folder: Path, day: int) -> SeasonFacts:
    kept = folder_at(folder)
    with open_journal(kept) as journal:
        return facts_of(kept, journal, date(2011, 7, day), None)


def whitefly(facts: SeasonFacts) -> Population:
    belief = believe_insects(facts, WHITEFLY)
    assert belief is not None
    return with_odds(facts, belief, NOTHING, odds_of(facts, belief))


def count(planting: str, *counts: int) -> Sighting:
    return Sighting(planting, WHITEFLY, "count", "scales", counts=counts)


@pytest.mark.parametrize("counts", [(0,) * 10, (0, 1, 0, 0, 0, 0, 2, 0, 0, 0), (4,) * 10])
def test_an_ordinary_first_look_agrees(tmp_path: Path, counts: tuple[int, ...]) -> None:
    assert whitefly(seen(tmp_path, (8, count("cucumbers", *counts)))).disagrees == ""


def test_a_first_find_that_nobody_could_expect_is_said_and_explained(tmp_path: Path) -> None:
    told = whitefly(seen(tmp_path, (8, count("cucumbers", *[150] * 10))))
    assert told.disagrees.startswith("Cucumbers: 1500 counted on 10 leaves on 8 Jul, where 1 to ")
    assert "they came earlier, or more of them, than is reckoned" in [m.what for m in told.may_be]
    assert not any("spray" in one.what for one in told.may_be)


@pytest.mark.parametrize("number", [99_999, 12_037_582, 10**20])
def test_a_journal_that_holds_what_no_leaf_holds_is_read_all_the_same(
    tmp_path: Path, number: int
) -> None:
    """Such numbers were once taken; written here past the checks of today."""
    seen(tmp_path, (4, count("cucumbers", 3, 1, 2)))
    at = datetime(2011, 7, 8, 18, 0, tzinfo=UTC)
    slip = Sighting("cucumbers", WHITEFLY, "count", looked_at=1, counts=(number,))
    with open_journal(folder_at(tmp_path)) as journal:
        journal.append([Entry(at, "America/Denver", slip)], clock.now(), new_id)
    told = whitefly(as_of(tmp_path, 8))
    assert told.disagrees.startswith(f"Cucumbers: {number:g} counted on 1 leaf on 8 Jul")
    assert any(" to 1" in why.says for why in told.because)
    assert told.to_tell.startswith("To tell: ")


def test_each_planting_that_disagrees_is_said_the_worst_first(tmp_path: Path) -> None:
    """One planting's count was once told alone, though two were far off on one evening."""
    many = count("cucumbers", *[6] * 10)
    more = count("tomatoes", *[400] * 10)
    told = whitefly(seen(tmp_path, (3, count("cucumbers", *[0] * 10)),
                         (3, count("tomatoes", *[0] * 10)), (8, many), (8, more)))  # fmt: skip
    assert told.disagrees.startswith("Tomatoes: 4000 counted on 10 leaves on 8 Jul, where")
    [other] = told.more_at_odds
    assert other.says.startswith("Cucumbers: 60 counted on 10 leaves on 8 Jul, where")
    assert other.may_be and "Cucumbers" in other.to_tell and "Tomatoes" in told.to_tell
    reasons = [why.says.partition(":")[0] for why in told.because]
    assert reasons == ["Tomatoes", "Cucumbers"]


def test_what_even_the_belief_that_knows_it_hardly_gives_is_explained(tmp_path: Path) -> None:
    """Once: "Look again, or something has changed", with no cause and no look that tells."""
    looks = [(day, Sighting("cucumbers", BORER, "count", counts=(0,) * 5)) for day in (2, 4, 6, 8)]
    facts = seen(tmp_path, *looks, (9, Sighting("cucumbers", BORER, "count", counts=(9,) * 5)))
    belief = believe_insects(facts, BORER)
    assert belief is not None
    told = with_odds(facts, belief, NOTHING, odds_of(facts, belief))
    assert told.disagrees.startswith("Cucumbers: 45 counted on")
    assert told.may_be and told.to_tell.startswith("To tell: ")


def test_seen_where_many_looks_had_found_none(tmp_path: Path) -> None:
    """200 leaves of both plantings turned at four visits and nothing found: then it is seen."""
    none = [
        (day, count(where, *[0] * 200))
        for day in (1, 3, 5, 7)
        for where in ("cucumbers", "tomatoes")
    ]
    bare = Sighting("tomatoes", WHITEFLY, "first seen")
    told = whitefly(seen(tmp_path, *none, (8, bare)))
    assert told.disagrees.startswith("Tomatoes: seen on 8 Jul, where none was expected")


@pytest.mark.parametrize(("percent", "odd"), [(1.0, False), (5.0, False), (90.0, True)])
def test_the_first_severity_is_held_to_what_was_to_be_expected(
    tmp_path: Path, percent: float, odd: bool
) -> None:
    facts = seen(
        tmp_path, (8, Sighting("cucumbers", MILDEW, "severity", percent=percent, surface="top"))
    )
    belief = believe_leaf_disease_here(facts, MILDEW, None)
    assert belief is not None
    told = leaf_with_odds(facts, belief, NOTHING)
    assert bool(told.disagrees) is odd
    named = [one.what for one in told.may_be]
    assert not odd or "it has been there for longer than is reckoned" in named


def test_enemies_seen_beside_it_do_not_hinder_the_telling(tmp_path: Path) -> None:
    """Whoever lived here for longer lived without what nobody had seen at work by then."""
    larvae = Sighting("cucumbers", "ladybird larvae", "count", counts=(2, 0, 1, 0, 3))
    aphids = Sighting("cucumbers", "melon_aphid", "count", counts=(4200,) * 10)
    facts = seen(tmp_path, (7, larvae), (8, aphids))
    belief = believe_insects(facts, "melon_aphid")
    assert belief is not None
    told = with_odds(facts, belief, NOTHING, odds_of(facts, belief))
    assert told.disagrees.startswith("Cucumbers: 42000 counted")
    assert "they came earlier, or more of them, than is reckoned" in {m.what for m in told.may_be}
