"""Hollow: an invented plot of two beds with courgettes that bear, as the tests of a season vary it.

It has one week of weather, 25 to 31 July 2016, and was written down the day after.
"""

from datetime import datetime
from pathlib import Path

from lattermath.desk.start import start

BEGUN = datetime.fromisoformat("2016-08-01T12:00:00+00:00")
HOLLOW = """
format = 1

[place]
name = "Hollow"
{place}

[visiting]
{visiting}

[[bed]]
name = "North"
length_m = 4
width_m = 1

[[bed]]
name = "South"
length_m = 4
width_m = 1

[[planting]]
name = "Courgettes"
crop = "courgette"
bed = "North"
plants = {courgettes}
set_out = 2016-06-01
bearing_since = 2016-07-10

{more}

[[week]]
first = 2016-07-25
{week}
"""

NORTH = """latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-20\""""
MILD = """highs_c = [24, 25, 26, 24, 23, 25, 24]
lows_c = [13, 14, 14, 12, 13, 13, 12]"""


def begun(folder: Path, plot: str) -> Path:
    """A folder in which a plot was started."""
    folder.mkdir(exist_ok=True)
    (folder / "plot.toml").write_text(plot, "utf-8")
    start(folder, BEGUN)
    return folder
