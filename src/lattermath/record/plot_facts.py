"""The facts of a plot file as records: what each section of it turns into."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import (
    Bed,
    GardenRules,
    Household,
    Means,
    Planting,
    StandbyLot,
    Tin,
    Visiting,
    WaterSupply,
)


@dataclass(frozen=True, slots=True)
class Holder:
    """Whose plot it is, and what it is called."""

    name: str = ""
    plot: str = ""


@dataclass(frozen=True, slots=True)
class Around:
    """What is in flower on and about the plot, apart from the plantings."""

    bloom_near: bool | None = None


@dataclass(frozen=True, slots=True)
class DayTyped:
    """Low and high of one day as typed in. [C, C, mm; None is missing]"""

    day: date
    low_c: float | None
    high_c: float | None
    rain_mm: float | None = None


@dataclass(frozen=True, slots=True)
class MonthTyped:
    """What one month is usually like, as typed in. [C, C, mm a month]"""

    month: int
    low_c: float
    high_c: float
    rain_mm: float | None = None


@dataclass(frozen=True, slots=True)
class WeatherFileNamed:
    """A weather file to take in, by its name in the plot's folder."""

    file: str


@dataclass(frozen=True, slots=True)
class ForecastAsked:
    """A weather service that the grower has turned on, and for how many days it is asked."""

    service: str  # address without a query
    days: int
    past_days: int


@dataclass(frozen=True, slots=True)
class NotKnown:
    """Something the file does not say exactly, in words for the sheet."""

    says: str


Fact = (
    Holder
    | Place
    | Bed
    | Planting
    | StandbyLot
    | ProductLabel
    | Visiting
    | Household
    | WaterSupply
    | GardenRules
    | Around
    | Tin
    | Means
    | DayTyped
    | MonthTyped
    | WeatherFileNamed
    | ForecastAsked
    | NotKnown
)
FactKey = tuple[str, str]  # section, key

SECTIONS: dict[str, type] = {
    "holder": Holder,
    "place": Place,
    "bed": Bed,
    "planting": Planting,
    "neighbour": Planting,
    "lot": StandbyLot,
    "shelf": ProductLabel,
    "visiting": Visiting,
    "household": Household,
    "water": WaterSupply,
    "garden": GardenRules,
    "around": Around,
    "tin": Tin,
    "means": Means,
    "week": DayTyped,
    "normals": MonthTyped,
    "weather": WeatherFileNamed,
    "forecast": ForecastAsked,
    "not known": NotKnown,
}

ONE = "plot"
"""Key of a section that a file has only once."""
