"""Two readings of the same limits, made apart: the rulings and the audit, on random plots.

Neither shares code with the other, so that where they agree on thousands of plots a slip would
have to be made twice. A treatment that the rulings allow is never a fault of the audit, and one
that they refuse is never passed by it.
"""

from __future__ import annotations

import random
from dataclasses import replace
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
from lattermath.planning.label_limits import may_treat
from lattermath.planning.picking_clearance import clearance_of
from lattermath.planning.treatment_request import surroundings_of
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plan import Plan, Task
from lattermath.vocabulary.plot import Planting

SINGLE = 4000
WHOLE = 600
HOURS = 300


def test_rulings_and_audit_agree_on_single_treatments() -> None:
    allowed = 0
    for seed in range(SINGLE):
        case = a_case(seed)
        ruling = ruled(case)
        faults = audit(the_plan(case, ruling), case.plot, case.events, case.evenings)
        assert ruling.allowed == (not faults), (seed, ruling.bars, faults)
        allowed += ruling.allowed
    assert SINGLE / 10 < allowed < SINGLE / 2, "the plots should be neither all right nor all wrong"


def test_every_bar_says_who_forbids_on_what_and_the_way_out() -> None:
    voices = set()
    for seed in range(SINGLE):
        for bar in ruled(a_case(seed)).bars:
            assert bar.way_out, (seed, bar.says)
            assert bar.rests_on, (seed, bar.says)
            voices.add(bar.who)
    assert voices == {"label", "garden", "our caution"}


def test_whole_plans_made_by_the_rulings_are_clean() -> None:
    """Picks, then every treatment of two evenings that the rulings allow, one after the other."""
    treatments = picks = 0
    for seed in range(WHOLE):
        case = a_case(100_000 + seed)
        plan = a_small_planner(case, random.Random(seed))
        kinds = [task.kind for visit in plan.visits for task in visit.tasks]
        treatments += kinds.count("treat")
        picks += kinds.count("pick")
        assert audit(plan, case.plot, case.events, case.evenings) == (), seed
    assert treatments > WHOLE / 4
    assert picks > WHOLE / 4


def a_small_planner(case: Case, dice: random.Random) -> Plan:
    """Greedy and without sense, but it asks before it does anything."""
    applied = list(applied_of(case.plot, case.events))
    own = case.plot.standing()
    visits = []
    for evening in case.evenings:
        tasks: list[Task] = []
        for n, planting in enumerate(own):
            at = evening.arrive + timedelta(minutes=5 * n)
            if clear(case, planting, applied, at):
                tasks.append(pick_task(planting.key, at, 5))
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
            )
            ruling = may_treat(asked, CAUTIONS)
            if ruling.allowed:
                tasks.append(treat_task(asked, ruling, id=f"treat {planting.key}"))
                row = an_application(planting, label.active, label.key, label, asked.ends, None)
                applied.append(row)
                starts = asked.ends
        visits.append(visit_of(evening, *tasks))
    now = case.evenings[0].arrive
    zone = ZoneInfo(case.plot.place.time_zone)
    journal = applied_of(case.plot, case.events)
    picking = [clearance_of(p, journal, case.plot.shelf, now, zone, CAUTIONS) for p in own]
    return plan_of(case, *visits, picking=tuple(picking), as_of=now)


def clear(case: Case, planting: Planting, applied: list[Applied], at: datetime) -> bool:
    """Clear for the five minutes that the picking takes, and nobody shut out of the bed."""
    zone = ZoneInfo(case.plot.place.time_zone)
    return clearance_of(planting, applied, case.plot.shelf, at, zone, CAUTIONS).clear_now


def test_clearances_against_a_clock_walked_hour_by_hour() -> None:
    """No answer is earlier than the first hour at which a reader of the labels would agree.

    The reader knows no intervals: it is asked of one instant at a time, for every hour of three
    weeks, whether each label line by itself would let a hand pick now.
    """
    barred = unknown = 0
    for seed in range(HOURS):
        case = a_case(200_000 + seed)
        zone = ZoneInfo(case.plot.place.time_zone)
        applied = applied_of(case.plot, case.events)
        last = max((a.at for a in applied), default=case.evenings[0].arrive, key=datetime.timestamp)
        now = (last.astimezone(UTC) + timedelta(minutes=20 * (seed % 200))).astimezone(zone)
        for planting in case.plot.standing():
            found = clearance_of(planting, applied, case.plot.shelf, now, zone, CAUTIONS)
            hour = now.astimezone(UTC)
            first = next(
                (
                    moment
                    for n in range(24 * 21)
                    if _reader_agrees(case, planting, applied, moment := hour + timedelta(hours=n))
                ),
                None,
            )
            if found.safe_from is None:
                assert first is None, (seed, planting.key)
                unknown += 1
            elif first is not None:
                late = first.timestamp() - max(found.safe_from.timestamp(), now.timestamp())
                assert 0 <= late < 3600, (seed, planting.key, found, first)
                barred += not found.clear_now
            assert found.clear_now == (first == hour), (seed, planting.key)
    assert barred > HOURS / 10
    assert unknown > HOURS / 10


DRY = {"soap": 4, "mineral_oil": 4, "neem_oil": 4, "sulfur": 2, "spinosad": 2, "pyrethrins": 2}
DRY |= {
    "copper_hydroxide": 12,
    "myclobutanil": 2,
    "acetamiprid": 2,
    "chlorothalonil": 8,
}  # dry_h of the method rows; 4 h for the others


def _reader_agrees(
    case: Case, planting: Planting, applied: tuple[Applied, ...], now: datetime
) -> bool:
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
