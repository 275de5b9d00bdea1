"""What the weather does for a disease of leaves, night by night, where wetness is only guessed at.

Nights run from noon to noon and belong to the day on which they end. Where hours were measured they
count; elsewhere wetness is reckoned from extremes and rain at five leans from dry to wet, and
everything after carries all five.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.diseases import Disease
from lattermath.science.development import day_temperatures, thermal_response
from lattermath.science.disease_severity_values import tom_cast
from lattermath.science.hourly_temperature import hourly_temperature
from lattermath.science.infection import infection, wet_hours_in_trials
from lattermath.science.leaf_disease import warmth_response
from lattermath.science.wetness_from_extremes import wetness_from_extremes
from lattermath.vocabulary.figure import Figure

FloatArray = NDArray[np.float64]

LEANS = (-1.0, -0.5, 0.0, 0.5, 1.0)
NOON = 12
# Diseases timed by severity values: what the table of values was made for.
BY_SEVERITY_VALUES = ("early_blight_tomato", "septoria_leaf_spot_tomato")
FULL_VALUE = 2.0  # judgement: the table's growth rates were taken in weather scoring about 2 a day


@dataclass(frozen=True, slots=True, eq=False)
class Nights:
    """Wetness of every night, (n_leans, n_futures, n_days) each; see `WetNights`.

    measured : nights of which every hour was, (n_days,).
    """

    humid_h: FloatArray
    wet_h: FloatArray
    wet_mean_c: FloatArray
    measured: NDArray[np.bool_]


def nights_of(
    t_min: FloatArray,
    t_max: FloatArray,
    rain_mm: FloatArray,
    hours_up: FloatArray,
    humid: FloatArray,
    wet: FloatArray,
    watered: FloatArray | None = None,
    noon_h: float = 12.0,
) -> Nights:
    """Wetness by lean: measured hours where there are any, reckoned ones elsewhere.

    t_min, t_max, rain_mm : (n_futures, n_days). hours_up : (n_days,).
    humid, wet            : measured hours as 1, 0 or NaN, (n_days, 24). An unknown hour of a
        measured night is dry on the dry side and wet on the wet side.
    watered               : share of each hour with leaves wet by watering, (n_leans, n_days, 24)
        by the clock; None: none.
    noon_h                : hour of the clock at which the sun is highest. [h]
    """
    by_sun = None if watered is None else _earlier(watered, round(noon_h - NOON))
    guessed = [
        wetness_from_extremes(
            t_min, t_max, rain_mm, hours_up, lean, None if by_sun is None else by_sun[n]
        )
        for n, lean in enumerate(LEANS)
    ]
    humid_h = np.stack([one.humid_h for one in guessed])
    wet_h = np.stack([one.wet_h for one in guessed])
    mean = np.stack([one.wet_mean_c for one in guessed])
    known = _night_of(np.nan_to_num(~np.isnan(wet)).astype(np.float64))
    told = known >= NOON  # at least half of the night's hours
    if told.any():
        half = hours_up / 2
        heat = hourly_temperature(t_min[0], np.maximum(t_min[0], t_max[0]), 12 - half, 12 + half)
        for n, lean in enumerate(LEANS):
            filled_humid, filled = (np.nan_to_num(one, nan=(lean + 1) / 2) for one in (humid, wet))
            if watered is not None:
                filled = np.maximum(filled, watered[n])
            hours = _night_of(filled)
            warm = _night_of(filled * heat) / np.maximum(hours, 1e-9)
            humid_h[n][:, told] = _night_of(filled_humid)[told]
            wet_h[n][:, told] = hours[told]
            mean[n][:, told] = np.where(hours > 0, warm, mean[n, 0])[told]
    return Nights(humid_h, wet_h, mean, known >= 24)


def infection_response(disease: Disease, nights: Nights) -> FloatArray | None:
    """Share of the best weather for infection, (n_leans, n_futures, n_days); None: no figures."""
    if disease.id in BY_SEVERITY_VALUES:
        values = tom_cast(nights.wet_mean_c, np.round(nights.wet_h))
        return np.asarray(np.minimum(values / FULL_VALUE, 1.0))
    bounds = disease.infection
    if not bounds:
        return None
    names = ("Tmin", "Topt", "Tmax", "Wmin", "Wmax")
    low, best, high, fewest, most = (bounds[name].value for name in names)
    share = infection(nights.wet_mean_c, nights.wet_h, low, best, high, fewest, most)
    trials, stops = disease.wet_trials, disease.temp_stop_c
    if trials and stops is not None:
        asked = wet_hours_in_trials(nights.wet_mean_c, trials, stops.value)
        share = np.where(nights.wet_h >= asked, share, 0.0)
    return np.asarray(share)


def dry_response(disease: Disease, t_min: FloatArray, t_max: FloatArray) -> FloatArray:
    """The same for a disease that needs no wetness, (1, n_futures, n_days).

    The top limit lies between the limit and the stop of the table.
    """
    limits, stop = disease.temp_limits_c, disease.temp_stop_c
    best: Figure | None = disease.row.find("t_opt_infection_c") or disease.temp_opt_c
    if limits is None or stop is None or best is None:
        raise ValueError(f"{disease.id}: the table has no temperatures of infection")
    low, high = limits.span
    return warmth_response(t_min, t_max, low, best.value, (high + stop.value) / 2)[None]


def ripening_response(disease: Disease, t_min: FloatArray, t_max: FloatArray) -> FloatArray:
    """Pace of the latent period beside the best, by warmth alone, (n_futures, n_days)."""
    bounds: Mapping[str, Figure] = disease.infection
    if not bounds:
        return np.ones_like(t_min)
    low, best, high = (bounds[name].value for name in ("Tmin", "Topt", "Tmax"))
    return np.asarray(thermal_response(day_temperatures(t_min, t_max), low, best, high).mean(-1))


def by_lean(response: FloatArray, lean: FloatArray) -> FloatArray:
    """One response for each draw, between the leans by straight lines, (n_draws, ..., n_days).

    response : (n_leans, n_draws or 1, ..., n_days). lean : -1 to 1, (n_draws,).
    """
    n_leans = response.shape[0]
    if n_leans == 1:
        return np.broadcast_to(response[0], (len(lean), *response.shape[2:])).copy()
    place = np.interp(lean, LEANS, np.arange(n_leans))
    below = np.minimum(place.astype(int), n_leans - 2)
    part = (place - below).reshape(-1, *(1,) * (response.ndim - 2))
    draws = np.arange(len(lean)) if response.shape[1] > 1 else np.zeros(len(lean), dtype=int)
    return np.asarray(
        response[below, draws] * (1 - part) + response[below + 1, draws] * part, dtype=np.float64
    )


def _earlier(watered: FloatArray, hours: int) -> FloatArray:
    """The same hours by the sun, whose noon comes so many hours after the clock's twelve."""
    flat = watered.reshape(watered.shape[0], -1)
    moved = np.zeros_like(flat)
    end = flat.shape[1]
    moved[:, max(-hours, 0) : end - max(hours, 0)] = flat[:, max(hours, 0) : end - max(-hours, 0)]
    return moved.reshape(watered.shape)


def _night_of(hours: FloatArray) -> FloatArray:
    """Sums from noon to noon of (n_days, 24), by the day on which they end."""
    evening = np.concatenate([[0.0], hours[:-1, NOON:].sum(-1)])
    return np.asarray(hours[:, :NOON].sum(-1) + evening)
