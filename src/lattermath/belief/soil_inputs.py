"""What the tables, the plot and the record say, as the reckoning of soil water takes it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.soil import Ground, Poured, WaterUse
from lattermath.knowledge.crops import Crop
from lattermath.knowledge.soils import Soil
from lattermath.science.crop_coefficient import scaled_stages
from lattermath.science.reference_et import (
    HARGREAVES_OCEANIC_SCALE,
    Measured,
    hargreaves,
    penman_monteith,
)
from lattermath.vocabulary.events import Event, Watering
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.plot import Bed, Planting

Floats = NDArray[np.float64]

LEAST_TO_CALIBRATE = 60  # judgement: days with both, before the record's own ratio is believed
# judgement, from five records with their own ETo: over the growing season Hargreaves read 16 to 18
# percent high at Brussels and Munich (daily range 9 and 12 K, rain 0.7 of it at Brussels), 3 to 6
# percent low at Champion and Cordoba (range 15 to 17 K) and at Tunis (range 12 K, rain 0.1 of it).
CONTINENTAL_RANGE_K = 14.0
DRY_RAIN_SHARE = 0.5
SCALE_LIMITS = (0.6, 1.4)  # judgement: beyond these the record's ETo is something else


@dataclass(frozen=True, slots=True)
class ReferenceWater:
    """Reference evapotranspiration by day, and in words on what it rests. [mm/d]"""

    et0_mm: Floats  # the shape of the temperatures
    scale: float  # what Hargreaves was multiplied by, where it was needed
    says: str


def reference_water(
    day_of_year: NDArray[np.int64],
    latitude: float,
    altitude_m: float | None,
    t_min: Floats,
    t_max: Floats,
    measured: Measured | None = None,
    et0_mm: Floats | None = None,
    rain_mm: Floats | None = None,
) -> ReferenceWater:
    """Reference evapotranspiration of every day, from the best that is known of that day. [mm/d]

    t_min, t_max, rain_mm, et0_mm and the arrays in `measured` : shape (..., n_days); NaN unknown.

    The record's own figure first; then Penman-Monteith on days whose radiation was measured; then
    Hargreaves, scaled to the record's own figures where at least 60 days have both. Without those
    it is taken as published where days are much warmer than nights or rain falls short of half the
    demand, and else times 0.86, as cool humid places want it.
    """
    guess = hargreaves(day_of_year, latitude, t_min, t_max)
    own = np.full(guess.shape, np.nan) if et0_mm is None else np.broadcast_to(et0_mm, guess.shape)
    better = own
    if measured is not None and measured.solar_mj_m2 is not None:
        full = penman_monteith(day_of_year, latitude, altitude_m or 0.0, t_min, t_max, measured)
        sunny = ~np.isnan(np.broadcast_to(np.asarray(measured.solar_mj_m2, float), guess.shape))
        better = np.where(np.isnan(own) & sunny, full.et0_mm, own)
    scale, how = _scale(guess, better, _dry(guess, t_max - t_min, rain_mm))
    et0 = np.where(np.isnan(better), scale * guess, better)
    days = np.isnan(better).mean()
    if days == 0:
        return ReferenceWater(et0, scale, "by the weather record")
    part = "" if days == 1 else "by the weather record where it has it, else "
    return ReferenceWater(et0, scale, f"{part}by temperature alone, times {scale:.2f} ({how})")


def ground_of(bed: Bed, soil: Soil, share: float = 1.0, wetted_share: float = 1.0) -> Ground:
    """The ground that a planting takes: its share of the bed, and what the texture holds."""
    return Ground(
        bed=bed.key,
        area_m2=bed.area_m2 * share,
        field_capacity=soil.field_capacity.value,
        wilting_point=soil.wilting_point.value,
        wetted_share=wetted_share,
        mulched=bed.mulched,
        root_limit_m=bed.root_limit_m,
    )


def water_use_of(
    crop: Crop, planting: Planting, starts: int, season_days: float, still_bearing: bool
) -> WaterUse:
    """What a planting draws: the table's stages over its own season, the small end of its roots.

    season_days : from its start to the end of its picking, which the tabled stages are scaled to;
                  the tabled season is far longer than a garden's.
    """
    stages = scaled_stages([figure.value for figure in crop.stage_days], season_days)
    return WaterUse(
        planting=planting.key,
        starts=starts,
        stages_days=(stages[0], stages[1], stages[2], stages[3]),
        kc=(crop.kc_ini.value, crop.kc_mid.value, crop.kc_end.value),
        kcb=(crop.kcb_ini.value, crop.kcb_mid.value, crop.kcb_end.value),
        root_m=_small_end(crop.root_max_m),
        depletion_fraction=crop.depletion_fraction.value,
        still_bearing=still_bearing,
        wilted=planting.wilted,
    )


def poured_on(
    planting: Planting, share: float, first_ordinal: int, events: Sequence[Event]
) -> tuple[Poured, ...]:
    """The journal's waterings of this planting: its own, and its share of its bed's.

    first_ordinal : proleptic ordinal of the weather's first column.
    events        : effective entries (corrected ones left out), in any order.
    """
    found = []
    for event in events:
        water = event.payload
        if not isinstance(water, Watering):
            continue
        mine = water.planting == planting.key
        ours = water.planting is None and water.bed is not None and water.bed == planting.bed
        if mine or ours:
            litres = water.litres if mine else water.litres * share
            found.append(Poured(event.day.toordinal() - first_ordinal, litres, event.serial))
    return tuple(sorted(found, key=lambda p: (p.column, p.serial)))


def shares_of_bed(plantings: Sequence[Planting], crops: Mapping[str, Crop]) -> dict[str, float]:
    """Share of one bed's area that each of its plantings takes, by plants and spacing; sums to 1.

    Planting in rows as the table spaces them; common practice.
    """
    area = {}
    for planting in plantings:
        area[planting.key] = max(planting.plants, 1) * crops[planting.crop].plant_ground_m2
    total = sum(area.values())
    return {key: value / total for key, value in area.items()}


def _scale(guess: Floats, better: Floats, dry: bool) -> tuple[float, str]:
    """What to multiply Hargreaves by: the record's own ratio, or what such a climate wants."""
    both = ~np.isnan(better) & ~np.isnan(guess)
    if both.sum() >= LEAST_TO_CALIBRATE:
        ratio = float(better[both].sum() / max(guess[both].sum(), 1e-9))
        if SCALE_LIMITS[0] <= ratio <= SCALE_LIMITS[1]:
            return ratio, "as this record shows"
    if dry:
        return 1.0, "as published, for a dry or inland place"
    return HARGREAVES_OCEANIC_SCALE, "as in cool humid places"


def _dry(guess: Floats, swing: Floats, rain_mm: Floats | None) -> bool:
    """True for a place whose air is dry, as far as range and rain can tell."""
    if np.nanmean(swing) >= CONTINENTAL_RANGE_K:
        return True
    return rain_mm is not None and bool(np.nanmean(rain_mm) < DRY_RAIN_SHARE * np.nanmean(guess))


def _small_end(figure: Figure) -> float:
    """Roots of a garden soil rarely reach the middle of the table; common practice."""
    return figure.value if figure.low is None else figure.low
