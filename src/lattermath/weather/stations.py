"""Where a weather file was measured, and how far that is from the plot."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, cos, pi, radians, sin, sqrt

from lattermath.weather.days import WeatherFile

EARTH_KM = 6371.0  # mean radius


@dataclass(frozen=True, slots=True)
class Station:
    """Where a weather file says that its station stands. [degrees, degrees, m]"""

    file: str
    latitude: float
    longitude: float
    altitude_m: float | None = None


def station_of(read: WeatherFile) -> Station | None:
    """Where a file was measured; None where it does not say."""
    if read.latitude is None or read.longitude is None:
        return None
    return Station(read.file, read.latitude, read.longitude, read.altitude_m)


def apart_km(
    latitude: float, longitude: float, other_latitude: float, other_longitude: float
) -> float:
    """The way between two places on a round earth, by the haversine. [degrees; km]"""
    north, south = radians(latitude), radians(other_latitude)
    east = radians(longitude - other_longitude)
    half = sin((north - south) / 2) ** 2 + cos(north) * cos(south) * sin(east / 2) ** 2
    return 2 * EARTH_KM * min(asin(sqrt(half)), pi / 2)
