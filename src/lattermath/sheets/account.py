"""The account of a season, and its record, as booklets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from itertools import groupby

from lattermath.sheets import account_words as a
from lattermath.sheets.booklet import Booklet, Line, Section, Table
from lattermath.sheets.figures import DEGREE, Units, long_day, said_in
from lattermath.vocabulary.account import Account, Act, Limit, Reason, Story, WeekPicked
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.sentence import capital

Entry = tuple[datetime, str, str]  # when, what, and what became of it


def account_booklet(made: Account, units: Units = "metric") -> Booklet:
    """What stands in the account, part by part."""
    sections = (
        _glance(made, units),
        *([_harvest(made, units)] if made.weeks else []),
        *([_used(made)] if made.used else []),
        *(_story(story, units) for story in made.stories),
    )
    lead = a.ACCOUNT_LEAD.format(plot=made.plot, **_span(made.first, made.as_of.date()))
    foot = (a.FOOT.format(entries=made.entries), a.STAMP.format(stamp=made.stamp))
    return Booklet("account", a.ACCOUNT, lead, made.as_of, sections, foot)


def record_booklet(plot: str, entries: Sequence[Entry], units: Units = "metric") -> Booklet:
    """Every entry by day, the oldest first."""
    sections = tuple(
        Section(f"{long_day(day)} {day.year}", lines=tuple(_entry(one, units) for one in of_day))
        for day, of_day in groupby(entries, key=lambda one: one[0].date())
    )
    last = entries[-1][0]
    lead = a.RECORD_LEAD.format(plot=plot, **_span(entries[0][0].date(), last.date()))
    return Booklet("record", a.RECORD, lead, last, sections)


def _entry(one: Entry, units: Units) -> Line:
    at, says, state = one
    return Line(f"{at:%H:%M}", f"{_said(says, units)} ({state})")


def _span(first: date, last: date) -> dict[str, str]:
    return {"first": f"{short(first)} {first.year}", "last": f"{short(last)} {last.year}"}


def _glance(made: Account, units: Units) -> Section:
    treated = [act for story in made.stories for act in story.acts if act.limits]
    events = {act.serial: act.at.date() for act in treated}
    says = [_in_all(made, units)]
    if events:
        days = counted(len(set(events.values())), "days")
        says.append(a.TREATED.format(times=counted(len(events), "times", "time"), days=days))
    else:
        says.append(a.TREATED_NEVER)
    if events and not made.not_kept:
        says.append(a.ALL_KEPT)
    if events and not (made.failed or made.uncounted):
        says.append(a.NONE_FAILED)
    held = [
        (a.NOT_KEPT, made.not_kept, True),
        (a.FAILED, made.failed, False),
        (a.UNCOUNTED, made.uncounted, False),
    ]
    lists = tuple((head, _stopped(items, units), bar) for head, items, bar in held if items)
    return Section(a.GLANCE, says=tuple(says), lists=lists)


def _in_all(made: Account, units: Units) -> str:
    kg, pieces = sum(w.week.kg for w in made.weeks), sum(w.week.pieces for w in made.weeks)
    if not made.weeks:
        return a.NO_HARVEST
    return a.PICKED.format(much=_much(kg, pieces, units))


def _much(kg: float, pieces: int, units: Units) -> str:
    weighed = [said_in(measure(round(kg, 2), "kg"), units)] if kg else []
    return " and ".join(weighed + ([counted(pieces, a.PIECES)] if pieces else [])) or a.NOTHING


def _harvest(made: Account, units: Units) -> Section:
    def of(name: str, week: WeekPicked) -> str:
        return f"{name} {_much(week.kg, week.pieces, units)}"

    rows = tuple(
        (
            said(held.week.monday),
            _much(held.week.kg, held.week.pieces, units),
            ", ".join(of(name, week) for name, week in held.of),
        )
        for held in made.weeks
    )
    return Section(a.HARVEST, table=Table(a.HARVEST_HEADS, rows))


def _used(made: Account) -> Section:
    items = []
    for one in made.used:
        head = a.USED_HEAD.format(name=one.name, crop=one.crop)
        times = counted(one.times, "times", "once" if one.times == 1 else "")
        times = "once" if one.times == 1 else times
        if one.lines:
            lines = "; ".join(f"{name}: {says}" for name, says in one.lines)
            says = a.USED_SAYS.format(active=one.active, times=times, lines=capital(lines))
        else:
            says = a.USED_UNKNOWN.format(times=times)
        items.append(Line(head, f"{says} {a.INVENTED}" if one.invented else says))
    return Section(a.USED, says=(a.USED_LEAD,), lines=tuple(items))


def _story(story: Story, units: Units) -> Section:
    says = []
    if story.weeks:
        kg, pieces = sum(w.kg for w in story.weeks), sum(w.pieces for w in story.weeks)
        says.append(a.PICKED_HERE.format(much=_much(kg, pieces, units)))
    if story.watered:
        says.append(
            a.WATERED.format(
                days=counted(len(story.watered), "days"),
                much=said_in(measure(story.litres, "l"), units),
                when=_days(story.watered),
            )
        )
    if not story.acts and not says:
        says.append(a.NOTHING_WRITTEN)
    lines = tuple(_act(act, units) for act in story.acts)
    about = f"{capital(story.about)}." if story.about else ""
    return Section(story.name, about, tuple(says), lines=lines)


def _days(days: Iterable[date]) -> str:
    """Days by month: 5, 7 and 9 Jul, 2 Aug."""
    parts = []
    for (_, _), held in groupby(days, key=lambda day: (day.year, day.month)):
        of_month = list(held)
        numbers = ", ".join(str(day.day) for day in of_month)
        parts.append(f"{numbers} {short(of_month[0]).split()[1]}")
    return "; ".join(parts)


def _act(act: Act, units: Units) -> Line:
    kept = [limit for limit in act.limits if limit.kept != "not kept"]
    bars = [limit for limit in act.limits if limit.kept == "not kept"]
    under = [*_why(act.reason, units), *(_limit(one, units) for one in kept)]
    when = f"{said(act.at.date())} {act.at:%H:%M}"
    return Line(
        when,
        f"{_said(act.says, units)}.",
        tuple(under),
        tuple(_limit(b, units) for b in bars),
        tuple((a.PHOTO_OF.format(serial=act.serial, when=when), name) for name in act.photos),
    )


def _limit(limit: Limit, units: Units) -> str:
    return a.LIMIT.format(state=a.STATES[limit.kept], says=_said(limit.says, units))


def _why(reason: Reason | None, units: Units) -> Iterator[str]:
    if reason is None:
        return
    day = said(reason.made.date())
    if not reason.asked:
        yield a.NOT_ASKED.format(day=day)
    elif reason.says:
        says = " ".join(_stopped(map(capital, reason.says), units))
        yield a.WHY.format(says=says, day=day)


def _said(words: str, units: Units) -> str:
    return said_in(words, units, DEGREE)


def _stopped(items: Iterable[str], units: Units) -> tuple[str, ...]:
    """Each as a sentence."""
    return tuple(f"{_said(item, units).rstrip('. ')}." for item in items)
