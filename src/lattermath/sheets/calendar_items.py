"""What a calendar holds of a plan: the coming visits, and what must not be picked or entered."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from lattermath.sheets import calendar_words as c
from lattermath.sheets.closed_ground import called
from lattermath.sheets.figures import DEGREE, Units
from lattermath.sheets.front import Front, Teller, front, sentence, stopped
from lattermath.vocabulary import calendar
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import Clearance, Closed, Plan, VisitPlan

# Any fixed UUID serves; under it each visit and each limit of a plot has a name of its own.
_NAMES = uuid.UUID("6f1b9c1e-2a53-5d0e-9a4b-5b0c3f6d7e21")


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of the calendar. Days instead of hours where nobody knows when it ends."""

    uid: str
    summary: str
    starts: datetime | date
    ends: datetime | date
    says: str
    busy: bool  # False: it takes nobody's time
    called_off: bool = False


def calendar_items(
    plan: Plan, units: Units = "metric", before: Mapping[str, Any] | None = None
) -> tuple[Item, ...]:
    """The entries of a plan, those of the plan before it that are no longer so called off.

    before : the previous plan as plain data, as the record keeps it.
    """
    held = (*_visits(plan, units), *_limits(plan, units))
    return (*held, *_called_off(plan, held, before or {}))


def _uid(plot: str, *parts: str) -> str:
    """The same for the same thing in every plan, so that a calendar moves it and adds none."""
    return str(uuid.uuid5(_NAMES, "\n".join((plot, *parts))))


def _visits(plan: Plan, units: Units) -> Iterator[Item]:
    for place, visit in enumerate(plan.visits):
        shown = front(replace(plan, visits=plan.visits[place:]), plan.plot, units, DEGREE)
        if shown is None:
            continue
        count = sum(len(section.rows) for section in shown.sections)
        form = {0: c.VISIT_NONE, 1: c.VISIT_ONE}.get(count, c.VISIT)
        yield Item(
            _visit_uid(plan.plot, visit.date.isoformat()),
            form.format(plot=plan.plot, count=count, minutes=counted(shown.minutes, "minutes")),
            visit.arrive,
            _after(visit),
            "\n".join(_told(plan, shown)),
            busy=True,
        )


def _after(visit: VisitPlan) -> datetime:
    """The end of a visit; a minute on where it has no length, since a calendar needs one."""
    longer = visit.leave.timestamp() > visit.arrive.timestamp()
    return visit.leave if longer else visit.arrive + timedelta(minutes=1)


def _told(plan: Plan, shown: Front) -> Iterator[str]:
    """A visit in lines: what to bring, each task with its cautions, what is barred."""
    if shown.warning:
        yield shown.warning
    if shown.bag:
        yield c.BAG.format(things=shown.bag)
    for section in shown.sections:
        yield f"{section.head}:"
        yield from (c.CAUTION.format(says=says) for says in section.cautions)
        for row in section.rows:
            yield c.SEQUENCE_OF_WORK.format(number=row.number, says=row.says, minutes=row.minutes)
            yield from (c.CAUTION.format(says=says) for says in row.cautions)
        yield from (c.NOT.format(name=bar.name, says=bar.says) for bar in section.bars)
    yield from shown.not_today
    yield c.AS_OF.format(when=calendar.said_with_hour(plan.as_of))


def _limits(plan: Plan, units: Units) -> Iterator[Item]:
    tell = Teller(plan, units, DEGREE)
    for closed in plan.closed:
        if closed.planned or not closed.uses:
            continue  # not done yet; the visit says it
        name = called(closed, tell)
        words = {
            "pick": (c.NOT_PICKED, c.NOT_PICKED_UNKNOWN, closed.picking),
            "enter": (c.KEEP_OUT, c.KEEP_OUT_UNKNOWN, closed.entering),
        }
        for kind, (known, unknown, clear) in words.items():
            if not clear.clear_now and not (closed.bed and kind == "pick"):
                yield _limit(plan, closed, kind, clear, name, (known, unknown), tell)


def _limit(
    plan: Plan,
    closed: Closed,
    kind: str,
    clear: Clearance,
    name: str,
    words: tuple[str, str],
    tell: Teller,
) -> Item:
    last = closed.uses[-1].at
    starts: datetime | date = last
    if clear.safe_from is None:
        summary = words[1].format(name=name)
        shown = max([plan.as_of.date(), *(visit.date for visit in plan.visits)])
        starts, ends = last.date(), shown + timedelta(days=1)
    else:
        summary = words[0].format(name=name, when=_said(clear.safe_from, plan))
        starts, ends = last, clear.safe_from
    uid = _limit_uid(plan.plot, kind, closed.planting, last.isoformat())
    return Item(uid, summary, starts, ends, "\n".join(_why(plan, closed, clear, tell)), busy=False)


def _why(plan: Plan, closed: Closed, clear: Clearance, tell: Teller) -> Iterator[str]:
    for use in closed.uses:
        when = _said(use.at, plan)
        yield sentence(c.TREATED.format(when=when, what=tell.used(use)))
    if why := tell.reasons(clear.barred_by):
        yield stopped(c.BARS.format(says=why))
    yield c.LABEL


def _said(when: datetime, plan: Plan) -> str:
    """An hour as of the plan: one of another year with its year."""
    return calendar.said_with_hour(when, plan.as_of.date())


def _visit_uid(plot: str, day: str) -> str:
    return _uid(plot, "visit", day)


def _limit_uid(plot: str, kind: str, planting: str, used: str) -> str:
    """By the last treatment that closes it: another treatment is another entry."""
    return _uid(plot, kind, planting, datetime.fromisoformat(used).isoformat())


def _called_off(plan: Plan, held: tuple[Item, ...], before: Mapping[str, Any]) -> Iterator[Item]:
    """What the plan before this one had put into the calendar and is no longer so."""
    there = {item.uid for item in held}
    for item in (*_visits_before(plan, before), *_limits_before(plan, before)):
        if item.uid not in there:
            yield replace(item, summary=c.CALLED_OFF.format(says=item.summary))


def _visits_before(plan: Plan, before: Mapping[str, Any]) -> Iterator[Item]:
    """Visits still to come by the earlier plan, as far as this one looks ahead."""
    last = max((visit.date for visit in plan.visits), default=plan.as_of.date())
    for visit in before.get("visits", ()):
        starts, ends = (datetime.fromisoformat(visit[key]) for key in ("arrive", "leave"))
        if plan.as_of < starts and starts.date() <= last:
            summary = c.VISIT_NONE.format(plot=before["plot"])
            yield _gone(plan, _visit_uid(before["plot"], visit["date"]), summary, starts, ends)


def _limits_before(plan: Plan, before: Mapping[str, Any]) -> Iterator[Item]:
    """Limits of the earlier plan that would still hold."""
    names = dict(before.get("names", ()))
    for closed in before.get("closed", ()):
        if closed["planned"] or not closed["uses"]:
            continue
        used, key = closed["uses"][-1]["at"], closed["planting"]
        for kind, known, unknown, clear in (
            ("pick", c.NOT_PICKED, c.NOT_PICKED_UNKNOWN, closed["picking"]),
            ("enter", c.KEEP_OUT, c.KEEP_OUT_UNKNOWN, closed["entering"]),
        ):
            if closed.get("bed") and kind == "pick":
                continue  # pulled: nothing was said of picking
            until = clear["safe_from"] and datetime.fromisoformat(clear["safe_from"])
            if clear["clear_now"] or (until and until <= plan.as_of):
                continue
            when = _said(until, plan) if until else ""
            summary = (known if until else unknown).format(name=names.get(key, key), when=when)
            uid, starts = _limit_uid(before["plot"], kind, key, used), datetime.fromisoformat(used)
            yield _gone(plan, uid, summary, starts, until or plan.as_of)


def _gone(plan: Plan, uid: str, summary: str, starts: datetime, ends: datetime) -> Item:
    says = c.WITHDRAWN.format(when=calendar.said_with_hour(plan.as_of))
    return Item(uid, summary, starts, ends, says, busy=False, called_off=True)
