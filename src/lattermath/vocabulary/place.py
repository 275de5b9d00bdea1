"""Where the plot lies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Region = Literal["north_america", "europe", "general"]


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the globe with its own clock. Degrees north and east, metres above the sea."""

    name: str
    latitude: float
    longitude: float
    time_zone: str  # IANA
    altitude_m: float | None = None
    usual_first_frost: str | None = None  # "MM-DD"
    country: str = ""
    region: Region = "general"
    far_weather: bool = False  # weather of another climate is taken knowingly

    @property
    def southern(self) -> bool:
        """True south of the equator, where the season turns half a year later."""
        return self.latitude < 0
