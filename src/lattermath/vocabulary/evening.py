"""What is expected of the hours of one visit: the facts that label limits ask about."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NamedTuple

from lattermath.vocabulary.label import ProductLabel

# What only the grower at the plot can tell. A spray task for an evening that leaves it unknown
# carries these words in `only_if` or among its cautions.
LIGHT_AIR = "only if leaves just move in the air"
DRY_LEAVES = "only if the leaves feel dry"
NO_BEE = "only if the flowers are closed and no bee is seen: look first"
ONE_LEAF = "so near the heat ceiling try one leaf first"
WATER_FIRST = "only on moist soil: water at the foot first where it is dry a finger deep"
WASHED_OFF = "may take some of it off"  # of rain that may come while a deposit is new
LOW_NOZZLE = "in dead calm keep the nozzle low"
# Every task with a product says so, and the hour.
OUT_UNTIL = "People and pets out of the bed until"
OWN_FORECAST = "your own forecast"


class AirAt(NamedTuple):
    """The air at one instant: the lowest and highest that is expected, 1 in 10 and 9 in 10. [C]

    Of an evening that is far off the highest is the middle one.
    """

    at: datetime
    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True)
class Evening:
    """The expected hours of one visit. A None is unknown, and unknown refuses where it matters.

    Temperatures in C, wind in m/s, chances between 0 and 1. `temperature_high_c` is the cautious
    (9 in 10) figure for a last job of half an hour, until a deposit is dry in mild air. `air` has
    the same by the quarter hour, from arriving until whatever was sprayed is dry: by that a
    treatment is ruled, from its own start on. Without it the figures of the last job stand for all.
    Of an evening that is far off the highest are the middle figures: it is ruled again before
    anybody acts on it.
    """

    day: date
    arrive: datetime
    leave: datetime
    sunrise: datetime | None
    sunset: datetime | None
    civil_dusk: datetime | None
    temperature_low_c: float | None
    temperature_c: float | None
    temperature_high_c: float | None
    hottest_next_two_days_c: float | None
    rain_chance_2h: float | None
    rain_chance_12h: float | None
    wind_m_s: float | None
    leaves_wet: bool | None = None
    forecast: bool = False  # False: climate only, nothing is forecast for that day
    told_by: str = "past years"  # on what the figures rest, in words
    air: tuple[AirAt, ...] = ()  # a quarter of an hour apart
    far: bool = False


@dataclass(frozen=True, slots=True)
class Applied:
    """One treatment that was done, or is planned before the one being ruled on."""

    at: datetime
    method: str
    product: str | None
    active: str
    group: str
    form: str
    planting: str
    crop: str
    bed: str | None
    serial: int | None = None  # journal entry; None when only planned
    of: str = ""  # key it was written down for, where that is not what stands there now
    # The strictest of its label as it was copied when it was made and of every copy since, with
    # the entries of the earlier copies; None when only planned: the label on the shelf counts.
    label: ProductLabel | None = field(default=None, compare=False)
    copies: tuple[int, ...] = field(default=(), compare=False)
