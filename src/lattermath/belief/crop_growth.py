"""The growth of one crop over the futures: when it bears, and how much a day, in every draw."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_traits import LIFTED, CropTraits, Start, crop_traits
from lattermath.belief.swelling import TUBERS
from lattermath.knowledge.tables import Tables
from lattermath.science import crop_stages, harvest_curve, late_light
from lattermath.science.fruit_set import fruit_set, set_when_picked
from lattermath.science.ground_frost import leaf_minimum
from lattermath.science.picking_rounds import eaten_share

Draws = NDArray[np.float64]  # (n_draws,)
DrawDays = NDArray[np.float64]  # (n_draws, n_days)
Columns = NDArray[np.intp]  # (n_draws,)
Kept = TypeVar("Kept")

EARLY_PICKING_DAYS = 10.0  # judgement: the first pickings, which over-age in the cup spoils
COVER_KEEPS_C = 2.0  # common practice: fleece laid for the night keeps off about two degrees


# Published (a growers' guide of the Prairie Provinces, read): tubers grow less in soil above 20 C
# and hardly above 30. Taken of the mean of the day (judgement).
TUBERS_FULL_C, TUBERS_NONE_C = 20.0, 30.0
SPRING = 183  # days after the summer solstice: from the winter one to the next summer


@dataclass(frozen=True, slots=True)
class SeasonWeather:
    """Daily weather as crops feel it: what was, then one row for each future.

    Column 0 is the day `first`; `today` is the column of the plan's day. Past columns are alike
    in every row. `future_of` gives the row that each draw lives through.
    """

    first: date
    today: int
    t_min: NDArray[np.float64]  # (n_futures, n_days) C
    t_max: NDArray[np.float64]  # (n_futures, n_days) C
    daylength_h: NDArray[np.float64]  # (n_days,)
    radiation_mj: NDArray[np.float64]  # (n_days,) or (n_futures, n_days), MJ/m2/d
    future_of: NDArray[np.intp]  # (n_draws,)
    southern: bool = False

    @property
    def n_days(self) -> int:
        """Days covered, past and future."""
        return int(self.t_min.shape[1])

    @property
    def n_draws(self) -> int:
        """Draws that live through these futures."""
        return len(self.future_of)

    def column(self, day: date) -> int:
        """Column of a day; negative for days before the first."""
        return (day - self.first).days

    def day(self, column: float) -> date:
        """The day of a column."""
        return self.first + timedelta(days=round(column))

    def widened(self, times: int) -> SeasonWeather:
        """The same futures for `times` as many draws."""
        return replace(self, future_of=np.tile(self.future_of, times))

    def days_after_solstice(self) -> NDArray[np.float64]:
        """Days since the last summer solstice of this hemisphere, by column."""
        month = 12 if self.southern else 6
        solstice = date(self.first.year, month, 21)
        since = np.arange(self.n_days) + (self.first - solstice).days
        return np.mod(since, 365).astype(float)


@dataclass(frozen=True, slots=True)
class CropClimate:
    """What the weather of each draw means to one crop.

    A fruit is as heavy as the light of its days allows. What is lifted whole has its weight when
    it is full grown, and loses none in a dark week: its light is that of the days it grew on.
    """

    sums: NDArray[np.float64]  # (n_draws, n_days + 1) heat by the morning of each day, C d
    bears: DrawDays  # share of the normal yield: fruit set, frost, and light but for what is lifted
    light: DrawDays | None = (
        None  # of what is lifted: share that each day's light allows its growth, and heat tubers
    )

    def until(self, today: int) -> CropClimate:
        """One row, up to today: what happened is alike in every draw."""
        light = None if self.light is None else self.light[:1, :today]
        return CropClimate(self.sums[:1, : today + 1], self.bears[:1, :today], light)


@dataclass(frozen=True, slots=True)
class CropUnknowns:
    """What is not known of one planting, one value for each draw."""

    need: Draws  # place within the heat needed, 0 to 1
    check_days: Draws
    plant_kg: Draws  # a plant, over its whole picking
    peak_days: Draws
    end_days: Draws

    def taken(self, which: NDArray[np.intp]) -> CropUnknowns:
        """The same unknowns, with draws chosen by index."""
        return CropUnknowns(
            self.need[which],
            self.check_days[which],
            self.plant_kg[which],
            self.peak_days[which],
            self.end_days[which],
        )


@dataclass(frozen=True, slots=True)
class Begun:
    """How a planting began, one value for each draw."""

    how: Start
    column: Columns  # day of sowing or setting out
    ahead_days: Draws  # age beyond the usual when set out; negative: younger
    early_loss: Draws  # share of the first pickings lost to over-age


@dataclass(slots=True)
class GrowingSeason:
    """The crops of the tables under one season's weather; each is worked out once."""

    tables: Tables
    weather: SeasonWeather
    _traits: dict[str, CropTraits] = field(default_factory=dict)
    _climates: dict[tuple[str, float], CropClimate] = field(default_factory=dict)
    _kept: dict[tuple[str, object], Any] = field(default_factory=dict)

    def widened(self, times: int) -> GrowingSeason:
        """The same season for `times` as many draws."""
        return GrowingSeason(self.tables, self.weather.widened(times))

    def traits(self, crop: str) -> CropTraits:
        """What the tables say of a crop; InputError for a crop they do not hold."""
        if crop not in self._traits:
            self._traits[crop] = crop_traits(self.tables, crop)
        return self._traits[crop]

    def once(self, what: str, of: object, work: Callable[[], Kept]) -> Kept:
        """What is asked of this season again and again, worked out once."""
        key = (what, of)
        if key not in self._kept:
            self._kept[key] = work()
        kept: Kept = self._kept[key]
        return kept

    def climate(self, crop: str, cover_c: float = 0.0) -> CropClimate:
        """What the weather means to a crop, under a cover that keeps off `cover_c` degrees."""
        if (crop, cover_c) not in self._climates:
            self._climates[crop, cover_c] = crop_climate(self.traits(crop), self.weather, cover_c)
        return self._climates[crop, cover_c]


def crop_climate(traits: CropTraits, weather: SeasonWeather, cover_c: float = 0.0) -> CropClimate:
    """Heat and bearing share of one crop in every draw.

    Frost counts from today on, as leaves near the ground feel it: what stands today has lived
    through what was.
    """
    heat = traits.heat(weather.t_min, weather.t_max)
    if traits.tender and traits.fruit_heat is not None:
        heat = heat * late_light.development_share(
            weather.daylength_h, weather.days_after_solstice()
        )
    sums = crop_stages.heat_sums(heat)
    bears = np.broadcast_to(late_light.yield_share(weather.radiation_mj), heat.shape).copy()
    light = None
    if traits.crop in LIFTED:
        light = (bears * _tubers_grow(traits, weather))[weather.future_of]
        bears = np.ones_like(bears)
    formed = traits.fruit_heat or traits.head_heat
    if traits.set_limits is not None and formed is not None:
        share = fruit_set(weather.t_min, weather.t_max, traits.set_limits)
        bears *= set_when_picked(share, sums[:, 1:], sum(formed) / 2)
    ahead = slice(weather.today, None)
    coming = leaf_minimum(weather.t_min[:, ahead], weather.t_max[:, ahead])
    if traits.crop in TUBERS:  # memory: shoots that frost takes in spring come again
        coming = np.where(weather.days_after_solstice()[ahead] > SPRING, np.inf, coming)
    bears[:, weather.today :] *= harvest_curve.standing_after_frost(
        coming, traits.kill_c - cover_c, traits.damage_c - cover_c
    )
    return CropClimate(sums[weather.future_of], bears[weather.future_of], light)


def _tubers_grow(traits: CropTraits, weather: SeasonWeather) -> DrawDays | float:
    """Share of their growth that the warmth of each day leaves tubers, (n_futures, n_days)."""
    if traits.crop not in TUBERS:
        return 1.0
    mean = (weather.t_min + weather.t_max) / 2
    return np.asarray(np.clip((TUBERS_NONE_C - mean) / (TUBERS_NONE_C - TUBERS_FULL_C), 0.0, 1.0))


def light_grown_in(climate: CropClimate, age: DrawDays, from_column: int = 0) -> Draws | float:
    """Share of the normal weight that light allowed what is lifted whole, (n_draws,); 1 for others.

    age : picking age on each morning from that column on, (n_draws, n_days + 1 - from_column). [d]

    The mean over the days it grew on until first pick, each by its warmth (judgement): a frost that
    ends the crop sooner or later does not change it. 1 where it was full grown before that column.
    """
    if climate.light is None:
        return 1.0
    light = climate.light[:, from_column:]
    grew = np.where(age[:, :-1] < 0, np.diff(age, axis=1), 0.0)
    whole = grew.sum(axis=1)
    return np.where(whole > 0, (light * grew).sum(axis=1) / np.maximum(whole, 1e-9), 1.0)


def draw_unknowns(traits: CropTraits, n_draws: int, rng: np.random.Generator) -> CropUnknowns:
    """Draw what is not known of a planting of this crop, `n_draws` of each.

    Yields are drawn evenly in their logarithm from low to high, the rest evenly or, for the
    check after setting out, triangular from 2 to 7 days with its peak at 4.
    """
    low, high = np.log(traits.season_kg)
    return CropUnknowns(
        need=rng.random(n_draws),
        check_days=rng.triangular(
            crop_stages.CHECK_DAYS_LOW,
            crop_stages.NOMINAL_CHECK_DAYS,
            crop_stages.CHECK_DAYS_HIGH,
            n_draws,
        ),
        plant_kg=np.exp(rng.uniform(low, high, n_draws)),
        peak_days=rng.uniform(*traits.peak_days, n_draws),
        end_days=rng.uniform(*traits.picking_days, n_draws),
    )


def begun_on(how: Start, column: int, n_draws: int, ahead: float = 0.0) -> Begun:
    """A start on one known day, alike in every draw."""
    return Begun(how, np.full(n_draws, column), np.full(n_draws, ahead), np.zeros(n_draws))


def picking_age(
    traits: CropTraits,
    climate: CropClimate,
    unknowns: CropUnknowns,
    begun: Begun,
    from_column: int = 0,
) -> DrawDays:
    """Days of reference weather since first pick, by each morning; negative before. [d]

    Shape (n_draws, n_days + 1 - from_column). Before the planting began it stands still.
    """
    starts, needed = heat_needed(traits, unknowns, begun)
    at_start = heat_at(climate.sums, starts)
    week = min(7, climate.sums.shape[1] - 1)
    missing = np.maximum(-starts, 0) * climate.sums[:, week] / week
    gathered = np.maximum(climate.sums[:, from_column:] - at_start[:, None], 0.0)
    return np.asarray((gathered + (missing - needed)[:, None]) / traits.picking_heat)


def heat_needed(traits: CropTraits, unknowns: CropUnknowns, begun: Begun) -> tuple[Columns, Draws]:
    """Column from which heat counts, and the heat from there to first pick. [C d]"""
    need = traits.growth_need(begun.how)
    total = crop_stages.between(*need.heat, unknowns.need, need.early)
    if begun.how == "sown":
        return begun.column, total
    starts = begun.column + np.rint(unknowns.check_days).astype(np.intp)
    after = crop_stages.heat_after_check(total, need.per_day, begun.ahead_days)
    return starts, after


def heat_at(sums: NDArray[np.float64], columns: Columns) -> Draws:
    """Heat by the morning of a column in each draw; a single row serves every draw."""
    within = np.clip(columns, 0, sums.shape[1] - 1)
    rows = np.arange(len(within)) if sums.shape[0] > 1 else 0
    return np.asarray(sums[rows, within])


def bearing_kg(
    climate: CropClimate,
    unknowns: CropUnknowns,
    age: DrawDays,
    plants: float,
    early_loss: Draws | None = None,
    from_column: int = 0,
) -> DrawDays:
    """Yield of each day of a sound planting from a column on, (n_draws, n_days - from). [kg]

    age        : picking age on each morning from that column on, (n_draws, n_days + 1 - from). [d]
    early_loss : share of the first pickings that over-age in the cup has cost.
    """
    kg = harvest_curve.daily_yield(
        age, unknowns.peak_days, unknowns.end_days, plants * unknowns.plant_kg
    )
    if early_loss is not None and early_loss.any():
        kg = kg * np.where(age[:, 1:] < EARLY_PICKING_DAYS, 1 - early_loss[:, None], 1.0)
    light = np.reshape(light_grown_in(climate, age, from_column), (-1, 1))
    return np.asarray(kg * light * climate.bears[:, from_column:])


def picked_kg(kg: DrawDays, traits: CropTraits, picks: Sequence[int]) -> DrawDays:
    """What of a new planting's yield is eaten when it is picked on these days of it. [kg]

    picks : days, counted from the first column of `kg`; none at all is taken as not known.
    """
    if traits.hangs_days is None or not picks:
        return kg
    return kg * eaten_share(kg > 0, picks, (), traits.hangs_days, traits.slows)
