"""What is otherwise than the sheet before said, and which entries or weather came in between."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import numpy as np

from lattermath.desk.entry_words import TELLERS
from lattermath.desk.living_on import find_of
from lattermath.desk.looks_left import looks_left
from lattermath.desk.plan_change import courses_changed, same_work, tasks_changed, verdicts_changed
from lattermath.desk.season_facts import SeasonFacts
from lattermath.record.journal import Journal
from lattermath.sheets.schema import as_data
from lattermath.vocabulary import events as kinds
from lattermath.vocabulary.calendar import said, said_with_hour, short
from lattermath.vocabulary.events import Event, PlotRow, Sighting, TaskDone, Treatment
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.since import Otherwise, Since
from lattermath.vocabulary.supposition import Changed

Plain = Mapping[str, Any]
LONGEST_CHAIN = 60  # judgement: sheets of one day that are passed over on the way to the day before
MOST_TOLD = 2  # entries named for one change, the newest first
# Kinds of change that the sky alone can bring.
WEATHER_MOVES = ("water", "treat", "cover", "pick", "course", "verdict", "pull", "set out", "sow")
# What of the record can bring a change of each kind; a change of another kind, anything.
BROUGHT_BY: Mapping[str, tuple[type, ...]] = {
    "water": (kinds.Watering, kinds.SettingOut, PlotRow),
    "treat": (Sighting, Treatment, kinds.Pulling, PlotRow),
    "course": (Sighting, Treatment, kinds.Pulling, PlotRow),
    "look": (Sighting, Treatment, PlotRow),
    "clear": (Treatment, PlotRow),
    "care": (kinds.Care, PlotRow),
}
AGAINST = ("treat", "course")  # what lives on one planting is treated on others too
WEIGHED_ANEW = "weighed anew with what came in since"  # and which of it did it nobody knows
DONE_BY: Mapping[str, type] = {
    "water": kinds.Watering,
    "pick": kinds.Picking,
    "look": kinds.Sighting,
    "care": kinds.Care,
    "treat": kinds.Treatment,
    "set out": kinds.SettingOut,
    "pull": kinds.Pulling,
    "sow": kinds.Sowing,
}


@dataclass(frozen=True, slots=True)
class _Between:
    """What came between two sheets."""

    facts: SeasonFacts
    events: tuple[Event, ...]
    since: date
    weather: Because | None
    program: Because | None
    before: Plain
    after: Plain

    @property
    def today(self) -> date:
        """The day of the plan."""
        return self.facts.today


def since_last(facts: SeasonFacts, journal: Journal, plan: Plan) -> Since | None:
    """Give what the plan has otherwise than the last sheet of an earlier day; None without one.

    Where no earlier day has a sheet, the newest earlier one of the same day counts. What came in
    between is named where it touches the same planting, organism or the whole plot: it is what
    may have moved the plan, not proof of it.
    """
    before = _sheet_before(journal, plan)
    if before is None:
        return None
    after = as_data(plan, marks=True)
    made = datetime.fromisoformat(before["as_of"]).date()
    serial = before["stamp"]["serial"]
    news = tuple(event for event in facts.events if event.serial > serial)
    weather, program = _weather(facts, before, made), _program(before, after)
    between = _Between(facts, news, made, weather, program, before, after)
    changes = [
        *((one, "verdict") for one in _both_standing(before, after)),
        *((one, "clear") for one in _clearances(before, after)),
        *((one, "course") for one in courses_changed(before, after)),
        *_tasks(before, after, between),
    ]
    told = [_told(one, kind, between) for one, kind in sorted(changes, key=_weight)]
    visit, not_looked = looks_left(facts, before)
    return Since(made, tuple(told), visit, not_looked)


def _sheet_before(journal: Journal, plan: Plan) -> Plain | None:
    """The newest plan of an earlier day in the chain of stamps, else the one just before."""
    today, stamp, nearest = plan.as_of.date(), plan.stamp.previous, None
    for _ in range(LONGEST_CHAIN):
        text = journal.plan(stamp) if stamp else None
        if text is None:
            break
        held: Plain = json.loads(text)
        nearest = nearest or held
        if datetime.fromisoformat(held["as_of"]).date() < today:
            return held
        stamp = held["stamp"]["previous"]
    return nearest


def _weight(change: tuple[Changed, str]) -> tuple[int, str]:
    """What turns the season comes before what turns an evening."""
    order = ("verdict", "clear", "treat", "course", "pull", "set out", "sow", "cover", "look")
    one, kind = change
    return (order.index(kind) if kind in order else len(order), one.says)


def _both_standing(before: Plain, after: Plain) -> Iterator[Changed]:
    """Verdicts that turned; what was planted or pulled in between is an entry, and no turn."""
    both = [{one["planting"] for one in plan["verdicts"]} for plan in (before, after)]
    for one in verdicts_changed(before, after):
        if one.planting in both[0] & both[1]:
            yield one


def _clearances(before: Plain, after: Plain) -> Iterator[Changed]:
    """Plantings that are barred for longer than the sheet before said."""
    was = {one["planting"]: one for one in before["picking"]}
    names = dict(after["names"])
    for one in after["picking"]:
        old, key = was.get(one["planting"]), one["planting"]
        if old is None or one["clear_now"] or old["safe_from"] == one["safe_from"]:
            continue
        when = one["safe_from"]
        until = "not known until when" if when is None else f"until {_hour(when)}"
        yield Changed("otherwise", f"{names.get(key, key)}: not to be picked, {until}", key)


def _hour(iso: str) -> str:
    return said_with_hour(datetime.fromisoformat(iso))


def _tasks(before: Plain, after: Plain, between: _Between) -> Iterator[tuple[Changed, str]]:
    """Work of this visit that is new, gone or moved; work that was done is none of these."""
    if not after["visits"]:
        return
    first = after["visits"][0]
    names = dict(before["names"]) | dict(after["names"])
    was = _foreseen(before, first["date"], between)
    by_title: dict[str, str] = {}
    # Only a first visit has its water laid out: of another evening there is none to compare with.
    same = bool(before["visits"]) and before["visits"][0]["date"] == first["date"]
    for change in tasks_changed(was, after["visits"], names, by_title):
        days = (change.day, change.was)
        if by_title[change.says] == "water" and not same:
            continue
        if date.fromisoformat(first["date"]) in days or change.how == "dropped":
            yield change, by_title[change.says]


def _foreseen(before: Plain, day: str, between: _Between) -> list[Plain]:
    """What the sheet before had for this visit, and what of its own visit was left undone."""
    same = [visit for visit in before["visits"] if visit["date"] == day]
    if not same:
        same = [visit for visit in before["visits"] if visit["date"] > day][:1]
    earlier = [visit for visit in before["visits"] if visit["date"] < day]
    foreseen = {same_work(task) for visit in same for task in visit["tasks"]}
    undone = [
        {
            **visit,
            "tasks": [
                task
                for task in visit["tasks"]
                if same_work(task) not in foreseen and not _was_done(task, between.events)
            ],
        }
        for visit in earlier
    ]
    return [*undone, *same]


def _was_done(task: Plain, events: Sequence[Event]) -> bool:
    """Was it ticked, or was work of its kind written down for its planting?"""
    for event in events:
        done = event.payload
        if isinstance(done, TaskDone) and done.task == task["id"]:
            return True
        if isinstance(done, DONE_BY.get(task["kind"], ())):
            places = _plantings(event)
            if task["planting"] is None or not places or task["planting"] in places:
                return True
    return False


def _told(one: Changed, kind: str, between: _Between) -> Otherwise:
    return Otherwise(
        one.how, one.says, one.planting, one.day, one.was, tuple(_causes(one, kind, between))
    )


def _causes(one: Changed, kind: str, between: _Between) -> Iterator[Because]:
    """What came in between that touches this: entries first, then the sky, then the days."""
    entries, others = _entries_behind(one, kind, between)
    for event in entries:
        yield _entry(event, between.facts)
    if entries:
        return
    if others and kind in AGAINST:
        yield Because(WEIGHED_ANEW)
    elif between.program is not None:
        yield between.program
    elif one.how == "moved" and one.was is not None and one.was < between.today:
        yield Because("not written down as done", who="grower")
    elif between.weather is not None and kind in WEATHER_MOVES:
        yield between.weather
    elif rows := [e for e in between.events if isinstance(e.payload, PlotRow)]:
        yield from (_entry(event, between.facts) for event in rows[-MOST_TOLD:][::-1])
    else:
        days = (between.facts.today - between.since).days
        passed = "a day has passed" if days == 1 else f"{days} days have passed"
        yield Because(passed if days > 0 else "the hours have passed")


def _entries_behind(
    one: Changed, kind: str, between: _Between
) -> tuple[list[Event], Sequence[Event]]:
    """The newest entries that may have brought a change, and all of that sort wherever they were.

    Work against something is brought by what was seen or done on its planting, and else by that
    pest or disease as it was found elsewhere; never by another one elsewhere.
    """
    facts, brings = between.facts, BROUGHT_BY.get(kind, (object,))
    may = [e for e in between.events
           if isinstance(e.payload, brings) and _bears_on(e, one, facts)]  # fmt: skip
    if kind == "course":
        touching = [event for event in may if _touches_course(event, one, between)]
    else:
        touching = [event for event in may if _touches(event, one, facts)]
    if kind == "treat":
        reaching = [event for event in may if _reaches(event, one.planting, facts)]
        touching = _of_that_work(touching, reaching, _treated_for(one, between), facts)
    return touching[-MOST_TOLD:][::-1], may


def _of_that_work(
    touching: list[Event], may: Sequence[Event], pests: Collection[str], facts: SeasonFacts
) -> list[Event]:
    """Of what was seen on a planting, what its work is against, where that was seen there; the
    newest find of it elsewhere where nothing was seen or done there."""
    if not touching:
        found = [e for e in may if not getattr(e.payload, "found_none", True)]
        return [e for e in found if _is_of(e, pests, facts)][-1:]
    if not any(_is_of(event, pests, facts) for event in touching):
        return touching
    return [e for e in touching if not isinstance(e.payload, Sighting) or _is_of(e, pests, facts)]


def _reaches(event: Event, planting: str | None, facts: SeasonFacts) -> bool:
    """Whether what was seen on one planting may live on another: bean blackfly is on no cabbage."""
    seen, crosswalk = event.payload, facts.tables.crosswalk
    if not isinstance(seen, Sighting) or planting is None:
        return True
    crops = {one.key: one.crop for one in facts.plot.plantings}
    return not find_of(seen, crops, crosswalk).keeps_off(crops.get(planting, ""), crosswalk)


def _touches_course(event: Event, one: Changed, between: _Between) -> bool:
    """Whether an entry is of that pest or disease, or of work on a planting it lives on."""
    done, names = event.payload, dict(between.before["names"]) | dict(between.after["names"])
    of = [
        held
        for held in _populations(between, "otherwise")
        if one.says.startswith(f"{capital(str(names.get(held['organism'])))}: ")
    ]
    if isinstance(done, Sighting):
        return _is_of(event, {held["organism"] for held in of}, between.facts)
    if isinstance(done, PlotRow):
        return _touches(event, one, between.facts)
    return bool({key for held in of for key in held["plantings"]} & set(_plantings(event)))


def _treated_for(one: Changed, between: _Between) -> set[str]:
    """What the courses have that work against on the planting of a change; all that they have work
    against there where none has it in these words."""
    there = [
        (held["organism"], str(step["says"]).partition(", ")[0].casefold())
        for held in _populations(between, one.how)
        for step in held["course"]
        if one.planting in step["plantings"]
    ]
    by_it = {organism for organism, work in there if work in one.says.casefold()}
    return by_it or {organism for organism, _ in there}


def _populations(between: _Between, how: str) -> list[Plain]:
    """What is reckoned with by the sheet that has this work; by both, where both have it."""
    was, now = between.before["populations"], between.after["populations"]
    return list({"dropped": was, "added": now}.get(how, [*was, *now]))


def _is_of(event: Event, pests: Collection[str], facts: SeasonFacts) -> bool:
    """Whether a sighting is of one of these, or of a kind that one of them is."""
    seen = event.payload
    if not isinstance(seen, Sighting):
        return False
    return bool({seen.what, *facts.tables.crosswalk.kinds.get(seen.what, ())} & {*pests})


def _touches(event: Event, one: Changed, facts: SeasonFacts) -> bool:
    done = event.payload
    if isinstance(done, PlotRow):
        if done.section == "shelf":
            return any((a.planting, a.product) == (one.planting, done.key) for a in facts.applied)
        return done.key == one.planting or done.section in ("visiting", "household", "water", "tin")
    if one.planting is not None:
        return one.planting in _plantings(event) or _in_bed(event, one.planting, facts)
    if isinstance(done, Sighting):
        return facts.tables.named(done.what).casefold() in one.says.casefold()
    return isinstance(done, Treatment) and one.how == "otherwise"


def _bears_on(event: Event, one: Changed, facts: SeasonFacts) -> bool:
    """Whether anything is reckoned from it that may bring such a change; what nobody found brings
    no new work."""
    seen = event.payload
    if not isinstance(seen, Sighting):
        return True
    tables = facts.tables
    known = (tables.organisms, tables.diseases, tables.crosswalk.kinds)
    reckoned = any(seen.what in named for named in known)
    return reckoned and not (one.how == "added" and seen.found_none)


def _plantings(event: Event) -> tuple[str, ...]:
    done = event.payload
    many = getattr(done, "plantings", ())
    alone = getattr(done, "planting", None)
    return (*many, *([alone] if alone else []))


def _in_bed(event: Event, planting: str, facts: SeasonFacts) -> bool:
    bed = getattr(event.payload, "bed", None)
    held = next((p for p in facts.plot.plantings if p.key == planting), None)
    return bed is not None and held is not None and held.bed == bed


def _entry(event: Event, facts: SeasonFacts) -> Because:
    teller = TELLERS.get(type(event.payload))
    words = event.kind if teller is None else teller(event.payload, facts.plot, facts.tables)
    says = f"{said(event.day)}: {words}"
    return Because(says, who="grower", rests_on=(f"event:{event.serial}",))


def _weather(facts: SeasonFacts, before: Plain, made: date) -> Because | None:
    """What the sky did since, where something was measured of it; None where nothing new is."""
    if before["stamp"]["weather"] == facts.record.until(facts.today).digest[:16]:
        return None
    known = facts.record.until(facts.today)
    first = max(known.at(made), 0)
    measured = np.flatnonzero(~known.filled_max[first:] & ~known.filled_min[first:]) + first
    if not measured.size:
        return None
    rain = measure(round(float(known.rain[measured].sum())), "mm")
    high = measure(round(float(known.t_max[measured].max())), "C")
    low = measure(round(float(known.t_min[measured].min())), "C")
    days = [known.first + timedelta(days=int(n)) for n in (measured[0], measured[-1])]
    says = f"the weather since {short(days[0])}: {rain} of rain, {low} to {high}"
    return Because(says, rests_on=tuple(f"reading:{day}" for day in dict.fromkeys(days)))


def _program(before: Plain, after: Plain) -> Because | None:
    """Another version of the program or its tables, which may move everything."""
    was, now = before["stamp"], after["stamp"]
    if was["code"] != now["code"] or was["tables"] != now["tables"]:
        return Because("the program or its tables are another version")
    return None
