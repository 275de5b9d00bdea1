"""Clean plans with one thing broken each: the audit names every one of them.

Each mutant starts from a plan that the audit passes and changes one fact, so that the fault it
must find is the only thing wrong.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest
from tests.audit.random_plots import STAMP, an_event, pick_task, visit_of
from tests.audit.random_trials import DRY
from tests.planning.label_cases import NONE, TUESDAY, ZURICH, evening, limits, product, value

from lattermath.audit.plan_audit import audit, require_clean
from lattermath.vocabulary.blanks import GoesIn
from lattermath.vocabulary.errors import PlanViolates
from lattermath.vocabulary.evening import (
    DRY_LEAVES,
    LIGHT_AIR,
    NO_BEE,
    OUT_UNTIL,
    WATER_FIRST,
    AirAt,
    Evening,
)
from lattermath.vocabulary.events import Event, Sighting, Treatment, Watering, Withdrawal
from lattermath.vocabulary.label import LabelLine, ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import (
    OF_THE_MIX,
    Amount,
    Clearance,
    Closed,
    CourseStep,
    Plan,
    Population,
    Span,
    Task,
    Verdict,
)
from lattermath.vocabulary.plot import Bed, GardenRules, Planting, Plot, WaterSupply
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.season_series import Strip, Trace, Until, WaterCourse

THURSDAY, AN_HOUR_ON = TUESDAY + timedelta(days=2), TUESDAY + timedelta(hours=1)
BEANS = Planting("beans", "Beans", "bean_bush", 20, bed="A", in_bloom=False)
PEAS = Planting("peas", "Peas", "bean_bush", 20, bed="A", in_bloom=False)
FAR = Planting("far", "Far", "bean_bush", 20, bed="B", in_bloom=False)
NEXT_DOOR = Planting(
    "theirs", "Theirs", "bean_bush", 4, in_bloom=False, neighbours_plot=True, x_m=6.0, y_m=0.5
)


def moist(planting: str, left: float = 18.0, bare: float = 18.0) -> WaterCourse:
    """12 mm must be left, 2 l are 1 mm; `bare`: what is left on Tuesday before water is poured."""
    days = tuple((TUESDAY + timedelta(days=n)).date() for n in range(-1, 3))
    so_far = Trace("left", days[:1], (bare,), (bare,), (bare,), "mm")
    with_it, without = (left,) * 4, () if left == bare else (bare,) * 4
    ahead = Strip("left", days, with_it, with_it, with_it, without, "mm")
    due, full = (12.0,) * 4, (30.0,) * 4
    return WaterCourse(planting, 2.0, so_far, ahead, due, full, (), Until(None, None, None))


@dataclass(frozen=True)
class World:
    """All that the audit is handed, with the treatment and the pick that mutants work on."""

    plot: Plot
    events: tuple[Event, ...]
    evenings: tuple[Evening, ...]
    treat: Task
    pick: Task  # on Thursday
    more: tuple[Task, ...] = ()  # on Tuesday
    later: tuple[Task, ...] = ()  # on Thursday
    picking: tuple[Clearance, ...] = ()
    closed: tuple[Closed, ...] = ()
    course: tuple[CourseStep, ...] = ()
    generation: float | None = 20.0
    handed: tuple[Evening, ...] | None = None  # evenings that the audit is handed, if others
    said: tuple[str, ...] = (NO_BEE,)  # on every treatment
    out: timedelta = timedelta(0)  # by how much what is said of re-entry is late
    ground: tuple[WaterCourse, ...] = tuple(moist(key) for key in ("beans", "peas", "far", "loose"))

    def plan(self) -> Plan:
        first = visit_of(self.evenings[0], *map(self._says, (*self.more, self.treat)))
        second = visit_of(self.evenings[-1], self.pick, *map(self._says, self.later))
        nothing = Span(0, 0, 0, "1")
        living = Population(
            "pest", ("beans",), "", (), self.course, "", nothing, generation_days=self.generation
        )
        return Plan(
            1, "plot", TUESDAY.replace(hour=18), (first, second), (), self.picking, (), (living,),
            (), (), STAMP, closed=self.closed, water=self.ground,
        )  # fmt: skip

    def _says(self, task: Task) -> Task:
        """The cautions of a treatment, with the hour of re-entry worked out by hand."""
        label = next((x for x in self.plot.shelf if x.key == task.product), None)
        if label is None:
            return task
        starts = task.starts or self.evenings[0].arrive
        ends = task.ends or (self.evenings[0].leave if task.starts is None
                             else starts + timedelta(minutes=task.minutes))  # fmt: skip
        hours = max(
            label.re_entry_hours.value or 4.0,
            0.0 if label.form == "bait" else DRY.get(label.active, 4),
        )
        opens = ends.astimezone(UTC) + timedelta(hours=hours) + self.out
        words = f"{OUT_UNTIL} {opens.astimezone(ZURICH):%a %-d %b %H:%M}."
        return replace(task, cautions=(*self.said, words, *task.cautions))

    def whats(self) -> set[str]:
        evenings = self.evenings if self.handed is None else self.handed
        faults = audit(self.plan(), self.plot, self.events, evenings)
        assert all(fault.where for fault in faults)
        return {fault.what for fault in faults}


def tag(
    planting: str, pick: datetime | None, enter: datetime | None = None, *, planned: bool = False
) -> Closed:
    """Closed to pickers and everybody until those hours; None: nobody knows until when."""
    to_pickers, to_all = Clearance(planting, False, pick), Clearance(planting, False, enter)
    return Closed(planting, (), to_pickers, to_all, planned)


def treat(
    label: ProductLabel, planting: str = "beans", at: datetime = TUESDAY, **over: Any
) -> Task:
    facts: dict[str, Any] = {
        "id": f"treat {planting} {label.key}",
        "kind": "treat",
        "part": "last job",
        "says": "Soap.",
        "minutes": 15.0,
        "planting": planting,
        "product": label.key,
        "method": label.active,
        "starts": at,
        "ends": at + timedelta(minutes=15),
        "amounts": (Amount("water", 0.25, "l"), Amount(label.name, 2.5, "ml")),
    }
    return Task(**(facts | over))


def a_world(label: ProductLabel | None = None, **over: Any) -> World:
    label = product() if label is None else label
    plot = Plot(
        "plot",
        "holder",
        Place("place", 47.0, 8.0, "Europe/Zurich", country="CH"),
        (Bed("A", "A", 0.0, 0.0, 3.0, 1.0), Bed("B", "B", 12.0, 0.0, 3.0, 1.0)),
        (BEANS, PEAS, FAR),
        shelf=(label,),
        bloom_near=False,
    )
    facts: dict[str, Any] = {
        "plot": plot,
        "events": (),
        "evenings": (evening(TUESDAY), evening(THURSDAY)),
        "treat": treat(label),
        "pick": pick_task("beans", THURSDAY),
    }
    return World(**(facts | over))


CLEAN = a_world()
SOAP = CLEAN.plot.shelf[0]


def with_label(world: World, **over: Any) -> World:
    changed = replace(world.plot.shelf[0], **over)
    return replace(world, plot=replace(world.plot, shelf=(changed, *world.plot.shelf[1:])))


def with_limits(world: World, **over: Any) -> World:
    return with_label(world, crops=(limits(**over),))


def with_beans(world: World, **over: Any) -> World:
    beans = replace(world.plot.plantings[0], **over)
    return replace(world, plot=replace(world.plot, plantings=(beans, *world.plot.plantings[1:])))


def with_plot(world: World, **over: Any) -> World:
    return replace(world, plot=replace(world.plot, **over))


def with_neighbour(world: World, **over: Any) -> World:
    return with_plot(world, plantings=(*world.plot.plantings, replace(NEXT_DOOR, **over)))


def with_evening(world: World, **over: Any) -> World:
    return replace(world, evenings=(replace(world.evenings[0], **over), world.evenings[1]))


def on_ground(world: World, *courses: WaterCourse) -> World:
    """The water of some plantings told otherwise; of the others not at all."""
    return replace(world, ground=courses)


def pours(litres: float, planting: str = "beans", minutes: float = -60.0) -> Task:
    """A round for one planting, so many minutes after its spraying begins."""
    at = TUESDAY + timedelta(minutes=minutes)
    amounts = (Amount("water for Far", 50.0, "l", planting="far"),
               Amount("water for Beans", litres, "l", planting=planting))  # fmt: skip
    return Task("pour", "water", "on arrival", "Water.", 5, starts=at, ends=at, amounts=amounts)


def with_task(world: World, **over: Any) -> World:
    return replace(world, treat=replace(world.treat, **over))


def shifted(world: World, hour: int, minute: int = 0) -> World:
    starts = TUESDAY.replace(hour=hour, minute=minute)
    return with_task(world, starts=starts, ends=starts + timedelta(minutes=15))


def done(
    world: World, label: ProductLabel, days: float, planting: str = "beans", **over: Any
) -> World:
    at = TUESDAY - timedelta(days=days)
    facts = Treatment((planting,), label.active, label.key)
    serial = len(world.events) + 1
    event = an_event(serial, at, world.plot, replace(facts, **over))
    return replace(world, events=(*world.events, event))


def watered(world: World, hours: float, given: Watering) -> World:
    event = an_event(50, TUESDAY - timedelta(hours=hours), world.plot, given)
    return replace(world, events=(*world.events, event))


def and_product(world: World, label: ProductLabel) -> World:
    return with_plot(world, shelf=(*world.plot.shelf, label))


def of(active: str, **over: Any) -> World:
    return a_world(product(active, key="P", **over))


TWO_WEEKS = product("pyrethrins", (limits(pre_harvest_days=value(14.0)),), key="Q")


def told(*reasons: str) -> World:
    """The clean plan, its treatment with these reasons."""
    return with_task(CLEAN, because=tuple(map(Because, reasons)))


def pulled(planting: str, plants: int) -> Task:
    before = TUESDAY - timedelta(hours=1)
    count = (Amount("plants", plants, "plants"),)
    return Task("out", "pull", "replace", "Pull.", 5, planting, starts=before, amounts=count)


def without_a_bed(world: World, litres: float) -> World:
    placed = with_beans(world, bed=None, x_m=1.0, y_m=0.5)
    full = Amount("water", litres, "l"), Amount("soap", 10 * litres, "ml")
    return with_task(placed, amounts=full)


def beside_one_without_a_bed(world: World, litres: float) -> World:
    """A row without a bed is treated first; the bed takes 0.6 l."""
    loose = replace(FAR, key="loose", name="Loose", bed=None, x_m=13.0, y_m=0.5)
    both = with_plot(world, plantings=(*world.plot.plantings, loose))
    share = (Amount(OF_THE_MIX, 0.1, "l"),)
    first = treat(SOAP, "loose", TUESDAY - timedelta(minutes=20), amounts=share)
    product = Amount("soap", 10 * litres, "ml")
    much = (Amount("water", litres, "l"), product, Amount(OF_THE_MIX, litres - 0.05, "l"))
    return replace(with_task(both, amounts=much), more=(first,))


def beside_another_rate(beans: float, peas: float) -> World:
    """The first row's filling, 2.5 ml in half a litre, is for the peas after it too."""
    rows = limits(rate_ml_per_l=value(beans)), limits("pea", rate_ml_per_l=value(peas))
    other = replace(PEAS, crop="pea")
    world = with_plot(with_label(CLEAN, crops=rows), plantings=(BEANS, other, FAR))
    mine = Amount(OF_THE_MIX, 0.25, "l")
    one = with_task(world, amounts=(Amount("water", 0.5, "l"), Amount("soap", 2.5, "ml"), mine))
    label = world.plot.shelf[0]
    return replace(one, more=(treat(label, "peas", TUESDAY, amounts=(mine,)),))


def air_of(hours: dict[int, float]) -> tuple[AirAt, ...]:
    """20 C by the hour from the spraying's start, but for the hours given."""
    spots = ((n, hours.get(n, 20.0)) for n in range(9))
    return tuple(AirAt(TUESDAY + timedelta(hours=n), c, c) for n, c in spots)


def into(bed: str | None, kind: Any = "set out") -> Task:
    """Something goes into ground where nothing stands, an hour before the spraying."""
    goes = GoesIn("bean_bush", "beans", bed)
    before = TUESDAY - timedelta(hours=1)
    return Task("new", kind, "replace", "Put 6 in.", 9, starts=before, goes_in=goes)


def in_bare_ground(world: World, label: ProductLabel | None, days: float, *tasks: Task) -> World:
    """Bed B was sprayed, its planting pulled afterwards; then the tasks."""
    sprayed = done(world, label or world.plot.shelf[0], days, "far")
    gone = (TUESDAY - timedelta(days=days)).date()
    plantings = [replace(p, pulled=gone) if p.key == "far" else p for p in world.plot.plantings]
    return replace(with_plot(sprayed, plantings=tuple(plantings)), more=tasks)


def bloom(world: World) -> World:
    return with_beans(world, in_bloom=True)


OIL, SULFUR = product("mineral_oil", key="oil"), product("sulfur", key="sulfur")
# Of no row of ours: group 3 of the fungicides by its label, and 29, which may be of either list.
LACKING = replace(product("myclobutanil", key="Q"), active="difenoconazole", group="3")
UNLISTED = replace(product("spinosad", key="U"), active="flonicamid", group="29")
TWO_IN_ONE = replace(SOAP, key="two", active="soap_and_rapeseed_oil")
FUNGUS = product("beauveria", key="P", consecutive_max=value(1))
CARBARYL, SPINOSAD = product("carbaryl", key="Q"), product("spinosad", key="P")
LONG = product("copper_hydroxide", key="copper", re_entry_hours=value(48.0))
MUTANTS: dict[str, tuple[str, Callable[[], World]]] = {
    # picking, working, planting
    "picked inside the interval": (
        "picks before it is clear",
        lambda: with_limits(CLEAN, pre_harvest_days=value(2.1)),
    ),
    "picked after, on the same evening": (
        "picks before it is clear",
        lambda: replace(CLEAN, more=(pick_task("beans", TUESDAY + timedelta(minutes=20)),)),
    ),
    "picked while being sprayed": (
        "picks before it is clear",
        lambda: replace(CLEAN, more=(pick_task("beans", TUESDAY - timedelta(minutes=5)),)),
    ),
    "picked, hour not said": (
        "picks before it is clear",
        lambda: replace(
            CLEAN, more=(replace(pick_task("beans", TUESDAY), starts=None, ends=None),)
        ),
    ),
    "picked after a treatment of the journal": (
        "picks before it is clear",
        lambda: done(with_limits(CLEAN, pre_harvest_days=value(21.0), retreat_days=NONE), SOAP, 15),
    ),
    "picked when the interval was not copied": (
        "picks before it is clear",
        lambda: with_limits(CLEAN, pre_harvest_days=LabelLine()),
    ),
    "picked after something unknown": (
        "picks before it is clear",
        lambda: done(CLEAN, SOAP, 30, product=None),
    ),
    "picked after a product that is gone": (
        "picks before it is clear",
        lambda: done(CLEAN, SOAP, 30, product="gone"),
    ),
    "picked after the last was pulled": (
        "works at plants that were pulled",
        lambda: replace(CLEAN, more=(pulled("beans", 20),)),
    ),
    "worked in the bed": (
        "works in a bed before re-entry is over",
        lambda: replace(
            CLEAN,
            more=(Task("hoe", "care", "care", "Hoe.", 5, "peas", starts=AN_HOUR_ON),),
        ),
    ),
    "weeded in a round": (
        "works in a bed before re-entry is over",
        lambda: replace(
            CLEAN,
            more=(
                Task(
                    "weed",
                    "care",
                    "care",
                    "Weed.",
                    5,
                    starts=AN_HOUR_ON,
                    amounts=(Amount("weed for peas", 2.0, "m2"),),
                ),
            ),
        ),
    ),
    "picked another row of the bed": (
        "works in a bed before re-entry is over",
        lambda: replace(CLEAN, more=(pick_task("peas", TUESDAY + timedelta(minutes=30)),)),
    ),
    "two products one after the other in one bed": (
        "works in a bed before re-entry is over",
        lambda: replace(
            and_product(CLEAN, LONG),
            more=(treat(LONG, "peas", TUESDAY - timedelta(minutes=20)),),
        ),
    ),
    "planted into treated ground": (
        "plants into treated ground too soon",
        lambda: replace(
            with_limits(CLEAN, plant_back_days=value(30.0)),
            later=(Task("set", "set out", "replace", "Plant.", 9, "peas", starts=THURSDAY),),
        ),
    ),
    "planted, plant-back line not copied": (
        "plants into treated ground too soon",
        lambda: replace(
            with_limits(CLEAN, plant_back_days=LabelLine()),
            later=(Task("sow", "sow", "replace", "Sow.", 9, "peas", starts=THURSDAY),),
        ),
    ),
    "set out in a bare bed that nobody may enter": (
        "works in a bed before re-entry is over",
        lambda: in_bare_ground(and_product(CLEAN, LONG), LONG, 1, into("B")),
    ),
    "planted into bare treated ground": (
        "plants into treated ground too soon",
        lambda: in_bare_ground(
            with_limits(CLEAN, plant_back_days=value(30.0)), None, 9, into("B", kind="sow")
        ),
    ),
    "planted nobody knows where": (
        "plants something without saying where",
        lambda: replace(CLEAN, more=(into(None),)),
    ),
    "a pulled planting's tag opens its bed early": (
        "is opened to everybody too early",
        lambda: replace(
            in_bare_ground(and_product(CLEAN, LONG), LONG, 1),
            closed=(tag("far", pick=None, enter=TUESDAY + timedelta(hours=23)),),
        ),
    ),
    "cleared now": (
        "is cleared for picking too early",
        lambda: replace(
            done(with_limits(CLEAN, pre_harvest_days=value(21.0)), SOAP, 15),
            picking=(Clearance("beans", True, None),),
        ),
    ),
    "cleared an hour early": (
        "is cleared for picking too early",
        lambda: replace(
            done(with_limits(CLEAN, pre_harvest_days=value(16.0), retreat_days=NONE), SOAP, 15),
            picking=(Clearance("beans", False, TUESDAY + timedelta(hours=23)),),
        ),
    ),
    "given a day though nothing is known": (
        "is cleared for picking too early",
        lambda: replace(
            done(CLEAN, SOAP, 30, product=None),
            picking=(Clearance("beans", False, TUESDAY + timedelta(days=300)),),
        ),
    ),
    "cleared in a bed that is closed": (
        "is cleared for picking too early",
        lambda: replace(
            done(and_product(CLEAN, LONG), LONG, 1, "peas"),
            picking=(Clearance("beans", True, None),),
        ),
    ),
    "cleared what is not on the plot": (
        "clears a planting that is not on the plot",
        lambda: replace(CLEAN, picking=(Clearance("leeks", True, None),)),
    ),
    "its tag opens it to pickers early": (
        "is opened to pickers too early",
        lambda: replace(
            done(with_limits(CLEAN, pre_harvest_days=value(16.0), retreat_days=NONE), SOAP, 15),
            closed=(tag("beans", pick=TUESDAY + timedelta(hours=23)),),
        ),
    ),
    "its tag opens the bed to everybody early": (
        "is opened to everybody too early",
        lambda: replace(
            done(and_product(CLEAN, LONG), LONG, 1, "peas"),
            closed=(tag("beans", pick=None, enter=TUESDAY.replace(hour=19)),),
        ),
    ),
    "the tag for tonight opens it early": (
        "is opened to pickers too early",
        lambda: replace(
            CLEAN, closed=(tag("beans", pick=TUESDAY + timedelta(hours=1), planned=True),)
        ),
    ),
    "a tag for what is not on the plot": (
        "closes a planting that is not on the plot",
        lambda: replace(CLEAN, closed=(tag("leeks", pick=None),)),
    ),
    # the label's rows
    "not listed": (
        "treats a crop that the label does not list",
        lambda: with_label(CLEAN, crops=(limits("tomato"),)),
    ),
    "no label on the shelf": (
        "treats with something that has no label here",
        lambda: with_plot(CLEAN, shelf=()),
    ),
    "a pesticide without any product": (
        "treats with something that has no label here",
        lambda: with_task(CLEAN, product=None, method="carbaryl"),
    ),
    "another active": (
        "takes a product of another active",
        lambda: with_task(CLEAN, method="btk"),
    ),
    "another country": (
        "uses a label of another country",
        lambda: with_label(CLEAN, country="US"),
    ),
    "country not entered": (
        "uses a label of another country",
        lambda: with_plot(CLEAN, place=replace(CLEAN.plot.place, country="")),
    ),
    "not for amateurs": (
        "uses what is not known to be sold to amateurs",
        lambda: with_label(CLEAN, sold_to_amateurs=None),
    ),
    "too soon after the last": (
        "comes too soon after or before another application",
        lambda: done(CLEAN, SOAP, 6),
    ),
    "too soon before the next": (
        "comes too soon after or before another application",
        lambda: replace(CLEAN, later=(treat(SOAP, at=THURSDAY + timedelta(minutes=20)),)),
    ),
    "above the maximum": (
        "goes above the label's maximum",
        lambda: done(with_limits(CLEAN, season_max=value(1)), SOAP, 20),
    ),
    "above the maximum of the ground": (
        "goes above the label's maximum",
        lambda: done(
            with_limits(CLEAN, season_max=value(1), season_max_over="ground"), SOAP, 20, "peas"
        ),
    ),
    "above the maximum of the year": (
        "goes above the label's maximum",
        lambda: done(
            with_limits(CLEAN, season_max=value(1), season_max_over="year"), SOAP, 300, "far"
        ),
    ),
    "above the maximum of the active": (
        "goes above the label's maximum",
        lambda: done(
            and_product(
                with_limits(CLEAN, season_max=value(1), season_max_scope="active"),
                replace(SOAP, key="other soap"),
            ),
            replace(SOAP, key="other soap"),
            20,
        ),
    ),
    "above the maximum of an active that stands beside another in one product": (
        "goes above the label's maximum",
        lambda: done(
            and_product(
                with_limits(CLEAN, season_max=value(1), season_max_scope="active"), TWO_IN_ONE
            ),
            TWO_IN_ONE,
            20,
        ),
    ),
    "stronger than the label": (
        "mixes stronger than the label's rate",
        lambda: with_task(CLEAN, amounts=(Amount("water", 1.0, "l"), Amount("soap", 11.0, "ml"))),
    ),
    "weaker than the label": (
        "mixes weaker than the label's rate and does not say so",
        lambda: with_task(CLEAN, amounts=(Amount("water", 0.5, "l"), Amount("soap", 3.5, "ml"))),
    ),
    "a crop of another rate in one filling": (  # 20 ml/l on the beans, mixed at the peas' 5
        "mixes weaker than the label's rate and does not say so",
        lambda: beside_another_rate(20.0, 5.0),
    ),
    "a share of a filling of another rate": (  # 5 ml/l on the beans, mixed at the peas' 20
        "gives a crop of a mix made at another rate",
        lambda: beside_another_rate(5.0, 20.0),
    ),
    "more than the label's litres": (
        "uses more than the label's maximum on that bed",
        lambda: with_task(CLEAN, amounts=(Amount("water", 0.7, "l"),)),
    ),
    "weighed though the label measures": (
        "measures a product in another unit",
        lambda: with_task(CLEAN, amounts=(Amount("water", 1.0, "l"), Amount("soap", 5.0, "g"))),
    ),
    "stronger over two rows": (
        "mixes stronger than the label's rate",
        lambda: replace(
            with_task(CLEAN, amounts=(Amount("the mix for these", 0.2, "l"),)),
            more=(
                treat(
                    SOAP,
                    "peas",
                    TUESDAY - timedelta(minutes=15),
                    amounts=(
                        Amount("water", 0.4, "l"),
                        Amount("soap", 4.5, "ml"),
                        Amount("the mix for these", 0.2, "l"),
                    ),
                ),
            ),
        ),
    ),
    "more on one bed over two rows": (
        "uses more than the label's maximum on that bed",
        lambda: replace(
            with_task(CLEAN, amounts=(Amount("water", 0.4, "l"),)),
            more=(
                treat(
                    SOAP,
                    "peas",
                    TUESDAY - timedelta(minutes=15),
                    amounts=(Amount("water", 0.4, "l"),),
                ),
            ),
        ),
    ),
    "more on one bed than its share of a filling": (
        "uses more than the label's maximum on that bed",
        lambda: replace(
            with_task(CLEAN, amounts=(Amount("the mix for these", 0.7, "l"),)),
            more=(
                treat(
                    SOAP,
                    "far",
                    TUESDAY - timedelta(minutes=15),
                    amounts=(
                        Amount("water", 0.9, "l"),
                        Amount("the mix for these", 0.2, "l"),
                    ),
                ),
            ),
        ),
    ),
    "more than is left in the pack": (
        "mixes more than is left of it",
        lambda: with_label(CLEAN, litres_left=0.2),
    ),
    "more than the label's litres, no bed": (  # 20 plants on 0.036 m2 each, 0.2 l/m2: 0.144 l
        "uses more than the label's maximum on that bed",
        lambda: without_a_bed(CLEAN, litres=0.15),
    ),
    "more on a bed, beside a planting without one": (
        "uses more than the label's maximum on that bed",
        lambda: beside_one_without_a_bed(CLEAN, litres=0.7),
    ),
    "no bed, a crop of unknown size": (
        "measures a product for ground of unknown size",
        lambda: with_beans(with_limits(without_a_bed(CLEAN, litres=0.1), crop="oca"), crop="oca"),
    ),
    # whose plants, whose garden
    "the neighbour's": (
        "treats what stands on the neighbour's plot",
        lambda: with_task(with_neighbour(CLEAN, x_m=30.0), planting="theirs"),
    ),
    "pulled": ("treats what was pulled", lambda: with_beans(CLEAN, pulled=date(2026, 8, 1))),
    "not on the plot": (
        "treats a planting that is not on the plot",
        lambda: with_task(CLEAN, planting="leeks"),
    ),
    "nothing named": ("treats without saying what", lambda: with_task(CLEAN, planting=None)),
    "no sprays here": (
        "sprays where the garden allows none",
        lambda: with_plot(CLEAN, rules=GardenRules(no_sprays=True)),
    ),
    "organic only": (
        "uses what is no organic input where the garden wants only these",
        lambda: with_plot(
            with_label(CLEAN, organic_input=None), rules=GardenRules(organic_only=True)
        ),
    ),
    "after the gate is closed": (
        "treats after the gate is closed",
        lambda: with_plot(CLEAN, rules=GardenRules(gate_closes=time(20, 20))),
    ),
    "drift, ready to pick": (
        "drifts onto the neighbour's crop",
        lambda: with_neighbour(CLEAN, bearing_since=date(2026, 8, 1)),
    ),
    "drift, not on the label": (
        "drifts onto the neighbour's crop",
        lambda: with_neighbour(CLEAN, crop="lettuce_leaf"),
    ),
    "drift, nobody knows where": (
        "drifts onto the neighbour's crop",
        lambda: with_neighbour(CLEAN, crop="lettuce_leaf", x_m=None),
    ),
    # bees
    "a blocked active in bloom": (
        "puts on what bees must never meet, while there is bloom",
        lambda: bloom(of("pyrethrins", bloom=value("evening only"))),
    ),
    "a blocked class by number": (
        "puts on what bees must never meet, while there is bloom",
        lambda: bloom(of("btk", group="4A")),
    ),
    "dust in bloom": (
        "puts on what bees must never meet, while there is bloom",
        lambda: with_plot(of("sulfur", form="dust"), bloom_near=True),
    ),
    "bloom in the next row": (
        "puts on what bees must never meet, while there is bloom",
        lambda: with_plot(of("malathion"), plantings=(BEANS, replace(PEAS, in_bloom=None), FAR)),
    ),
    "spinosad without the label's word": (
        "sprays in bloom without the label's word for it",
        lambda: bloom(of("spinosad")),
    ),
    "never in bloom, says the label": (
        "sprays in bloom against the label's words on bees",
        lambda: bloom(with_label(CLEAN, bloom=value("never in bloom"))),
    ),
    "in bloom by day": ("sprays while bees fly", lambda: bloom(shifted(CLEAN, 15))),
    "spinosad by day": ("sprays while bees fly", lambda: shifted(of("spinosad"), 15)),
    "wet at dawn": (
        "leaves a spray wet when bees fly again",
        lambda: bloom(of("copper_hydroxide")),
    ),
    # light and weather
    "in the dark": ("sprays in the dark", lambda: shifted(CLEAN, 21, 0)),
    "before dawn": ("sprays in the dark", lambda: shifted(CLEAN, 4, 0)),
    "hour not said": (
        "sprays at an hour that nobody named",
        lambda: with_task(CLEAN, starts=None, ends=None),
    ),
    "dusk not known": (
        "sprays on a day whose dusk nobody knows",
        lambda: with_evening(CLEAN, civil_dusk=None),
    ),
    "evening not known": (
        "sprays on an evening of which nothing is known",
        lambda: replace(CLEAN, handed=(evening(THURSDAY),)),
    ),
    "soap in heat": ("sprays above 32 C", lambda: with_evening(CLEAN, temperature_high_c=32.1)),
    "soap in heat before it is dry": (
        "sprays above 32 C",
        lambda: with_evening(CLEAN, air=air_of({3: 32.1})),
    ),
    "oil that dries in the cold": (
        "sprays oil below 10 C",
        lambda: with_evening(of("mineral_oil"), air=air_of({4: 9.9})),
    ),
    "heat not known until it is dry": (
        "sprays above 32 C",
        lambda: with_evening(CLEAN, air=air_of({})[:4]),
    ),
    "near flowers, not a word of bees": (
        "sprays near flowers without saying to look for bees",
        lambda: replace(bloom(CLEAN), said=()),
    ),
    "people let in a minute early": (
        "treats without saying until when to keep out",
        lambda: replace(CLEAN, out=-timedelta(minutes=1)),
    ),
    "people let in when dry, though the label says two days": (
        "treats without saying until when to keep out",
        lambda: replace(with_label(CLEAN, re_entry_hours=value(48.0)), out=-timedelta(hours=44)),
    ),
    "heat not known": ("sprays above 32 C", lambda: with_evening(CLEAN, temperature_high_c=None)),
    "above the label's ceiling": (
        "sprays above 25 C",
        lambda: with_evening(
            with_label(CLEAN, max_temperature_c=value(25.0)), temperature_high_c=25.5
        ),
    ),
    "sulfur before heat": (
        "sprays above 32 C",
        lambda: with_evening(of("sulfur"), hottest_next_two_days_c=33.0),
    ),
    "oil in the cold": (
        "sprays oil below 10 C",
        lambda: with_evening(of("mineral_oil"), temperature_low_c=9.0),
    ),
    "dry soil": ("sprays plants on dry soil", lambda: on_ground(CLEAN, moist("beans", 11.9, 11.9))),
    "dry soil, other beds watered": (
        "sprays plants on dry soil",
        lambda: on_ground(replace(CLEAN, more=(pours(0.0),)), moist("beans", 11.0, 11.0)),
    ),
    "dry soil, too little given": (
        "sprays plants on dry soil",
        lambda: on_ground(replace(CLEAN, more=(pours(5.0),)), moist("beans", 11.5, 9.0)),
    ),
    "dry soil, watered after it": (
        "sprays plants on dry soil",
        lambda: on_ground(replace(CLEAN, more=(pours(20.0, minutes=20),)), moist("beans", 19.0, 9)),
    ),
    "dry soil, only told to water": (
        "sprays plants on dry soil",
        lambda: on_ground(with_task(CLEAN, cautions=(WATER_FIRST,)), moist("beans", 9.0, 9.0)),
    ),
    "dry soil under what meets a soap": (
        "sprays plants on dry soil",
        lambda: on_ground(done(and_product(of("btk"), SOAP), SOAP, 0.05), moist("beans", 9.0, 9.0)),
    ),
    "soil not known": ("sprays plants whose soil nobody knows", lambda: on_ground(CLEAN)),
    "dry soil at a later visit": (
        "sprays plants on dry soil",
        lambda: on_ground(
            replace(
                with_task(of("btk"), method="btk"),
                plot=replace(CLEAN.plot, shelf=(*of("btk").plot.shelf, SOAP)),
                later=(treat(SOAP, "far", THURSDAY),),
            ),
            moist("far", 9.0, 9.0),
        ),
    ),
    "wilted": ("sprays a wilted plant", lambda: with_beans(CLEAN, wilted=True)),
    "sulfur after oil": (
        "puts oil and sulfur within 14 days",
        lambda: done(and_product(of("sulfur"), OIL), OIL, 13),
    ),
    "oil after sulfur": (
        "puts oil and sulfur within 14 days",
        lambda: done(and_product(of("mineral_oil"), SULFUR), SULFUR, 13),
    ),
    "the label's 30 days": (
        "puts oil and sulfur within 30 days",
        lambda: done(and_product(of("sulfur", sulfur_oil_gap_days=value(30.0)), OIL), OIL, 29),
    ),
    "rain soon": (
        "sprays with rain likely within 2 h",
        lambda: with_evening(of("btk"), rain_chance_2h=0.5),
    ),
    "rain before copper is fast": (
        "sprays with rain likely within 12 h",
        lambda: with_evening(of("copper_hydroxide"), rain_chance_12h=0.9),
    ),
    "rain inside the label's hours": (
        "sprays with rain likely within 12 h",
        lambda: with_evening(with_label(CLEAN, rain_free_hours=value(12.0)), rain_chance_12h=0.9),
    ),
    "rain not known": (
        "sprays with rain likely within 4 h",
        lambda: with_evening(CLEAN, rain_chance_12h=None),
    ),
    "wind": ("sprays in wind above 4 m/s", lambda: with_evening(CLEAN, wind_m_s=4.2)),
    "the label's wind": (
        "sprays in wind above 2 m/s",
        lambda: with_evening(with_label(CLEAN, max_wind_m_s=value(2.0)), wind_m_s=2.5),
    ),
    "wind not known and not said": (
        "sprays in unknown wind without saying when not to",
        lambda: with_evening(CLEAN, wind_m_s=None),
    ),
    "wet leaves": ("sprays on wet leaves", lambda: with_evening(CLEAN, leaves_wet=True)),
    "wet leaves not known and not said": (
        "sprays leaves that may be wet without saying so",
        lambda: with_evening(CLEAN, leaves_wet=None),
    ),
    # modes of action
    "two generations running": (
        "meets two generations running with one group",
        lambda: done(of("spinosad", crops=(limits(retreat_days=NONE),)), SPINOSAD, 25),
    ),
    "two generations running, of labels that print no group": (
        "meets two generations running with one group",
        lambda: done(
            of("spinosad", group="", crops=(limits(retreat_days=NONE),)),
            replace(SPINOSAD, group=""),
            25,
        ),
    ),
    "1A, then 1B": (
        "meets two generations running with one group",
        lambda: done(and_product(of("malathion"), CARBARYL), CARBARYL, 25),
    ),
    "one fungicide twice in a row": (
        "uses a single-site fungicide twice in a row",
        lambda: done(of("myclobutanil"), product("myclobutanil", key="P"), 60),
    ),
    "one after another of its code that the tables lack": (
        "uses a single-site fungicide twice in a row",
        lambda: done(and_product(of("myclobutanil"), LACKING), LACKING, 60),
    ),
    "a second in a row": (
        "comes too often in a row",
        lambda: done(with_label(CLEAN, consecutive_max=value(1)), SOAP, 20),
    ),
    "a second in a row, with what may be another list's in between": (
        "comes too often in a row",
        lambda: done(
            done(and_product(of("beauveria", consecutive_max=value(1)), UNLISTED), FUNGUS, 40),
            UNLISTED,
            20,
        ),
    ),
    "a second in a row, planned": (
        "comes too often in a row",
        lambda: replace(
            with_limits(with_label(CLEAN, consecutive_max=value(1)), retreat_days=NONE),
            later=(treat(SOAP, at=THURSDAY + timedelta(minutes=20)),),
        ),
    ),
    "a third of the group in a row": (
        "comes too often in a row",
        lambda: done(
            done(
                and_product(
                    of("malathion"), product("carbaryl", key="Q", consecutive_max=value(2))
                ),
                CARBARYL,
                9,
            ),
            CARBARYL,
            12,
        ),
    ),
    "a second in a row, line not copied": (
        "repeats what no copied line allows",
        lambda: done(with_label(CLEAN, consecutive_max=LabelLine()), SOAP, 20),
    ),
    "a generation nobody knows": (
        "meets two generations running with one group",
        lambda: replace(
            done(of("spinosad", crops=(limits(retreat_days=NONE),)), SPINOSAD, 60),
            generation=None,
        ),
    ),
    "watered from above an hour ago": (
        "sprays leaves watered from above",
        lambda: watered(CLEAN, 1.0, Watering(20.0, bed="A", way="overhead")),
    ),
    "watered as the bed always is": (
        "sprays leaves watered from above",
        lambda: with_plot(
            watered(CLEAN, 1.0, Watering(20.0, planting="beans")),
            water=WaterSupply(watering="overhead"),
        ),
    ),
    "copper on the soap of the same day": (
        "lets copper meet soap within 1 d",
        lambda: done(and_product(of("copper_hydroxide"), SOAP), SOAP, 0.4),
    ),
    "malathion after carbaryl": (
        "lets carbaryl meet malathion within 7 d",
        lambda: done(and_product(of("malathion"), CARBARYL), CARBARYL, 6),
    ),
    # the hours in its reasons: sprayed 20:10 to 20:25, soap dry after 4 h, clear a day later
    "the back clears a picking a minute early": (
        "says an earlier hour than its own end and label give",
        lambda: told("safe to pick from Wed 5 Aug 20:24, pick first what is ready"),
    ),
    "the task clears a picking that an earlier spray still bars": (
        "says an earlier hour than its own end and label give",
        lambda: done(
            and_product(
                with_task(CLEAN, cautions=("Out; no picking before Wed 5 Aug 20:25.",)), TWO_WEEKS
            ),
            TWO_WEEKS,
            6,
        ),
    ),
    "the back lets people in a minute early": (
        "says an earlier hour than its own end and label give",
        lambda: told("keep out of the bed until Wed 5 Aug 00:24, pets too"),
    ),
    "done before it is": (
        "says an earlier hour than its own end and label give",
        lambda: told("done by 20:24, light enough until 21:10"),
    ),
    "dry before it is": (
        "says an earlier hour than its own end and label give",
        lambda: told("dry by about 00:24, before bees fly"),
    ),
    "ruled on at a later hour": (
        "was ruled on at another hour than it stands at",
        lambda: told("done by 20:26, light enough until 21:10"),
    ),
    "cleared though its line was not copied": (
        "says an earlier hour than its own end and label give",
        lambda: with_limits(
            told("safe to pick from Sat 5 Dec 20:25, next pick"), pre_harvest_days=LabelLine()
        ),
    ),
    # covers, hoses, courses
    "a pesticide in a bag": (
        "puts a pesticide under a closed cover",
        lambda: with_task(CLEAN, kind="cover", method="bag_enclosure"),
    ),
    "a bag in the sun": (
        "puts a closed cover on in the sun",
        lambda: shifted(with_task(CLEAN, product=None, method="bag_enclosure", amounts=()), 16),
    ),
    "a bag until ten": (
        "puts a closed cover on in the sun",
        lambda: replace(
            CLEAN,
            treat=replace(
                treat(SOAP, product=None, method="bag_enclosure", amounts=()),
                ends=TUESDAY + timedelta(hours=14),
            ),
        ),
    ),
    "a bag over fresh soap": (
        "closes a cover over a fresh spray",
        lambda: replace(
            CLEAN,
            more=(
                Task(
                    "bag",
                    "cover",
                    "last job",
                    "Bag.",
                    5,
                    "beans",
                    method="bag_enclosure",
                    starts=TUESDAY.replace(hour=20, minute=40),
                ),
            ),
        ),
    ),
    "a hose where none is written down": (
        "wants a hose where none may be used",
        lambda: with_plot(
            with_task(CLEAN, product=None, method="water_jet"), water=WaterSupply(hose=False)
        ),
    ),
    "a hose under a ban": (
        "wants a hose where none may be used",
        lambda: with_plot(
            with_task(CLEAN, product=None, method="water_jet"),
            water=WaterSupply(hose=True, hose_ban=True),
        ),
    ),
    "a course on the neighbour's plot": (
        "promises to treat what is not one's own",
        lambda: replace(
            with_neighbour(CLEAN, x_m=30.0),
            course=(CourseStep(date(2026, 8, 20), "soap", SOAP.key, ("theirs",), ""),),
        ),
    ),
    "a course with what is not on the shelf": (
        "promises a product without a label",
        lambda: replace(
            CLEAN, course=(CourseStep(date(2026, 8, 20), "btk", "gone", ("beans",), ""),)
        ),
    ),
}


def test_the_plan_to_be_broken_is_clean() -> None:
    assert CLEAN.whats() == set()
    for active in ("pyrethrins", "spinosad", "sulfur", "mineral_oil", "copper_hydroxide", "btk"):
        assert of(active).whats() == set(), active
    assert with_neighbour(CLEAN).whats() == set()
    assert done(CLEAN, SOAP, 20).whats() == set()
    assert bloom(CLEAN).whats() == set()


@pytest.mark.parametrize("name", MUTANTS)
def test_each_broken_plan_is_named(name: str) -> None:
    what, make = MUTANTS[name]
    assert what in make().whats()


SPRAYS = {name for name, (what, _) in MUTANTS.items() if what.startswith("sprays")}
# Then more than one thing is wrong.
UNNAMED_HOUR = ("hour not said", "evening not known")
TWICE_IN_BED = ("dry soil, watered after it", "dry soil under what meets a soap")


@pytest.mark.parametrize("name", sorted(SPRAYS.difference(UNNAMED_HOUR, TWICE_IN_BED)))
def test_a_broken_hour_is_the_only_fault_found(name: str) -> None:
    what, make = MUTANTS[name]
    assert make().whats() - {what} <= {"sprays above 32 C", "sprays while bees fly"}


@pytest.mark.parametrize(
    "line", ["re_entry_hours", "max_temperature_c", "rain_free_hours", "max_wind_m_s", "bloom"]
)
def test_a_label_line_not_copied(line: str) -> None:
    assert (
        "rests on a label line that was not copied"
        in with_label(CLEAN, **{line: LabelLine()}).whats()
    )


@pytest.mark.parametrize(
    "line", ["pre_harvest_days", "retreat_days", "season_max", "rate_ml_per_l", "max_l_per_m2"]
)
def test_a_crop_line_not_copied(line: str) -> None:
    assert (
        "rests on a label line that was not copied"
        in with_limits(CLEAN, **{line: LabelLine()}).whats()
    )


def test_conditions_said_on_the_task_make_unknown_wind_and_leaves_good() -> None:
    unknown = with_evening(CLEAN, wind_m_s=None, leaves_wet=None)
    assert with_task(unknown, cautions=(LIGHT_AIR, DRY_LEAVES)).whats() == set()
    assert with_task(unknown, only_if=f"{LIGHT_AIR}, {DRY_LEAVES}").whats() == set()
    assert len(with_task(unknown, cautions=(LIGHT_AIR,)).whats()) == 1


def test_plants_without_a_bed_may_get_what_their_own_ground_takes() -> None:
    assert without_a_bed(CLEAN, litres=0.14).whats() == set()
    assert beside_one_without_a_bed(CLEAN, litres=0.6).whats() == set()


def test_hours_in_reasons_that_are_its_own_or_later_are_no_fault() -> None:
    """20:25, 4 h until dry and 24 h until picking; and later than that, for another's sake."""
    own = told(
        "safe to pick from Wed 5 Aug 20:25, pick first what is ready",
        "keep out of the bed until Wed 5 Aug 00:25, pets too",
        "done by 20:25, light enough until 21:10",
        "dry by about 00:25, before bees fly",
    )
    assert own.whats() == set()
    assert told("safe to pick from Sat 2 Jan 08:00 (by another)").whats() == set()


def test_dry_soil_is_no_fault_once_it_is_watered_or_for_what_does_not_burn() -> None:
    """9 mm are left and 12 mm must be: 6 l before it, on 2 l a millimetre, are just enough."""
    dry = moist("beans", 12.5, 9.0)
    for minutes in (-60.0, -5.0):
        watered_before = replace(CLEAN, more=(pours(6.0, minutes=minutes),))
        assert on_ground(watered_before, dry).whats() == set()
    assert on_ground(of("btk"), dry).whats() == set()
    assert on_ground(of("btk")).whats() == set()


def test_a_later_visit_may_tell_to_water_before() -> None:
    """Of Thursday no water is shared out yet: the word on the task does."""
    soap = treat(SOAP, "far", THURSDAY, cautions=(WATER_FIRST,))
    first = replace(CLEAN, later=(soap,), evenings=(evening(TUESDAY), evening(THURSDAY)))
    assert on_ground(first, moist("beans"), moist("far", 9.0, 9.0)).whats() == set()
    bare = replace(first, later=(replace(soap, cautions=()),))
    assert on_ground(bare, moist("beans"), moist("far", 9.0, 9.0)).whats() == {
        "sprays plants on dry soil"
    }


def test_what_was_corrected_or_withdrawn_no_longer_counts() -> None:
    broken = done(CLEAN, SOAP, 6)
    back = replace(an_event(9, TUESDAY, CLEAN.plot, Withdrawal("slip")), supersedes="id 1")
    assert replace(broken, events=(*broken.events, back)).whats() == set()


def test_what_is_left_standing_is_worked_at() -> None:
    assert replace(CLEAN, more=(pulled("beans", 19),)).whats() == set()


def test_a_round_that_leaves_the_closed_bed_out_is_no_fault() -> None:
    row = Amount("weed for far", 2.0, "m2")
    far = Task("weed", "care", "care", "Weed.", 5, starts=AN_HOUR_ON, amounts=(row,))
    assert replace(CLEAN, more=(far,)).whats() == set()


def test_home_jobs_are_not_in_the_bed() -> None:
    at_home = Task("cups", "sow", "at home", "Sow.", 5, "peas", starts=TUESDAY + timedelta(hours=1))
    assert replace(CLEAN, more=(at_home,)).whats() == set()


def test_water_at_the_foot_or_long_ago_is_no_fault() -> None:
    for hours, given in (
        (1.0, Watering(20.0, bed="A", way="foot")),
        (1.0, Watering(20.0, bed="A")),
        (1.0, Watering(20.0, bed="B", way="overhead")),
        (4.0, Watering(20.0, bed="A", way="overhead")),
        (-1.0, Watering(20.0, bed="A", way="overhead")),
    ):
        assert watered(CLEAN, hours, given).whats() == set(), given


def test_a_change_of_mode_ends_a_run() -> None:
    once = of("spinosad", crops=(limits(retreat_days=NONE),), consecutive_max=value(1))
    btk = product("btk", key="btk")
    assert "comes too often in a row" in done(once, SPINOSAD, 9).whats()
    assert done(done(and_product(once, btk), SPINOSAD, 9), btk, 4).whats() == set()


def test_bait_needs_no_evening_and_no_calm() -> None:
    bait = of("iron_phosphate", form="bait")
    windy = with_evening(bait, wind_m_s=9.0, rain_chance_2h=1.0, leaves_wet=True)
    assert bloom(windy).whats() == set()


def test_one_product_goes_on_from_row_to_row() -> None:
    row_before = treat(SOAP, "peas", TUESDAY - timedelta(minutes=15))
    assert replace(CLEAN, more=(row_before,)).whats() == set()


def test_clear_to_the_minute() -> None:
    """Interval 1 day after 20:25 on the day before: clear at 20:25, and not at 20:24."""
    yesterday = TUESDAY - timedelta(days=1) + timedelta(minutes=15)
    event = an_event(1, yesterday, CLEAN.plot, Treatment(("far",), "soap", SOAP.key))
    world = replace(CLEAN, events=(event,))
    for minute, clean in ((25, True), (24, False)):
        at = TUESDAY.replace(hour=20, minute=minute)
        assert (replace(world, more=(pick_task("far", at, 1),)).whats() == set()) is clean


def test_require_clean_raises_with_every_fault() -> None:
    assert require_clean(CLEAN.plan(), CLEAN.plot, CLEAN.events, CLEAN.evenings) == CLEAN.plan()
    broken = with_evening(with_beans(CLEAN, wilted=True), wind_m_s=9.0)
    with pytest.raises(PlanViolates) as raised:
        require_clean(broken.plan(), broken.plot, broken.events, broken.evenings)
    assert {fault.what for fault in raised.value.faults} == {
        "sprays a wilted plant",
        "sprays in wind above 4 m/s",
    }
    assert raised.value.exit_status == 3


@pytest.mark.parametrize(
    ("sprayed", "clear"),
    [
        (datetime(2026, 10, 24, 20, tzinfo=ZURICH), datetime(2026, 10, 25, 19, tzinfo=UTC)),
        (datetime(2026, 3, 28, 20, tzinfo=ZURICH), datetime(2026, 3, 29, 19, tzinfo=UTC)),
    ],
)
def test_a15_one_day_when_the_clocks_change(sprayed: datetime, clear: datetime) -> None:
    """The audit's own clock: Sun 20:00 in autumn (25 h), Sun 21:00 in spring (24 h)."""
    event = an_event(1, sprayed, CLEAN.plot, Treatment(("far",), "soap", SOAP.key))
    for early, clean in ((timedelta(0), True), (timedelta(minutes=1), False)):
        picking = (Clearance("far", False, clear - early),)
        plan = replace(CLEAN.plan(), visits=(), picking=picking, as_of=sprayed + timedelta(hours=1))
        assert (audit(plan, CLEAN.plot, (event,), ()) == ()) is clean


def jet(planting: str = "beans") -> Task:
    return Task(
        id="jet", kind="treat", part="sick plants last", says="Jet.", minutes=5.0,
        planting=planting, method="water_jet", starts=TUESDAY, ends=TUESDAY + timedelta(minutes=5),
    )  # fmt: skip


def seen(what: str, days_ago: int = 2, serial: int = 90, **over: Any) -> Event:
    look = Sighting("beans", what, "severity", **({"percent": 4.0} | over))
    when = (TUESDAY - timedelta(days=days_ago)).astimezone(UTC)
    return Event(serial, f"id {serial}", "sighting", 1, when, "Europe/Zurich", when, look)


@pytest.mark.parametrize(
    ("events", "caught"),
    [
        ((seen("bean_rust"),), True),
        ((seen("brown leaf spot"),), True),
        ((seen("cucurbit_powdery_mildew"),), False),
        ((seen("green_peach_aphid"),), False),
        ((seen("bean_rust"), seen("bean_rust", 1, 91, percent=0)), False),
        ((), False),
    ],
)
def test_a_jet_on_diseased_leaves_is_caught(events: tuple[Event, ...], caught: bool) -> None:
    world = replace(CLEAN, events=events, more=(jet(),))
    assert ("wets leaves on which a disease was seen" in world.whats()) is caught


@pytest.mark.parametrize(("word", "caught"), [("let run", True), ("fight", False)])
def test_late_blight_is_not_let_run(word: Any, caught: bool) -> None:
    nothing = Span(0, 0, 0, "portions")
    verdict = Verdict("beans", word, "leave", (), nothing, 0.0, 0.0, None, word)
    plan = replace(CLEAN.plan(), verdicts=(verdict,))
    faults = audit(plan, CLEAN.plot, (seen("late_blight"),), CLEAN.evenings)
    assert ("lets late blight run" in {fault.what for fault in faults}) is caught
