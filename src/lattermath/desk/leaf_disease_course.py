"""The search of a course against one leaf disease, what is done against others counted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_covers import LeafApplication, leaf_reach
from lattermath.belief.leaf_disease import LeafAhead, LeafBelief
from lattermath.desk.course_rulings import CourseRulings
from lattermath.desk.kept_courses import bar_from, said, steps_from
from lattermath.desk.leaf_disease_belief import effects, followed_diseases, haulm_off
from lattermath.desk.pest_parts import amounts_for, bearing_days, portions_to_come
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import courses, leaf_bound, leaf_disease_candidates
from lattermath.planning.course_task import Alternative, Step
from lattermath.planning.leaf_disease_courses import (
    LeafFound,
    LeafTask,
    applications_of,
    cost_of_series,
    ill_places,
    kept_of_run,
    or_nothing,
    portions_by_day,
    search_leaf_course,
    told_again,
    work_of_series,
)
from lattermath.planning.taken_together import Left, Takes, left_in, mark_of
from lattermath.planning.treating import Spraying

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.belief.leaf_disease_effect import LeafEffect
    from lattermath.desk.insect_cluster import Others
    from lattermath.desk.permits import Permits

FloatArray = NDArray[np.float64]

ALL: Left = {}  # nobody else takes anything
BOTH_SIDES = leaf_disease_candidates.BOTH_SIDES


@dataclass(frozen=True, slots=True, eq=False)
class LeafCase:
    """One disease ready to be searched, before anything done against others is counted.

    known           : what each method does to it.
    ill             : own plantings that show it, or soon will.
    cost_of_nothing : damage if nothing at all is done. [portions]
    ahead           : the disease ready to be run under one plan after another.
    """

    facts: SeasonFacts
    belief: LeafBelief
    rulings: CourseRulings
    task: LeafTask
    known: Mapping[str, LeafEffect]
    ill: frozenset[str]
    cost_of_nothing: float
    ahead: LeafAhead
    _found: dict[tuple[Others, str], LeafSearched] = field(default_factory=dict, init=False)

    @property
    def bits(self) -> tuple[object, ...]:
        """Everything that a search of it reads."""
        task = self.task
        return (
            self.belief, self.rulings.made_from, task.visits, task.candidates, task.effects,
            task.portions, task.loss, task.minute_cost, task.when, task.pays, self.known, self.ill,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class LeafSearched:
    """A course found for a disease, and what it was found beside.

    task : of the search; its belief holds what is done against others.
    """

    case: LeafCase
    task: LeafTask
    rulings: CourseRulings
    found: LeafFound
    others: Others = ()


def leaf_cases(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> list[LeafCase]:
    """Every followed disease, ready to be searched."""
    return [leaf_case(facts, one, beliefs, permits) for one in followed_diseases(facts)]


def leaf_case(
    facts: SeasonFacts,
    belief: LeafBelief,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
) -> LeafCase:
    """One disease with its rulings, its means and what it can cost."""
    plantings = tuple(facts.plot.planting(stand.key) for stand in belief.stands)
    areas = tuple(stand.area_m2 for stand in belief.stands)
    rulings = CourseRulings(facts, permits, plantings, areas, bars=permits.picks)
    ceases = facts.tables.constants["when_control_stops_paying"]
    known = effects(facts, belief.disease.id)
    candidates = leaf_disease_candidates.leaf_candidates(
        facts.usable, facts.tables.methods, known, facts.plot.household
    )
    off = haulm_off(facts, belief.disease.id, plantings)
    worth = [
        portions_to_come(facts, beliefs[p.key]) if p.key in beliefs and n not in off else 0.0
        for n, p in enumerate(plantings)
    ]
    task = LeafTask(
        belief,
        tuple(facts.day_index(day) - belief.first_day for day in rulings.visits),
        candidates,
        {one.key: known[one.method] for one in candidates},
        rulings.permit,
        np.array(worth),
        leaf_disease_candidates.loss_of(belief.disease, ceases),
        facts.plot.household.worth_of_hour / 60,
        np.stack([bearing_days(facts, beliefs.get(p.key)) for p in plantings]),
        leaf_disease_candidates.still_pays(ceases),
        barred=rulings.barred,
        comes_off=off,
    )
    ill = frozenset(belief.stands[place].key for place in ill_places(belief))
    nothing = cost_of_series(task, ())
    return LeafCase(facts, belief, rulings, task, known, ill, nothing, LeafAhead.of(belief))


def search_leaf(
    case: LeafCase,
    others: Others,
    besides: Callable[[Others], float] | None = None,
    left: Left = ALL,
) -> LeafSearched:
    """The best series beside what is done against others.

    besides : what everything else costs under the work of a series. [portions]
    left    : share of each planting's yield that all others leave; no more is there to be saved.

    Without it the same is not searched twice: where a planting comes out tonight, a disease is as
    it was found before.
    """
    asked = (others, mark_of(left))
    if besides is None and asked in case._found:
        return case._found[asked]
    rulings = replace(case.rulings, others=others, _ruled={})
    task = replace(
        case.task,
        belief=counted_leaf(case, others),
        permits=rulings.permit,
        barred=rulings.barred,
        taken=_taken(case, others),
        besides=None if besides is None else lambda steps: besides(leaf_work_of(case, steps)),
        left=_left_here(case, left),
    )
    best = or_nothing(task, leaf_bound.or_cheaper(task, search_leaf_course(task)))
    found = LeafSearched(case, task, rulings, best, others)
    if besides is None:
        case._found[asked] = found
    return found


def leaf_beside(searched: LeafSearched, others: Others, left: Left = ALL) -> LeafSearched:
    """The same course, ruled, counted and told beside other work than it was found beside, of what
    all others leave."""
    case = searched.case
    here, was = _left_here(case, left), searched.task.left
    same = here is was or (here is not None and was is not None and np.array_equal(here, was))
    if same and set(others) == set(searched.others):
        return searched
    rulings = replace(case.rulings, others=others, _ruled={})
    belief = counted_leaf(case, others)
    task = replace(
        searched.task,
        belief=belief,
        permits=rulings.permit,
        barred=rulings.barred,
        taken=_taken(case, others),
        left=here,
    )
    return replace(
        searched,
        task=task,
        rulings=rulings,
        found=told_again(task, searched.found),
        others=others,
    )


def leaf_in_words(searched: LeafSearched) -> dict[str, Any]:
    """What was found, without what was done against others and without its runs."""
    found = searched.found
    return {
        "steps": [said(step) for step in found.steps],
        "next_best": [said(step) for step in found.next_best],
        "alternatives": [[said(step) for step in one.steps] for one in found.alternatives],
        "refused": [asdict(bar) for bar in found.refused],
        "too_late": [asdict(bar) for bar in found.too_late],
        "stripped": found.stripped,
    }


def leaf_from_words(case: LeafCase, words: Mapping[str, Any]) -> LeafSearched:
    """The same course before anything done against others is counted."""
    task, never = case.task, np.zeros(0)
    found = LeafFound(
        steps_from(task.candidates, words["steps"]),
        0.0,
        0.0,
        never,
        never,
        tuple(map(bar_from, words["refused"])),
        tuple(map(bar_from, words["too_late"])),
        task.loss,
        words["stripped"],
        steps_from(task.candidates, words["next_best"]),
        tuple(
            Alternative("", steps_from(task.candidates, steps), 0.0, 0.0)
            for steps in words["alternatives"]
        ),
    )
    bare = LeafSearched(case, task, case.rulings, found)
    return replace(bare, found=told_again(task, found))


def leaf_takes(searched: LeafSearched, others: Others) -> Takes:
    """What a disease takes under its own course and these treatments against others, by itself."""
    case, steps = searched.case, searched.found.steps
    run = case.ahead.run([*_done_anyway(case, others), *applications_of(case.task, steps)])
    keys = tuple(stand.key for stand in case.belief.stands)
    bears = portions_by_day(case.task, run)[None]
    return Takes(keys, kept_of_run(case.task, run), bears, work_of_series(case.task, steps))


def _left_here(case: LeafCase, left: Left) -> FloatArray | None:
    """What all others leave of its plantings, in their order."""
    keys = [stand.key for stand in case.belief.stands]
    days = 0 if case.task.when is None else case.task.when.shape[1]
    return left_in(left, keys, days)


def counted_leaf(case: LeafCase, others: Others) -> LeafBelief:
    """The disease with what is done against others on its plantings."""
    more = _done_anyway(case, others)
    return replace(case.belief, applied=(*case.belief.applied, *more)) if more else case.belief


def _done_anyway(case: LeafCase, others: Others) -> list[LeafApplication]:
    """What is done against others and takes of the disease."""
    keys, facts = [stand.key for stand in case.belief.stands], case.facts
    found = []
    for day, one in others:
        effect = case.known.get(one.method)
        if effect is None or one.planting.key not in keys:
            continue
        reach = leaf_reach(effect, one.surfaces, courses.HAND_COVERAGE)
        at = facts.day_index(day) - case.belief.first_day
        found.append(LeafApplication(at, effect, (keys.index(one.planting.key),), reach))
    return found


def leaf_work_of(case: LeafCase, steps: tuple[Step, ...]) -> Others:
    """The treatments of a series by day, one for each step and planting."""
    return tuple(
        (case.rulings.visits[step.visit], _spraying(case, steps, step, place, first=n == 0))
        for step in steps
        for n, place in enumerate(step.places)
    )


def with_worth_of_leaves(found: LeafFound, work: Others) -> Others:
    """The treatments with what each saves on the mean, its work counted, in equal parts."""
    each = max(found.cost_of_nothing - found.cost, 0.0) / max(len(work), 1)
    return tuple((day, replace(one, worth=each)) for day, one in work)


def _spraying(
    case: LeafCase, steps: tuple[Step, ...], step: Step, place: int, *, first: bool
) -> Spraying:
    """One step on one planting. `first` of its evening: mixing is counted with it."""
    planting, candidate = case.rulings.plantings[place], step.candidate
    label = case.rulings.permits.label(candidate.product)
    begins = step is steps[0]
    return Spraying(
        method=candidate.method,
        product=candidate.product,
        target=case.belief.disease.id,
        target_name=case.belief.disease.name,
        planting=planting,
        minutes=case.rulings.minutes(candidate, place, first=first),
        amounts=amounts_for(case.facts, label, planting, BOTH_SIDES),
        surfaces=BOTH_SIDES,
        product_name=candidate.name,
        sprayed=label is not None,
        wasted="" if begins or label is None else f"the first {candidate.name} is wasted",
    )


def _taken(case: LeafCase, others: Others) -> frozenset[tuple[str, int, int]]:
    """What is done anyway, against something else, that evening: it is not done twice."""
    at: dict[date, int] = {day: visit for visit, day in enumerate(case.rulings.visits)}
    places = {stand.key: place for place, stand in enumerate(case.belief.stands)}
    return frozenset(
        (one.product or one.method, at[day], places[one.planting.key])
        for day, one in others
        if day in at and one.planting.key in places
    )
