"""The fruit of one planting, one by one: they set, grow by warmth, pass size, and are picked."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import gamma

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.crops import Crop

FloatArray = NDArray[np.float64]

# Judgement: what one fruit weighs at market size [kg]; of beans and okra, a handful.
FRUIT_KG = {
    "cucumber": 0.25, "summer_squash": 0.3, "winter_squash": 1.5, "melon": 1.2, "tomato": 0.12,
    "eggplant": 0.25, "pepper": 0.14, "bean": 0.08, "runner_bean": 0.08, "okra": 0.08,
}  # fmt: skip
HANGS_DAYS = {"cucumber": 5.0, "summer_squash": 4.0, "bean": 6.0, "okra": 3.0}  # judgement
OTHER_HANGS = 12.0  # judgement
YIELD_BEYOND = 0.15  # judgement: gardens lie outside the table's range of yields by this, log
PLANT_SD, FRUIT_SD, SIZE_SD = 0.25, 0.2, 0.12  # judgement: plants, fruit, days to size; log
REFERENCE_C = 23.0  # mean of the weather in which the table counts days, where it says no other
RISE, WEAR = 1.7, 2.3  # judgement: shape of the setting of fruit over a plant's bearing
WEEK_SD = 0.25  # judgement: a plant's good and bad weeks, log
WEEK_MEMORY = 0.85  # judgement: of these from day to day
HOT_SPAN_C, HOT_SETS = 5.0, 0.25  # judgement: where set ends to fall above the table's limit
HOT_SD_C = 1.5  # judgement: varieties beside the table's limit


@dataclass(slots=True, eq=False)
class Fruiting:
    """A planting's fruit; arrays of fruit have one entry a fruit.

    heat      : the plants' own clock since setting out. [C d]
    flowers   : heat at which the first flower opens; `span` of bearing; both C d.
    to_size   : heat from flower to market size. [C d]
    plant_kg  : what each plant sets in its life, (n_plants,). [kg]
    plant, grown, needs : of each fruit: its plant, heat since it set, heat it needs to size.
    """

    base_c: float
    upper_c: float
    hot_c: float
    kill_c: float
    unit_kg: float
    flowers: float
    to_size: float
    span: float
    a_day: float
    hangs: float
    plant_kg: FloatArray
    heat: float = 0.0
    week: float = 0.0
    plant: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, np.int64))
    grown: FloatArray = field(default_factory=lambda: np.zeros(0))
    needs: FloatArray = field(default_factory=lambda: np.zeros(0))
    weighs: FloatArray = field(default_factory=lambda: np.zeros(0))
    ripe_days: FloatArray = field(default_factory=lambda: np.zeros(0))

    def a_day_on(
        self,
        hours_c: FloatArray,
        light: float,
        moist: float,
        sound: float,
        stands: NDArray[np.bool_],
        rng: np.random.Generator,
    ) -> float:
        """Let a day pass; gives the kilograms that came to size on it. [kg]

        light, moist, sound : what the day's light, the soil and the leaves allow. [0 to 1]
        """
        if hours_c.min() <= self.kill_c - 0.5:
            self.plant_kg[:] = 0.0
            self._keep(np.zeros(len(self.plant), dtype=bool))
        warm = self.warmth(hours_c)
        self.heat += warm
        noise = WEEK_SD * np.sqrt(1 - WEEK_MEMORY**2)
        self.week = WEEK_MEMORY * self.week + rng.normal(0, noise)
        self._set(warm, float(hours_c.max()), light * moist * sound, stands, rng)
        before = self.grown < self.needs
        self.grown = self.grown + warm * (0.6 + 0.4 * moist)
        ripe = self.grown >= self.needs
        kg = float(self.weighs[before & ripe].sum())
        self.ripe_days = np.where(ripe, self.ripe_days + 1, 0.0)
        self._keep(stands[self.plant])
        return kg

    def warmth(self, hours_c: FloatArray) -> float:
        """What the plants' clock gains in a day of these hours. [C d]"""
        return float((np.clip(hours_c, self.base_c, self.upper_c) - self.base_c).mean())

    def _set(
        self, warm: float, hot: float, share: float, stands: NDArray[np.bool_],
        rng: np.random.Generator,
    ) -> None:  # fmt: skip
        """Flowers of the day that set fruit."""
        passed = (self.heat - self.flowers) / self.span
        if not 0 < passed < 1:
            return
        density = _density(passed)
        hot_share = np.interp(hot - self.hot_c, (0.0, HOT_SPAN_C), (1.0, HOT_SETS))
        wanted = self.plant_kg / self.unit_kg * density * warm / self.span
        new = rng.poisson(wanted * share * hot_share * np.exp(self.week) * stands)
        plant = np.repeat(np.arange(len(new)), new)
        n = len(plant)
        self.plant = np.concatenate([self.plant, plant])
        self.grown = np.concatenate([self.grown, np.zeros(n)])
        needs = self.to_size * np.exp(rng.normal(0, SIZE_SD, n))
        self.needs = np.concatenate([self.needs, needs])
        weighs = self.unit_kg * np.exp(rng.normal(-(FRUIT_SD**2) / 2, FRUIT_SD, n))
        self.weighs = np.concatenate([self.weighs, weighs])
        self.ripe_days = np.concatenate([self.ripe_days, np.zeros(n)])

    @property
    def bears(self) -> float:
        """What it sets beside its best day, 0 before the first flower and when it is spent."""
        passed = (self.heat - self.flowers) / self.span
        if not 0 < passed < 1:
            return 0.0
        best = (RISE - 1) / (RISE + WEAR - 2)
        return float(_density(passed) / _density(best))

    @property
    def spent(self) -> float:
        """Share of its bearing that is behind it, below 0 before the first flower."""
        return (self.heat - self.flowers) / self.span

    def pick(self) -> tuple[float, float]:
        """Take all fruit at size; kilograms fit to eat, and overgrown. [kg]"""
        ripe = self.grown >= self.needs
        good = ripe & (self.ripe_days <= self.hangs)
        kg = float(self.weighs[good].sum()), float(self.weighs[ripe & ~good].sum())
        self._keep(~ripe)
        return kg

    def _keep(self, which: NDArray[np.bool_]) -> None:
        for name in ("plant", "grown", "needs", "weighs", "ripe_days"):
            setattr(self, name, getattr(self, name)[which])


_BETA = gamma(RISE) * gamma(WEAR) / gamma(RISE + WEAR)  # integral of the shape over 0 to 1


def _density(passed: float) -> float:
    return float(passed ** (RISE - 1) * (1 - passed) ** (WEAR - 1) / _BETA)


def bears_fruit(crop: str) -> bool:
    """Whether nature grows fruit of this crop one by one."""
    return _word(crop) is not None


def throw_fruiting(
    crop: Crop, plants: int, rng: np.random.Generator, *, sown: bool = False
) -> Fruiting | None:
    """Throw how one planting will bear; None for crops whose leaves or roots are eaten.

    sown : its clock begins with sowing in place, not with setting out.
    """
    set_out = crop.setout_to_first_pick_days
    need = (crop.sow_to_first_pick_days if sown else set_out) or crop.sow_to_first_pick_days
    word, flower = _word(crop.id), crop.first_flower_days
    if word is None or need is None:
        return None
    base, upper = crop.t_base.value, crop.t_upper.value
    to_pick = min(_counted_in(crop, sown=sown or set_out is None), upper) - base
    a_day = to_pick  # the days of one row were counted in one weather
    first = rng.uniform(*need.span) + rng.normal(0, 2.0)
    opens = min(rng.uniform(*flower.span), 0.85 * first) if flower else 0.6 * first
    if sown and flower and set_out:  # the table counts flowers from setting out
        opens = max(first - set_out.value + opens, 0.5 * first)
    low, high = np.log(crop.yield_per_plant_kg.span)
    kg = np.exp(rng.uniform(low, high) + rng.normal(0, YIELD_BEYOND))
    own = np.exp(rng.normal(-(PLANT_SD**2) / 2, PLANT_SD, plants))
    return Fruiting(
        base_c=base,
        upper_c=upper,
        hot_c=crop.heat_day_max_c.value + rng.normal(0, HOT_SD_C),
        kill_c=crop.frost_kill_c.value,
        unit_kg=FRUIT_KG[word],
        flowers=opens * to_pick,
        to_size=(first - opens) * to_pick,
        span=rng.uniform(*crop.picking_days.span) * a_day,
        a_day=a_day,
        hangs=next((d for w, d in HANGS_DAYS.items() if crop.id.startswith(w)), OTHER_HANGS),
        plant_kg=kg * own,
    )


def _counted_in(crop: Crop, *, sown: bool) -> float:
    """Mean of the weather in which the table counts the days to first pick. [C]"""
    column = "sow_to_first_pick" if sown else "setout_to_first_pick"
    mean = crop.row.find(f"{column}.mean_c")
    return REFERENCE_C if mean is None else mean.value


def _word(crop: str) -> str | None:
    return next((word for word in FRUIT_KG if crop.startswith(word)), None)
