"""Ground that is watered at visits with what water there is, and what drought leaves of a yield."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.root_zone import LEAST_RAIN_SHARE, stress_coefficient

Floats = NDArray[np.float64]

POUR_FROM = 0.5  # judgement: a visit waters ground that has used half of what is easy to get
RESPONSE_DAYS = 14  # judgement: the fruit of a day was made by the leaf of the two weeks before


def stress_at_visits(
    depletion_mm: Floats,
    taw_mm: Floats,
    raw_mm: Floats,
    kc: Floats,
    et0_mm: Floats,
    rain_mm: Floats,
    visits: Collection[int],
    litres_a_mm: Floats,
    litres_a_visit: float | None,
) -> Floats:
    """Stress coefficient of each planting while it is watered at the visits, FAO-56. [0 to 1]

    depletion_mm       : at the end of day 0, before a watering, (n_plantings, n_draws).
    taw_mm, raw_mm, kc : by planting and day, (n_plantings, n_days).
    et0_mm, rain_mm    : by draw and day, (n_draws, n_days).
    visits             : days on whose evening water is poured.
    litres_a_mm        : litres that raise a planting's ground by 1 mm, (n_plantings,).
    litres_a_visit     : water there is at one visit; None: as much as is wanted.

    Gives (n_plantings, n_draws, n_days). A visit refills, as far as the water goes and each in the
    same share, the ground that has used half of its readily available water; whoever waters feels
    the soil, so that each draw is watered by its own. The day's balance is that of `root_zone`.
    """
    gone = np.array(depletion_mm, dtype=float)
    stress = np.ones((*gone.shape, taw_mm.shape[1]))
    for day in range(taw_mm.shape[1]):
        full, easy = taw_mm[:, day, None], raw_mm[:, day, None]
        stress[..., day] = stress_coefficient(gone, full, easy)
        if day > 0:
            et0, rain = et0_mm[None, :, day], rain_mm[None, :, day]
            got = np.where(rain < LEAST_RAIN_SHARE * et0, 0.0, rain)
            there = np.maximum(full - gone, 0.0) + got
            taken = np.minimum(stress[..., day] * kc[:, day, None] * et0, there)
            gone = np.maximum(gone - got + taken, 0.0)
        if day in visits:
            wanted = np.where(gone >= POUR_FROM * easy, gone, 0.0)
            litres = (wanted * litres_a_mm[:, None]).sum(axis=0)
            there_is = litres if litres_a_visit is None else litres_a_visit
            share = np.minimum(there_is / np.where(litres > 0, litres, 1.0), 1.0)
            gone = gone - share * wanted
    return stress


def yield_left(ks: ArrayLike, demand_mm: ArrayLike, response: float) -> Floats:
    """Share of the sound yield that drought leaves on each day, shape as `ks`. [0 to 1]

    ks        : stress coefficient by day, (..., n_days).
    demand_mm : water the crop would use unstressed, broadcast to `ks`. [mm]
    response  : yield response factor Ky: 1 - Ya/Ym = Ky (1 - ETa/ETm).

    The ratio of water used to water wanted is taken over the two weeks up to the day.
    Source: Doorenbos and Kassam 1979, FAO-33 (form recalled); the window is judgement.
    """
    stress = np.asarray(ks, float)
    wanted = np.broadcast_to(np.asarray(demand_mm, float), stress.shape)
    used, whole = (np.cumsum(v, axis=-1) for v in (stress * wanted, wanted))
    for sums in (used, whole):
        sums[..., RESPONSE_DAYS:] -= sums[..., :-RESPONSE_DAYS].copy()
    ratio = np.where(whole > 0, used / np.where(whole > 0, whole, 1.0), 1.0)
    left: Floats = np.clip(1.0 - response * (1.0 - ratio), 0.0, 1.0)
    return left
