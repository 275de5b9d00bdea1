"""What the laid out visits add to what is decided: frost first, and what finds no time is told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from lattermath.desk.frost import frost_coming, frost_visit, told_before_frost
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import CourseStep, Population, Verdict, VisitPlan

# What a frost asks for, by whether anything is picked before it, and whether covered.
BEFORE_FROST = {
    (True, True): (
        "pick what is tender and cover what is to stay",
        "Pick what is tender, and cover.",
    ),
    (True, False): ("pick what is tender", "Pick what is tender."),
    (False, True): ("cover what is to stay", "Cover."),
    (False, False): ("", ""),
}
ALL_ELSE = "All else can wait."
TONIGHT = " tonight"


def warned(facts: SeasonFacts, visits: tuple[VisitPlan, ...]) -> tuple[VisitPlan, ...]:
    """A frost to come stands before everything else on the sheet, with what is done before it."""
    on = frost_visit(facts)
    kinds = {task.kind for visit in visits if visit.date == on for task in visit.tasks if task.must}
    does, first_of_all = BEFORE_FROST["pick" in kinds, "cover" in kinds]
    frost = frost_coming(facts, does)
    if not frost or not visits:
        return visits
    first = visits[0]
    told = ". ".join(words.rstrip(".") for words in (frost, first.warning) if words)
    short = f"{first_of_all} {ALL_ELSE}" if first_of_all else first.short_of_time
    return (replace(first, warning=told, short_of_time=short), *visits[1:])


def verdicts_told(
    facts: SeasonFacts, worked: WorkedOut, visits: Sequence[VisitPlan]
) -> tuple[Verdict, ...]:
    """Every verdict; what is decided for tonight and finds no time says when it is done."""
    decided = {key: one.verdict for key, one in worked.crops.decisions.items()}
    bare = {key: one.verdict for key, one in worked.crops.fillings.items()}
    chosen = {key: one.chosen for key, one in worked.crops.fillings.items()}
    grounds = {bed.key: bed.name for bed in facts.plot.beds}
    told = [_in_time(one, [("pull", key, None)], visits) for key, one in decided.items()]
    for key, one in bare.items():
        ground = grounds.get(key, "the bed")
        goes = [("set out", chosen[key].lot, ground), ("sow", chosen[key].crop, ground)]
        told.append(_in_time(one, goes, visits))
    return tuple(told_before_frost(facts, told))


def _in_time(
    verdict: Verdict,
    work: Iterable[tuple[str, str | None, str | None]],
    visits: Sequence[VisitPlan],
) -> Verdict:
    """The verdict, with the visit that has time for it where tonight's has none.

    work : kind, plants and ground or method of what it asks for, as ids of tasks are made.
    """
    if not visits or not verdict.says.endswith(TONIGHT):
        return verdict
    first, *later = visits
    ids = {task_id(first.date, *one) for one in work}
    if not ids & set(first.no_time):
        return verdict
    for visit in later:
        ids = {task_id(visit.date, *one) for one in work}
        if any(task.id in ids for task in visit.tasks):
            day = f" on {said(visit.date)}, no time for it tonight"
            return replace(verdict, says=verdict.says.removesuffix(TONIGHT) + day)
    day = " when there is time for it: none tonight"
    return replace(verdict, says=verdict.says.removesuffix(TONIGHT) + day)


def courses_told(
    populations: Iterable[Population], visits: Sequence[VisitPlan]
) -> tuple[Population, ...]:
    """Every course; its steps name the plantings for which their visit has no time."""
    no_time = {visit.date: set(visit.no_time) for visit in visits}
    return tuple(
        replace(one, course=tuple(_step(step, no_time.get(step.day, set())) for step in one.course))
        for one in populations
    )


def _step(step: CourseStep, no_time: set[str]) -> CourseStep:
    left = (
        key for key in step.plantings if task_id(step.day, "treat", key, step.method) in no_time
    )
    return replace(step, no_time=tuple(left))
