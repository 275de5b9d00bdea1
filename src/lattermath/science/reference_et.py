"""Reference evapotranspiration, with a stated fallback for everything nobody measured."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.science.humidity import saturation_slope, saturation_vapour_pressure
from lattermath.science.sun import daylight_hours, extraterrestrial_radiation

Floats = NDArray[np.float64]
Which = NDArray[np.intp]

SIGMA_MJ = 4.903e-9  # Stefan-Boltzmann [MJ K-4 m-2 d-1]
ALBEDO = 0.23  # of the reference grass
KELVIN = 273.16  # the constant FAO-56 prints
KRS_INLAND, KRS_COAST = 0.16, 0.19  # radiation from the daily range, FAO-56 eq. 50
WIND_UNKNOWN = 2.0  # FAO-56 ch. 3, recalled [m/s at 2 m]
WIND_LEAST = 0.5  # FAO-56 ch. 3, recalled: still air is never quite still [m/s]
HARGREAVES_OCEANIC_SCALE = 0.86  # derived: a Brussels and a Munich record, May to September

VAPOUR_FROM = (
    "vapour pressure",
    "dew point",
    "highest and lowest humidity",
    "highest humidity",
    "mean humidity",
    "lowest humidity",
    "night minimum taken as dew point",
)
RADIATION_FROM = ("measured", "sunshine hours", "daily range of temperature")
WIND_FROM = ("measured", "2 m/s assumed")


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured beside the temperatures. None, or NaN on a day, is not measured.

    Each is one number or an array that broadcasts with the days.
    """

    t_mean: ArrayLike | None = None  # [C]
    vapour_pressure_kpa: ArrayLike | None = None
    t_dew: ArrayLike | None = None  # [C]
    rh_max: ArrayLike | None = None  # [%]
    rh_min: ArrayLike | None = None  # [%]
    rh_mean: ArrayLike | None = None  # [%]
    wind_m_s: ArrayLike | None = None  # at `wind_height_m`
    wind_height_m: float = 2.0
    solar_mj_m2: ArrayLike | None = None  # daily total on the level
    sunshine_h: ArrayLike | None = None
    soil_heat_mj_m2: ArrayLike | None = None  # 0 where not given: right for single days


@dataclass(frozen=True, slots=True)
class ReferenceEt:
    """Reference evapotranspiration and every term of it, all of one shape.

    `vapour_from`, `radiation_from`, `wind_from` index VAPOUR_FROM, RADIATION_FROM and WIND_FROM and
    say on what each day rests.
    """

    et0_mm: Floats
    ra_mj_m2: Floats
    daylight_h: Floats
    rs_mj_m2: Floats
    rso_mj_m2: Floats
    rns_mj_m2: Floats
    rnl_mj_m2: Floats
    rn_mj_m2: Floats
    es_kpa: Floats
    ea_kpa: Floats
    slope_kpa_c: Floats
    gamma_kpa_c: Floats
    u2_m_s: Floats
    vapour_from: Which
    radiation_from: Which
    wind_from: Which


def penman_monteith(
    day_of_year: ArrayLike,
    latitude: float,
    altitude_m: float,
    t_min: ArrayLike,
    t_max: ArrayLike,
    measured: Measured | None = None,
    *,
    coastal: bool = False,
) -> ReferenceEt:
    """Reference evapotranspiration of a day by FAO-56 Penman-Monteith, eq. 6. [mm/d]

    day_of_year, t_min, t_max : days on the last axis, shape (..., n_days) or numbers. [C]
    latitude, altitude_m      : degrees north; metres above the sea.
    measured                  : whatever else was measured; each gap takes the next best source, day
                                by day (see VAPOUR_FROM, RADIATION_FROM, WIND_FROM).
    coastal                   : the daily range then stands for more sun (0.19 in place of 0.16).

    The result is never below 0. A day whose vapour exceeds the mean saturation of its extremes
    keeps its negative deficit, as the published equation has it. NaN temperature gives NaN.
    ValueError where t_max is below t_min, latitude is off the globe, a humidity is outside 0..100
    or something else measured is negative.

    Source: Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56; equations
    widely quoted, examples read second-hand and reproduced in tests/published.
    Holds for: short grass well watered; a walled plot has less wind than its station.
    """
    extra = measured or Measured()
    low, high, day = np.broadcast_arrays(
        *(np.asarray(v, float) for v in (t_min, t_max, day_of_year))
    )
    _check(low, high, latitude, extra)
    mean = _first_known((low + high) / 2, extra.t_mean)[0]
    es = (saturation_vapour_pressure(high) + saturation_vapour_pressure(low)) / 2
    ea, vapour_from = _vapour(low, high, es, extra)
    wind, wind_from = _wind(low, extra)
    ra, daylight = extraterrestrial_radiation(day, latitude), daylight_hours(day, latitude)
    rso = clear_sky_radiation(ra, altitude_m)
    rs, radiation_from = _radiation(low, high, ra, rso, daylight, extra, coastal)
    rns = (1 - ALBEDO) * rs
    rnl = net_longwave(low, high, ea, rs, rso)
    slope, gamma = saturation_slope(mean), psychrometric_constant(altitude_m) + 0.0 * low
    heat = 0.0 if extra.soil_heat_mj_m2 is None else np.asarray(extra.soil_heat_mj_m2, float)
    drying = gamma * 900 / (mean + 273) * wind * (es - ea)
    et0 = (0.408 * slope * (rns - rnl - heat) + drying) / (slope + gamma * (1 + 0.34 * wind))
    return ReferenceEt(
        et0_mm=np.maximum(et0, 0.0),
        ra_mj_m2=ra,
        daylight_h=daylight,
        rs_mj_m2=rs,
        rso_mj_m2=rso,
        rns_mj_m2=rns,
        rnl_mj_m2=rnl,
        rn_mj_m2=rns - rnl,
        es_kpa=es,
        ea_kpa=ea,
        slope_kpa_c=slope,
        gamma_kpa_c=gamma,
        u2_m_s=wind,
        vapour_from=vapour_from,
        radiation_from=radiation_from,
        wind_from=wind_from,
    )


def hargreaves(
    day_of_year: ArrayLike,
    latitude: float,
    t_min: ArrayLike,
    t_max: ArrayLike,
    t_mean: ArrayLike | None = None,
) -> Floats:
    """Reference evapotranspiration from temperature alone, FAO-56 eq. 52. [mm/d]

    Shapes as in `penman_monteith`; never below 0. As published, uncorrected: in two cool humid
    records it reads 16 and 18 % high over the growing season, and HARGREAVES_OCEANIC_SCALE (0.86)
    undoes that there. Calibrate by regression where a record has both.

    Source: Hargreaves & Samani in FAO-56; example 20 read second-hand.
    Holds for: weeks rather than single days; error of single days about 0.7 mm.
    """
    low, high, day = np.broadcast_arrays(
        *(np.asarray(v, float) for v in (t_min, t_max, day_of_year))
    )
    _check(low, high, latitude, Measured())
    mean = _first_known((low + high) / 2, t_mean)[0]
    ra = extraterrestrial_radiation(day, latitude)
    et0: Floats = np.maximum(0.0023 * (mean + 17.8) * np.sqrt(high - low) * 0.408 * ra, 0.0)
    return et0


def air_pressure(altitude_m: ArrayLike) -> Floats:
    """Mean air pressure at an altitude, FAO-56 eq. 7. [kPa]"""
    pressure: Floats = 101.3 * ((293 - 0.0065 * np.asarray(altitude_m, float)) / 293) ** 5.26
    return pressure


def psychrometric_constant(altitude_m: ArrayLike) -> Floats:
    """Psychrometric constant at an altitude, FAO-56 eq. 8. [kPa/C]"""
    return 0.665e-3 * air_pressure(altitude_m)


def wind_at_2m(wind_m_s: ArrayLike, height_m: float) -> Floats:
    """Wind brought from the height of the instrument to 2 m, FAO-56 eq. 47. [m/s]"""
    speed = np.asarray(wind_m_s, float)
    if height_m == 2.0:
        return speed
    if height_m < 0.5:
        raise ValueError("wind must be measured at 0.5 m or higher")
    brought: Floats = speed * 4.87 / np.log(67.8 * height_m - 5.42)
    return brought


def clear_sky_radiation(ra_mj_m2: ArrayLike, altitude_m: float) -> Floats:
    """Radiation under a clear sky, FAO-56 eq. 37. [MJ m-2 d-1]"""
    return (0.75 + 2e-5 * altitude_m) * np.asarray(ra_mj_m2, float)


def radiation_from_sunshine(
    sunshine_h: ArrayLike, daylight_h: ArrayLike, ra_mj_m2: ArrayLike
) -> Floats:
    """Radiation from hours of sunshine, FAO-56 eq. 35. [MJ m-2 d-1]

    In polar night there is no daylight to divide by, and no radiation.
    """
    day = np.asarray(daylight_h, float)
    share = np.asarray(sunshine_h, float) / np.where(day > 0, day, 1.0)
    radiation: Floats = (0.25 + 0.50 * np.minimum(share, 1.0)) * np.asarray(ra_mj_m2, float)
    return radiation


def radiation_from_range(
    t_min: ArrayLike, t_max: ArrayLike, ra_mj_m2: ArrayLike, krs: float = KRS_INLAND
) -> Floats:
    """Radiation from the daily range of temperature, FAO-56 eq. 50, before any cap. [MJ m-2 d-1]"""
    swing = np.sqrt(np.asarray(t_max, float) - np.asarray(t_min, float))
    radiation: Floats = krs * swing * np.asarray(ra_mj_m2, float)
    return radiation


def net_longwave(
    t_min: ArrayLike, t_max: ArrayLike, ea_kpa: ArrayLike, rs: ArrayLike, rso: ArrayLike
) -> Floats:
    """Net outgoing longwave radiation, FAO-56 eq. 39. [MJ m-2 d-1]"""
    low, high = np.asarray(t_min, float) + KELVIN, np.asarray(t_max, float) + KELVIN
    clear = np.asarray(rso, float)
    cloud = 1.35 * np.minimum(np.asarray(rs, float) / np.where(clear > 0, clear, np.inf), 1) - 0.35
    moist = 0.34 - 0.14 * np.sqrt(np.asarray(ea_kpa, float))
    outgoing: Floats = SIGMA_MJ * (low**4 + high**4) / 2 * moist * cloud
    return outgoing


def monthly_soil_heat(
    t_before: ArrayLike, t_this: ArrayLike | None = None, t_after: ArrayLike | None = None
) -> Floats:
    """Soil heat flux of a month from monthly mean temperatures, FAO-56 eq. 43 and 44. [MJ m-2 d-1]

    With the month after: 0.07 (after - before); with this month only: 0.14 (this - before).
    """
    share, later = (0.14, t_this) if t_after is None else (0.07, t_after)
    if later is None:
        raise ValueError("soil heat of a month needs the mean of this month or of the next")
    flux: Floats = share * (np.asarray(later, float) - np.asarray(t_before, float))
    return flux


def _check(low: Floats, high: Floats, latitude: float, extra: Measured) -> None:
    """Refuse what cannot be weather."""
    if np.any(high < low):
        raise ValueError("t_max is below t_min on at least one day")
    if not -90 <= latitude <= 90:
        raise ValueError("latitude must lie in -90..90")
    for name in ("rh_max", "rh_min", "rh_mean"):
        given = getattr(extra, name)
        if given is not None and np.any((np.asarray(given) < 0) | (np.asarray(given) > 100)):
            raise ValueError(f"{name} must lie in 0..100 percent")
    for name in ("vapour_pressure_kpa", "wind_m_s", "solar_mj_m2", "sunshine_h"):
        given = getattr(extra, name)
        if given is not None and np.any(np.asarray(given) < 0):
            raise ValueError(f"{name} must not be negative")


def _first_known(last: Floats, *better: ArrayLike | None) -> tuple[Floats, Which]:
    """The best source known on each day, and its place in the order; `last` is the last resort."""
    result, which = np.array(last, float), np.full(np.shape(last), len(better), dtype=np.intp)
    for place in reversed(range(len(better))):
        source = better[place]
        if source is None:
            continue
        values = np.broadcast_to(np.asarray(source, float), result.shape)
        known = ~np.isnan(values)
        result, which = np.where(known, values, result), np.where(known, place, which)
    return result, which


def _vapour(low: Floats, high: Floats, es: Floats, extra: Measured) -> tuple[Floats, Which]:
    """Actual vapour pressure from the best source of each day, FAO-56 eq. 14 and 17 to 19."""
    cold, warm = saturation_vapour_pressure(low), saturation_vapour_pressure(high)

    def share(humidity: ArrayLike | None, saturated: Floats) -> Floats | None:
        return None if humidity is None else saturated * np.asarray(humidity, float) / 100

    damp, dry = share(extra.rh_max, cold), share(extra.rh_min, warm)
    both = None if damp is None or dry is None else (damp + dry) / 2
    dew = None if extra.t_dew is None else saturation_vapour_pressure(extra.t_dew)
    given = extra.vapour_pressure_kpa
    return _first_known(cold, given, dew, both, damp, share(extra.rh_mean, es), dry)


def _wind(low: Floats, extra: Measured) -> tuple[Floats, Which]:
    """Wind at 2 m, 2 m/s where nobody measured, never below 0.5."""
    given = extra.wind_m_s
    known = None if given is None else wind_at_2m(given, extra.wind_height_m)
    wind, which = _first_known(np.full(low.shape, WIND_UNKNOWN), known)
    return np.maximum(wind, WIND_LEAST), which


def _radiation(
    low: Floats,
    high: Floats,
    ra: Floats,
    rso: Floats,
    daylight: Floats,
    extra: Measured,
    coastal: bool,
) -> tuple[Floats, Which]:
    """Radiation measured, from sunshine, or from the daily range and then capped at a clear sky."""
    krs = KRS_COAST if coastal else KRS_INLAND
    guess = np.minimum(radiation_from_range(low, high, ra, krs), rso)
    hours = extra.sunshine_h
    by_sun = None if hours is None else radiation_from_sunshine(hours, daylight, ra)
    return _first_known(guess, extra.solar_mj_m2, by_sun)
