"""Trials on random plots: what the rulings allow, read again by the audit and by a slow reader.

`bench/random_plots.py` runs tens of thousands of them, the tests a sample.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.audit.random_plots import (
    Case,
    a_case,
    an_application,
    applied_of,
    pick_task,
    plan_of,
    ruled,
    the_plan,
    treat_task,
    visit_of,
    watered_over,
)
from tests.planning.label_cases import CAUTIONS

from lattermath.audit.plan_audit import audit
from lattermath.desk.plan_closed import closed
from lattermath.planning.garden_limits import may_plant
from lattermath.planning.label_limits import may_treat
from lattermath.planning.mixing import Part, Stand, fillings
from lattermath.planning.picking_clearance import clearance_of, may_enter
from lattermath.planning.treatment_request import bare, surroundings_of
from lattermath.vocabulary.blanks import GoesIn
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.plan import OF_THE_MIX, WATER, Amount, Plan, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

GROUND_M2 = 0.1  # of a plant, in every random plot
# dry_h of the method rows; 4 h for the others
DRY = {"soap": 4, "mineral_oil": 4, "neem_oil": 4, "sulfur": 2, "spinosad": 2, "pyrethrins": 2}
DRY |= {"copper_hydroxide": 12, "myclobutanil": 2, "acetamiprid": 2, "chlorothalonil": 8}


@dataclass
class Tally:
    """What was tried, and the seeds of whatever went wrong."""

    tried: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    bars: list[tuple[int, Because]] = field(default_factory=list)  # of single treatments, by seed


def single_treatment(seed: int, tally: Tally, few_modes: bool = False) -> None:
    """One treatment somebody wants: the rulings allow it just when the audit finds no fault."""
    case = a_case(seed, few_modes)
    ruling = ruled(case)
    faults = audit(the_plan(case, ruling), case.plot, case.events, case.evenings)
    tally.tried["treatments asked for"] += 1
    tally.tried["treatments allowed"] += ruling.allowed
    tally.bars += [(seed, bar) for bar in ruling.bars]
    if ruling.allowed != (not faults):
        said = [bar.says for bar in ruling.bars]
        tally.wrong.append(f"single {seed}: bars {said}, faults {[f.what for f in faults]}")


def whole_plan(seed: int, tally: Tally) -> None:
    """A plan of two evenings in which everything was asked for first: the audit finds nothing."""
    case = a_case(seed)
    plan = a_small_planner(case, random.Random(seed))
    tally.tried["plans"] += 1
    for visit in plan.visits:
        for task in visit.tasks:
            tally.tried[f"tasks to {task.kind}"] += 1
    tally.wrong += [f"plan {seed}: {f}" for f in audit(plan, case.plot, case.events, case.evenings)]


def a_small_planner(case: Case, dice: random.Random) -> Plan:
    """Greedy and without sense, but it asks before it does anything."""
    applied = list(applied_of(case.plot, case.events))
    visits = []
    used: Counter[str] = Counter()
    for evening in case.evenings:
        poured = case.poured if evening is case.evenings[0] else ()
        tasks = [*poured, *_early_work(case, applied, evening, dice)]
        sprays = _mixed(case, _sprays(case, applied, evening, dice), used)
        visits.append(visit_of(evening, *tasks, *sprays))
    now = case.evenings[0].arrive
    zone = ZoneInfo(case.plot.place.time_zone)
    journal = applied_of(case.plot, case.events)
    picking = [
        clearance_of(p, journal, case.plot.shelf, now, zone, CAUTIONS) for p in case.plot.standing()
    ]
    shut = closed(case.plot, journal, now, CAUTIONS, visits)
    return plan_of(case, *visits, picking=tuple(picking), closed=shut, as_of=now)


def _early_work(
    case: Case, applied: list[Applied], evening: Evening, dice: random.Random
) -> Iterable[Task]:
    """Picking, hoeing and planting, five minutes each, where it may be done."""
    zone, shelf = ZoneInfo(case.plot.place.time_zone), case.plot.shelf
    for n, planting in enumerate(case.plot.standing()):
        at = evening.arrive + timedelta(minutes=15 * n)
        if clearance_of(planting, applied, shelf, at, zone, CAUTIONS).clear_now:
            yield pick_task(planting.key, at, 5)
        if not may_enter(planting, applied, shelf, at, zone, CAUTIONS).allowed:
            continue
        hoes, plants = at + timedelta(minutes=5), at + timedelta(minutes=10)
        yield replace(pick_task(planting.key, hoes, 5), id=f"hoe {n}", kind="care", part="care")
        asked = may_plant(planting, plants, applied, shelf, CAUTIONS)
        if dice.random() < 0.3 and asked.allowed:
            yield replace(pick_task(planting.key, plants, 5), id=f"sow {n}", kind="sow")
    yield from _bare_work(case, applied, evening)


def _bare_work(case: Case, applied: list[Applied], evening: Evening) -> Iterable[Task]:
    """Sowing in each bed where nothing stands any more, where it may be done."""
    taken = {planting.bed for planting in case.plot.standing()}
    at = evening.arrive + timedelta(minutes=75)
    for bed in case.plot.beds:
        asked = may_plant(bare(bed), at, applied, case.plot.shelf, CAUTIONS)
        if bed.key not in taken and asked.allowed:
            goes = GoesIn(case.plot.plantings[0].crop, "beans", bed.key)
            sows = replace(pick_task("", at, 5), id=f"sow {bed.key}", kind="sow", planting=None)
            yield replace(sows, goes_in=goes)


def _sprays(
    case: Case, applied: list[Applied], evening: Evening, dice: random.Random
) -> list[Task]:
    own, tasks = case.plot.standing(), []
    starts = evening.arrive.replace(hour=20, minute=5)
    for planting in dice.sample(own, len(own)):
        label = dice.choice(case.plot.shelf)
        asked = replace(
            case.request,
            planting=planting,
            method=CAUTIONS.facts(label.active),
            label=label,
            evening=evening,
            starts=starts,
            minutes=5.0,
            applied=tuple(applied),
            surroundings=surroundings_of(case.plot, planting, CAUTIONS),
            watered_over=watered_over(planting, case.events),
            next_picks=(),
            dry_soil=case.dry(planting, evening),
            water_first=evening is not case.evenings[0] and dice.random() < 0.5,
        )
        ruling = may_treat(asked, CAUTIONS)
        if ruling.allowed:
            tasks.append(treat_task(asked, ruling, id=f"treat {planting.key}"))
            row = an_application(planting, label.active, label.key, label, asked.ends, None)
            applied.append(row)
            starts = asked.ends
    return tasks


def _mixed(case: Case, tasks: Sequence[Task], used: Counter[str]) -> list[Task]:
    """One filling a product, the shares on its tasks; `used` takes what was mixed."""
    found: list[Task] = []
    for label in case.plot.shelf:
        group = [t for t in tasks if t.product == label.key]
        left = label.litres_left
        rest = replace(label, litres_left=None if left is None else left - used[label.key])
        plants = [case.plot.planting(t.planting or "") for t in group]
        parts = [Part(p.crop, _stand(case, p), ("underside", "top")) for p in plants]
        if not group:
            continue
        try:
            mixes = fillings(rest, parts)
        except InputError:  # bait, whose rate is not asked for
            found += group
            continue
        for places, mix in mixes:
            used[label.key] += mix.water_l  # type: ignore[assignment]
            for n, (place, share) in enumerate(zip(places, mix.shares, strict=True)):
                mine = (Amount(OF_THE_MIX, share, "l"),)
                amounts = (*mix.amounts, *mine) if n == 0 else mine
                told = (mix.warning,) if n == 0 and mix.warning else ()
                task = group[place]
                found.append(replace(task, amounts=amounts, cautions=(*told, *task.cautions)))
            assert mix.amounts[0].what == WATER
    return found


def _stand(case: Case, planting: Planting) -> Stand:
    bed = case.plot.bed_of(planting)
    rows = sum(p.bed == planting.bed for p in case.plot.standing())
    return Stand(planting.plants, GROUND_M2, 1.0, None if bed is None else bed.area_m2 / rows)


def clearances(seed: int, tally: Tally) -> None:
    """No planting is called clear before a slow reader of its labels would pick it, nor long after.

    The reader knows no intervals: it is asked of one instant, whether each label line by itself
    would let a hand pick now.
    """
    case = a_case(seed)
    zone = ZoneInfo(case.plot.place.time_zone)
    applied = applied_of(case.plot, case.events)
    last = max((a.at for a in applied), default=case.evenings[0].arrive, key=datetime.timestamp)
    now = (last.astimezone(UTC) + timedelta(minutes=20 * (seed % 200))).astimezone(zone)
    for planting in case.plot.standing():
        found = clearance_of(planting, applied, case.plot.shelf, now, zone, CAUTIONS)
        tally.tried["clearances"] += 1
        tally.tried["clearances that bar"] += not found.clear_now
        agrees = [_agrees(case, planting, applied, now)]
        if found.safe_from is None:
            tally.tried["clearances nobody knows"] += 1
            far = (now + timedelta(days=n) for n in range(0, 400, 7))
            wrong = any(_agrees(case, planting, applied, at) for at in far)
        else:
            safe = found.safe_from.astimezone(UTC)
            minute = timedelta(minutes=1)
            agrees.append(_agrees(case, planting, applied, safe))
            before = not found.clear_now and _agrees(case, planting, applied, safe - minute)
            wrong = agrees != [found.clear_now, True] or before
        if wrong:
            tally.wrong.append(f"clearance {seed}, {planting.key}: {found.safe_from}")


def _agrees(case: Case, planting: Planting, applied: Iterable[Applied], now: datetime) -> bool:
    return all(_lets_pick(case, planting, a, now) for a in applied if a.at <= now)


def _lets_pick(case: Case, planting: Planting, a: Applied, now: datetime) -> bool:
    if a.method == "water_jet" or (a.planting != planting.key and a.bed != planting.bed):
        return True
    label = next((x for x in case.plot.shelf if x.key == a.product), None)
    if label is None or label.re_entry_hours.state == "not copied":
        return False
    gone = (now.timestamp() - a.at.timestamp()) / 3600
    bait = label.form == "bait" or (label.active == "iron_phosphate" and label.form != "dust")
    dry = 0 if bait else DRY.get(label.active, 4)
    entry = label.re_entry_hours.value
    if gone < dry or gone < (4 if entry is None else entry):
        return False
    return a.planting != planting.key or _interval_gone(label.limits_for(planting.crop), a, now)


def _interval_gone(limits: object, a: Applied, now: datetime) -> bool:
    line = getattr(limits, "pre_harvest_days", None)
    if line is None or line.state == "not copied":
        return False
    then, wall = a.at, now.astimezone(a.at.tzinfo)
    passed = wall.toordinal() - then.toordinal()
    if line.value is None:
        return passed >= 1 and (passed > 1 or wall.hour >= 6)
    same_clock = (passed, wall.time()) >= (int(line.value), then.time())
    return same_clock and now.timestamp() - then.timestamp() >= line.value * 86400
