"""Random plots, labels, journals and evenings, and a small planner that asks the rulings.

Mostly in order, so that about one treatment in three is allowed, and wrong in every way now and
then. Everything here is invented.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tests.planning.label_cases import CAUTIONS, GROUPS, NONE, value

from lattermath.planning.keep_out import with_hours_out
from lattermath.planning.label_limits import conditions, may_treat
from lattermath.planning.picking_clearance import clearance_of
from lattermath.planning.treatment_request import (
    TreatmentRequest,
    request_for,
    surroundings_of,
)
from lattermath.vocabulary.evening import AirAt, Applied, Evening
from lattermath.vocabulary.events import Event, Treatment, Watering, Withdrawal
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import Amount, Plan, Population, Span, Stamp, Task, VisitPlan
from lattermath.vocabulary.plot import Bed, GardenRules, Planting, Plot
from lattermath.vocabulary.ruling import Ruling
from lattermath.vocabulary.season_series import Strip, Trace, Until, WaterCourse

CROPS = ("bean_bush", "tomato", "cucumber_slicing")
ZONES = ("Europe/Zurich", "America/New_York", "Australia/Sydney")
# Local days on which something happens to the clock within the week, and plain summer days.
DAYS = ((2026, 8, 4), (2026, 7, 14), (2026, 10, 23), (2026, 3, 27), (2026, 4, 3), (2026, 10, 2))
# Actives that the tables lack, by ISO common name, and their groups (memory of the lists)
UNTABLED = (
    ("azoxystrobin", "11"), ("difenoconazole", "3"), ("boscalid", "7"), ("mancozeb", "M03"),
    ("cypermethrin", "3A"), ("flonicamid", "29"), ("rapeseed_oil", "NC"),
    ("pyrethrins_and_fatty_acids", "3A"),
)  # fmt: skip
TURNING = ("myclobutanil", "myclobutanil", "pyrethrins", "spinosad", "btk", "chlorothalonil")
STAMP = Stamp("", "", "", "", 1, 0, "", "", "", 0)
MINUTES = 15.0
NEEDED_MM = 20.0


@dataclass(frozen=True)
class Case:
    """One plot with its journal, an evening and the one after, and a treatment somebody wants."""

    plot: Plot
    events: tuple[Event, ...]
    evenings: tuple[Evening, Evening]
    request: TreatmentRequest
    generation_days: float | None
    ground: tuple[WaterCourse, ...] = ()
    poured: tuple[Task, ...] = ()  # at the first evening

    def dry(self, planting: Planting, evening: Evening) -> bool | None:
        """Is less left in its ground when it is sprayed than must be? None: nobody knows."""
        told = next((one for one in self.ground if one.planting == planting.key), None)
        mine = self.poured if evening is self.evenings[0] else ()
        litres = sum(a.quantity for task in mine for a in task.amounts if task.id == "before"
                     if a.planting == planting.key)  # fmt: skip
        if told is None:
            return None
        day = (evening.day - self.evenings[0].day).days
        return told.ahead.median[day] + litres / told.litres_a_mm < NEEDED_MM


def mostly(dice: random.Random, good: Any, *others: Any, often: float = 0.95) -> Any:
    return good if dice.random() < often else dice.choice(others)


def a_case(seed: int, few_modes: bool = False) -> Case:
    dice = random.Random(seed)
    zone = ZoneInfo(dice.choice(ZONES))
    day = datetime(*dice.choice(DAYS), tzinfo=zone)
    plot = a_plot(dice, zone.key, few_modes)
    events = a_journal(dice, plot, day)
    evenings = (
        an_evening(dice, day),
        an_evening(dice, day + timedelta(days=dice.choice((1, 2, 3)))),
    )
    generation = mostly(dice, dice.choice((5.3, 18.0, 32.5)), None)
    request = a_request(dice, plot, events, evenings, generation)
    plot = pulled_since(plot, request.planting, day, random.Random(f"pulled {seed}"))
    round_it = surroundings_of(plot, request.planting, CAUTIONS)
    request = replace(request, surroundings=round_it)
    soil = random.Random(f"soil {seed}")
    ground = tuple(
        a_ground(soil, p.key, evenings[0].day)
        for p in plot.plantings
        if not p.neighbours_plot and soil.random() < 0.98
    )
    poured = some_water(soil, plot, evenings[0]) if soil.random() < 0.5 else ()
    case = Case(plot, events, evenings, request, generation, ground, poured)
    return replace(case, request=replace(request, dry_soil=case.dry(request.planting, evenings[0])))


def a_ground(dice: random.Random, planting: str, first: date) -> WaterCourse:
    """Three more days, mostly moist; just what is needed counts as enough."""
    days = tuple(first + timedelta(days=n) for n in range(4))
    left = tuple(mostly(dice, 30.0, 20.0, 19.9, 12.0, 3.0, often=0.8) for _ in days)
    now = Trace("left", days[:1], left[:1], left[:1], left[:1], "mm")
    ahead = Strip("left", days, left, left, left, (), "mm")
    never = Until(None, None, None)
    return WaterCourse(planting, 3.0, now, ahead, (NEEDED_MM,) * 4, (40.0,) * 4, (), never)


def some_water(dice: random.Random, plot: Plot, evening: Evening) -> tuple[Task, ...]:
    """A round for some on arriving, and one for others when all is done."""
    found = []
    for name, at in (("before", evening.arrive), ("after", evening.leave)):
        shares = tuple(
            Amount("water", dice.choice((0.3, 24.0, 60.0)), "l", planting=p.key)
            for p in plot.plantings
            if dice.random() < 0.6
        )
        found.append(Task(name, "water", "on arrival", "Water.", 0, starts=at, ends=at,
                          amounts=shares))  # fmt: skip
    return tuple(found)


def pulled_since(plot: Plot, asked: Planting, day: datetime, dice: random.Random) -> Plot:
    """Now and then another row has come out today: what it got stays in the ground."""
    others = [p for p in plot.plantings if not p.neighbours_plot and p.key != asked.key]
    if not others or dice.random() < 0.5:
        return plot
    gone = dice.choice(others)
    rows = (replace(p, pulled=day.date()) if p is gone else p for p in plot.plantings)
    return replace(plot, plantings=tuple(rows))


def a_plot(dice: random.Random, zone: str, few_modes: bool = False) -> Plot:
    beds = tuple(Bed(key, key, n * 2.0, 0.0, 1.5, 1.2) for n, key in enumerate("ABC"))
    plantings = [
        Planting(
            f"row {n}",
            f"Row {n}",
            dice.choice(CROPS),
            8,
            bed=dice.choice("ABC"),
            in_bloom=mostly(dice, False, True, None, often=0.85),
            wilted=mostly(dice, False, True),
        )
        for n in range(dice.randrange(2, 5))
    ]
    if dice.random() < 0.3:
        plantings.append(
            Planting(
                "next door",
                "Next door",
                mostly(dice, dice.choice(CROPS), "lettuce_leaf", often=0.8),
                8,
                in_bloom=mostly(dice, False, True),
                neighbours_plot=True,
                bearing_since=mostly(dice, None, datetime(2026, 3, 1).date()),
                x_m=mostly(dice, 15.0, 6.5, None, often=0.6),
                y_m=0.5,
            )
        )
    return Plot(
        "plot",
        "holder",
        Place("place", 47.0, 8.0, zone, country="CH"),
        beds,
        tuple(plantings),
        shelf=tuple(a_label(dice, key, few_modes) for key in "PQRS"),
        rules=GardenRules(
            organic_only=mostly(dice, False, True, often=0.9),
            no_sprays=mostly(dice, False, True, often=0.98),
            gate_opens=mostly(dice, None, time(7)),
            gate_closes=mostly(dice, None, time(21), time(20, 30)),
        ),
        bloom_near=mostly(dice, False, True, None, often=0.9),
    )


def line(dice: random.Random, *values: Any, none: float = 0.3) -> LabelLine[Any]:
    if dice.random() < 0.008:
        return LabelLine()
    return NONE if dice.random() < none else value(dice.choice(values))


def a_label(dice: random.Random, key: str, few_modes: bool = False) -> ProductLabel:
    active = dice.choice(sorted(GROUPS))
    crops = tuple(some_limits(dice, crop) for crop in CROPS if dice.random() < 0.95)
    label = ProductLabel(
        key,
        f"invented {key}",
        active,
        GROUPS[active],
        form=mostly(dice, "bait" if active == "iron_phosphate" else "spray", "dust"),
        crops=crops,
        crops_line=mostly(dice, "value", "none"),
        re_entry_hours=line(dice, 0.5, 4.0, 12.0, 24.0, 48.0),
        max_temperature_c=line(dice, 25.0, 30.0, 35.0, none=0.7),
        rain_free_hours=line(dice, 1.0, 4.0, 12.0, 24.0, none=0.5),
        max_wind_m_s=line(dice, 2.0, 5.0, none=0.7),
        bloom=line(dice, "evening only", "no bee wording", "never in bloom"),
        sulfur_oil_gap_days=line(dice, 10.0, 30.0),
        consecutive_max=line(dice, 1, 2, 3, none=0.6),
        country=mostly(dice, "CH", "US", "", often=0.98),
        sold_to_amateurs=mostly(dice, True, False, None, often=0.98),
        organic_input=mostly(dice, True, False, None, often=0.7),
        measured_in=mostly(dice, "ml", "g", often=0.8),
        litres_left=mostly(dice, None, 0.4, 2.0, often=0.8),
    )
    # thrown from what the label is, so that the dice of the plot fall as they would
    odd = random.Random(repr(label))
    if odd.random() < 0.2:
        return replace(label, group="")
    if odd.random() < (0.5 if few_modes else 0.2):
        active, group = odd.choice(UNTABLED)
        return replace(label, active=active, group=odd.choice((group, group, "")))
    if few_modes:
        active = odd.choice(TURNING)
        return replace(label, active=active, group=odd.choice((GROUPS[active], "")))
    return label


def some_limits(dice: random.Random, crop: str) -> CropLimits:
    return CropLimits(
        crop,
        pre_harvest_days=line(dice, 0.0, 1.0, 3.0, 7.0),
        retreat_days=line(dice, 5.0, 7.0, 14.0),
        season_max=line(dice, 1, 2, 4, 8),
        season_max_scope=dice.choice(("product", "active", "group")),
        season_max_over=dice.choice(("crop", "ground", "year")),
        rate_ml_per_l=line(dice, 1.5, 10.0, 30.0),
        max_l_per_m2=line(dice, 0.03, 0.1, 0.4),
        plant_back_days=line(dice, 0.0, 30.0),
    )


def a_journal(dice: random.Random, plot: Plot, day: datetime) -> tuple[Event, ...]:
    """Up to six treatments of the last sixty days; some corrected, some withdrawn."""
    own = [p.key for p in plot.plantings if not p.neighbours_plot]
    events: list[Event] = []
    for serial in range(1, dice.choice((1, 3, 5, 7))):
        at = day - timedelta(minutes=dice.choice((900, 2000, *range(3000, 86000, 1000))))
        product = mostly(dice, dice.choice(plot.shelf).key, None, "lost", often=0.97)
        label = next((x for x in plot.shelf if x.key == product), None)
        method = label.active if label else dice.choice(("soap", "water_jet", "carbaryl"))
        done = Treatment((dice.choice(own),), method, None if method == "water_jet" else product)
        events.append(an_event(serial, at, plot, done))
        if dice.random() < 0.1:
            back = an_event(100 + serial, day - timedelta(hours=1), plot, Withdrawal("slip"))
            events.append(replace(back, supersedes=f"id {serial}"))
    if dice.random() < 0.1:
        at = day.replace(hour=dice.choice((12, 16, 17, 19)))
        way = mostly(dice, "overhead", "foot", None, often=0.8)
        events.append(an_event(99, at, plot, Watering(20.0, bed=dice.choice("ABC"), way=way)))
    return tuple(events)


def an_event(
    serial: int, at: datetime, plot: Plot, payload: Treatment | Withdrawal | Watering
) -> Event:
    when = at.astimezone(UTC)
    kind = type(payload).__name__.lower()
    return Event(serial, f"id {serial}", kind, 1, when, plot.place.time_zone, when, payload)


def an_evening(dice: random.Random, day: datetime) -> Evening:
    return Evening(
        day.date(),
        arrive=day.replace(hour=18, minute=30),
        leave=day.replace(hour=21),
        sunrise=mostly(dice, day.replace(hour=6, minute=10), None, often=0.99),
        sunset=mostly(dice, day.replace(hour=20, minute=30), None, often=0.99),
        civil_dusk=mostly(dice, day.replace(hour=21), None, often=0.99),
        temperature_low_c=mostly(dice, 16.0, 8.0, None),
        temperature_c=22.0,
        temperature_high_c=mostly(dice, 24.0, 27.0, 31.0, 33.0, None, often=0.85),
        hottest_next_two_days_c=mostly(dice, 27.0, 33.0, None),
        rain_chance_2h=mostly(dice, 0.0, 0.2, 0.6, None),
        rain_chance_12h=mostly(dice, 0.05, 0.6, 0.95, None, often=0.9),
        wind_m_s=mostly(dice, 1.0, 0.2, 3.0, 4.5, None, often=0.85),
        leaves_wet=mostly(dice, False, True, None, often=0.9),
        forecast=dice.random() < 0.8,
        air=by_quarters(random.Random(f"air {dice.getstate()[1][:3]}"), day),
    )


def by_quarters(dice: random.Random, day: datetime) -> tuple[AirAt, ...]:
    """Half the evenings by the quarter hour from 18:30 on; now and then hot, cold or cut short."""
    if dice.random() < 0.5:
        return ()
    begins = day.replace(hour=18, minute=30).astimezone(UTC)
    odd, degrees = dice.randrange(30), dice.choice((24.0, 31.0, 32.5, 9.0))
    last = mostly(dice, 60, 20)
    return tuple(
        AirAt(begins + timedelta(minutes=15 * n), *((degrees, degrees) if n == odd else (14, 23)))
        for n in range(last)
    )


def applied_of(plot: Plot, events: tuple[Event, ...]) -> tuple[Applied, ...]:
    gone = {event.supersedes for event in events}
    shelf = {label.key: label for label in plot.shelf}
    rows = []
    for event in events:
        done = event.payload
        if event.id in gone or not isinstance(done, Treatment):
            continue
        label = shelf.get(done.product or "")
        for key in done.plantings:
            planting = plot.planting(key)
            rows.append(
                an_application(
                    planting, done.method, done.product, label, event.local, event.serial
                )
            )
    return tuple(rows)


def an_application(
    planting: Planting,
    method: str,
    product: str | None,
    label: ProductLabel | None,
    at: datetime,
    serial: int | None,
) -> Applied:
    return Applied(
        at,
        method,
        product,
        label.active if label else method,
        label.group if label else "",
        label.form if label else "",
        planting.key,
        planting.crop,
        planting.bed,
        serial,
    )


def a_request(
    dice: random.Random,
    plot: Plot,
    events: tuple[Event, ...],
    evenings: tuple[Evening, Evening],
    generation: float | None,
) -> TreatmentRequest:
    planting = mostly(dice, plot.plantings[0], plot.plantings[-1], often=0.8)
    applied = applied_of(plot, events)
    used = [a.product for a in applied if a.planting == planting.key]
    again = [label for label in plot.shelf if label.key in used]
    label = dice.choice(again if again and dice.random() < 0.5 else plot.shelf)
    starts = evenings[0].arrive.replace(hour=20, minute=mostly(dice, 15, 0, 40, 55, often=0.85))
    starts = mostly(dice, starts, starts.replace(hour=14), starts.replace(hour=5), often=0.92)
    pick = evenings[1].arrive + timedelta(minutes=dice.choice((0, 20, 110)))
    clear = clearance_of(planting, applied, plot.shelf, pick, pick.tzinfo, CAUTIONS)  # type: ignore[arg-type]
    asked = request_for(plot, planting, label.active, label.key, evenings[0], starts, CAUTIONS)
    return replace(
        asked,
        minutes=MINUTES,
        applied=applied,
        next_picks=(pick,) if clear.clear_now and dice.random() < 0.5 else (),
        generation_days=generation,
        dry_soil=False,
        watered_over=watered_over(planting, events),
    )


def watered_over(planting: Planting, events: tuple[Event, ...]) -> datetime | None:
    """The last water from above that the bed of a planting got."""
    times = [
        event.local
        for event in events
        if isinstance(event.payload, Watering)
        and event.payload.bed == planting.bed
        and event.payload.way == "overhead"
    ]
    return max(times, default=None)


def treat_task(request: TreatmentRequest, ruled: Ruling, **over: Any) -> Task:
    label = request.label
    facts: dict[str, Any] = {
        "id": "treat",
        "kind": "treat",
        "part": "last job",
        "says": "Soap, undersides.",
        "minutes": request.minutes,
        "planting": request.planting.key,
        "product": None if label is None else label.key,
        "method": request.method.key,
        "starts": request.starts,
        "ends": request.ends,
        "cautions": conditions(ruled),
    }
    task = Task(**(facts | over))
    zone = request.starts.tzinfo
    if label is None or zone is None:
        return task
    shelf = tuple(request.labels.values())
    return with_hours_out(task, request.planting, request.earlier, shelf, zone, CAUTIONS)


def pick_task(planting: str, at: datetime, minutes: float = 10.0) -> Task:
    ends = at + timedelta(minutes=minutes)
    return Task("pick", "pick", "pick", "Pick.", minutes, planting, starts=at, ends=ends)


def visit_of(evening: Evening, *tasks: Task) -> VisitPlan:
    return VisitPlan(
        evening.day, evening.arrive, evening.leave, evening.sunset, "", 75.0, tuple(tasks)
    )


def plan_of(case: Case, *visits: VisitPlan, **over: Any) -> Plan:
    nothing = Span(0, 0, 0, "1")
    everywhere = tuple(p.key for p in case.plot.plantings)
    living = Population(
        "pest", everywhere, "", (), (), "", nothing, generation_days=case.generation_days
    )
    plan = Plan(1, "plot", case.evenings[0].arrive, visits, (), (), (), (living,), (), (), STAMP,
                water=case.ground)  # fmt: skip
    return replace(plan, **over)


def the_plan(case: Case, ruled: Ruling) -> Plan:
    """The treatment that was asked for, and the picks that were wanted after it."""
    first = visit_of(case.evenings[0], *case.poured, treat_task(case.request, ruled))
    picks = [pick_task(case.request.planting.key, at) for at in case.request.next_picks]
    return plan_of(case, first, visit_of(case.evenings[1], *picks))


def ruled(case: Case) -> Ruling:
    return may_treat(case.request, CAUTIONS)
