"""Where the plot lies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Region = Literal["north_america", "europe", "general"]
Land = Literal["north_america", "europe", "elsewhere"]
# Judgement: boxes of degrees about both, south to north and west to east.
LANDS: tuple[tuple[Land, float, float, float, float], ...] = (
    ("europe", 34.0, 72.0, -25.0, 45.0),
    ("north_america", 15.0, 72.0, -170.0, -52.0),
)


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
    def lies_in(self) -> Land:
        """Whose pests and diseases it may have: as told, else by where it lies on the globe.

        Elsewhere lives nothing that is known from one of the two, or from both of them, only.
        """
        if self.region != "general":
            return self.region
        here = (
            land
            for land, south, north, west, east in LANDS
            if south <= self.latitude <= north and west <= self.longitude <= east
        )
        return next(here, "elsewhere")

    @property
    def southern(self) -> bool:
        """True south of the equator, where the season turns half a year later."""
        return self.latitude < 0
