"""Soap goes on watered plants only: its water comes first that evening, or it is left.

One plot is worked out once and laid out many times, with other water, minutes, ground and
rain; whether a planting stands dry when it is sprayed is added up here from draws and tasks. Real
weather of Champion; plants and the label are invented.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.audit.plan_audit import audit
from lattermath.belief.soil import BedSoil, watered
from lattermath.desk.evening_tasks import coming_visits
from lattermath.desk.lay_out import laid_out
from lattermath.desk.permits import Permits
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.season_series import water_courses
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.evening import WATER_FIRST
from lattermath.vocabulary.plan import Amount, Plan, Task, VisitPlan

pytestmark = pytest.mark.usefixtures("few_draws")

ON = date(2011, 8, 9)
KEYS = ("p0", "p1", "p2")
LIMITS = "pre_harvest_days = 0\nretreat_days = 2\nseason_max = 9\nrate_ml_per_l = 20\n"
PLOT = (
    PLACE
    + """\
country = "invented"
[visiting]
days = ["tue", "thu", "sat"]
minutes = 90
[garden]
bloom_near = false
[[shelf]]
key = "soap"
name = "Soap"
active = "soap"
form = "spray"
country = "invented"
sold_to_amateurs = true
organic_input = true
re_entry_hours = 4
max_temperature_c = 30
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
invented = true
"""
    + "".join(
        f"""
[shelf.crops.{crop}]
{LIMITS}max_l_per_m2 = 0.3
plant_back_days = "none"
[[bed]]
key = "b{n}"
name = "bed {n}"
x_m = 0.0
y_m = {3.0 * n}
length_m = 4.0
width_m = 1.2
[[planting]]
key = "p{n}"
name = "Row {n}"
crop = "{crop}"
plants = 6
bed = "b{n}"
set_out = 2011-06-10
in_bloom = false
"""
        for n, crop in enumerate(("aubergine", "kale", "chard"))
    )
)


@dataclass(frozen=True)
class Base:
    """One plot with all that a plan of it is laid out from."""

    facts: SeasonFacts
    worked: WorkedOut
    plan: Plan


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Base:
    folder = opened(tmp_path_factory.mktemp("watered"), PLOT, datetime(2011, 6, 10, 12))
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, ON, None)
    fine = tuple(
        replace(
            evening, temperature_low_c=16.0, temperature_c=20.0, temperature_high_c=22.0,
            hottest_next_two_days_c=26.0, rain_chance_2h=0.0, rain_chance_12h=0.0, wind_m_s=1.0,
            leaves_wet=False, air=(),
        )
        for evening in facts.evenings
    )  # fmt: skip
    facts = replace(facts, evenings=fine)
    plan, worked = laid_out(facts, "", lambda *_: None)
    return Base(facts, worked, plan)


@dataclass(frozen=True)
class Laid:
    """What came of one way of having it."""

    base: Base
    visits: tuple[VisitPlan, ...]

    def sprays(self, visit: int) -> dict[str, Task]:
        tasks = self.visits[visit].tasks
        return {t.planting or "": t for t in tasks if t.kind == "treat" and t.product == "soap"}

    def poured(self, key: str, before: datetime | None) -> float:
        """Litres carried to a planting at the first visit, and done by then."""
        assert before is not None
        return sum(
            share.quantity
            for task in self.visits[0].tasks
            if task.kind == "water" and task.ends is not None and task.ends <= before
            for share in task.amounts
            if share.planting == key
        )

    def dry(self, key: str, visit: int, litres: float = 0.0) -> bool:
        """More than half of the draws are past what is easy to get, on that evening."""
        soil = self.base.worked.ground[key]
        day = (self.visits[visit].date - self.base.facts.today).days
        gone = soil.depletion_mm[:, day] - litres / (soil.ground.area_m2 * soil.ground.wetted_share)
        return float((gone > soil.raw_mm[day]).mean()) > 0.5

    def faults(self) -> list[str]:
        facts, worked = self.base.facts, self.base.worked
        told = replace(
            self.base.plan, visits=self.visits, closed=(), populations=(),
            water=water_courses(facts, worked, self.visits),
        )  # fmt: skip
        return [fault.what for fault in audit(told, facts.plot, facts.events, facts.evenings)]


def spray(base: Base, key: str) -> Spraying:
    planting = base.facts.plot.planting(key)
    water = (Amount("water", 0.5, "l"), Amount("Soap", 10, "ml"))
    return Spraying("soap", "soap", "green_peach_aphid", "aphids", planting, 8.0, water,
                    ("underside", "top"), "Soap", True)  # fmt: skip


def ground(soil: BedSoil, gone: float, rain_tomorrow: float = 0.0) -> BedSoil:
    """The soil with so much of what is easy to get gone in every draw, then left to itself."""
    depletion = soil.depletion_mm.copy()
    depletion[:, 0] = np.minimum(gone * soil.raw_mm[0], soil.taw_mm[0])
    rain = soil.rain_mm.copy()
    rain[:, 1] = rain_tomorrow
    return watered(replace(soil, depletion_mm=depletion, rain_mm=rain), 0.0)


def lay(
    base: Base,
    soils: dict[str, BedSoil],
    first: tuple[str, ...] = KEYS,
    later: tuple[str, ...] = (),
    minutes: int = 90,
    **water: Any,
) -> Laid:
    plot = base.facts.plot
    plot = replace(
        plot, visiting=replace(plot.visiting, minutes=minutes), water=replace(plot.water, **water)
    )
    evenings = base.facts.evenings
    if minutes < 60:  # then nobody waits for dusk with nothing to do: one comes late
        evenings = tuple(
            replace(e, arrive=e.sunset, leave=e.civil_dusk) if e.sunset and e.civil_dusk else e
            for e in evenings
        )
    facts = replace(base.facts, plot=plot, evenings=evenings)
    sprayings = {
        evenings[n].day: tuple(spray(base, key) for key in keys)
        for n, keys in enumerate((first, later))
    }
    worked = replace(
        base.worked,
        ground=soils,
        permits=Permits(facts, base.worked.permits.cautions, soils),
        pests=replace(base.worked.pests, sprayings=sprayings),
    )
    return Laid(Base(facts, worked, base.plan), coming_visits(facts, worked, 2))


def all_of(base: Base, gone: float, **over: float) -> dict[str, BedSoil]:
    return {key: ground(soil, gone, **over) for key, soil in base.worked.ground.items()}


def some(dice: random.Random) -> tuple[str, ...]:
    return tuple(key for key in KEYS if dice.random() < 0.6)


def way_outs(laid: Laid) -> set[str]:
    bars = [bar for one in laid.visits[0].not_today for bar in one.because if not bar.holds]
    return {bar.way_out for bar in bars if bar.says == "the plants: their soil is dry"}


def test_moist_soil_is_sprayed_without_more(base: Base) -> None:
    laid = lay(base, all_of(base, 0.1), cans_a_visit=0)
    assert set(laid.sprays(0)) == set(KEYS)
    assert not laid.poured("p0", laid.visits[0].leave)


def test_dry_soil_is_watered_before_it_is_sprayed(base: Base) -> None:
    laid = lay(base, all_of(base, 1.2), cans_a_visit=None)
    assert set(laid.sprays(0)) == set(KEYS)
    for key, task in laid.sprays(0).items():
        assert laid.dry(key, 0) and not laid.dry(key, 0, laid.poured(key, task.starts))
    assert all(task.must for task in laid.visits[0].tasks if task.kind == "water")


def test_no_water_on_the_plot_no_spray_on_dry_soil(base: Base) -> None:
    laid = lay(base, all_of(base, 1.2), later=KEYS, cans_a_visit=0, hose=False)
    assert not laid.sprays(0) and not laid.sprays(1)
    assert way_outs(laid) == {"water first, then spray"}
    assert not lay(base, all_of(base, 1.2), cans_a_visit=0, hose=True, hose_ban=True).sprays(0)


def test_rain_that_cuts_the_watering_down_takes_the_spray_off(base: Base) -> None:
    """Tomorrow's rain is sure, so only a soak is due; and tonight the plants still stand dry."""
    laid = lay(base, all_of(base, 1.8, rain_tomorrow=80.0), cans_a_visit=None)
    litres = laid.poured("p0", laid.visits[0].leave)
    assert (
        0
        < litres
        < 0.5 * lay(base, all_of(base, 1.8), cans_a_visit=None).poured("p0", laid.visits[0].leave)
    )
    assert not laid.sprays(0)
    assert way_outs(laid) == {"water first, then spray"}


def test_minutes_that_cut_the_round_leave_the_sprayed_row_in_it(base: Base) -> None:
    """Dusk leaves a quarter of an hour before the spray: enough for one row's water, not three."""
    laid = lay(base, all_of(base, 1.2), ("p1",), minutes=15, cans_a_visit=None)
    lines = [task.says for task in laid.visits[0].tasks if task.kind == "water"]
    assert set(laid.sprays(0)) == {"p1"}
    assert not laid.dry("p1", 0, laid.poured("p1", laid.sprays(0)["p1"].starts))
    assert len(lines) == 1 and laid.poured("p1", laid.visits[0].leave)
    assert sum(left.startswith("Water: ") for left in laid.visits[0].left_out) == 2


def test_what_is_to_be_sprayed_drinks_before_the_others(base: Base) -> None:
    """Kale comes last of the three by its roots and leaves; with a spray to come it comes first."""
    for key in KEYS:
        laid = lay(base, all_of(base, 1.2), (key,), cans_a_visit=6)
        assert set(laid.sprays(0)) == {key}
        assert not laid.dry(key, 0, laid.poured(key, laid.sprays(0)[key].starts))


def test_no_time_for_any_water_no_spray(base: Base) -> None:
    laid = lay(base, all_of(base, 1.2), minutes=15, cans_a_visit=None, can_litres=1.0)
    assert not laid.sprays(0)
    assert way_outs(laid) == {"water first, then spray"}


def test_a_later_visit_is_told_to_water_first(base: Base) -> None:
    soils = {"p0": 1.2, "p1": 0.1, "p2": 1.2}
    made = {key: ground(soil, soils[key]) for key, soil in base.worked.ground.items()}
    laid = lay(base, made, (), KEYS, cans_a_visit=None)
    told = {key: WATER_FIRST in task.cautions for key, task in laid.sprays(1).items()}
    assert told == {"p0": True, "p1": False, "p2": True}


def test_whatever_water_minutes_and_ground_no_soap_on_dry_soil(base: Base) -> None:
    """Sixty ways, thrown; and none of the ways out is never taken."""
    dice, met = random.Random(7), Counter[str]()
    for n in range(60):
        soils = {
            key: ground(soil, dice.choice((0.1, 0.9, 1.02, 1.2, 1.6)), dice.choice((0.0, 0.0, 60)))
            for key, soil in base.worked.ground.items()
        }
        laid = lay(
            base, soils, first := some(dice), some(dice), dice.choice((10, 15, 20, 30, 40, 90)),
            cans_a_visit=dice.choice((0, 1, 2, 5, None)), can_litres=dice.choice((3.0, 10.0)),
            hose=dice.random() < 0.2,
        )  # fmt: skip
        for key, task in laid.sprays(0).items():
            litres = laid.poured(key, task.starts)
            assert not laid.dry(key, 0, litres), (n, key)
            met["watered first" if laid.dry(key, 0) else "moist"] += 1
        for key, task in laid.sprays(1).items():
            told = WATER_FIRST in task.cautions
            assert told or not laid.dry(key, 1), (n, key)
            met["told" if told else "moist later"] += 1
        met["round cut down"] += any("after the others" in left for left in laid.visits[0].left_out)
        met["refused"] += len(set(first) - set(laid.sprays(0)))
        assert not [what for what in laid.faults() if "soil" in what], n
    assert min(met.values()) >= 3 and len(met) == 6, met
