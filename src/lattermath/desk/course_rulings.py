"""The rulings that a search of courses asks for, each once, and the minutes of its work."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

from lattermath.desk.permits import Permits
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.course_search import Candidate, Step
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Ruling

COURSE_DAYS = 35  # judgement: five weeks hold every course the trade knows


@dataclass
class CourseRulings:
    """The plantings of one cluster, in its order, before the rulings of this plot.

    areas           : ground of each planting. [m2]
    generation_days : of the organism, for the change of mode of action; None for a mildew.
    """

    facts: SeasonFacts
    permits: Permits
    plantings: tuple[Planting, ...]
    areas: tuple[float, ...]
    generation_days: float | None = None
    _ruled: dict[tuple[object, ...], Ruling] = field(default_factory=dict)

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
            for there in step.places
            if self.bears_on[place][there]
        )
        key = (candidate.key, visit, place, counts)
        if key not in self._ruled:
            self._ruled[key] = self.permits.rule(
                self.plantings[place],
                candidate.method,
                candidate.product,
                self.facts.evenings[visit],
                self.minutes(candidate, place),
                [self._applied(*one) for one in counts],
                generation_days=self.generation_days,
                watered=True,
            )
        return self._ruled[key]

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
