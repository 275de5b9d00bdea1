"""An invented plot for a season in nature: its file, its folder, and the weather of its year."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from importlib.resources import files
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.log_names import plot_now
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.nature.sky import NatureSky
from lattermath.vocabulary.plot import Plot

# The record of the demonstration (see demo/champion.md) is the only one carried along.
RECORD, ZONE = "champion.csv", "America/Denver"
PLACE = """format = 1
season = {year}
[place]
name = "played in nature"
latitude = 40.4
longitude = -101.73
altitude_m = 1029
time_zone = "America/Denver"
{country}usual_first_frost = "09-28"
region = "north_america"
[water]
hose = true
"""
CROPS: tuple[tuple[str, int], ...] = (  # crop, plants
    ("cucumber_slicing", 4),
    ("eggplant", 4),
    ("tomato_indeterminate", 6),
    ("summer_squash", 3),
    ("bean_pole", 8),
    ("melon", 4),
    ("pepper_sweet", 5),
    ("cucumber_pickling", 4),
    ("summer_squash", 2),
    ("eggplant", 3),
)
SOWN = ("bean_pole",)  # in place; all others are set out
BED = """
[[bed]]
key = "b{n}"
name = "bed {n}"
x_m = {x}
y_m = {y}
length_m = 3.0
width_m = 1.2
[[planting]]
key = "p{n}"
name = "{crop} {n}"
crop = "{crop}"
bed = "b{n}"
plants = {plants}
{begun} = {day}
"""


@dataclass(frozen=True, slots=True)
class Setting:
    """A plot that was started in its folder, and the weather it will live through."""

    folder: Path
    plot: Plot
    sky: NatureSky
    begins: date


def set_up(
    folder: Path,
    year: int,
    rng: np.random.Generator,
    crops: Sequence[tuple[str, int]] = CROPS,
    country: str = "",
    also: str = "",
    at: datetime | None = None,
    begins: date | None = None,
) -> Setting:
    """Start an invented plot in an empty folder, in the weather of a year of the record.

    Beds stand in two rows, a path apart; plants are set out in the first days of June. `also` is
    more of the plot file: a shelf, say, with labels of `country`. `at` is when it is started,
    `begins` when nature does; both 8 June if not given.
    """
    begins = begins or date(year, 6, 8)
    text = PLACE.format(year=year, country=f'country = "{country}"\n' if country else "")
    for n, (crop, plants) in enumerate(crops):
        day = date(year, 6, 1 + int(rng.integers(0, 8)))
        begun = "sown" if crop in SOWN else "set_out"
        text += BED.format(n=n, x=4.0 * (n % 2), y=1.9 * (n // 2), crop=crop, plants=plants,
                           begun=begun, day=day.isoformat())  # fmt: skip
    (folder / "plot.toml").write_text(text + also, "utf-8")
    at = at or datetime(year, 6, 8, 12, 0, tzinfo=ZoneInfo(ZONE))
    start(folder, at)
    lines = _record()
    kept = [line for line in lines if not line[:4].isdigit() or int(line[:4]) <= year]
    (folder / RECORD).write_text("\n".join(kept) + "\n", "utf-8")
    take(folder, folder / RECORD, at=at)
    return Setting(folder, plot_now(folder), _sky_of(lines, year), begins)


def _record() -> list[str]:
    text = files("lattermath.demo").joinpath(RECORD).read_text("utf-8")
    return [line for line in text.splitlines() if line]


def _sky_of(lines: Sequence[str], year: int) -> NatureSky:
    """The year as nature lives it; what the station did not note lies between its neighbours."""
    rows = [line.split(",") for line in lines if line.startswith(f"{year}-")]

    def column(place: int, fill: Callable[[NDArray[np.float64]], None]) -> NDArray[np.float64]:
        values = np.array([float(row[place]) if row[place] else np.nan for row in rows])
        fill(values)
        return values

    return NatureSky(
        date.fromisoformat(rows[0][0]), column(1, _between), column(2, _between), column(3, _dry)
    )


def _between(values: NDArray[np.float64]) -> None:
    gone = np.isnan(values)
    values[gone] = np.interp(np.flatnonzero(gone), np.flatnonzero(~gone), values[~gone])


def _dry(values: NDArray[np.float64]) -> None:
    values[np.isnan(values)] = 0.0
