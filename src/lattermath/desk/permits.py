"""Asks the rulings what may be done at a coming visit, for one treatment and for whole courses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cached_property

from lattermath.belief.soil import BedSoil
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.course_search import Candidate, Step
from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.garden_limits import may_plant
from lattermath.planning.label_limits import may_treat
from lattermath.planning.leaf_sightings import sick_leaves
from lattermath.planning.own_cautions import Cautions, own_cautions
from lattermath.planning.sick_leaves import SickLeaves, kept_dry
from lattermath.planning.treating import Spraying
from lattermath.planning.treatment_request import (
    Surroundings,
    applied_to,
    request_for,
    surroundings_of,
)
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling, ruling

COURSE_DAYS = 35  # judgement: five weeks hold every course the trade knows
DRY_CHANCE = 0.5  # judgement: the ground is called dry when more than half of the draws say so


def permits_of(facts: SeasonFacts, ground: Mapping[str, BedSoil]) -> Permits:
    """Give the rulings of this plot, by its labels and the cautions of the tables."""
    return Permits(facts, own_cautions(facts.tables), ground)


@dataclass(slots=True)
class Permits:
    """Rulings on this plot's plantings, shelf and evenings."""

    facts: SeasonFacts
    cautions: Cautions
    ground: Mapping[str, BedSoil]
    _round: dict[str, Surroundings] = field(default_factory=dict)
    _sick: Mapping[str, tuple[SickLeaves, ...]] | None = None

    def label(self, product: str | None) -> ProductLabel | None:
        """The label of a product on the shelf."""
        return next((one for one in self.facts.plot.shelf if one.key == product), None)

    def rule(
        self,
        planting: Planting,
        method: str,
        product: str | None,
        evening: Evening,
        minutes: float,
        planned: Sequence[Applied] = (),
        starts: datetime | None = None,
        generation_days: float | None = None,
        watered: bool = False,
    ) -> Ruling:
        """Rule on one treatment; without a start it is the last job of that evening.

        planned : treatments of this plan that come before it.
        watered : the planting is watered earlier the same evening.
        """
        hours = last_job_hours(evening, minutes)
        if starts is None and hours is None:
            return Ruling(
                (
                    Because(
                        "too dark to see undersides", False, "our caution", ("rule:evening_window",)
                    ),
                )
            )
        request = request_for(
            self.facts.plot,
            planting,
            method,
            product,
            evening,
            starts if starts is not None else hours[0],  # type: ignore[index]
            self.cautions,
            self._surroundings(planting),
        )
        request = replace(
            request,
            minutes=minutes,
            applied=(*self.facts.applied, *planned),
            generation_days=generation_days,
            dry_soil=False if watered else self.runs_dry(planting),
        )
        return kept_dry(may_treat(request, self.cautions), method, self.sick_on(planting.key))

    def sick_on(self, planting: str) -> tuple[SickLeaves, ...]:
        """The diseases seen on a planting."""
        if self._sick is None:
            self._sick = sick_leaves(self.facts.events, self.facts.tables)
        return self._sick.get(planting, ())

    def bar_on_ground(self, planting: Planting, at: datetime) -> Because | None:
        """Why nothing may be sown or set out where this stands at that hour; None: it may."""
        applied, shelf = self.facts.applied, self.facts.plot.shelf
        ruling = may_plant(planting, at, applied, shelf, self.cautions)
        return None if ruling.allowed else ruling.bars[0]

    def applied(
        self, planting: Planting, method: str, product: str | None, at: datetime
    ) -> Applied:
        """One planned treatment as the rulings count it."""
        return applied_to(planting, method, product, self.label(product), at)

    def _surroundings(self, planting: Planting) -> Surroundings:
        if planting.key not in self._round:
            found = surroundings_of(self.facts.plot, planting, self.cautions)
            self._round[planting.key] = found
        return self._round[planting.key]

    def runs_dry(self, planting: Planting) -> bool | None:
        """Does the planting run short of water today? None: not known."""
        soil = self.ground.get(planting.key)
        if planting.wilted:
            return True
        return None if soil is None else bool((soil.ks[:, 0] < 1.0).mean() > DRY_CHANCE)


@dataclass
class CourseRulings:
    """The plantings of one cluster, in its order, before the rulings of this plot.

    areas           : ground of each planting. [m2]
    generation_days : of the organism, for the change of mode of action; None for a mildew.
    others          : treatments already planned against other organisms, by day.
    """

    facts: SeasonFacts
    permits: Permits
    plantings: tuple[Planting, ...]
    areas: tuple[float, ...]
    generation_days: float | None = None
    others: tuple[tuple[date, Spraying], ...] = ()
    _ruled: dict[tuple[object, ...], Ruling] = field(default_factory=dict)

    @property
    def made_from(self) -> tuple[object, ...]:
        """Everything these rulings read."""
        facts = self.facts
        return (facts.plot, facts.applied, facts.evenings, facts.tables.digest,
                self.plantings, self.areas, self.generation_days, self.others)  # fmt: skip

    @property
    def visits(self) -> list[date]:
        """The coming visits that a course may use."""
        last = self.facts.today.toordinal() + COURSE_DAYS
        return [e.day for e in self.facts.evenings if e.day.toordinal() <= last]

    def minutes(self, candidate: Candidate, place: int, *, first: bool = True) -> float:
        """Minutes on one planting; mixing is counted with the first of an evening."""
        once = candidate.minutes_once if first else 0.0
        return float(round(once + candidate.minutes * self.areas[place]))

    def permit(
        self, candidate: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]
    ) -> Ruling:
        """The ruling on one candidate, with the course so far counted."""
        place = next(n for n, one in enumerate(self.plantings) if one.key == planting)
        counts = tuple(
            (step.candidate.method, step.candidate.product, step.visit, there)
            for step in so_far
            if step.candidate.product is not None  # hands close nothing and use nothing up
            for there in step.places
            if self.bears_on[place][there]
        )
        key = (candidate.key, visit, place, counts)
        if self._done_anyway(candidate, visit, planting):
            return ruling([Because("planned that evening already, against something else")])
        if key not in self._ruled:
            self._ruled[key] = self.permits.rule(
                self.plantings[place],
                candidate.method,
                candidate.product,
                self.facts.evenings[visit],
                self.minutes(candidate, place),
                [*self._before(visit, place), *(self._applied(*one) for one in counts)],
                generation_days=self.generation_days,
                watered=True,
            )
        return self._ruled[key]

    def _done_anyway(self, candidate: Candidate, visit: int, planting: str) -> bool:
        day, wanted = self.facts.evenings[visit].day, (candidate.product, candidate.method)
        return any(
            when == day and one.planting.key == planting and (one.product, one.method) == wanted
            for when, one in self.others
        )

    def _before(self, visit: int, place: int) -> list[Applied]:
        """Treatments of this plan against other organisms, up to a visit, that bear on a place."""
        here, ends = self.plantings[place], self.facts.evenings[visit].leave
        leave = {evening.day: evening.leave for evening in self.facts.evenings}
        return [
            self.permits.applied(one.planting, one.method, one.product, leave[when])
            for when, one in self.others
            if leave[when] < ends and one.planting.bed in (here.bed, None)
        ]

    @cached_property
    def bears_on(self) -> list[list[bool]]:
        """Can a treatment of the second planting count for the first? On the same ground, and
        everywhere where a label counts the whole year."""
        whole_year = any(
            limits.season_max_over == "year"
            for label in self.facts.plot.shelf
            for limits in label.crops
        )
        beds = [planting.bed for planting in self.plantings]
        return [
            [
                n == m or whole_year or None in (one, other) or one == other
                for m, other in enumerate(beds)
            ]
            for n, one in enumerate(beds)
        ]

    def _applied(self, method: str, product: str | None, visit: int, place: int) -> Applied:
        at = self.facts.evenings[visit].leave
        return self.permits.applied(self.plantings[place], method, product, at)
