"""From the figures of an organism to what the population kernels take: layout, rates, matrices."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.belief.life_days import LifeDays
from lattermath.belief.life_figures import (
    BEND_C,
    LAYING_REFERENCE_C,
    HostTerms,
    LifeFigures,
    read_life,
)
from lattermath.belief.life_limits import LEAST_SURVIVAL
from lattermath.science.adult_flight import flight_share
from lattermath.science.development import (
    by_temperature,
    day_temperatures,
    measured_rate,
    thermal_response,
    working_heat,
)
from lattermath.science.frost_kill import left_of_night
from lattermath.science.leaf_heat import cooled_days, leaf_heat
from lattermath.science.life_table import Growth, growth_of, net_maternity
from lattermath.science.stage_layout import Layout, Part, boxcars_for, lay_out, whole_life_classes
from lattermath.vocabulary.figure import Figure

if TYPE_CHECKING:  # the compiled kernels are loaded only when a population is run
    from lattermath.knowledge.tables import Tables
    from lattermath.science.stage_cohorts import Cycle

FloatArray = NDArray[np.float64]

USUAL_C = 22.0  # judgement: warmth of the weeks in which insects come and breed
# Judgement: classes shorter than half a day cost time for nothing, but for the shortest lives;
# with fewer, lives of aphids come out more than half a percent off (test_fine_steps).
PUSHES_A_DAY, LEAST_PUSHES = 2.2, 26.0
BEFORE_LAYING_DAYS = 5.0  # judgement: a daughter lays most so long after she is grown
ADULT_CV = 0.5  # judgement: lives of adults vary by half
# Judgement: with the shares of the greenhouse whitefly it gives the 1.25 m of Noldus et al. in
# three warm days.
LONE_FLIGHT = 1.8
TOO_HOT_TO_LAY_C = 3.0  # judgement: above the upper threshold laying ends within this
ARRIVALS_RISE_DAYS, OUT_OF_SEASON = 14.0, 0.1  # judgement: strays come at any time
LAST_LAYERS_DAYS = 30  # judgement: within a month the old females are gone


def still_lay(ends: Figure | None, into_year: FloatArray) -> FloatArray:
    """Share of the females that lay: new adults after `ends` do not, and the old ones die off.

    ends      : day of the year from which new adults no longer lay; None where all lay.
    into_year : day of the year, (n_days,). [d]
    """
    if ends is None:
        return np.ones_like(into_year)
    return np.asarray(np.clip(1.0 - (into_year - ends.value) / LAST_LAYERS_DAYS, 0.0, 1.0))


def arriving(first: Figure | None, last: Figure | None, into_year: FloatArray) -> FloatArray:
    """Adults that fly in beside those of their season, by day. [0 to 1]

    first, last : days of the year, north, between which they come; None for no such end.
    into_year   : day of the year, (n_days,). [d]

    A tenth comes outside it; it rises and falls within a fortnight.
    """
    since = np.inf if first is None else into_year - first.value
    until = np.inf if last is None else last.value - into_year
    inside = 1.0 + np.minimum(np.minimum(since, until), 0.0) / ARRIVALS_RISE_DAYS
    return np.broadcast_to(np.maximum(inside, OUT_OF_SEASON), into_year.shape)


def life_of(tables: Tables, organism: str) -> LifeHistory:
    """The life of an organism by the tables; KeyError where they have none of that id."""
    defaults = tables.constants["defaults"].figures
    return LifeHistory(read_life(tables.organisms[organism], defaults, tables.habits[organism]))


@dataclass(frozen=True)
class LifeHistory:
    """One organism, ready for weather. All temperatures in C, all times in days."""

    figures: LifeFigures

    @property
    def stages(self) -> tuple[str, ...]:
        """Stages in order, the adult last."""
        return self.figures.stages

    @cached_property
    def layout(self) -> Layout:
        """Boxcars of every stage; young and laying adults are counted together."""
        f = self.figures
        pushes = max(PUSHES_A_DAY * self.usual_days, LEAST_PUSHES)
        boxes = whole_life_classes(list(f.shares.values()), boxcars_for(f.cv, pushes))
        parts = [
            Part(stage, n, f.cv / share**0.5)
            for (stage, share), n in zip(f.shares.items(), boxes, strict=True)
        ]
        # A day is the shortest stay in a class: who waits less lays for the rest of that day.
        young = Part(f.adult, 1, 0.7, lays=max(1.0 - f.wait_days, 0.0), flies=1.0)
        by_age, flies = f.laid_by_age, f.moves[1] / f.moves[0]
        laying = Part(f.adult, len(by_age), ADULT_CV, lays=1.0, flies=flies, by_age=by_age)
        return lay_out([*parts, young, laying])

    @property
    def usual_days(self) -> float:
        """Days from egg to adult in the usual warmth of summer. [d]"""
        return 1.0 / float(self.pace(USUAL_C))

    @property
    def generation_days(self) -> float:
        """Days from one brood to the next in the usual warmth of summer. [d]"""
        return self.usual_days + BEFORE_LAYING_DAYS

    def pace(self, temperature_c: ArrayLike) -> FloatArray:
        """Share of the development from egg to adult done in a day at one temperature. [1/d]"""
        f = self.figures
        heat = np.asarray(temperature_c, dtype=np.float64)
        if f.measured:
            return measured_rate(heat, f.measured)
        return np.asarray(working_heat(heat, f.lower, f.upper, BEND_C) / f.total_dd)

    def survival(self, temperature_c: ArrayLike) -> FloatArray:
        """Share from egg to adult without enemies at a steady temperature. [0 to 1]"""
        share = by_temperature(temperature_c, self.figures.survival)
        return np.maximum(share, LEAST_SURVIVAL)

    def death_rate(self, temperature_c: ArrayLike) -> FloatArray:
        """Deaths of immature insects from the temperature alone, of no stage in particular. [1/d]

        -ln(survival) spread over development; `stage_deaths` shares them out. Below the coldest
        figure of the table the daily rate stays what it is there, so that insects that stand still
        in the cold do not live for ever. Above the hottest it rises with every degree, see
        `life_limits`.
        """
        coldest = self.figures.survival[0][0]
        temperature = np.maximum(np.asarray(temperature_c, dtype=np.float64), coldest)
        usual = -np.log(self.survival(temperature)) * self.pace(temperature)
        return np.asarray(usual + self.deaths_by_heat(temperature))

    def deaths_by_heat(self, temperature_c: ArrayLike) -> FloatArray:
        """Deaths beyond those of the hottest figure; judgement: of adults as of the young. [1/d]"""
        heat = np.asarray(temperature_c, dtype=np.float64)
        return np.asarray(self.figures.heat.more_deaths(heat) * self.pace(heat))

    def adult_days(self, temperature_c: ArrayLike) -> FloatArray:
        """Mean adult life at a steady temperature, after laying begins. [d]"""
        logs = [(t, float(np.log(days))) for t, days in self.figures.adult_life]
        return np.asarray(np.exp(by_temperature(temperature_c, logs)))

    def waits(self, temperature_c: ArrayLike) -> FloatArray:
        """Share of the wait before laying done in a day at one temperature, any shape. [1/d]"""
        f = self.figures
        if f.wait_heat is None:
            usual = float(self.pace(LAYING_REFERENCE_C))
            return np.asarray(self.pace(temperature_c) / usual / f.wait_days)
        base, heat = f.wait_heat
        return np.maximum(np.asarray(temperature_c, dtype=np.float64) - base, 0.0) / heat

    def stays(self, days: float) -> FloatArray:
        """Share of each stage that is in it still some days on, at 25 C, (n_stages,). [0 to 1]"""
        whole = float(self.pace(LAYING_REFERENCE_C))
        lasts = [share / whole for share in self.figures.shares.values()]
        return np.exp(-days / np.array([*lasts, float(self.adult_days(LAYING_REFERENCE_C))]))

    def eggs_a_day(self, temperature_c: ArrayLike) -> FloatArray:
        """Eggs (or young) of one laying female a day on the best host. [1/d]

        Lifetime eggs over laying life at 25 C, scaled by the response of laying: the
        table's rule that the lifetime figure governs.
        """
        f = self.figures
        per_day = f.best_eggs / self.adult_days(LAYING_REFERENCE_C)
        share = self._laying_response(temperature_c) / self._laying_response(LAYING_REFERENCE_C)
        return np.asarray(per_day * share)

    def _laying_response(self, temperature_c: ArrayLike) -> FloatArray:
        """Laying by temperature, on a scale of its own."""
        f = self.figures
        if f.laying is not None:
            return thermal_response(temperature_c, *f.laying)
        too_hot = (np.asarray(temperature_c, dtype=np.float64) - f.upper) / TOO_HOT_TO_LAY_C
        return self.pace(temperature_c) * (1 - np.clip(too_hot, 0, 1))

    def growth(
        self,
        temperature_c: float,
        host: HostTerms | None = None,
        female: float | None = None,
        field: float = 1.0,
    ) -> Growth:
        """Growth at a steady temperature, by the Lotka-Euler equation.

        host   : its terms; None for the best host.
        female : share of females; None for the table's.
        field  : survival outdoors as a share of that without enemies. [0 to 1]
        """
        f = self.figures
        pace, waits = float(self.pace(temperature_c)), float(self.waits(temperature_c))
        if min(pace, waits) <= 0:
            return growth_of(np.array([1.0]), np.array([0.0]))
        terms = host or HostTerms(1.0, f.best_eggs, 1.0, 1.0, 1.0)
        days = terms.pace / pace
        lives = float(np.exp(-self.death_rate(temperature_c) / pace)) * terms.survival * field
        adult = float(self.adult_days(temperature_c)) * terms.adult
        laying = float(self.eggs_a_day(temperature_c)) * terms.eggs / f.best_eggs / terms.adult
        wait = 1.0 / waits
        share = f.female if female is None else female
        ages, born = net_maternity(
            days, f.cv, min(lives, 1.0), wait, wait + adult, ADULT_CV, laying * share, f.laid_by_age
        )
        return growth_of(ages, born)

    def cycle(
        self,
        t_min: FloatArray,
        t_max: FloatArray,
        field_survival: ArrayLike = 1.0,
        adults_lost: ArrayLike = 0.0,
        *,
        mortality: bool = True,
        reproduction: bool = True,
        ageing: bool = True,
        still_lay: ArrayLike = 1.0,
    ) -> Cycle:
        """What the weather makes of the organism, day by day, on the best host.

        t_min, t_max   : daily extremes, (n_futures, n_days). [C]
        field_survival : egg-to-adult survival outdoors as a share of that without enemies, one
                         figure or (n_draws,). [0 to 1]
        adults_lost    : hazard of adults outdoors beside that of age in the laboratory on a day on
                         which all are on the wing, one figure or (n_draws,). None are lost so on
                         a day too cold for any to fly.
        still_lay      : share of the females that lay, one figure or (n_days,). [0 to 1]
        """
        days = self.days(t_min, t_max, ageing=ageing)
        if not reproduction:
            still_lay = 0.0
        return self.cycle_in(days, field_survival, adults_lost, still_lay, mortality=mortality)

    def days(self, t_min: FloatArray, t_max: FloatArray, *, ageing: bool = True) -> LifeDays:
        """What the weather alone makes of the organism, which any insects have in common.

        t_min, t_max : daily extremes, (n_futures, n_days). [C]
        ageing       : False for adults that never die of age.
        """
        from lattermath.science.stage_cohorts import wind_clock

        f, heat = self.figures, day_temperatures(t_min, t_max)
        passed = self.pace(heat).mean(-1)
        rate = (1.0 / self.adult_days(heat)).mean(-1)
        stages = [passed / share for share in f.shares.values()]
        life = rate if ageing else np.zeros_like(passed)
        development = np.stack([*stages, self.waits(heat).mean(-1), life], axis=-1)
        clock = wind_clock(self.layout, development)
        young, burnt = self._deaths_on_leaves(heat, t_min)
        return LifeDays(
            passed,
            *clock,
            flight_share(t_min, t_max, f.flight_below_c, 1.0),
            self.eggs_a_day(heat).mean(-1) * f.female,
            rate,
            young,
            burnt,
            left_of_night(t_min[..., None], f.frost_days),
        )

    def cycle_in(
        self,
        days: LifeDays,
        field_survival: ArrayLike = 1.0,
        adults_lost: ArrayLike = 0.0,
        still_lay: ArrayLike = 1.0,
        *,
        mortality: bool = True,
    ) -> Cycle:
        """The cycle of these days, see `cycle`."""
        from lattermath.science.stage_cohorts import Cycle

        return Cycle(
            self.layout,
            days.pushes,
            days.entry,
            days.stride,
            self._daily_survival(
                days,
                np.atleast_1d(field_survival),
                np.atleast_1d(adults_lost)[:, None] * days.active,
                mortality,
            ),
            (days.laying * np.asarray(still_lay)).astype(np.float32),
            (self.figures.moves[0] * days.active).astype(np.float32),
        )

    def _deaths_on_leaves(
        self, heat: FloatArray, t_min: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Deaths of the young, and of adults by heat, at the warmth of leaves, (n_futures, n_days).

        heat : of the air at the moments of each day, (n_futures, n_days, n_moments). [C]
        """
        young, burnt = self.death_rate(heat).mean(-1), self.deaths_by_heat(heat).mean(-1)
        dry = cooled_days(t_min, heat.max(-1))
        leaves = leaf_heat(heat[dry], t_min[dry])
        young[dry] = self.death_rate(leaves).mean((-1, -2))
        burnt[dry] = self.deaths_by_heat(leaves).mean((-1, -2))
        return young, burnt

    def _daily_survival(
        self, days: LifeDays, field: FloatArray, adults_lost: FloatArray, mortality: bool
    ) -> NDArray[np.float32]:
        """Share of each part alive after a day, (n_draws, n_days, n_parts).

        adults_lost : hazard of adults beside that of age, by day, (n_draws, n_days).
        """
        n_parts, first_adult = self.layout.n_parts, len(self.figures.shares)
        n_draws = max(len(field), len(adults_lost), days.passed.shape[0])
        left = np.ones((n_draws, days.passed.shape[1], n_parts))
        if not mortality:
            return left.astype(np.float32)
        taken, night = -np.log(field)[:, None] * days.passed, days.night
        deaths = self.figures.deaths.of_day(days.young, days.passed, taken)
        left[:, :, :first_adult] = np.exp(-deaths) * night[..., :-1]
        gone = adults_lost * days.adult_rate + days.burnt
        left[:, :, first_adult:] = np.exp(-gone)[..., None] * night[..., -1:]
        return left.astype(np.float32)
