"""Asks the rulings what may be done at a coming visit, one treatment at a time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from lattermath.desk.kept_work import digest_of
from lattermath.desk.named_since import sick_by_planting
from lattermath.desk.pest_parts import stand_of
from lattermath.desk.plan_water import has_water, is_dry, soils
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.garden_limits import may_plant
from lattermath.planning.label_limits import Said, may_treat
from lattermath.planning.own_cautions import Cautions, own_cautions
from lattermath.planning.sick_leaves import SickLeaves, kept_dry, wets_beside
from lattermath.planning.treatment_request import (
    Surroundings,
    applied_to,
    next_day,
    request_for,
    surroundings_of,
)
from lattermath.planning.water_told import DAYS_AHEAD
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.events import Watering
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.belief.soil import BedSoil
    from lattermath.desk.picks_barred import PickBars


def permits_of(facts: SeasonFacts, beliefs: Mapping[str, CropBelief]) -> Permits:
    """The rulings of this plot, by its labels, its ground and the cautions of the tables."""
    return Permits(facts, own_cautions(facts.tables), soils(facts, beliefs))


@dataclass(slots=True)
class Permits:
    """Rulings on this plot's plantings, shelf and evenings."""

    facts: SeasonFacts
    cautions: Cautions
    ground: Mapping[str, BedSoil]
    _round: dict[str, Surroundings] = field(default_factory=dict)
    _wet: dict[str, datetime | None] = field(default_factory=dict)
    _stands: dict[str, float] = field(default_factory=dict)
    _sick: Mapping[str, tuple[SickLeaves, ...]] | None = None
    _said: dict[tuple[object, ...], Said] = field(default_factory=dict)
    _ruled: dict[tuple[object, ...], Ruling] = field(default_factory=dict, init=False)
    # By their numbers; the parts are held beside, so that no others take these.
    _bits: dict[tuple[int, ...], tuple[object, str]] = field(default_factory=dict, init=False)
    picks: PickBars | None = None  # the pickings that a treatment would bar

    def bits_of_plot(self, facts: SeasonFacts) -> str:
        """A digest of all of a plot that the rulings on any course read; taken in once."""
        parts = (facts.plot, facts.applied, facts.evenings, facts.tables)
        key = tuple(map(id, parts))
        if key not in self._bits:
            self._bits[key] = parts, digest_of(*parts[:3], facts.tables.digest)
        return self._bits[key][1]

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
        poured_l: float = 0.0,
    ) -> Ruling:
        """Rule on one treatment; without a start it is the last job of that evening.

        planned : treatments of this plan that come before it.
        watered : whoever treats is told to water before, where the soil is dry; counts for
                  nothing where no water can be had.
        poured_l : litres that its ground gets earlier the same evening.

        Two thirds of what a search asks was asked beside another course already: it is held.
        """
        asked = (planting.key, method, product, evening.day, evening.arrive, evening.leave,
                 minutes, tuple(planned), starts, generation_days, watered, poured_l)  # fmt: skip
        if asked not in self._ruled:
            self._ruled[asked] = self._rule(planting, method, product, evening, minutes, planned,
                                            starts, generation_days, watered, poured_l)  # fmt: skip
        return self._ruled[asked]

    def _rule(
        self,
        planting: Planting,
        method: str,
        product: str | None,
        evening: Evening,
        minutes: float,
        planned: Sequence[Applied],
        starts: datetime | None,
        generation_days: float | None,
        watered: bool,
        poured_l: float,
    ) -> Ruling:
        hours = last_job_hours(evening, minutes)
        if starts is None and hours is None:
            return Ruling(
                (
                    Because(
                        "too dark to see undersides",
                        holds=False,
                        who="our caution",
                        rests_on=("rule:evening_window",),
                        lapses=next_day(evening.arrive),
                        way_out="come earlier, or treat on another evening",
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
            watered_over=self._watered_over(planting),
            generation_days=generation_days,
            dry_soil=self.runs_dry(planting, evening.day, poured_l),
            ground_m2=self._ground_m2(planting),
            water_first=(watered or self._far(evening)) and self.has_water,
        )
        said = self._said.setdefault(request.of_the_day, {})
        ruled = may_treat(request, self.cautions, said)
        ruled = kept_dry(ruled, method, self.sick_on(planting.key))
        return Ruling((*ruled.reasons, *wets_beside(method, self._sick_beside(planting))))

    def _ground_m2(self, planting: Planting) -> float:
        """Ground that its plants take up. [m2]"""
        if planting.key not in self._stands:
            self._stands[planting.key] = stand_of(self.facts, planting).ground_m2
        return self._stands[planting.key]

    @property
    def has_water(self) -> bool:
        """Is there any water to be had on the plot?"""
        return has_water(self.facts)

    def _far(self, evening: Evening) -> bool:
        """So far off that a plan tells no water of it: whoever comes is told to feel the soil."""
        return (evening.day - self.facts.today).days > DAYS_AHEAD

    def _sick_beside(self, planting: Planting) -> list[SickLeaves]:
        """Diseases seen on others of the same crop, or in the same bed."""
        return [
            one
            for other in self.facts.plot.plantings
            if other.key != planting.key and other.pulled is None
            if other.crop == planting.crop or other.bed == planting.bed is not None
            for one in self.sick_on(other.key)
        ]

    def _watered_over(self, planting: Planting) -> datetime | None:
        """When it was last watered over the leaves."""
        if planting.key not in self._wet:
            self._wet[planting.key] = self._last_wetted(planting)
        return self._wet[planting.key]

    def _last_wetted(self, planting: Planting) -> datetime | None:
        usual = self.facts.plot.usual_watering(planting)
        times = [
            event.local
            for event in self.facts.events
            if isinstance(done := event.payload, Watering)
            and (done.way or usual) == "overhead"
            and (done.planting or planting.key) == planting.key
            and (done.planting or done.bed in (None, planting.bed))
        ]
        return max(times, default=None)

    def sick_on(self, planting: str) -> tuple[SickLeaves, ...]:
        """The diseases seen on a planting."""
        if self._sick is None:
            self._sick = sick_by_planting(self.facts)
        return self._sick.get(planting, ())

    def bar_on_ground(self, planting: Planting, at: datetime) -> Because | None:
        """Why nothing may be sown or set out where this stands at that hour; None: it may.

        Re-entry of the bed and plant-back, whatever has been pulled there since.
        """
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

    def runs_dry(
        self, planting: Planting, day: date | None = None, poured_l: float = 0.0
    ) -> bool | None:
        """Is its soil drier on that evening, today's if none is named, than growth bears?

        Poured are so many litres that evening, and none between now and then. None: not known.
        """
        soil = self.ground.get(planting.key)
        if planting.wilted:
            return True
        on = 0 if day is None else (day - self.facts.today).days
        return None if soil is None else is_dry(soil, on, poured_l)
