"""What is known to live on the plantings, ready to be searched for courses; and what none was
found of; and on which days they are treated.

An insect that every look missed keeps its belief, since a count of none leaves room for some, but
nothing is treated, priced or told as living on the plot that nobody has seen there: only what a
look for it is worth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

from lattermath.belief.natural_enemies import METHOD as ENEMIES
from lattermath.belief.treatment_effect import LEAST_KILL
from lattermath.desk.at_odds import doubted, odds_of
from lattermath.desk.goes_on import going_on_with, with_later
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, Searched, cluster_of
from lattermath.desk.pest_parts import PestPart, PestTold, ever_found
from lattermath.planning import course_task
from lattermath.planning.none_found import none_found
from lattermath.planning.pest_beside import Treated
from lattermath.vocabulary.events import Sighting

if TYPE_CHECKING:
    from lattermath.belief.cluster_plantings import Stand
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.belief.treatment_effect import Effect
    from lattermath.desk.permits import Permits
    from lattermath.desk.season_facts import SeasonFacts
    from lattermath.planning.watch import Watch

MEANS_VISITS = 3  # judgement: coming visits at which it is asked what may be used

LooksOf: TypeAlias = "Callable[[Searched], tuple[Watch, ...]]"


def clusters_of(
    facts: SeasonFacts,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
) -> list[Cluster]:
    """One cluster for each insect or mite that something was seen of, or that was looked for, with
    what is gone on with after the weeks that its course is searched over."""
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    found = [
        cluster_of(facts, belief, beliefs, permits)
        for organism in facts.tables.organisms
        if organism in seen and (belief := believe_insects(facts, organism, held=True)) is not None
    ]
    return [with_later(cluster, going_on_with(cluster)) for cluster in map(_with_odds, found)]


def _with_odds(cluster: Cluster) -> Cluster:
    """The cluster with the looks that disagree with what was believed before them.

    Of an insect that every look missed none are told.
    """
    if not ever_found(cluster.facts, cluster.belief.organism):
        return cluster
    odds = odds_of(cluster.facts, cluster.belief)
    return replace(cluster, odds=odds, doubted=doubted(cluster.belief, odds))


def none_found_part(cluster: Cluster, looks_of: LooksOf) -> PestPart:
    """An insect that every look missed, as it goes into a plan.

    looks_of : watches of a course, with what a look is worth beside it.
    """
    return PestPart((), {}, frozenset(), (), partial(_told, cluster, looks_of))


def _told(cluster: Cluster, looks_of: LooksOf) -> PestTold:
    """What is said of it, and its looks: each may find some, and then there is something to do."""
    belief, task = cluster.belief, cluster.task
    asked = {e.payload.planting for e in cluster.facts.events if e.serial in belief.serials
             and isinstance(e.payload, Sighting)}  # fmt: skip
    where = {s.key: (s.name, cluster.looked.get(s.key)) for s in belief.stands if s.key in asked}
    run = course_task.run_course(belief, (), task.visits)
    costs = float(course_task.cost_in_draws(task, ()).mean())
    left_alone = Searched(
        cluster, task, course_task.Found((), costs, costs, run, run, ()), cluster.rulings
    )
    told = none_found(belief.organism, cluster.name, where, belief.serials)
    return PestTold(told, (), looks_of(left_alone))


def treatments(facts: SeasonFacts, insects: Sequence[Searched]) -> Treated:
    """What was and will be done against each organism on each planting, and what may be.

    Of what is done against others, what takes of it counts.
    """
    days: dict[tuple[str, str], set[int]] = {}
    by: dict[tuple[str, str], tuple[str, ...]] = {}
    for one in insects:
        belief = one.task.belief
        for key, day in _days(one):
            days.setdefault((key, belief.organism), set()).add(belief.first_day + day)
        for stand in belief.stands:
            by[stand.key, belief.organism] = tuple(_names(one, stand))
    for made in facts.applied:
        days.setdefault((made.planting, ""), set()).add(facts.day_index(made.at.date()))
    follows = frozenset(one.task.belief.organism for one in insects)
    return Treated({key: tuple(sorted(some)) for key, some in days.items()}, by, follows)


def _days(one: Searched) -> Iterator[tuple[str, int]]:
    """Plantings that are treated against it, with the day of its cycle."""
    belief = one.task.belief
    for step in one.found.steps:
        for place in step.places:
            yield belief.stands[place].key, one.task.visits[step.visit]
    for done in belief.applied:
        if done.effect.method != ENEMIES and _takes(done.effect):
            for place in done.places:
                yield belief.stands[place].key, done.day


def _names(one: Searched, stand: Stand) -> Iterator[str]:
    """What may be used against it there at one of the next visits."""
    task = one.task
    visits = range(min(MEANS_VISITS, len(task.visits)))
    for candidate in task.candidates if stand.treatable else ():
        if any(task.permits(candidate, visit, stand.key, ()).allowed for visit in visits):
            yield candidate.name


def _takes(effect: Effect) -> bool:
    return max((kill[1] for kill in effect.kill.values()), default=0.0) >= LEAST_KILL
