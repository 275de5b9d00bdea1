"""Where the sun stands: rise and set, length of day, radiation at the top of the air.

Numbers only. A date comes in as whole days since 1 January 2000 (a proleptic ordinal less
`J2000_ORDINAL`), hours come out as UTC hours after the midnight that begins that date: below 0 or
above 24 where the event falls on the neighbouring UTC date. Whoever owns the calendar adds them to
midnight UTC and converts with a real time zone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

J2000_ORDINAL = 730120  # proleptic Gregorian ordinal of 1 January 2000
# Zenith angles, published by the US oceanic and atmospheric administration (sheet read).
SUNRISE_ZENITH = 90.833  # upper limb on the horizon, 34' refraction, sea level [degrees]
CIVIL_ZENITH = 96.0  # [degrees]
SOLAR_CONSTANT_MJ = 0.0820  # FAO-56 [MJ m-2 min-1]


@dataclass(frozen=True, slots=True)
class SunTimes:
    """Hours in UTC after 00:00 UTC of the date; NaN where the sun does not cross the angle."""

    rise: Floats
    set: Floats
    noon: Floats
    hours_up: Floats  # 24 where the sun stays above the angle all day, 0 where it stays below


def sun_times(
    days_since_2000: ArrayLike,
    latitude: ArrayLike,
    longitude: ArrayLike,
    zenith: float = SUNRISE_ZENITH,
) -> SunTimes:
    """Rise, set and noon of the solar day whose noon belongs to the date. [UTC hours]

    days_since_2000 : whole days since 1 January 2000 of the local date; any shape.
    latitude, longitude : degrees, north and east positive; broadcast.
    zenith : angle from the zenith that counts as rising and setting. [degrees]

    Polar day or night gives NaN for rise and set, and 24 or 0 hours up.

    Source: Meeus, Astronomical Algorithms, low-precision sun in the order of the NOAA
    spreadsheet; coefficients recalled, then checked against a full ephemeris (240 days: within 6 s
    below 52 degrees and 12 s at 64 N, tests/published/test_ephem_sun.py).
    Holds for: 1950 to 2050; near the polar circles the minute is uncertain as refraction is.
    """
    day, lat, lon = np.broadcast_arrays(
        *(np.asarray(v, float) for v in (days_since_2000, latitude, longitude))
    )
    if np.any(np.abs(lat) > 90) or np.any(np.abs(lon) > 180):
        raise ValueError("latitude must lie in -90..90 and longitude in -180..180")
    noon = 12.0 - lon / 15.0
    for _ in range(2):
        noon = 12.0 - lon / 15.0 - _position(day + noon / 24)[1] / 60
    cosine = _cos_hour_angle(_position(day + noon / 24)[0], lat, zenith)
    rise = _event(day, lat, lon, noon, zenith, -1.0)
    sets = _event(day, lat, lon, noon, zenith, 1.0)
    # A day whose edge the event itself misses has the sun up all day, or not at all.
    stays = np.where(cosine < 0, 24.0, 0.0)
    up = np.where(np.isnan(sets - rise), stays, sets - rise)
    return SunTimes(rise, sets, noon, up)


def _event(
    day: Floats, lat: Floats, lon: Floats, noon: Floats, zenith: float, side: float
) -> Floats:
    """Rise (side -1) or set (side +1), found by asking again where the sun is at the event."""
    hour = noon
    for _ in range(4):
        declination, equation = _position(day + hour / 24)
        cosine = _cos_hour_angle(declination, lat, zenith)
        inside = np.abs(cosine) < 1
        angle = np.degrees(np.arccos(np.where(inside, cosine, 0.0)))
        hour = np.where(inside, 12.0 - lon / 15 - equation / 60 + side * angle / 15, np.nan)
    return hour


def _cos_hour_angle(declination: Floats, latitude: Floats, zenith: float) -> Floats:
    """Cosine of the hour angle at which the sun stands at the zenith angle; beyond 1: never."""
    phi = np.radians(latitude)
    ground = np.maximum(np.cos(phi) * np.cos(declination), 1e-12)
    cosine: Floats = (np.cos(np.radians(zenith)) - np.sin(phi) * np.sin(declination)) / ground
    return cosine


def _position(days_since_2000: Floats) -> tuple[Floats, Floats]:
    """Declination [rad] and equation of time [min], days counted from 0 h UTC of 2000-01-01."""
    t = (days_since_2000 - 0.5) / 36525.0  # the epoch J2000.0 is noon of 1 January 2000
    mean_longitude = np.radians(280.46646 + t * (36000.76983 + 0.0003032 * t))
    anomaly = np.radians(357.52911 + t * (35999.05029 - 0.0001537 * t))
    eccentricity = 0.016708634 - t * (0.000042037 + 1.267e-7 * t)
    centre = (
        np.sin(anomaly) * (1.914602 - t * (0.004817 + 1.4e-5 * t))
        + np.sin(2 * anomaly) * (0.019993 - 0.000101 * t)
        + 0.000289 * np.sin(3 * anomaly)
    )
    node = np.radians(125.04 - 1934.136 * t)
    longitude = mean_longitude + np.radians(centre - 0.00569 - 0.00478 * np.sin(node))
    seconds = 21.448 - t * (46.815 + t * (0.00059 - 0.001813 * t))
    obliquity = np.radians(23 + (26 + seconds / 60) / 60 + 0.00256 * np.cos(node))
    declination = np.arcsin(np.sin(obliquity) * np.sin(longitude))
    y = np.tan(obliquity / 2) ** 2
    equation = 4 * np.degrees(
        y * np.sin(2 * mean_longitude)
        - 2 * eccentricity * np.sin(anomaly)
        + 4 * eccentricity * y * np.sin(anomaly) * np.cos(2 * mean_longitude)
        - 0.5 * y**2 * np.sin(4 * mean_longitude)
        - 1.25 * eccentricity**2 * np.sin(2 * anomaly)
    )
    return declination, equation


def solar_declination(day_of_year: ArrayLike) -> Floats:
    """Declination of the sun by FAO-56 eq. 24. [rad]"""
    tilt: Floats = 0.409 * np.sin(2 * np.pi * np.asarray(day_of_year, float) / 365 - 1.39)
    return tilt


def inverse_distance(day_of_year: ArrayLike) -> Floats:
    """Inverse relative distance from earth to sun, squared, by FAO-56 eq. 23."""
    near: Floats = 1 + 0.033 * np.cos(2 * np.pi * np.asarray(day_of_year, float) / 365)
    return near


def sunset_hour_angle(day_of_year: ArrayLike, latitude: ArrayLike) -> Floats:
    """Hour angle of the sun's centre at the geometric horizon, FAO-56 eq. 25. [rad]

    0 in polar night, pi in polar day.
    """
    phi = np.radians(np.asarray(latitude, float))
    angle: Floats = np.arccos(np.clip(-np.tan(phi) * np.tan(solar_declination(day_of_year)), -1, 1))
    return angle


def daylight_hours(day_of_year: ArrayLike, latitude: ArrayLike) -> Floats:
    """Daylight by FAO-56 eq. 34: sun's centre, no refraction, no twilight. [h]

    Reads 10 to 25 minutes shorter than an almanac in middle latitudes; meant for the sunshine
    ratio n/N and for nothing that looks at a clock.
    """
    return 24 / np.pi * sunset_hour_angle(day_of_year, latitude)


def almanac_daylength(
    day_of_year: ArrayLike, latitude: ArrayLike, below_horizon: float = 0.8333
) -> Floats:
    """Daylength with the sun's centre `below_horizon` degrees under the horizon. [h]

    0.8333 is the almanac's day, 6 adds civil twilight, 0 is geometric. A photoperiod rule must say
    which it means: in mid-October at 50 N they lie 1.3 h apart. Polar: 0 or 24.

    Source: the CBM form of Forsythe et al. 1995, Ecological Modelling 80:87-95; recalled, paper
    not open; checked against `sun_times`, which follows another route.
    """
    day, phi = np.asarray(day_of_year, float), np.radians(np.asarray(latitude, float))
    revolution = 0.2163108 + 2 * np.arctan(0.9671396 * np.tan(0.00860 * (day - 186)))
    declination = np.arcsin(0.39795 * np.cos(revolution))
    ground = np.maximum(np.cos(phi) * np.cos(declination), 1e-12)
    ratio = (np.sin(np.radians(below_horizon)) + np.sin(phi) * np.sin(declination)) / ground
    hours: Floats = 24 - 24 / np.pi * np.arccos(np.clip(ratio, -1.0, 1.0))
    return hours


def extraterrestrial_radiation(day_of_year: ArrayLike, latitude: ArrayLike) -> Floats:
    """Radiation on a level surface at the top of the air, Ra, FAO-56 eq. 21. [MJ m-2 d-1]

    Source: Allen et al. 1998, FAO Irrigation and Drainage Paper 56; examples read second-hand.
    """
    angle, tilt = sunset_hour_angle(day_of_year, latitude), solar_declination(day_of_year)
    phi = np.radians(np.asarray(latitude, float))
    path = angle * np.sin(phi) * np.sin(tilt) + np.cos(phi) * np.cos(tilt) * np.sin(angle)
    radiation: Floats = 1440 / np.pi * SOLAR_CONSTANT_MJ * inverse_distance(day_of_year) * path
    return radiation


def hourly_share(sunrise: ArrayLike, hours_up: ArrayLike) -> Floats:
    """Share of the day's radiation that falls in each clock hour 0..23, shape (..., 24).

    sunrise, hours_up : sunrise on the clock in use, and hours from rise to set. [h]

    The day is taken as half a sine; hours past midnight wrap, so the shares always sum to 1.
    With no sun at all (0 hours up) all shares are 0; polar day may give sunrise NaN and is then
    spread about 12:00.

    Source: derived (integral of the sine over the hour).
    """
    up = np.asarray(hours_up, float)[..., None]
    start = np.asarray(sunrise, float)[..., None]
    start = np.where(np.isnan(start) & (up >= 24), 0.0, start)
    edges = np.arange(-24.0, 49.0)
    span = np.clip((edges - start) / np.maximum(up, 1e-9), 0.0, 1.0)
    done = (1 - np.cos(np.pi * span)) / 2
    pieces = np.diff(done, axis=-1)
    shares: Floats = pieces.reshape(*pieces.shape[:-1], 3, 24).sum(axis=-2)
    return np.where(up > 0, shares, 0.0)
