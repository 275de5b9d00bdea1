"""One cluster of insects with everything its course is searched and told with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_effect import Effect, effect_of, takes_what_is_counted
from lattermath.desk.at_stake import stakes_of
from lattermath.desk.course_rulings import CourseRulings
from lattermath.desk.covers import under_cover
from lattermath.desk.enemies_seen import dearer_for_enemies
from lattermath.desk.film_on_leaves import under_film
from lattermath.desk.pest_parts import (
    bearing_portions,
    carried_from,
    counted_on,
    last_looks,
    seen_ever,
    seen_on,
)
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wilt import harm
from lattermath.planning import course_task, courses
from lattermath.planning.means import on_hand

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.desk.at_odds import Odd
    from lattermath.desk.permits import Permits
    from lattermath.planning.going_on import GoingOn
    from lattermath.planning.treating import Spraying

Others: TypeAlias = "tuple[tuple[date, Spraying], ...]"
SUSPECT = 0.2  # judgement: share of the number growers act at from which a look pays


@dataclass(frozen=True, slots=True, eq=False)
class Cluster:
    """One cluster of insects with everything its course is searched and told with.

    belief : as it is if nothing is done; covers that lie on it now are counted.
    task   : of the search, before anything done against others is counted.
    hurts  : feeding days on a square centimetre that cost a twentieth, by planting. [d/cm2]
    sick   : own plantings on which it was seen and has not been missed since.
    looked : the last day on which each planting was looked over for it.
    odds   : looks that disagree with the belief before them, explained.
    doubted : plantings whose find is more likely a slip, a miscount or another pest.
    later  : what is reckoned after the weeks that are searched; the task counts it, the belief
             does not.
    """

    facts: SeasonFacts
    belief: ClusterBelief
    rulings: CourseRulings
    name: str
    task: course_task.Task
    hurts: Mapping[str, float]
    sick: frozenset[str]
    looked: Mapping[str, date]
    odds: tuple[Odd, ...] = ()
    doubted: frozenset[str] = frozenset()
    later: GoingOn | None = None
    _effects: dict[str, Effect | None] = field(default_factory=dict)

    @property
    def visits(self) -> list[date]:
        """The coming visits that the course may use."""
        return self.rulings.visits

    def later_uses(self, place: int) -> list[course_task.Candidate]:
        """What is gone on with on one planting, once for each time."""
        return [] if self.later is None else [self.later.candidate] * self.later.times(place)

    def effects(self, methods: Sequence[str]) -> dict[str, Effect]:
        """What these methods do to the organism, those that do something."""
        tables, belief = self.facts.tables, self.belief
        words = tables.crosswalk.targets.get(belief.organism, ())
        methods = [method for method in methods if method in tables.methods]
        for method in methods:
            if method not in self._effects:
                told = effect_of(tables.methods[method], belief.organism, words, belief.life.stages)
                self._effects[method] = told if method in belief.unknowns.quantiles else None
        found = {method: self._effects[method] for method in methods}
        return {method: effect for method, effect in found.items() if effect is not None}

    def treating(self, methods: Sequence[str]) -> dict[str, Effect]:
        """The same of those only that take enough of what growers count."""
        figures = self.belief.life.figures
        every = self.effects(methods).items()
        return {one: effect for one, effect in every if takes_what_is_counted(effect, figures)}


@dataclass(frozen=True, slots=True, eq=False)
class Searched:
    """A course found for a cluster, and what it was found beside.

    task   : of the search; its belief holds what is done against others, and the cover laid.
    mesh   : places covered at the first visit.
    film   : places that get a particle film at the first visit.
    others : what was done against others.
    priced : digest of the course, and of what lay beside it, that the prices of `found` are for.
    """

    cluster: Cluster
    task: course_task.Task
    found: course_task.Found
    rulings: CourseRulings
    mesh: tuple[int, ...] = ()
    others: Others = ()
    film: tuple[int, ...] = ()
    priced: str = ""


def cluster_of(
    facts: SeasonFacts,
    belief: ClusterBelief,
    beliefs: Mapping[str, CropBelief],
    permits: Permits,
) -> Cluster:
    """One cluster ready to be searched."""
    belief = under_film(facts, under_cover(facts, belief))
    plantings = tuple(facts.plot.planting(stand.key) for stand in belief.stands)
    areas = tuple(stand.area_m2 for stand in belief.stands)
    ill, looked = sick(facts, belief), last_looks(facts, belief.organism)
    counted = counted_on(facts, belief.organism, facts.today)
    rulings = CourseRulings(
        facts, permits, plantings, areas, _generation(facts, belief), none_tonight=counted - ill,
        bars=permits.picks,
    )  # fmt: skip
    bearing = [bearing_portions(facts, beliefs.get(stand.key)) for stand in belief.stands]
    hurts = harm(facts, belief)
    stakes = stakes_of(facts.tables, belief, bearing, hurts)
    task = course_task.Task(
        belief,
        tuple(facts.day_index(day) - belief.first_day for day in rulings.visits),
        dearer_for_enemies(_candidates(facts, belief), facts, belief, stakes),
        rulings.permit,
        stakes,
        facts.plot.household.worth_of_hour / 60,
        _where(facts, belief),
        barred=rulings.barred,
    )
    name = facts.called.get(belief.organism) or facts.tables.organisms[belief.organism].name
    return Cluster(facts, belief, rulings, name, task, hurts, ill, looked)


def sick(facts: SeasonFacts, belief: ClusterBelief) -> frozenset[str]:
    """Own plantings on which it was seen and has not been missed since."""
    return frozenset(seen_on(facts, belief.organism) & _own(belief))


def found_there(cluster: Cluster) -> frozenset[str]:
    """Plantings on which some look of the season found it, and not one that is doubted."""
    return seen_ever(cluster.facts, cluster.belief.organism) - cluster.doubted


def carried_on(cluster: Cluster) -> frozenset[str]:
    """Own plantings that hands carry it on from: those it was seen on, and those of full cards."""
    found = carried_from(cluster.facts, cluster.belief.organism)
    return frozenset(found & _own(cluster.belief))


def _own(belief: ClusterBelief) -> set[str]:
    return {stand.key for stand in belief.stands if stand.treatable}


def suspects(facts: SeasonFacts, belief: ClusterBelief) -> frozenset[str]:
    """Plantings that should have so many that a look is worth its minutes."""
    habits, harms = belief.life.figures.habits, harm(facts, belief)
    action = habits.action.value if habits.action else 1.0
    usual = np.median(courses.counted_today(belief)[0], axis=0)
    return frozenset(
        stand.key
        for stand, number in zip(belief.stands, usual, strict=True)
        if number >= SUSPECT * action * harms[stand.key] / habits.days_for_5_percent.value
        and stand.treatable
    )


def _candidates(facts: SeasonFacts, belief: ClusterBelief) -> tuple[course_task.Candidate, ...]:
    return courses.candidates_of(
        facts.usable,
        facts.tables.methods,
        facts.tables.crosswalk.targets.get(belief.organism, ()),
        belief.life.stages,
        belief.organism,
        facts.plot.household,
        on_hand(facts.plot),
    )


def _where(facts: SeasonFacts, belief: ClusterBelief) -> frozenset[int]:
    """Places to treat: where it was seen, or should by now be found by a look."""
    likely = sick(facts, belief) | suspects(facts, belief)
    return frozenset(place for place, stand in enumerate(belief.stands) if stand.key in likely)


def _generation(facts: SeasonFacts, belief: ClusterBelief) -> float:
    """Days from egg to adult at the mean of the coming month. [d]"""
    ahead = slice(facts.today_index, facts.today_index + 30)
    mean = float((facts.t_min[:, ahead] + facts.t_max[:, ahead]).mean() / 2)
    return float(1.0 / max(float(belief.life.pace(mean)), 1e-3))
