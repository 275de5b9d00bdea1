"""What stands on the back of a sheet: why, how sure, and what was reckoned, as blocks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date

from lattermath.sheets import figures
from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.sheets.front import Teller, bar_reason, in_order, row, sentence, stopped, title
from lattermath.sheets.odds_told import at_odds
from lattermath.sheets.since_words import since_lines
from lattermath.vocabulary import calendar
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.plan import (
    CourseStep,
    LastSowing,
    Option,
    Outlook,
    Plan,
    Population,
    Span,
    StandbyAdvice,
    Verdict,
)
from lattermath.vocabulary.sentence import capital

DAYS_SHOWN = 6  # columns of a strip table; more do not fit a phone or 78 columns
WEEKS_SHOWN = 6
STEPS_SHOWN = 6  # of a course; all of them stand in the plan as JSON
IN_DOUBT = 0.05  # judgement: below this chance a verdict to let run needs no table
Cells = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A small table; its first column is the row head."""

    caption: str
    heads: Cells
    rows: tuple[Cells, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One part of the back: a head, sentences, tables."""

    head: str
    says: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    quiet: bool = False


def back(plan: Plan, units: Units, degree: str = "") -> tuple[Block, ...]:
    """The back of the sheet, part by part; parts with nothing in them are left out."""
    tell = Teller(plan, units, degree)
    blocks = (
        Block(w.SINCE_HEAD, since_lines(plan.since, tell.tell)),
        Block(w.WHY, tuple(_whys(plan, tell))),
        Block(w.PICKING, tables=_picking(plan, tell)),
        Block(
            w.VERDICTS,
            tuple(_bare(plan.verdicts, tell)),
            (
                *_verdicts(plan.verdicts, tell),
                *(_ground(one, tell) for one in plan.bare if _worth_a_table(one)),
            ),
        ),
        *(_population(population, tell) for population in plan.populations),
        *_outlook(plan.outlook, tell),
        Block(
            w.STANDBY,
            tuple(_standby(advice, tell) for advice in plan.standby),
            tuple(_last_sowings(plan.last_sowings)),
        ),
        Block(w.FROST, (tell.tell(plan.frost),) if plan.frost else ()),
        Block(w.CAUTIONS, (w.LABEL_IS_LAW, w.RINSE)),
        Block(w.STAMP, tuple(_stamp(plan, tell)), quiet=True),
    )
    return tuple(block for block in blocks if block.says or block.tables)


def _whys(plan: Plan, tell: Teller) -> Iterable[str]:
    """The reasons of each task; what several share is given at the first, and named after it.

    Of treatments only those by one method: "as 2" would give a soap what was told of a jet.
    """
    by_method: dict[str | None, dict[tuple[str, str], int]] = {}
    legend = False
    for task in in_order(plan.visits[0].tasks) if plan.visits else []:
        held = row(task, tell)
        aside = {tell.tell(reason.says) for reason in task.because if reason.aside}
        reasons = [one for one in dict.fromkeys(held.because) if one[0] not in aside]
        said = by_method.setdefault(task.method, {})
        before = sorted({said[reason] for reason in reasons if reason in said})
        told = _by_voice(reason for reason in reasons if reason not in said)
        if before:
            told.insert(0, w.AS_TASKS.format(numbers=figures.listed(map(str, before))))
        said.update({reason: held.number for reason in reasons if reason not in said})
        if held.if_skipped:
            told.append(stopped(w.IF_SKIPPED.format(loss=held.if_skipped)))
        if told and not legend:
            yield w.WHY_LEGEND
            legend = True
        if told:
            yield f"{held.number} {title(tell.tell(task.says))}. {' '.join(told)}"


def _by_voice(reasons: Iterable[tuple[str, str]]) -> list[str]:
    """The reasons of each voice together, so that who says so is said once."""
    held = list(reasons)
    told = []
    for who, lead in w.WHO_SAYS.items():
        says = [says.rstrip(". ") for says, voice in held if voice == who]
        if says and lead:
            told.append(stopped(f"{lead} {'; '.join(says)}"))
        else:
            told += [sentence(one) for one in says]
    return told


def _picking(plan: Plan, tell: Teller) -> tuple[Table, ...]:
    rows = []
    for clear in sorted(plan.picking, key=lambda clear: not clear.clear_now):
        opens = w.PICK_NOW if clear.clear_now else w.PICK_UNKNOWN
        if not clear.clear_now and clear.safe_from:
            opens = w.PICK_FROM.format(
                when=calendar.said_opening(clear.safe_from, plan.as_of.date())
            )
        rows.append((tell.name(clear.planting), opens, bar_reason(clear, tell)))
    return (Table("", (w.PLANTING_HEAD, w.PICK_HEAD, ""), tuple(rows)),) if rows else ()


def _verdicts(verdicts: Sequence[Verdict], tell: Teller) -> Iterable[Table]:
    """A table for each planting that is fought for, replaced or in doubt; the rest in one."""
    open_ones = [v for v in verdicts if v.options and not _settled(v)]
    yield from (_verdict(verdict, tell) for verdict in open_ones)
    settled = [v for v in verdicts if v.options and _settled(v)]
    if settled:
        rows = tuple(_option(tell.name(v.planting), _chosen(v), tell) for v in settled)
        heads = w.OPTION_HEADS if tell.units == "metric" else w.OPTION_HEADS_US
        yield Table(w.LET_RUN_CAPTION, heads, rows)


def _settled(verdict: Verdict) -> bool:
    return verdict.verdict == "let run" and verdict.chance_replacing_better < IN_DOUBT


def _chosen(verdict: Verdict) -> Option:
    return next((o for o in verdict.options if o.fate == verdict.choice), verdict.options[0])


def _bare(verdicts: Sequence[Verdict], tell: Teller) -> Iterable[str]:
    for verdict in verdicts:
        if not verdict.options:
            yield f"{w.VERDICT_WORDS[verdict.verdict]} {tell.name(verdict.planting)}."
    if any(option.fate in ("fight", "let run") for one in verdicts for option in one.options):
        yield w.ON_TOP


def _verdict(verdict: Verdict, tell: Teller) -> Table:
    bare = not any(option.fate in ("fight", "let run") for option in verdict.options)
    goes = any(option.fate == "pull" for option in verdict.options)  # and stays in no case
    better = w.FILLING_BETTER if bare else w.REPLACING_BETTER
    if bare and goes:
        better = w.FILLING_AFTER_BETTER
    sure = better.format(chance=figures.chance(verdict.chance_replacing_better))
    error = round(verdict.chance_error * 100)
    if error:
        sure += w.GIVE_OR_TAKE.format(error=f"{error} in 100")
    if verdict.decide_by:
        sure += f"; {w.DECIDE_BY.format(day=calendar.said(verdict.decide_by))}"
    word = w.FILL if bare and not goes else w.VERDICT_WORDS[verdict.verdict].lower()
    if verdict.verdict == "fight" and not verdict.says.startswith(word):
        word = tell.tell(verdict.says)  # a disease is answered plant by plant, or by the knife
    parts = [f"{tell.name(verdict.planting)}: {word}", sure, tell.reasons(verdict.because)]
    heads = w.OPTION_HEADS if tell.units == "metric" else w.OPTION_HEADS_US
    rows = tuple(
        _option(tell.tell(option.says) or w.FATES[option.fate], option, tell)
        for option in verdict.options
    )
    return Table(" ".join(sentence(part) for part in parts if part), heads, rows)


def _worth_a_table(ground: BareGround) -> bool:
    """All bare beds; a part of one only where something would still pay there."""
    return ground.whole or any(one.pays for one in ground.may if one.crop)


def _ground(ground: BareGround, tell: Teller) -> Table:
    """What one bare bed may carry, what pays first."""
    area, unit = figures.in_units(ground.area_m2, "m2", tell.units)
    caption = (w.MAY_CARRY if ground.whole else w.PART_MAY_CARRY).format(
        name=capital(tell.name(ground.bed)), area=f"{figures.coarse(area)} {unit}"
    )
    rows = []
    for one in (m for m in ground.may if m.pays or m.held):
        kg = w.NOT_SO
        if one.kg is not None:
            ends = (figures.in_units(n, "kg", tell.units)[0] for n in (one.kg.low, one.kg.high))
            kg = w.IF_RANGE.format(low=figures.coarse(next(ends)), high=figures.coarse(next(ends)))
        value = w.NOT_SO
        if one.value is not None:
            value = figures.coarse_range(one.value.low, one.value.high)
        pays = (w.PAYS if one.pays else w.PAYS_NOT) if one.crop else w.NOT_SO
        latest = calendar.short(one.latest) if one.latest else w.NOT_SO
        rows.append((tell.tell(one.named), kg, value, pays, latest))
    heads = w.CARRY_HEADS if tell.units == "metric" else w.CARRY_HEADS_US
    return Table(caption, heads, tuple(rows))


def _option(said: str, option: Option, tell: Teller) -> Cells:
    weights = [
        figures.coarse(figures.in_units(kg, option.kg.unit, tell.units)[0])
        for kg in (option.kg.low, option.kg.median, option.kg.high)
    ]
    portions = figures.coarse_range(option.value.low, option.value.high)
    return (said, *weights, portions, figures.chance(option.chance_best))


def _population(population: Population, tell: Teller) -> Block:
    plantings = figures.listed(tell.name(key) for key in population.plantings)
    organism = tell.name(population.organism)
    says = [tell.tell(population.says)]
    says += [tell.tell(odds) for odds in at_odds(population, chances=True)]
    if population.course_says:
        says.append(tell.tell(population.course_says))
    says += _course(population.course, tell)
    left = population.left_on_last_day
    if population.course:
        share = figures.coarse_range(left.low * 100, left.high * 100)
        says.append(w.LEFT_ON_LAST_DAY.format(left=share))
    reasons = tell.reasons(population.because)
    if reasons:
        says.append(sentence(reasons))
    on = w.ON_PLANTINGS if population.found else w.NOT_FOUND_ON
    if population.reckoned_as and population.reckoned_as not in organism:
        organism += w.RECKONED_AS.format(name=population.reckoned_as)
    head = on.format(organism=capital(organism), plantings=plantings)
    return Block(head, tuple(line for line in says if line), tuple(_strips(population)))


def _course(steps: Sequence[CourseStep], tell: Teller) -> Iterable[str]:
    """The next treatments of a course, and how many follow."""
    for step in steps[:STEPS_SHOWN]:
        yield w.COURSE_STEP.format(
            day=calendar.said(step.day),
            says=tell.tell(step.says),
            plantings=figures.listed(tell.name(key) for key in step.plantings),
        )
        if step.no_time:
            left = figures.listed(tell.name(key) for key in step.no_time)
            yield w.NO_TIME_THEN.format(day=calendar.said(step.day), plantings=left)
    later = steps[STEPS_SHOWN:]
    if later:
        yield w.MORE_STEPS.format(count=len(later), day=calendar.said(later[-1].day))


def _strips(population: Population) -> Iterable[Table]:
    for unit in dict.fromkeys(strip.unit for strip in population.strips):
        held = [strip for strip in population.strips if strip.unit == unit]
        shown = spread(len(held[0].days), DAYS_SHOWN)
        heads = (w.STRIP_HEAD, *(calendar.short(held[0].days[place]) for place in shown))
        rows: list[Cells] = []
        for strip in held:
            ends = [figures.coarse_range(strip.low[i], strip.high[i]) for i in shown]
            rows.append((strip.name, *ends))
            rows.append((f"  {w.NOTHING_DONE}", *(figures.coarse(strip.without[i]) for i in shown)))
        yield Table(w.STRIP_CAPTION.format(unit=unit), heads, tuple(rows))


def spread(length: int, shown: int) -> list[int]:
    """Places to show of a row of `length`: the first, the last, and evenly between."""
    if length <= shown:
        return list(range(length))
    return [round(place * (length - 1) / (shown - 1)) for place in range(shown)]


def _outlook(outlooks: tuple[Outlook, ...], tell: Teller) -> Iterable[Block]:
    unit = figures.in_units(0.0, "kg", tell.units)[1]
    weeks = _bearing_weeks(outlooks)
    tables: list[Table] = []
    for start in range(0, len(weeks), WEEKS_SHOWN):
        shown = weeks[start : start + WEEKS_SHOWN]
        rows: list[Cells] = []
        for outlook in outlooks:
            rows += _outlook_rows(outlook, shown, tell)
        if not rows:
            continue
        heads = (w.OUTLOOK_HEAD, *(calendar.short(week) for week in shown))
        caption = "" if tables else w.OUTLOOK_CAPTION.format(unit=unit)
        tables.append(Table(caption, heads, tuple(rows)))
    later = (w.LATER.format(name=tell.name(o.planting), says=tell.tell(o.later))
             for o in outlooks if o.later)  # fmt: skip
    yield Block(w.OUTLOOK, tuple(sentence(says) for says in later), tuple(tables))


def _bearing_weeks(outlooks: Sequence[Outlook]) -> list[date]:
    """The weeks up to the last in which anything may still be picked, either way."""
    bearing = {
        week
        for outlook in outlooks
        for spans in (outlook.with_plan, outlook.without)
        for week, span in zip(outlook.weeks, spans, strict=True)
        if figures.coarse(span.high) != "0"
    }
    every = sorted({week for outlook in outlooks for week in outlook.weeks})
    return [week for week in every if bearing and week <= max(bearing)]


def _outlook_rows(outlook: Outlook, shown: Sequence[date], tell: Teller) -> Iterable[Cells]:
    """The weeks of one planting; a second row only where doing nothing would differ."""
    kept, left = (
        tuple(
            _week_cell(dict(zip(outlook.weeks, spans, strict=True)).get(week), tell)
            for week in shown
        )
        for spans in (outlook.with_plan, outlook.without)
    )
    if {*kept, *left} <= {"", "0"}:
        return
    yield (tell.name(outlook.planting), *kept)
    if left != kept:
        yield (f"  {w.NOTHING_DONE}", *left)


def _week_cell(known: Span | None, tell: Teller) -> str:
    if known is None:
        return ""
    low, high = (figures.in_units(end, "kg", tell.units)[0] for end in (known.low, known.high))
    return figures.coarse_range(low, high)


def _standby(advice: StandbyAdvice, tell: Teller) -> str:
    parts = [tell.tell(advice.says), tell.tell(advice.missing), tell.reasons(advice.because)]
    return " ".join(sentence(part) for part in parts if part)


def _last_sowings(lasts: Sequence[LastSowing]) -> Iterable[Table]:
    """Until when each crop of the tin is worth sowing here."""
    rows = tuple(
        (
            capital(one.named),
            *(calendar.short(day) if day else w.NOT_SO for day in (one.in_cups, one.in_place)),
        )
        for one in lasts
        if one.latest is not None
    )
    if rows:
        yield Table(w.LAST_SOWINGS, w.LAST_HEADS, rows)


def _stamp(plan: Plan, tell: Teller) -> Iterable[str]:
    line = w.STAMP_LINE.format(**asdict(plan.stamp))
    previous = plan.stamp.previous
    yield line + (w.PREVIOUS.format(previous=previous) if previous else "")
    if tell.numbers:
        yield w.TASK_IDS.format(ids=", ".join(f"{n} {key}" for key, n in tell.numbers.items()))
