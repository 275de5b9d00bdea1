"""What somebody goes on with after the weeks that a course is searched over, by the rulings."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lattermath.desk.kept_courses import goes_on
from lattermath.desk.season_facts import SeasonFacts, evening_on
from lattermath.planning.going_on import uses_left
from lattermath.planning.means import AT_DUSK
from lattermath.vocabulary.evening import Applied, Evening

if TYPE_CHECKING:
    from lattermath.desk.course_rulings import CourseRulings
    from lattermath.desk.insect_cluster import Cluster
    from lattermath.planning.course_task import Candidate, Step
    from lattermath.planning.going_on import GoingOn, Round

MANY = 99  # uses of what no label limits


@dataclass(slots=True)
class _Later:
    """Rulings on the plantings of a cluster after its last visit, on evenings as they usually are.

    first : day 0 of the belief's cycle.
    """

    facts: SeasonFacts
    rulings: CourseRulings
    first: date
    _evenings: dict[int, Evening] = field(default_factory=dict)

    def permit(
        self,
        candidate: Candidate,
        day: int,
        place: int,
        steps: tuple[Step, ...],
        rounds: tuple[Round, ...],
    ) -> bool:
        """May it be used there that day, behind a course and rounds of the same after it?"""
        rulings, evening = self.rulings, self._evening(day)
        before = [self.facts.evenings[step.visit] for step in steps if place in step.places]
        before += [self._evening(one) for one, there in rounds if place in there]
        arrives = candidate.product is None and candidate.method not in AT_DUSK
        return rulings.permits.rule(
            rulings.plantings[place],
            candidate.method,
            candidate.product,
            evening,
            rulings.minutes(candidate, place),
            [self._applied(candidate, place, one) for one in before],
            starts=evening.arrive if arrives else None,
            generation_days=rulings.generation_days,
            watered=True,
        ).allowed

    def _applied(self, candidate: Candidate, place: int, evening: Evening) -> Applied:
        planting = self.rulings.plantings[place]
        return self.rulings.permits.applied(
            planting, candidate.method, candidate.product, evening.leave
        )

    def _evening(self, day: int) -> Evening:
        if day not in self._evenings:
            facts = self.facts
            on = self.first + timedelta(days=day)
            self._evenings[day] = evening_on(facts.plot, on, facts.runs, facts.today)
        return self._evenings[day]


def going_on_with(cluster: Cluster) -> GoingOn | None:
    """What pays to go on with where the insect was seen, worked out once and then kept."""
    task, belief = cluster.task, cluster.belief
    if not cluster.sick or not task.visits:
        return None
    where = range(len(belief.stands)) if task.where is None else sorted(task.where)
    own = [place for place in where if belief.stands[place].treatable]
    permit = _rulings_after(cluster).permit
    return goes_on(task, own, permit, *cluster.rulings.made_from, cluster.facts.runs)


def _rulings_after(cluster: Cluster) -> _Later:
    first = cluster.facts.today - timedelta(days=cluster.belief.today)
    return _Later(cluster.facts, cluster.rulings, first)


def with_later(cluster: Cluster, later: GoingOn | None) -> Cluster:
    """The cluster with what is gone on with; of what the rulings limit, so much less is left."""
    belief, task = cluster.belief, cluster.task
    if later is None:
        return replace(cluster, later=None, task=replace(task, belief=belief))
    belief = replace(belief, applied=(*belief.applied, *later.applications(task)))
    left = MANY
    if later.candidate.product is not None:
        left = uses_left(task, later, _rulings_after(cluster).permit)
    kept = tuple(
        replace(one, most_uses=min(one.most_uses, left)) if one.key == later.candidate.key else one
        for one in task.candidates
    )
    return replace(cluster, later=later, task=replace(task, belief=belief, candidates=kept))
