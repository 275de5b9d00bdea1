"""What stands on the front of a sheet, in its order, before text or page gives it a shape."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from lattermath.sheets import figures
from lattermath.sheets import wording as w
from lattermath.sheets.bare_beds import bare_told
from lattermath.sheets.figures import Units
from lattermath.sheets.odds_told import at_odds
from lattermath.sheets.pencil import Blank, blanks_of
from lattermath.sheets.since_words import since_line
from lattermath.vocabulary import calendar
from lattermath.vocabulary.close_call import close_call
from lattermath.vocabulary.plan import Clearance, NotToday, Plan, Task, Used, Verdict, VisitPlan
from lattermath.vocabulary.ruling import Because, cheapest_way
from lattermath.vocabulary.sentence import capital

PART_ORDER = tuple(w.PARTS)
_TITLE_LEAST, _TITLE_ROOM = 18, 44  # columns
_LEADS_ON = re.compile(r"(?: (?:an?|and|as|at|by|for|from|in|no|of|on|or|the|to|with|your))+$")
_RANKED = ("pull", "replace", "fight")
_MEASURED = ("treat", "set out", "sow")  # tasks that say how much to take


@dataclass(frozen=True, slots=True)
class Row:
    """One numbered line of the sheet."""

    number: int
    says: str
    minutes: int
    conditional: bool
    starts: str
    because: tuple[tuple[str, str], ...] = ()  # a reason and who says so
    cautions: tuple[str, ...] = ()
    if_skipped: str = ""
    blanks: tuple[str, ...] = ()  # what to write down with a pencil
    task: str = ""  # its id in the plan


@dataclass(frozen=True, slots=True)
class Bar:
    """A planting that may not be picked at this visit, why, and from when it may."""

    name: str
    says: str


@dataclass(frozen=True, slots=True)
class Section:
    """One part of the visit: its head, hours where it has any, its rows, its bars."""

    part: str
    head: str
    note: str
    hours: str
    rows: tuple[Row, ...]
    bars: tuple[Bar, ...] = ()
    cautions: tuple[str, ...] = ()  # for every row


@dataclass(frozen=True, slots=True)
class Note:
    """A headed line below the tasks."""

    head: str
    says: str


@dataclass(frozen=True, slots=True)
class Front:
    """The front of one sheet."""

    plot: str
    day: date
    arrive: str
    minutes: int
    sunset: str
    weather: str
    short: str
    bag: str
    sections: tuple[Section, ...]
    not_today: tuple[str, ...]
    water_left: str
    decided: tuple[str, ...]
    notes: tuple[Note, ...]
    warning: str = ""
    since: str = ""


class Teller:
    """Turns what a plan says into words: names as typed, task numbers, the grower's units."""

    def __init__(self, plan: Plan, units: Units, degree: str = "") -> None:
        """Number the tasks of the first visit as the sheet will show them."""
        self.units = units
        self._degree = degree
        self._names = dict(plan.names)
        tasks = in_order(plan.visits[0].tasks) if plan.visits else []
        self.numbers = {task.id: place for place, task in enumerate(tasks, 1)}

    def name(self, key: str) -> str:
        """The name as the grower typed it; the key in plain words where none was."""
        return self._names.get(key) or key.replace("-", " ").replace("_", " ")

    def used(self, use: Used) -> str:
        """What a treatment was done with: the product, or else the method."""
        return self.name(use.product or use.method) or w.OFF_THE_SHELF

    def tell(self, text: str) -> str:
        """A sentence with `{task:ID}` as its number and measures in the grower's units."""
        numbered = re.sub(
            r"\{task:([^}]+)\}", lambda found: str(self.numbers.get(found[1], "?")), text
        )
        return figures.said_in(numbered, self.units, self._degree)

    def reasons(self, because: Iterable[Because]) -> str:
        """Reasons in a row, the forbidding ones first; what two say in the same words, once."""
        ranked = sorted(because, key=lambda reason: reason.holds)
        return "; ".join(dict.fromkeys(self._reason(reason) for reason in ranked))

    def _reason(self, reason: Because) -> str:
        """One reason; of one that forbids, whose it is where its words do not say so."""
        says = self.tell(reason.says).rstrip(". ")
        voice = "" if reason.holds else w.WHO[reason.who]
        named = not voice or voice.split()[-1] in says.lower() or w.GARDEN_SAYS in says.lower()
        return says if named else w.SAID_BY.format(says=says, voice=voice)


def in_order(tasks: Iterable[Task]) -> list[Task]:
    """The tasks done at the plot, part by part, each part as the plan ordered it."""
    there = [task for task in tasks if task.part in PART_ORDER]
    return sorted(there, key=lambda task: PART_ORDER.index(task.part))


def front(plan: Plan, plot_name: str, units: Units, degree: str = "") -> Front | None:
    """The front of the sheet for the first visit of a plan; None when no visit is planned."""
    if not plan.visits:
        return None
    visit = plan.visits[0]
    tell = Teller(plan, units, degree)
    return Front(
        plot=plot_name,
        day=visit.date,
        arrive=figures.hour(visit.arrive),
        minutes=round(visit.minutes),
        sunset=figures.hour(visit.sunset) if visit.sunset else "",
        weather=tell.tell(visit.weather),
        short=_short(visit, tell),
        bag=", ".join(tell.tell(thing) for thing in visit.bring),
        sections=tuple(_sections(visit, plan.picking, tell)),
        not_today=tuple(_not_today(plan, visit, tell)),
        water_left=tell.tell(visit.water_left),
        decided=tuple(_decided(plan, tell)),
        notes=tuple(_notes(plan, visit, tell)),
        warning=stopped(tell.tell(visit.warning)),
        since=since_line(plan.since, tell.tell),
    )


def _short(visit: VisitPlan, tell: Teller) -> str:
    if visit.short_of_time:
        return tell.tell(visit.short_of_time)
    numbers = [str(tell.numbers[task.id]) for task in in_order(visit.tasks) if task.must]
    return w.SHORT_DO.format(numbers=figures.listed(numbers)) if numbers else ""


def _sections(visit: VisitPlan, picking: tuple[Clearance, ...], tell: Teller) -> Iterable[Section]:
    tasks = in_order(visit.tasks)
    bars = tuple(_bar(clear, visit, tell) for clear in picking if barred(clear, visit))
    for part in PART_ORDER:
        held = [task for task in tasks if task.part == part]
        shown = bars if part == "pick" else ()
        if held or shown:
            yield _section_of(part, held, shown, tell)


def _section_of(part: str, tasks: Sequence[Task], bars: tuple[Bar, ...], tell: Teller) -> Section:
    """One part: cautions that all its tasks share stand once, before the first of them.

    A caution of some only is repeated at each: a task that is left out must not take away with it
    the caution of the next.
    """
    rows = [row(task, tell) for task in tasks]
    shared: tuple[str, ...] = ()
    if len(rows) > 1:
        shared = tuple(c for c in rows[0].cautions if all(c in held.cautions for held in rows))
    own = tuple(
        replace(held, cautions=tuple(c for c in held.cautions if c not in shared)) for held in rows
    )
    note = w.PART_NOTES.get(part, "") if rows else ""
    hours = _hours(tasks) if part == "last job" else ""
    return Section(part, w.PARTS[part], note, hours, own, bars, shared)


def barred(clear: Clearance, visit: VisitPlan) -> bool:
    """True when a planting may not be picked at the hour of arrival; unknown bars."""
    if clear.clear_now:
        return False
    return clear.safe_from is None or clear.safe_from > visit.arrive


def _bar(clear: Clearance, visit: VisitPlan, tell: Teller) -> Bar:
    if clear.safe_from is None:
        told = any("not known when" in reason.says for reason in clear.barred_by)
        opens = "" if told else w.CLEARANCE_UNKNOWN
    else:
        opens = w.CLEAR.format(when=calendar.said_opening(clear.safe_from, visit.date))
    why = bar_reason(clear, tell)
    return Bar(tell.name(clear.planting), f"{stopped(why)} {opens}".strip() if why else opens)


def bar_reason(clear: Clearance, tell: Teller) -> str:
    """Why a planting may not be picked; the hour it opens is left out, it stands beside."""
    why = tell.reasons(clear.barred_by)
    if clear.safe_from is None:
        return why
    day, hour = calendar.said(clear.safe_from), f"{clear.safe_from:%H:%M}"
    return re.sub(rf", clear {day}( \d{{4}})? {hour}", "", why)


def _hours(tasks: Sequence[Task]) -> str:
    begins = [task.starts for task in tasks if task.starts]
    ends = [task.ends for task in tasks if task.ends]
    if not begins or not ends:
        return ""
    return w.HOURS.format(begins=figures.hour(min(begins)), ends=figures.hour(max(ends)))


def row(task: Task, tell: Teller) -> Row:
    """One task as the sheet says it: condition, work, amounts, cautions."""
    works = tell.tell(task.says)
    if task.only_if and not works.lower().startswith(w.ONLY_IF[:7].lower()):
        condition = tell.tell(task.only_if)
        works = w.ONLY_IF.format(condition=condition, says=_lowered(works))
    parts = [sentence(works), sentence(", ".join(_amounts(task, works, tell)))]
    return Row(
        number=tell.numbers[task.id],
        says=" ".join(part for part in parts if part),
        minutes=round(task.minutes),
        conditional=bool(task.only_if),
        starts=figures.hour(task.starts) if task.starts else "",
        because=tuple((tell.tell(b.says), w.WHO[b.who]) for b in task.because),
        cautions=tuple(sentence(tell.tell(caution)) for caution in task.cautions),
        if_skipped=tell.tell(task.if_skipped),
        blanks=tuple(blank.says for blank in _blanks(task, tell.units)),
        task=task.id,
    )


def _blanks(task: Task, units: Units) -> tuple[Blank, ...]:
    return blanks_of(task.kind, task.method, task.product, task.wanted, units)


def _amounts(task: Task, works: str, tell: Teller) -> Iterable[str]:
    """What to take or mix, where the sentence has not said it already."""
    if task.kind not in _MEASURED:
        return
    sprayed = task.product is not None
    said_all = (
        figures.mixed(task.amounts, tell.units)
        if sprayed
        else [figures.quantity(amount, tell.units) for amount in task.amounts]
    )
    for amount, said in zip(task.amounts, said_all, strict=True):
        if said not in works and amount.unit != "plants":
            form = w.OF if amount.unit and amount.what else w.COUNTED
            yield form.format(amount=said, what=amount.what).rstrip()


def _not_today(plan: Plan, visit: VisitPlan, tell: Teller) -> Iterable[str]:
    shown = {(c.planting, c.barred_by) for c in plan.picking if barred(c, visit)}
    for item in visit.not_today:
        if (item.planting, item.because) not in shown:  # it stands under the picking already
            yield _barred_today(item, visit.date, tell)
    if visit.left_out:
        left_out = "; ".join(title(tell.tell(what)) for what in visit.left_out)
        yield w.NO_TIME_FOR.format(left_out=left_out)


def _barred_today(item: NotToday, today: date, tell: Teller) -> str:
    why = tell.reasons(item.because)
    said = sentence(f"{tell.tell(item.what).rstrip('.')}: {why}" if why else tell.tell(item.what))
    way = cheapest_way(item.because)
    if way and not any(reason.says.startswith(w.INSTEAD_BEGINS) for reason in item.because):
        said = f"{said} {w.INSTEAD.format(way=stopped(tell.tell(way)))}"
    again = calendar.said_opening(item.look_again, today) if item.look_again else ""
    return f"{said} {w.LOOK_AGAIN.format(when=again)}" if again else said


def _notes(plan: Plan, visit: VisitPlan, tell: Teller) -> Iterable[Note]:
    yield from _at_home(plan, visit, tell)
    doubts = (odds for one in plan.populations for odds in at_odds(one, chances=False))
    away = (absence.says for absence in plan.away)
    for warning in dict.fromkeys((*away, *plan.warnings, *doubts)):
        if warning:
            yield Note(w.MIND, stopped(tell.tell(warning)))
    if plan.rough:
        yield Note(w.ROUGH, stopped(" ".join(sentence(tell.tell(what)) for what in plan.rough)))
    yield from _next_visit(plan, tell)


def _decided(plan: Plan, tell: Teller) -> Iterable[str]:
    ranked = [v for kind in _RANKED for v in plan.verdicts if v.verdict == kind]
    quiet = [v for v in plan.verdicts if v.verdict == "let run"]
    later = {one.planting: one.later for one in plan.outlook if one.later}
    told = [v for v in quiet if v.minds or v.planting in later or close_call(v)]
    alike: dict[str, list[str]] = {}  # by all that is said after the name
    for verdict in (*ranked, *told):
        says, name = decision(verdict, tell), tell.name(verdict.planting)
        if verdict.planting in later:
            says = f"{says} {sentence(tell.tell(later[verdict.planting]))}"
        after = says.removeprefix(f"{name}: ")
        alike.setdefault(after, []).extend([name] * (after != says))
    for says, names in alike.items():
        yield f"{figures.listed(names)}: {says}" if names else says
    resting: dict[str, list[str]] = {}  # by what the verdict adds: a fleece, a second look
    for verdict in quiet:
        if verdict not in told:
            _, comma, more = stopped(tell.tell(verdict.says)).rstrip(".").partition(",")
            resting.setdefault(comma + more, []).append(tell.name(verdict.planting))
    for more, names in resting.items():
        yield w.LET_RUN.format(more=more, names=figures.listed(names))
    for line in bare_told(plan.bare, tell.name):
        yield sentence(tell.tell(line))


def decision(verdict: Verdict, tell: Teller) -> str:
    """One verdict as a sentence that begins with the planting's name."""
    name, says = tell.name(verdict.planting), tell.tell(verdict.says)
    said = sentence(says if says.lower().startswith(name.lower()) else f"{name}: {_lowered(says)}")
    if close_call(verdict):
        said = f"{said} {w.CLOSE_CALL}"
    if verdict.verdict == "replace" and verdict.decide_by and "too late" not in said.lower():
        return f"{said} {w.TOO_LATE.format(day=calendar.short(verdict.decide_by))}"
    return said


def _at_home(plan: Plan, visit: VisitPlan, tell: Teller) -> Iterable[Note]:
    sowings = [advice for advice in plan.standby if advice.sow]
    for advice in sowings:
        said = stopped(tell.tell(advice.says))
        if advice.sow_by:
            said = w.SOW_BY.format(day=calendar.said(advice.sow_by), says=said)
        missing = f" {sentence(tell.tell(advice.missing))}" if advice.missing else ""
        yield Note(w.SOW, said + missing)
    for task in visit.tasks:
        if task.part == "at home" and not (sowings and task.kind == "sow"):
            yield Note(w.AT_HOME, stopped(tell.tell(task.says)))


def _next_visit(plan: Plan, tell: Teller) -> Iterable[Note]:
    if len(plan.visits) < 2:
        return
    coming = plan.visits[1]
    far = (coming.date - plan.visits[0].date).days > 7  # the next of that name is another day
    weekday = calendar.weekday(coming.date) + (f" {calendar.short(coming.date)}" if far else "")
    if coming.if_missed:
        yield Note(w.IF_YOU_MISS.format(day=weekday), stopped(tell.tell(coming.if_missed)))
    if coming.bring:
        things = ", ".join(tell.tell(thing) for thing in coming.bring)
        yield Note(weekday, w.BRING.format(things=things))


def stopped(text: str) -> str:
    """The text with a full stop, where it has none."""
    stripped = text.strip()
    return stripped if not stripped or stripped.endswith((".", ":", "?")) else f"{stripped}."


def sentence(text: str) -> str:
    """The text as a sentence: a capital, a full stop."""
    return capital(stopped(text))


def title(says: str) -> str:
    """The first few words of a task, to find it again: whole clauses, then whole words."""
    clauses = re.split(r"(?<=[:,.;]) ", says)
    words = clauses[0]
    for clause in clauses[1:]:
        if len(words) >= _TITLE_LEAST or words.endswith("."):
            break
        words = f"{words} {clause}"
    words = words.rstrip(":,.; ")
    if len(words) <= _TITLE_ROOM:
        return words
    return _LEADS_ON.sub("", words[:_TITLE_ROOM].rsplit(" ", 1)[0]).rstrip(":,.; ")


def _lowered(text: str) -> str:
    return text[:1].lower() + text[1:] if text[1:2].islower() else text
