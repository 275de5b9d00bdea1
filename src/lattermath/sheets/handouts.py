"""What stands on the pages that are given away or hung up, as plain records.

Bench labels and bed tags are cards to cut out; the helper's card and the picking list are a page
in parts. Templates give them a shape; nothing is computed here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

from lattermath.sheets import figures
from lattermath.sheets import handout_words as h
from lattermath.sheets.closed_ground import called
from lattermath.sheets.figures import DEGREE, Units
from lattermath.sheets.front import Teller, in_order, sentence, stopped
from lattermath.vocabulary import calendar
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Absence, Clearance, Closed, Plan, StandbyAdvice
from lattermath.vocabulary.sentence import capital

Kind = Literal["labels", "tags", "helper", "picking"]
LEAST_KG = 0.05  # judgement: less than this is a nibble on the way past
_EATING = (h.RINSE, h.SOILED, h.BITTER, h.UNSURE)


@dataclass(frozen=True, slots=True)
class Line:
    """A few words, and what they say."""

    head: str
    says: str


@dataclass(frozen=True, slots=True)
class Card:
    """One card to cut out. `bars`: what must not be done, in the largest type."""

    title: str
    sub: str = ""
    bars: tuple[Line, ...] = ()
    lines: tuple[Line, ...] = ()
    says: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a part, with a box to tick, or barred; blanks are written in by pencil."""

    says: str
    box: bool = True
    blank: str = ""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a page. `bar`: everything in it is a not."""

    head: str
    rows: tuple[Row, ...] = ()
    says: tuple[str, ...] = ()
    bar: bool = False


@dataclass(frozen=True, slots=True)
class Handout:
    """One file: a head, then cards in columns, or parts one below the other."""

    kind: Kind
    title: str
    lead: str
    when: datetime
    columns: int = 1
    cards: tuple[Card, ...] = ()
    parts: tuple[Part, ...] = ()
    blanks: tuple[str, ...] = ()
    foot: str = ""


def handout(kind: Kind, plan: Plan, units: Units = "metric") -> Handout | None:
    """The page of that kind; None where there is nothing to put on it."""
    made = _MAKERS[kind](plan, Teller(plan, units, DEGREE))
    return made if made is not None and (made.cards or made.parts) else None


def _as_of(plan: Plan) -> str:
    return h.AS_OF.format(when=calendar.said_with_hour(plan.as_of))


def _said(when: datetime, plan: Plan) -> str:
    """An hour as of the plan: one of another year with its year, for paper hangs long."""
    return calendar.said_with_hour(when, plan.as_of.date())


# ---------- bench labels ----------


def _labels(plan: Plan, tell: Teller) -> Handout:
    cards = [_label(one, tell) for one in plan.standby if one.lot and one.plants]
    cards += [_label_to_write(one) for one in plan.standby if one.sow]
    lead = h.LABELS_LEAD.format(as_of=_as_of(plan))
    return Handout("labels", h.LABELS, lead, plan.as_of, 3, tuple(cards), foot=h.CUT)


def _label(one: StandbyAdvice, tell: Teller) -> Card:
    variety = h.VARIETY.format(variety=one.variety) if one.variety else ""
    cup = tell.tell(measure(one.cup_ml, "ml")) if one.cup_ml else ""
    lines = []
    if one.sown:
        lines.append(Line(h.SOWN, h.IN_CUPS.format(day=calendar.said(one.sown), cup=cup)))
    lines.append(Line(h.READY, _ready(one)))
    care = tell.tell(one.says).partition(": ")[2]
    if care:
        lines.append(Line(h.CARE, stopped(care)))
    return Card(
        capital(one.called),
        h.COUNT.format(plants=one.plants, named=one.named, variety=variety),
        lines=tuple(lines),
        blanks=(h.SET_OUT_BLANK,),
    )


def _ready(one: StandbyAdvice) -> str:
    if one.ready_from is None:
        return h.READY_NOT
    first = calendar.said(one.ready_from)
    if one.ready_to is None or one.ready_to < one.ready_from:
        return h.READY_FROM.format(first=first)
    return h.READY_SPAN.format(first=first, last=calendar.said(one.ready_to))


def _label_to_write(one: StandbyAdvice) -> Card:
    """The label of a sowing that is advised, with the day left to write."""
    by = h.TO_SOW.format(day=calendar.said(one.sow_by)) if one.sow_by else ""
    ready = h.READY_ABOUT.format(day=calendar.said(one.ready_from)) if one.ready_from else ""
    return Card(
        capital(one.named),
        h.TO_SOW_COUNT.format(sow=one.sow, named=one.named),
        lines=(Line(h.READY, ready),) if ready else (),
        says=(by,) if by else (),
        blanks=(h.SOWN_BLANK, h.VARIETY_BLANK, h.UP_BLANK, h.SET_OUT_BLANK),
    )


# ---------- bed tags ----------


def _tags(plan: Plan, tell: Teller) -> Handout:
    """A tag for each planting that is closed now, and for each that the next visit closes."""
    cards = tuple(_tag(one, plan, tell) for one in plan.closed if one.uses)
    lead = h.TAGS_LEAD.format(as_of=_as_of(plan))
    return Handout("tags", h.TAGS, lead, plan.as_of, 2, cards, foot=h.CUT)


def _tag(closed: Closed, plan: Plan, tell: Teller) -> Card:
    bars = [] if closed.bed else [_bar(h.DO_NOT_PICK, closed.picking, plan)]
    if not closed.entering.clear_now:
        bars.append(_bar(h.KEEP_OUT, closed.entering, plan))
    says = [h.WHOM if len(bars) == 1 else h.WHOM_BOTH]
    shut = (closed.entering,) if closed.bed else (closed.picking, closed.entering)
    if any(clear.safe_from is None for clear in shut):
        says = [h.WHOM_UNKNOWN]
    if closed.entering.clear_now:
        says.append(h.ONLY_PICKING)
    if closed.planned:
        says.insert(0, h.IF_TREATED.format(hour=figures.hour(closed.uses[-1].at)))
    return Card(
        capital(called(closed, tell)),
        bars=tuple(bars),
        lines=tuple(_treated(closed, plan, tell)),
        says=(" ".join(says), h.LABEL_IS_LAW),
        blanks=(h.DONE_BLANK,) if closed.planned else (),
    )


def _bar(words: str, clear: Clearance, plan: Plan) -> Line:
    if clear.safe_from is None:
        return Line(words, h.UNTIL_UNKNOWN)
    return Line(words, h.UNTIL.format(when=_said(clear.safe_from, plan)))


def _treated(closed: Closed, plan: Plan, tell: Teller) -> Iterator[Line]:
    for use in closed.uses:
        done = use.at <= plan.as_of
        form = h.TREATED_WITH if done else h.TREATED_BY
        says = form.format(when=_said(use.at, plan), what=tell.used(use))
        yield Line(h.TREATED if done else h.TO_TREAT, stopped(says))


# ---------- the helper's card ----------


def _helper(plan: Plan, tell: Teller) -> Handout | None:
    """Water, pick, leave alone: for somebody who does not know the plot, and treats nothing."""
    if not plan.visits:
        return None
    visit = plan.visits[0]
    water, pick = (tuple(_rows(plan, kind, tell)) for kind in ("water", "pick"))
    wet = {c for task in visit.tasks if task.kind == "water" for c in task.cautions}
    cautions = tuple(sentence(tell.tell(caution)) for caution in sorted(wet))
    shut = (*_shut(plan, tell), *_shut_by_then(plan, tell, lambda one: one.picking))
    out = (*_ground_shut(plan, tell), *_shut_by_then(plan, tell, lambda one: one.entering))
    parts = (
        Part(h.WATER, water, cautions if water else (h.NOTHING_TO_WATER,)),
        Part(h.PICK, pick, (h.ASK_FIRST,) if pick else (h.NOTHING_TO_PICK, h.ASK_FIRST)),
        Part(h.DO_NOT, shut, (h.TAG_RULES,), bar=True),
        *([Part(h.STAY_OUT, out, bar=True)] if out else []),
        Part(h.NEVER, says=(h.NO_TREATMENT,), bar=True),
        *_while_away(plan, tell),
        Part(h.EATING, says=_EATING),
        Part(h.YOU, says=(h.HEAT,)),
    )
    return Handout(
        "helper",
        h.HELPER.format(plot=plan.plot),
        _helper_lead(plan, figures.long_day(visit.date)),
        plan.as_of,
        parts=parts,
        blanks=(h.REACH_BLANK, h.SEEN_BLANK),
    )


def _helper_lead(plan: Plan, day: str) -> str:
    if not plan.away:
        return h.HELPER_DAY.format(day=day, as_of=_as_of(plan))
    spans = figures.listed(_span(one) for one in plan.away)
    return h.HELPER_AWAY.format(day=day, spans=spans, as_of=_as_of(plan))


def _span(absence: Absence) -> str:
    ends = dict.fromkeys(calendar.said(day) for day in (absence.first, absence.last))
    return h.AWAY_SPAN.join(ends)


def _while_away(plan: Plan, tell: Teller) -> Iterator[Part]:
    """The days of each absence: water by day, what may be picked, and what not until when."""
    for absence in plan.away:
        away = h.WHILE_AWAY
        if len(plan.away) > 1:
            away = h.WHILE_AWAY_THEN.format(span=_span(absence))
        days = figures.listed(calendar.said(day) for day in absence.missed)
        waters = tuple(_water_of(absence, day, tell) for day in absence.missed if absence.water)
        says = [h.AWAY_DAYS.format(days=days), h.AWAY_WATER, h.AWAY_TAGS]
        if absence.water:
            says.insert(1, h.AWAY_CANS.format(can=tell.tell(absence.can)))
        yield Part(away, waters, tuple(says))
        bearing = tuple(_bearing_then(plan, absence))
        may = [(key, *_opens_then(plan, absence, key)) for key in bearing]
        open_to = tuple(
            Row(
                f"{capital(tell.name(key))}: {h.MAY_PICK if early else words}.",
                blank=h.PICKED_BLANK,
            )
            for key, words, early, opens in may
            if opens
        )
        shut = tuple(
            Row(f"{capital(tell.name(key))}: {words}.", box=False)
            for key, words, _, opens in may
            if not opens
        )
        if open_to:
            yield Part(h.AWAY_PICK.format(away=away), open_to, (h.ASK_FIRST,))
        if shut:
            yield Part(h.AWAY_NOT.format(away=away), shut, bar=True)


def _water_of(absence: Absence, day: date, tell: Teller) -> Row:
    """The round of one day, planting by planting."""
    parts = [f"{tell.name(one.planting)} {one.says}" for one in absence.water if one.day == day]
    round_ = ", ".join(parts) if parts else h.AWAY_NO_WATER
    return Row(f"{calendar.said(day)}: {round_}.", box=bool(parts))


def _bearing_then(plan: Plan, absence: Absence) -> Iterator[str]:
    """Plantings that stay and should have something ready in the weeks of the absence."""
    goes = {one.planting for one in plan.verdicts if one.verdict in ("replace", "pull")}
    known = {clear.planting for clear in plan.picking}
    for one in plan.outlook:
        kg = sum(
            span.median
            for week, span in zip(one.weeks, one.with_plan, strict=True)
            if week <= absence.last and week + timedelta(days=6) >= absence.first
        )
        if one.planting in known - goes and kg >= LEAST_KG:
            yield one.planting


def _opens_then(plan: Plan, absence: Absence, key: str) -> tuple[str, bool, bool]:
    """When a planting opens to a helper, in words; is that before the first day; is it in time?

    The latest of what bars it now, what the next visit will, and a treatment planned for a later
    visit before the absence, whose hour nobody knows yet: its tag rules, and no tag opens nothing.
    Work without a product leaves nothing on a plant, and bars nothing.
    """
    later = [
        step.day
        for population in plan.populations
        for step in population.course
        if step.product is not None
        and key in step.plantings
        and plan.visits[0].date < step.day <= absence.last
    ]
    if later:
        return h.AFTER_TREATING.format(day=calendar.said(max(later))), False, False
    clears = [clear for clear in plan.picking if clear.planting == key]
    for one in plan.closed:
        if one.planting == key:
            clears += [one.picking, one.entering]
    hours = [clear.safe_from for clear in clears if not clear.clear_now]
    known = [hour for hour in hours if hour is not None]
    if len(known) < len(hours):
        return h.NOT_KNOWN, False, False
    if not known:
        return h.MAY_PICK, True, True
    words = h.NOT_BEFORE.format(when=_said(max(known), plan))
    day = max(known).date()
    return words, day < absence.first, day <= absence.last


def _rows(plan: Plan, kind: str, tell: Teller) -> Iterator[Row]:
    """Tasks of the first visit; a picking that is not clear yet says from when it is."""
    opens = {clear.planting: clear for clear in plan.picking if not clear.clear_now}
    for task in in_order(plan.visits[0].tasks):
        if task.kind != kind or task.only_if:
            continue
        says, clear = sentence(tell.tell(task.says)), opens.get(task.planting or "")
        if kind == "pick" and clear is not None:
            says = f"{says} {h.NOT_PICKED.format(opens=_opens(clear, plan))}"
        yield Row(says, blank=h.PICKED_BLANK if kind == "pick" else "")


def _shut(plan: Plan, tell: Teller) -> Iterator[Row]:
    """What must not be picked as of the plan, and from when it may; unknown never opens."""
    for clear in plan.picking:
        if not clear.clear_now:
            yield Row(f"{capital(tell.name(clear.planting))}: {_opens(clear, plan)}.", box=False)


def _ground_shut(plan: Plan, tell: Teller) -> Iterator[Row]:
    for closed in plan.closed:
        if not closed.planned and not closed.entering.clear_now:
            name = capital(called(closed, tell))
            yield Row(f"{name}: {_opens(closed.entering, plan)}.", box=False)


def _shut_by_then(plan: Plan, tell: Teller, of: Callable[[Closed], Clearance]) -> Iterator[Row]:
    """What the next visit will close, for who comes after it; not what is told already."""
    held = [*plan.picking, *(of(one) for one in plan.closed if not one.planned)]
    told = {(clear.planting, clear.safe_from) for clear in held if not clear.clear_now}
    for closed in plan.closed:
        clear = of(closed)
        if closed.planned and not clear.clear_now and (clear.planting, clear.safe_from) not in told:
            form = h.IF_TAGGED if clear.safe_from else h.IF_TAGGED_UNKNOWN
            when = _said(clear.safe_from, plan) if clear.safe_from else ""
            name = capital(called(closed, tell))
            yield Row(f"{name}: {form.format(when=when)}.", box=False)


def _opens(clear: Clearance, plan: Plan) -> str:
    if clear.safe_from is None:
        return h.NOT_KNOWN
    return h.NOT_BEFORE.format(when=_said(clear.safe_from, plan))


# ---------- the picking list ----------


def _picking(plan: Plan, tell: Teller) -> Handout | None:
    if not plan.visits:
        return None
    visit = plan.visits[0]
    pick, shut = tuple(_rows(plan, "pick", tell)), tuple(_shut(plan, tell))
    parts = (
        Part(h.CLEAR_TO_PICK, pick, () if pick else (h.NOTHING_TO_PICK,)),
        *([Part(h.DO_NOT, shut, bar=True)] if shut else []),
        Part(h.EATING, says=_EATING),
    )
    return Handout(
        "picking",
        h.PICKING,
        h.PICKING_DAY.format(
            plot=plan.plot, day=figures.long_day(visit.date), as_of=_as_of(plan)
        ).removeprefix(", "),
        plan.as_of,
        parts=parts,
        blanks=(h.SEEN_BLANK,),
        foot=h.LABEL_IS_LAW,
    )


_MAKERS: dict[Kind, Callable[[Plan, Teller], Handout | None]] = {
    "labels": _labels,
    "tags": _tags,
    "helper": _helper,
    "picking": _picking,
}
