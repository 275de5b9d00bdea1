"""What is known to live on the plantings, ready to be searched for courses; and what none was
found of.

An insect that every look missed keeps its belief, since a count of none leaves room for some, but
nothing is treated, priced or told as living on the plot that nobody has seen there: only what a
look for it is worth.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, TypeAlias

from lattermath.desk.goes_on import going_on_with, with_later
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, Searched, cluster_of
from lattermath.desk.pest_parts import PestPart, PestTold
from lattermath.planning import course_task
from lattermath.planning.none_found import none_found
from lattermath.vocabulary.events import Sighting

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.desk.permits import Permits
    from lattermath.desk.season_facts import SeasonFacts
    from lattermath.planning.watch import Watch

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
    return [with_later(cluster, going_on_with(cluster)) for cluster in found]


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
