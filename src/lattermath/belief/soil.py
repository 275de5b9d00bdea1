"""The water in the ground of each planting: what is probably there today, and in each future."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.science.crop_coefficient import kc_on_day
from lattermath.science.root_zone import RootZoneRun, root_zone, total_available_water

DrawDays = NDArray[np.float64]  # (n_draws, n_days)
Days = NDArray[np.float64]  # (n_days,)

YOUNG_ROOT_M = 0.15  # judgement: the depth of a cup, or of a seedling in its first weeks
# A full organic mulch halves the soil's share: a quarter at half cover, recalled (FAO-56 ch. 10).
MULCH_KEEPS = 0.5
WILTED_BUT_WET = 0.5  # judgement: share of draws that must have been dry for no word to be said


UNDER = "under "  # begins the bed of a planting that was given none


@dataclass(frozen=True, slots=True)
class Ground:
    """The soil under one planting, and how it is watered. Water contents by volume."""

    bed: str
    area_m2: float  # of the bed that this planting takes
    field_capacity: float
    wilting_point: float
    wetted_share: float = 1.0  # can or hose over the whole bed 1, drip 0.3 to 0.4
    mulched: bool = False
    root_limit_m: float | None = None  # pan, membrane or the bottom of a raised bed


@dataclass(frozen=True, slots=True)
class WaterUse:
    """What one planting draws from the ground. Days are columns of the weather."""

    planting: str
    starts: int  # column of setting out or sowing; negative before the weather begins
    stages_days: tuple[float, float, float, float]
    kc: tuple[float, float, float]  # initial, middle, end
    kcb: tuple[float, float, float]  # the part that passes through the plant
    root_m: float
    depletion_fraction: float
    still_bearing: bool = False  # picked on: its use does not fall off with the tabled late stage
    wilted: bool = False  # seen wilted when last looked at


@dataclass(frozen=True, slots=True)
class SoilWeather:
    """Rain and reference evapotranspiration as each draw lives through them, (n_draws, n_days).

    Past columns are alike in every draw. `today` is the column of the plan's day; `known_from` the
    first column from which waterings were written down.
    """

    today: int
    known_from: int
    et0_mm: DrawDays
    rain_mm: DrawDays


@dataclass(frozen=True, slots=True)
class Poured:
    """Water given to this planting's ground, as the journal has it."""

    column: int
    litres: float
    serial: int | None = None


@dataclass(frozen=True, slots=True)
class SoilPast:
    """The same ground on the days behind us, from the first that is known to yesterday. [mm]"""

    depletion_mm: DrawDays  # (n_draws, n_past), at the end of each day
    taw_mm: Days  # (n_past,)
    raw_mm: Days  # (n_past,)
    rain_mm: Days  # (n_past + 1,) that reached the ground, today's as well
    poured_mm: Days  # (n_past + 1,) over the wetted part, today's as well


@dataclass(frozen=True, slots=True)
class BedSoil:
    """The water under one planting. Column 0 is the end of today, k the end of the k-th day on.

    Nothing is poured after what the journal has: `watered` answers what pouring would do.
    """

    ground: Ground
    use: WaterUse
    taw_mm: Days  # (n_coming + 1,)
    raw_mm: Days  # (n_coming + 1,)
    depletion_mm: DrawDays  # (n_draws, n_coming + 1)
    ks: DrawDays  # (n_draws, n_coming + 1)
    kc: Days  # (n_coming + 1,)
    et0_mm: DrawDays  # (n_draws, n_coming + 1)
    rain_mm: DrawDays  # (n_draws, n_coming + 1)
    disagrees: str = ""  # when the plants say otherwise than the reckoning
    rough: str = ""  # what is not known, so that the sheet can say so
    events: tuple[int, ...] = ()  # serials of the waterings counted
    past: SoilPast | None = None

    @property
    def n_coming(self) -> int:
        """Days after today that are covered."""
        return int(self.depletion_mm.shape[1]) - 1

    @property
    def litres_a_mm(self) -> float:
        """Litres that raise the wetted ground by 1 mm."""
        return self.ground.area_m2 * self.ground.wetted_share


def believe_soil(
    ground: Ground,
    use: WaterUse,
    weather: SoilWeather,
    poured: Sequence[Poured],
    rng: np.random.Generator,
) -> BedSoil:
    """Run one planting's ground from the first day that is known to the end of the futures.

    The run begins when waterings were first written down, or when the planting began if that is
    later. What was poured before is not known: the depletion at the start is drawn evenly between
    none and all of the readily available water, and the rain and drought since then narrow it.
    A wilted planting has used up its readily available water, whatever the reckoning says.

    ValueError where the planting begins after today, or the weather does not cover today or has
    gaps: fill them first, for unknown rain is not none.
    """
    n_draws, n_days = weather.et0_mm.shape
    if not 0 <= weather.today < n_days:
        raise ValueError("the weather does not cover today")
    if use.starts > weather.today:
        raise ValueError("the planting begins after today")
    begin = min(max(use.starts, weather.known_from, 0), weather.today)
    if np.isnan(weather.et0_mm[:, begin:]).any() or np.isnan(weather.rain_mm[:, begin:]).any():
        raise ValueError("the weather has gaps; fill them before reckoning soil water")
    columns = np.arange(begin, n_days)
    kc = _kc(ground, use, columns)
    taw = total_available_water(
        ground.field_capacity, ground.wilting_point, _roots(ground, use, columns)
    )
    start = rng.uniform(0.0, 1.0, n_draws) * use.depletion_fraction * taw[0]
    water, events = _poured_mm(ground, poured, begin, weather.today, len(columns))
    run = root_zone(
        weather.et0_mm[:, begin:],
        weather.rain_mm[:, begin:],
        kc,
        taw,
        use.depletion_fraction,
        start,
        water,
    )
    rough = ""
    if weather.today - begin < 7:
        rough = "no waterings are known of the days before"
    at = weather.today - begin
    soil = BedSoil(
        ground=ground,
        use=use,
        taw_mm=taw[at:],
        raw_mm=use.depletion_fraction * taw[at:],
        depletion_mm=run.depletion_mm[:, at:],
        ks=run.ks[:, at:],
        kc=kc[at:],
        et0_mm=weather.et0_mm[:, weather.today :],
        rain_mm=weather.rain_mm[:, weather.today :],
        rough=rough,
        events=events,
        past=SoilPast(
            run.depletion_mm[:, :at],
            taw[:at],
            use.depletion_fraction * taw[:at],
            (weather.rain_mm[0, begin:] - run.ignored_rain_mm[0])[: at + 1],
            water[: at + 1],
        ),
    )
    return _as_seen(soil, rng) if use.wilted else soil


def watered(soil: BedSoil, litres: float) -> BedSoil:
    """The same ground after these litres are poured this evening, in every future."""
    if litres < 0:
        raise ValueError("nobody can pour less than nothing")
    now = np.maximum(soil.depletion_mm[:, 0] - litres / soil.litres_a_mm, 0.0)
    return _carried_on(soil, now)


def between(soil: BedSoil, first: int, last: int) -> BedSoil:
    """The same ground from the evening `first` days on to that `last` days on, nothing poured.

    The sheet of a later visit starts from `between(watered(soil, litres), days_until_then, ...)`.
    ValueError for days that the soil does not cover.
    """
    if not 0 <= first <= last <= soil.n_coming:
        raise ValueError(f"days {first} to {last} are not among 0 to {soil.n_coming}")
    kept = slice(first, last + 1)
    return replace(
        soil,
        taw_mm=soil.taw_mm[kept],
        raw_mm=soil.raw_mm[kept],
        depletion_mm=soil.depletion_mm[:, kept],
        ks=soil.ks[:, kept],
        kc=soil.kc[kept],
        et0_mm=soil.et0_mm[:, kept],
        rain_mm=soil.rain_mm[:, kept],
    )


def chance_of_stress(soil: BedSoil, days: int) -> float:
    """Chance that the plants run short on any of the coming `days` days. [0..1]"""
    return float((soil.ks[:, 1 : days + 1] < 1).any(axis=1).mean())


def days_until_due(soil: BedSoil) -> NDArray[np.float64]:
    """Days from this evening until the plants first run short, nothing poured; inf: never. [d]

    Shape (n_draws,): its quantiles are the chance that water is due by a day.
    """
    short = soil.ks[:, 1:] < 1
    return np.where(short.any(axis=1), short.argmax(axis=1) + 1.0, np.inf)


def short_mm(soil: BedSoil, days: int) -> float:
    """Water that the plants would use over the coming `days` days and do not get, mean. [mm]"""
    coming = slice(1, days + 1)
    want = soil.kc[coming] * soil.et0_mm[:, coming]
    return float(((1 - soil.ks[:, coming]) * want).sum(axis=1).mean())


def refill_litres(soil: BedSoil) -> float:
    """Litres that bring the ground back to field capacity this evening, mean of the draws."""
    return float(soil.depletion_mm[:, 0].mean() * soil.litres_a_mm)


def _kc(ground: Ground, use: WaterUse, columns: NDArray[np.intp]) -> Days:
    """Crop coefficient by column; a planting that is picked on keeps its middle one."""
    late = sum(use.stages_days[:3])
    age = np.maximum(columns - use.starts, 0).astype(float)
    if use.still_bearing:
        age = np.minimum(age, late)
    kc = kc_on_day(age, use.stages_days, use.kc)
    if not ground.mulched:
        return kc
    through_plant = np.minimum(kc_on_day(age, use.stages_days, use.kcb), kc)
    return through_plant + (kc - through_plant) * MULCH_KEEPS


def _roots(ground: Ground, use: WaterUse, columns: NDArray[np.intp]) -> Days:
    """Root depth by column: from a cup's depth to the full one when the middle stage begins. [m]"""
    full = use.root_m if ground.root_limit_m is None else min(use.root_m, ground.root_limit_m)
    young = min(YOUNG_ROOT_M, full)
    grown = max(sum(use.stages_days[:2]), 1.0)
    share = np.clip((columns - use.starts) / grown, 0.0, 1.0)
    depth: Days = young + share * (full - young)
    return depth


def _poured_mm(
    ground: Ground, poured: Sequence[Poured], begin: int, today: int, n_days: int
) -> tuple[Days, tuple[int, ...]]:
    """Waterings by column from `begin`, over the wetted part, and the entries they came from."""
    water = np.zeros(n_days)
    counted = [p for p in poured if begin <= p.column <= today]
    for one in counted:
        water[one.column - begin] += one.litres / (ground.area_m2 * ground.wetted_share)
    return water, tuple(p.serial for p in counted if p.serial is not None)


def _carried_on(soil: BedSoil, now_mm: NDArray[np.float64]) -> BedSoil:
    """The ground from this evening's depletion on, without further watering."""
    run: RootZoneRun = root_zone(
        soil.et0_mm[:, 1:],
        soil.rain_mm[:, 1:],
        soil.kc[1:],
        soil.taw_mm[1:],
        soil.use.depletion_fraction,
        now_mm,
    )
    depletion = np.concatenate([now_mm[:, None], run.depletion_mm], axis=1)
    ks = np.concatenate([soil.ks[:, :1], run.ks], axis=1)
    return replace(soil, depletion_mm=depletion, ks=ks)


def _as_seen(soil: BedSoil, rng: np.random.Generator) -> BedSoil:
    """Draws that took the plants for well watered are moved to where plants wilt."""
    raw, taw = soil.raw_mm[0], soil.taw_mm[0]
    before = soil.depletion_mm[:, 0]
    dry = before >= raw
    # A plant that hangs at a visit has lost some of what is hard to get, seldom all of it.
    moved = raw + rng.uniform(0.0, 0.5, len(before)) * (taw - raw)
    words = ""
    if dry.mean() < WILTED_BUT_WET:
        words = (
            "wilted, though the reckoning leaves it water: feel the soil a finger deep; "
            "if it is moist, look at roots and stem instead"
        )
    return replace(_carried_on(soil, np.where(dry, before, moved)), disagrees=words)
