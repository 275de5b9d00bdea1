"""Which pickings of this plot a treatment bars, by label, garden and our own caution."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lattermath.planning.barred_picks import Picks, barred_told, joined, lost_together
from lattermath.planning.course_task import Step
from lattermath.planning.picking_clearance import clearance_of
from lattermath.planning.treatment_request import applied_to, later
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

if TYPE_CHECKING:
    from lattermath.desk.season_facts import SeasonFacts
    from lattermath.planning.own_cautions import Cautions
    from lattermath.planning.treating import Spraying
    from lattermath.vocabulary.evening import Applied

Others = Sequence[tuple[date, "Spraying"]]
Bars = Mapping[str, frozenset[int]]  # columns of barred pickings from today on, by planting


@dataclass(frozen=True, slots=True, eq=False)
class PickBars:
    """The pickings of every own planting that bears, and what bars them.

    A treatment is made at the end of its visit, after that visit's picking.
    """

    facts: SeasonFacts
    cautions: Cautions
    picks: Mapping[str, Picks]
    _known: dict[tuple[str, str, str | None, date], Bars] = field(default_factory=dict, init=False)

    def bits_for(self, plantings: Sequence[Planting]) -> tuple[object, ...]:
        """Everything that bars on these plantings and their bedfellows are priced by."""
        beds = {one.bed for one in plantings if one.bed is not None}
        keys = {one.key for one in plantings}
        stand = {p.key for p in self.facts.plot.standing() if p.key in keys or p.bed in beds}
        return tuple(self.picks[key].bits for key in sorted(stand & set(self.picks)))

    def for_course(
        self, visits: Sequence[date], plantings: Sequence[Planting], others: Others
    ) -> CourseBars:
        """The same as one course asks for it, beside what is planned against others."""
        return CourseBars(self, visits, plantings, others)

    def bars(self, planting: Planting, method: str, product: str | None, day: date) -> Bars:
        """The pickings that one treatment bars, on its planting and, by re-entry, in its bed."""
        key = (planting.key, method, product, day)
        if key not in self._known:
            self._known[key] = self._bars(planting, method, product, day)
        return self._known[key]

    def of_work(self, work: Others) -> dict[str, frozenset[int]]:
        """The pickings that all of these bar."""
        return joined([self.bars(x.planting, x.method, x.product, day) for day, x in work])

    def lost(self, work: Others) -> float:
        """What the bars of all of these cost together. [portions]"""
        return lost_together(self.picks, self.of_work(work))

    def told(self, work: Others) -> list[Because]:
        """What gives for all of these: pickings, by planting, and how much with them."""
        named = list(dict.fromkeys(one.product_name for _, one in work if one.product))
        what = " and ".join(named)
        return barred_told(self.picks, self.of_work(work), self.facts.today, what)

    def with_reasons(self, work: Others) -> tuple[tuple[date, Spraying], ...]:
        """The same treatments, each with the pickings that give for it among its reasons."""
        return tuple(
            (day, replace(one, because=(*self.told([(day, one)]), *one.because)))
            for day, one in work
        )

    def _bars(self, planting: Planting, method: str, product: str | None, day: date) -> Bars:
        if product is None and not self.cautions.facts(method).needs_label:
            return {}
        facts, zone = self.facts, ZoneInfo(self.facts.plot.place.time_zone)
        ends = arrival(facts, day) + timedelta(minutes=facts.plot.visiting.minutes)
        label = next((one for one in facts.plot.shelf if one.key == product), None)
        made = (applied_to(planting, method, product, label, ends),)
        found = {}
        for other in facts.plot.standing():
            picks = self.picks.get(other.key)
            beside = other.bed is not None and other.bed == planting.bed
            if picks is None or not (other.key == planting.key or beside):
                continue
            clear = clearance_of(other, made, facts.plot.shelf, ends, zone, self.cautions).safe_from
            barred = frozenset(
                column
                for column in picks.picks
                if later(at := arrival(facts, facts.today + timedelta(column)), ends)
                and (clear is None or later(clear, at))
            )
            if barred:
                found[other.key] = barred
        return found


@dataclass(slots=True)
class CourseBars:
    """What the steps of one course bar beside what is planned against others.

    visits    : days of the visits of the course.
    plantings : in the order of its places.
    """

    bars: PickBars
    visits: Sequence[date]
    plantings: Sequence[Planting]
    others: Others = ()
    _beside: dict[str, frozenset[int]] | None = None
    _known: dict[tuple[str, str | None, int, tuple[int, ...]], list[Bars]] = field(
        default_factory=dict
    )

    def cost(self, steps: Sequence[Step]) -> float:
        """What they cost beside what others bar. [portions]"""
        parts = [bars for step in steps for bars in self._by(step)]
        if not parts:
            return 0.0
        if self._beside is None:
            self._beside = self.bars.of_work(self.others)
        beside, picks = self._beside, self.bars.picks
        return sum(
            picks[key].lost(more | beside.get(key, frozenset()))
            - picks[key].lost(beside.get(key, frozenset()))
            for key, more in joined(parts).items()
        )

    def _by(self, step: Step) -> list[Bars]:
        """What one step bars, planting by planting, where it bars anything."""
        asked = (step.candidate.method, step.candidate.product, step.visit, step.places)
        if asked not in self._known:
            method, product, visit, places = asked
            day, plantings = self.visits[visit], [self.plantings[place] for place in places]
            found = [self.bars.bars(one, method, product, day) for one in plantings]
            self._known[asked] = [bars for bars in found if bars]
        return self._known[asked]


def arrival(facts: SeasonFacts, visit: date) -> datetime:
    """When a visit begins."""
    zone = ZoneInfo(facts.plot.place.time_zone)
    return datetime.combine(visit, facts.plot.visiting.arrive, tzinfo=zone)


def never_clear(
    facts: SeasonFacts, key: str, cautions: Cautions, planned: Sequence[Applied] = ()
) -> Because | None:
    """What keeps a planting that stands from ever being picked, by the last visit; None: nothing.

    planned : treatments that will have been made by then.
    """
    planting = next((one for one in facts.plot.standing() if one.key == key), None)
    if planting is None or not facts.visits:
        return None
    zone, at = ZoneInfo(facts.plot.place.time_zone), arrival(facts, facts.visits[-1])
    made = (*facts.applied, *planned)
    clear = clearance_of(planting, made, facts.plot.shelf, at, zone, cautions)
    return next((bar for bar in clear.barred_by if bar.lapses is None), None)
