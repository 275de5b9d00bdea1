"""The search of a course against one cluster, what is done against others counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_effect import Effect, effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.course_rulings import CourseRulings
from lattermath.desk.covers import covered_now, keeps_out, under_cover
from lattermath.desk.kept_courses import search_course
from lattermath.desk.pest_parts import portions_to_come, seen_on
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning import course_search, courses
from lattermath.planning.common_draws import thinned
from lattermath.planning.means import MESH, cover_of, on_hand
from lattermath.planning.shared_treatments import damage_of

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.desk.permits import Permits
    from lattermath.planning.treating import Spraying

Others: TypeAlias = "tuple[tuple[date, Spraying], ...]"
SUSPECT = 0.2  # judgement: share of the number growers act at from which a look pays
NARROW = (8, 2)  # judgement: courses kept from visit to visit, and re-run, in a narrow search
MESH_ONCE_MIN, MESH_MIN_M2 = 8.0, 1.0  # judgement: fetching, laying, burying the edges
MESH_MIN_VISIT = 2.0  # judgement: lifting it and closing it again at each visit


@dataclass(frozen=True, slots=True, eq=False)
class Cluster:
    """One cluster of insects with everything its course is searched and told with.

    belief : as it is if nothing is done; covers that lie on it now are counted.
    task   : of the search, before anything done against others is counted.
    """

    facts: SeasonFacts
    belief: ClusterBelief
    rulings: CourseRulings
    name: str
    task: course_search.Task
    hurts: float
    _effects: dict[str, Effect | None] = field(default_factory=dict)

    @property
    def visits(self) -> list[date]:
        """The coming visits that the course may use."""
        return self.rulings.visits

    def effects(self, methods: Sequence[str]) -> dict[str, Effect]:
        """What these methods do to the organism, those that do something."""
        tables, belief = self.facts.tables, self.belief
        words = tables.crosswalk.targets.get(belief.organism, ())
        for method in methods:
            if method not in self._effects:
                told = effect_of(tables.methods[method], belief.organism, words, belief.life.stages)
                self._effects[method] = told if method in belief.unknowns.quantiles else None
        found = {method: self._effects[method] for method in methods}
        return {method: effect for method, effect in found.items() if effect is not None}


@dataclass(frozen=True, slots=True, eq=False)
class Searched:
    """A course found for a cluster, and what it was found beside.

    task   : of the search; its belief holds what is done against others, and the cover laid.
    mesh   : places covered at the first visit.
    others : what was done against others.
    """

    cluster: Cluster
    task: course_search.Task
    found: course_search.Found
    rulings: CourseRulings
    mesh: tuple[int, ...] = ()
    others: Others = ()


def cluster_of(
    facts: SeasonFacts,
    belief: ClusterBelief,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
) -> Cluster:
    """One cluster ready to be searched."""
    belief = under_cover(facts, belief)
    plantings = tuple(facts.plot.planting(stand.key) for stand in belief.stands)
    areas = tuple(stand.area_m2 for stand in belief.stands)
    rulings = CourseRulings(facts, permits, plantings, areas, _generation(facts, belief))
    worth = [
        portions_to_come(facts, beliefs[stand.key]) if stand.key in beliefs else 0.0
        for stand in belief.stands
    ]
    hurts = facts.tables.habits[belief.organism].days_for_5_percent.value
    appetite = np.array([belief.life.figures.appetite(s) for s in belief.life.stages])
    task = course_search.Task(
        belief,
        tuple(facts.day_index(day) - belief.first_day for day in rulings.visits),
        _candidates(facts, belief),
        rulings.permit,
        courses.worth_of_insect_days(belief.stands, appetite, worth, hurts),
        facts.plot.household.worth_of_hour / 60,
        _where(facts, belief),
    )
    name = facts.tables.organisms[belief.organism].name
    return Cluster(facts, belief, rulings, name, task, hurts)


def search(
    cluster: Cluster, others: Others, bonus: Mapping[tuple[str, int, int], float] | None = None
) -> Searched:
    """The best course beside what is done against others.

    bonus : what each treatment saves of other organisms (planning.shared_treatments). With it the
            search is a narrow one on few draws, since whoever asks weighs what it finds; None:
            the whole search.
    """
    rulings = replace(cluster.rulings, others=others, _ruled={})
    task = replace(
        cluster.task,
        belief=counted(cluster, others),
        permits=rulings.permit,
        taken=_taken(cluster, others),
    )
    if bonus is None:
        found = search_course(task, *rulings.made_from)
        plain = Searched(cluster, task, found, rulings, (), others)
        return _with_mesh(plain) or plain
    task = replace(task, bonus=bonus, width=NARROW)
    few = replace(task, belief=thinned(task.belief))
    return Searched(cluster, task, search_course(few, *rulings.made_from), rulings, (), others)


def counted(cluster: Cluster, others: Others) -> ClusterBelief:
    """The cluster with what is done against others on its plantings."""
    belief, facts = cluster.belief, cluster.facts
    keys = [stand.key for stand in belief.stands]
    effects = cluster.effects([one.method for _, one in others])
    more = []
    for day, one in others:
        effect = effects.get(one.method)
        if effect is None or one.planting.key not in keys:
            continue
        reach = reach_of(effect, one.surfaces, courses.HAND_COVERAGE, belief.life.figures)
        at = facts.day_index(day) - belief.first_day
        more.append(Application(at, effect, (keys.index(one.planting.key),), reach))
    return replace(belief, applied=(*belief.applied, *more)) if more else belief


def cost_of(searched: Searched, others: Others) -> float:
    """Damage and work of a cluster under its own course and these treatments against others."""
    belief, steps = belief_of(searched, others), searched.found.steps
    sums = course_search.run_course(belief, steps, searched.task.visits)
    damage = float((sums[:, :, 1:].sum(2) * searched.task.worth).sum((1, 2)).mean())
    return damage + course_search.work_of(searched.task, steps) + _mesh_work(searched)


def cost_of_nothing(cluster: Cluster) -> float:
    """Damage of a cluster if nothing at all is done. [portions]"""
    return damage_of(cluster.task, ())[0]


def whole(searched: Searched) -> Searched:
    """A course found on few draws, told on all of them."""
    found, task = searched.found, searched.task
    runs = (course_search.run_course(task.belief, s, task.visits) for s in (found.steps, ()))
    with_it, without = runs
    return replace(searched, found=replace(found, with_it=with_it, without=without))


def belief_of(searched: Searched, others: Others) -> ClusterBelief:
    """The cluster under the cover of its course, with what is done against others."""
    cluster = searched.cluster
    belief = counted(cluster, others)
    return under_cover(cluster.facts, belief, searched.mesh) if searched.mesh else belief


def _taken(cluster: Cluster, others: Others) -> frozenset[tuple[str, int, int]]:
    """What is done anyway, against something else, that evening: it is not done twice."""
    at = {day: visit for visit, day in enumerate(cluster.visits)}
    places = {stand.key: place for place, stand in enumerate(cluster.belief.stands)}
    return frozenset(
        (one.product or one.method, at[day], places[one.planting.key])
        for day, one in others
        if day in at and one.planting.key in places
    )


def _with_mesh(plain: Searched) -> Searched | None:
    """The same with plantings covered from the first visit on, where that pays."""
    cluster, task = plain.cluster, plain.task
    places = _may_cover(plain)
    if not places:
        return None
    bare, shut = (
        course_search.run_course(belief, plain.found.steps, task.visits)
        for belief in (task.belief, under_cover(cluster.facts, task.belief, places))
    )
    saved = ((bare - shut)[:, :, 1:].sum(2) * task.worth).sum(2).mean(0)
    pays = tuple(p for p in places if saved[p] > _mesh_minutes(plain, p) * task.minute_costs)
    if not pays:
        return None
    meshed = replace(task, belief=under_cover(cluster.facts, task.belief, pays))
    found = search_course(meshed, *plain.rulings.made_from)
    tried = replace(plain, task=meshed, found=found, mesh=pays)
    return tried if found.cost + _mesh_work(tried) < plain.found.cost else None


def _may_cover(plain: Searched) -> list[int]:
    """Own places on which a cover that serves may be laid at the first visit."""
    cluster, facts = plain.cluster, plain.cluster.facts
    if keeps_out(facts, cluster.belief.organism) is None or not plain.task.visits:
        return []
    under, laid = covered_now(facts), {one.planting.key for _, one in plain.others
                                       if one.method == MESH}  # fmt: skip
    return [
        place
        for place, stand in enumerate(cluster.belief.stands)
        if stand.treatable and stand.key not in under | laid
        if plain.rulings.permit(mesh_candidate(facts), 0, stand.key, ()).allowed
    ]


def mesh_candidate(facts: SeasonFacts) -> course_search.Candidate:
    """The cover on hand as a treatment is asked for."""
    cover = cover_of(facts.plot) or "mesh"
    return course_search.Candidate(
        MESH, MESH, None, f"Lay the {cover} over, edges buried", courses.no_effect(MESH),
        ("whole",), courses.HAND_COVERAGE, MESH_MIN_M2, MESH_ONCE_MIN,
    )  # fmt: skip


def _mesh_minutes(searched: Searched, place: int) -> float:
    """Minutes of one covered planting, laying and lifting; what is once a visit is left out."""
    area = searched.cluster.belief.stands[place].area_m2
    return MESH_MIN_M2 * area + MESH_MIN_VISIT * len(searched.task.visits)


def _mesh_work(searched: Searched) -> float:
    if not searched.mesh:
        return 0.0
    minutes = MESH_ONCE_MIN + sum(_mesh_minutes(searched, place) for place in searched.mesh)
    return minutes * searched.task.minute_costs


def sick(facts: SeasonFacts, belief: ClusterBelief) -> frozenset[str]:
    """Own plantings on which it was seen and has not been missed since: hands carry it on."""
    own = {stand.key for stand in belief.stands if stand.treatable}
    return frozenset(seen_on(facts, belief.organism) & own)


def suspects(belief: ClusterBelief) -> frozenset[str]:
    """Plantings that should have so many that a look is worth its minutes."""
    habits = belief.life.figures.habits
    action = habits.action.value if habits.action else 1.0
    usual = np.median(courses.counted_today(belief)[0], axis=0)
    return frozenset(
        stand.key
        for stand, number in zip(belief.stands, usual, strict=True)
        if number >= SUSPECT * action and stand.treatable
    )


def _candidates(facts: SeasonFacts, belief: ClusterBelief) -> tuple[course_search.Candidate, ...]:
    return courses.candidates_of(
        facts.plot.shelf,
        facts.tables.methods,
        facts.tables.crosswalk.targets.get(belief.organism, ()),
        belief.life.stages,
        belief.organism,
        facts.plot.household,
        on_hand(facts.plot),
    )


def _where(facts: SeasonFacts, belief: ClusterBelief) -> frozenset[int]:
    """Places to treat: where it was seen, or should by now be found by a look."""
    likely = sick(facts, belief) | suspects(belief)
    return frozenset(place for place, stand in enumerate(belief.stands) if stand.key in likely)


def _generation(facts: SeasonFacts, belief: ClusterBelief) -> float:
    """Days from egg to adult at the mean of the coming month. [d]"""
    ahead = slice(facts.today_index, facts.today_index + 30)
    mean = float((facts.t_min[:, ahead] + facts.t_max[:, ahead]).mean() / 2)
    return float(1.0 / max(float(belief.life.pace(mean)), 1e-3))
