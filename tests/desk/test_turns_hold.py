"""What would change a verdict is true: each turn that is told is applied, and all is planned anew.

Not the code's own way of asking, which moves one planting and keeps the rest of the plan: here the
record itself is otherwise, and courses, cups, neighbours and water are worked out again.
"""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.lay_out import laid_out
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts, seen_anew
from lattermath.desk.supposing import supposed_facts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning import turning
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.close_call import close_call
from lattermath.vocabulary.plan import Plan, Turn, Verdict
from lattermath.vocabulary.supposition import Supposition

ON = date(2011, 7, 26)
PLOT = """{place}[visiting]
days = ["tue", "thu", "sat"]
arrive = 19:30:00
minutes = 90
[water]
hose = true
[household]
people = 4
worth_of_hour = {hour}
[[bed]]
name = "A"
length_m = 5
width_m = 1.2
[[bed]]
name = "B"
length_m = 5
width_m = 1.2
[[planting]]
name = "Courgettes"
crop = "courgette"
plants = 4
bed = "A"
set_out = {courgettes}
vigour = "{vigour}"
[[planting]]
name = "{other}"
crop = "{crop}"
plants = 20
bed = "B"
sown = {sown}
[[lot]]
name = "Cups"
crop = "{cups}"
plants = 6
sown = 2011-07-01
cup_ml = 200
where = "home"
"""
WAYS = tuple(
    (courgettes, vigour, other, crop, sown, cups, hour)
    for (courgettes, vigour), (other, crop, sown), (cups, hour) in itertools.product(
        (("2011-05-25", "sound"), ("2011-06-05", "tired"), ("2011-05-25", "worn")),
        (("Beans", "dwarf bean", "2011-05-20"),),
        (("cucumber", "1"), ("kale", "4"), ("lettuce", "8")),
    )
)  # fmt: skip


@pytest.fixture(scope="module")
def under(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(tmp_path_factory.mktemp("turns"))


@cache
def facts_for(under: Path, way: tuple[str, ...]) -> SeasonFacts:
    courgettes, vigour, other, crop, sown, cups, hour = way
    text = PLOT.format(place=PLACE, courgettes=courgettes, vigour=vigour, other=other, crop=crop,
                       sown=sown, cups=cups, hour=hour)  # fmt: skip
    plot = opened(under / "-".join(way).replace(" ", ""), text)
    with open_journal(folder_at(plot)) as journal:
        return facts_of(folder_at(plot), journal, ON, None)


def planned(facts: SeasonFacts) -> Plan:
    return laid_out(facts, "", lambda *_: None)[0]


def applied(facts: SeasonFacts, key: str, turn: Turn) -> SeasonFacts:
    """The facts as the turn has them, a hair beyond it."""
    assert turn.at is not None
    plot, away = facts.plot, turn.at - turn.now
    if turn.input == turning.FROST:
        return supposed_facts(facts, Supposition(frost_days=round(away)))
    if turn.input == turning.HOUR:
        hour = max(turn.at + 0.02 * away, 0.0)
        household = replace(plot.household, worth_of_hour=hour)
        return seen_anew(facts, replace(plot, household=household), facts.runs)

    def back(day: date | None) -> date | None:
        return None if day is None else min(day - timedelta(days=round(away)), facts.today)

    old = plot.planting(key)
    new = replace(old, vigour=turn.at_word) if turn.input == turning.VIGOUR else replace(
        old, sown=back(old.sown), set_out=back(old.set_out), bearing_since=back(old.bearing_since)
    )  # fmt: skip
    plantings = tuple(new if one.key == key else one for one in plot.plantings)
    return seen_anew(facts, replace(plot, plantings=plantings), facts.runs)


def told(verdict: Verdict) -> list[Turn]:
    """Those that the sheet tells: of a close call it tells none."""
    return [] if close_call(verdict) else [one for one in verdict.turns if one.at is not None]


def test_what_is_told_to_turn_it_turns_it(under) -> None:
    """At the turn itself two fates are as good, so that it may come out as a close call: never as
    sure as it was, and two times in three or oftener it is the other (14 of 20 when this was
    written, 15 of 18 before crops grew as they do in cool weather; the rest were frosts of beds
    that share their cups). On all draws, as a sheet is."""
    turned = []
    for way in WAYS:
        facts = facts_for(under, way)
        for verdict in planned(facts).verdicts:
            for turn in told(verdict):
                made = planned(applied(facts, verdict.planting, turn))
                then = next(one for one in made.verdicts if one.planting == verdict.planting)
                other = then.verdict != verdict.verdict
                assert other or close_call(then), (way, verdict.planting, turn)
                turned.append(other)
    assert len(turned) >= 12 and 3 * sum(turned) >= 2 * len(turned)


def test_of_a_close_call_no_turn_is_told_and_it_is_called_one(under) -> None:
    calls = [
        (made, one)
        for way in WAYS
        for made in (planned(facts_for(under, way)),)
        for one in made.verdicts
        if close_call(one)
    ]
    assert calls
    for made, one in calls:
        says = " ".join(reason.says for reason in one.because)
        assert "would turn to" not in says
        assert "A close call." in " ".join(text_sheet(made, made.plot).split())
