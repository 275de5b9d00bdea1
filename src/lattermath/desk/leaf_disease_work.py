"""The course against a leaf disease as work: treatments by visit, looks, and losses."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

import numpy as np

from lattermath.desk.free_days import leaf_waits_told, with_waits
from lattermath.desk.insect_cluster import Others
from lattermath.desk.leaf_at_odds import leaf_with_odds
from lattermath.desk.leaf_did_it_work import did_it_work_on_leaves
from lattermath.desk.leaf_disease_course import (
    LeafCase,
    LeafSearched,
    leaf_work_of,
    with_worth_of_leaves,
)
from lattermath.desk.leaf_gap import leaf_gap
from lattermath.desk.leaf_watches import leaf_watches
from lattermath.desk.pest_parts import PestPart, PestTold, last_looks, seen_on, with_telling
from lattermath.planning import (
    choices_told,
    courses,
    fates,
    leaf_disease_courses,
    leaf_disease_told,
    none_found,
    presence,
    turning,
)
from lattermath.planning.course_task import hazards
from lattermath.planning.leaf_disease_courses import LeafFound, told_again
from lattermath.planning.leaf_turning import severity_turn
from lattermath.vocabulary.plan import CourseStep

BRANCHES = "branch and bound"  # how far from the best is reckoned so


def leaf_part(searched: LeafSearched) -> PestPart:
    """What the course found against one disease means for the plan."""
    facts, belief, found = searched.case.facts, searched.case.belief, searched.found
    if searched.task.belief is not belief:  # then the search counted more than nothing at all
        found = replace(found, without=belief.ahead())
    found = replace(
        found,
        with_it=belief.by_chance(found.with_it),
        without=belief.by_chance(found.without),
    )
    seen = seen_on(facts, belief.disease.id)
    return PestPart(
        leaf_work_of(searched.case, found.steps),
        _cares(searched, found),
        frozenset(seen) & {p.key for p in facts.plot.standing()},
        _shared(searched),
        partial(_told, searched, found, seen),
    )


def missed_leaf_part(case: LeafCase) -> PestPart:
    """A disease that every look missed, as it goes into a plan: no course, no cost, its looks.

    Its belief stays, since ten leaves with none leave room for some (as of insects: `pests_known`).
    """
    return PestPart((), {}, frozenset(), (), partial(_told_missed, case))


def _told_missed(case: LeafCase) -> PestTold:
    """What is said of it, and its looks: each may find some, and then there is something to do."""
    belief, task = case.belief, case.task
    looked = last_looks(case.facts, belief.disease.id)
    where = {s.key: (s.name, looked[s.key]) for s in belief.stands if s.key in looked}
    blank = LeafFound((), 0.0, 0.0, np.zeros(0), np.zeros(0), loss=task.loss)
    left_alone = LeafSearched(case, task, case.rulings, told_again(task, blank))
    told = none_found.none_found(belief.disease.id, belief.disease.name, where, belief.serials)
    return PestTold(told, (), leaf_watches(left_alone, left_alone.found))


def _told(searched: LeafSearched, found: LeafFound, seen: set[str]) -> PestTold:
    """Say it.

    found : the course, and nothing done, each as it goes by chance.
    seen  : the plantings that show it.
    """
    facts, belief = searched.case.facts, searched.case.belief
    population = leaf_disease_told.leaf_population(
        belief,
        found,
        searched.rulings.visits,
        facts.today,
        belief.disease.name,
        tuple(dict.fromkeys(one.target_name for _, one in _taking_of_it(searched))),
        choices_told.Asked(
            searched.task,
            tuple(leaf_disease_courses.ill_places(searched.task.belief)),
            tuple(searched.rulings.visits),
            leaf_disease_courses.damage_in_draws(searched.task, found.without),
        ),
    )
    turn = severity_turn(searched.task, searched.found)
    turns = () if turn is None else turning.reasons((turn,))
    work, bars = leaf_work_of(searched.case, found.steps), searched.rulings.bars
    gives, waits = () if bars is None else bars.told(work), leaf_waits_told(searched)
    gap = leaf_gap(searched)
    told = with_worth_of_leaves(found, work if bars is None else bars.with_reasons(work))
    odds = leaf_with_odds(facts, belief, population)
    worked, proofs = did_it_work_on_leaves(facts, belief)
    return PestTold(
        replace(
            odds,
            says=population.says + worked,
            turn=turn,
            because=(
                *gives,
                *waits.values(),
                *population.because,
                *turns,
                *proofs,
                *courses.gap_told(gap if found.steps else None, BRANCHES),
            ),
            gap=gap,
            course=_whole_course(searched, population.course),
            where=presence.where_leaves_are_ill(belief, seen),
            so_far=presence.leaves_so_far(belief, facts.today),
        ),
        with_waits(told, waits, found.steps, searched.rulings),
        with_telling(leaf_watches(searched, found), odds.look_at),
    )


def _shared(searched: LeafSearched) -> Others:
    """Treatments against others that take of the disease where it was seen: one work for both."""
    disease = searched.case.belief.disease
    return tuple(
        (day, replace(one, target=disease.id, target_name=disease.name, because=()))
        for day, one in _taking_of_it(searched)
    )


def _taking_of_it(searched: LeafSearched) -> Others:
    """The same as they are planned against the others."""
    case = searched.case
    here = seen_on(case.facts, case.belief.disease.id)
    return tuple(
        (day, one)
        for day, one in searched.others
        if one.method in case.known and one.planting.key in here and day in case.rulings.visits
    )


def _whole_course(searched: LeafSearched, own: tuple[CourseStep, ...]) -> tuple[CourseStep, ...]:
    """Its own steps and those done against others that take of it, by day."""
    steps = list(own)
    for day, one in _shared(searched):
        steps.append(
            CourseStep(
                day,
                one.method,
                one.product,
                (one.planting.key,),
                f"{one.product_name}, as planned against others",
            )
        )
    return tuple(sorted(steps, key=lambda step: step.day))


def _cares(searched: LeafSearched, found: LeafFound) -> dict[str, fates.Care]:
    """Share of the yield that the leaves left keep, with and without the course."""
    cares = {}
    for place, stand in enumerate(searched.case.belief.stands):
        if not stand.treatable:
            continue
        steps = [step for step in found.steps if place in step.places]
        minutes = sum(searched.rulings.minutes(step.candidate, place) for step in steps)
        cares[stand.key] = fates.Care(
            left=leaf_disease_told.yield_kept_by_leaf(found.without, place, found.loss),
            fought=leaf_disease_told.yield_kept_by_leaf(found.with_it, place, found.loss),
            work=minutes,
            treatments=hazards(
                [step.candidate for step in steps],
                searched.case.facts.plot.household.worth_of_treatment,
            ),
        )
    return cares
