"""The plantings of one cluster before the rulings, over the whole of a course."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.course_task import Candidate, Step
from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.means import AT_DUSK, MESH, ON_ARRIVAL, RELEASES
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling

if TYPE_CHECKING:
    from lattermath.desk.permits import Permits
    from lattermath.desk.picks_barred import PickBars

Course = tuple[Step, ...]
Mark = tuple[str, str | None, int, int]  # method, product, visit and place

# Hands close nothing and use nothing up; these bear on what comes after all the same.
LEAVE_A_MARK = (*RELEASES, *AT_DUSK)
COURSE_DAYS = 35  # judgement: five weeks hold every course the trade knows
TOO_SOON = Ruling(
    (
        Because(
            "the same is done there against something else, too near to do it again",
            holds=False,
            who="our caution",
            rests_on=("rule:overlap",),
            way_out="what is done there counts here too",
        ),
    )
)
NO_LIGHT_LEFT = Ruling(
    (
        Because(
            "the light of that evening is taken by other last jobs",
            holds=False,
            who="our caution",
            rests_on=("rule:evening_window",),
            way_out="come earlier, or treat on another evening",
        ),
    )
)
FOUND_NONE = Ruling(
    (
        Because(
            "it was looked for there tonight and none was found",
            holds=False,
            who="our caution",
            rests_on=("computed:treat at a visit where its look found some (judgement)",),
            way_out="look again at the next visit",
        ),
    )
)


@dataclass(frozen=True, slots=True)
class _SoFar:
    """A course so far: what it leaves behind, and what it takes of last jobs by visit. [min]"""

    steps: Course
    marks: list[Mark]
    minutes: dict[int, float]


@dataclass(frozen=True, slots=True)
class _Planned:
    """A treatment of this plan on its evening, and begun as soon as somebody is there."""

    day: date
    as_it_stands: Applied
    on_arrival: Applied

    def seen_from(self, day: date) -> Applied:
        """As a ruling on that day counts it: what is planned for later may begin on arrival."""
        return self.on_arrival if self.day > day else self.as_it_stands


@dataclass
class CourseRulings:
    """The plantings of one cluster, in its order, before the rulings of this plot.

    areas           : ground of each planting. [m2]
    generation_days : of the organism, for the change of mode of action; None for a mildew.
    others          : treatments already planned against other organisms, by day.
    none_tonight    : plantings looked over today with none found; today's look has settled that.
    bars            : which pickings a treatment bars and what they are worth; None: not asked.
    """

    facts: SeasonFacts
    permits: Permits
    plantings: tuple[Planting, ...]
    areas: tuple[float, ...]
    generation_days: float | None = None
    others: tuple[tuple[date, Spraying], ...] = ()
    none_tonight: frozenset[str] = frozenset()
    bars: PickBars | None = None
    _ruled: dict[tuple[object, ...], Ruling] = field(default_factory=dict)
    _others_on: dict[int, list[_Planned]] = field(default_factory=dict, init=False)
    _marked: dict[Mark, _Planned] = field(default_factory=dict, init=False)
    _asked: _SoFar | None = field(default=None, init=False)

    @property
    def made_from(self) -> tuple[object, ...]:
        """Everything these rulings read; of other treatments those on this ground."""
        facts = self.facts
        beds = {planting.bed for planting in self.plantings} | {None}
        others = tuple(
            (when, one.planting.key, one.method, one.product)
            for when, one in self.others
            if self.whole_year
            or one.planting.bed in beds
            or None in {planting.bed for planting in self.plantings}
        )
        return (self.permits.bits_of_plot(facts), self.plantings, self.areas,
                self.generation_days, others, sorted(self.booked.items()),
                sorted(self.none_tonight), self._dry,
                () if self.bars is None else self.bars.bits_for(self.plantings))  # fmt: skip

    @property
    def _dry(self) -> tuple[bool | None, ...]:
        """Whose soil is dry at which visit, where no water is to be had and that counts."""
        if self.permits.has_water:
            return ()
        dry = self.permits.runs_dry
        return tuple(dry(one, day) for one in self.plantings for day in self.visits)

    @cached_property
    def barred(self) -> Callable[[Sequence[Step]], float] | None:
        """What the pickings that some steps bar cost beside the other treatments. [portions]"""
        if self.bars is None:
            return None
        return self.bars.for_course(self.visits, self.plantings, self.others).cost

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
        place = self.place_of[planting]
        bears_on = self.bears_on[place]
        asked = self._so_far(so_far)
        counts = tuple(mark for mark in asked.marks if bears_on[mark[-1]])
        key = (candidate.key, visit, place, counts, asked.minutes.get(visit, 0.0))
        if key not in self._ruled:
            counted = [*self._beside(place), *(self._planned(one) for one in counts)]
            evening = self.facts.evenings[visit]
            self._ruled[key] = self._rule(candidate, evening, place, counted, key[-1])
        return self._ruled[key]

    def _so_far(self, steps: Course) -> _SoFar:
        """What a course so far leaves behind and takes; asked for many plantings in a row."""
        if self._asked is None or self._asked.steps is not steps:
            last = [
                step
                for step in steps
                if step.candidate.product is not None or step.candidate.method in AT_DUSK
            ]
            minutes: dict[int, float] = {}
            for step in last:
                takes = sum(self.minutes(step.candidate, place, first=n == 0)
                            for n, place in enumerate(step.places))  # fmt: skip
                minutes[step.visit] = minutes.get(step.visit, 0.0) + takes
            marks = [
                (step.candidate.method, step.candidate.product, step.visit, there)
                for step in steps
                if step.candidate.product is not None or step.candidate.method in LEAVE_A_MARK
                for there in step.places
            ]
            self._asked = _SoFar(steps, marks, minutes)
        return self._asked

    def _rule(
        self,
        candidate: Candidate,
        evening: Evening,
        place: int,
        counted: list[_Planned],
        own: float,
    ) -> Ruling:
        """The ruling at the hour it would have beside the other last jobs of that evening."""
        if self._none_found(candidate, evening.day, self.plantings[place].key):
            return FOUND_NONE
        if self._too_soon(candidate, evening.day, self.plantings[place].key):
            return TOO_SOON
        minutes, starts = self.minutes(candidate, place), None
        booked = own + self.booked.get(evening.day, 0.0)
        if candidate.method in ON_ARRIVAL:
            starts = evening.arrive
        elif booked and (candidate.product is not None or candidate.method in AT_DUSK):
            hours = last_job_hours(evening, minutes + booked)
            if hours is None and last_job_hours(evening, minutes) is not None:
                return NO_LIGHT_LEFT
            starts = None if hours is None else hours[0]
        return self.permits.rule(
            self.plantings[place],
            candidate.method,
            candidate.product,
            evening,
            minutes,
            [one.seen_from(evening.day) for one in counted],
            starts=starts,
            generation_days=self.generation_days,
            watered=True,
        )

    def _none_found(self, candidate: Candidate, day: date, planting: str) -> bool:
        """Is it a treatment that waits for a look, where the look of today found none?"""
        waits = candidate.method != MESH and candidate.method not in RELEASES
        return waits and day == self.facts.today and planting in self.none_tonight

    def _too_soon(self, candidate: Candidate, day: date, planting: str) -> bool:
        """Our own spacing of hand work, where the same is done against something else there."""
        if candidate.product is not None or not candidate.least_gap_days:
            return False
        days = [
            when
            for when, one in self.others
            if one.method == candidate.method and one.planting.key == planting
        ]
        close = any(abs((when - day).days) < candidate.least_gap_days for when in days)
        return close or len(set(days)) >= candidate.most_uses

    @cached_property
    def place_of(self) -> dict[str, int]:
        """Place of each planting by its key."""
        return {one.key: n for n, one in enumerate(self.plantings)}

    @cached_property
    def booked(self) -> dict[date, float]:
        """Minutes of the last job of each evening that are taken by what is planned already."""
        found: dict[tuple[date, str, str, str | None], float] = {}
        for when, one in self.others:
            if one.at_dusk:
                key = (when, one.planting.key, one.method, one.product)
                found[key] = max(one.minutes, found.get(key, 0.0))
        by_day: dict[date, float] = {}
        for (when, *_), minutes in found.items():
            by_day[when] = by_day.get(when, 0.0) + minutes
        return by_day

    def _beside(self, place: int) -> list[_Planned]:
        """Treatments of this plan against others that bear on a place, before it and after."""
        if place not in self._others_on:
            self._others_on[place] = self._others_at(place)
        return self._others_on[place]

    def _others_at(self, place: int) -> list[_Planned]:
        here = self.plantings[place]
        evenings = {evening.day: evening for evening in self.facts.evenings}
        return [
            self._on(evenings[when], one.planting, one.method, one.product)
            for when, one in self.others
            if when in evenings
            if self.whole_year or here.bed is None or one.planting.bed in (here.bed, None)
        ]

    @cached_property
    def whole_year(self) -> bool:
        """Does a label on the shelf count a whole year, wherever it was used?"""
        return any(
            limits.season_max_over == "year"
            for label in self.facts.plot.shelf
            for limits in label.crops
        )

    @cached_property
    def bears_on(self) -> list[list[bool]]:
        """Can a treatment of the second planting count for the first? On the same ground, and
        everywhere where a label counts the whole year."""
        beds = [planting.bed for planting in self.plantings]
        return [
            [
                n == m or self.whole_year or None in (one, other) or one == other
                for m, other in enumerate(beds)
            ]
            for n, one in enumerate(beds)
        ]

    def _planned(self, mark: Mark) -> _Planned:
        if mark not in self._marked:
            method, product, visit, place = mark
            evening = self.facts.evenings[visit]
            self._marked[mark] = self._on(evening, self.plantings[place], method, product)
        return self._marked[mark]

    def _on(
        self, evening: Evening, planting: Planting, method: str, product: str | None
    ) -> _Planned:
        applied = self.permits.applied(planting, method, product, evening.leave)
        return _Planned(evening.day, applied, replace(applied, at=evening.arrive))
