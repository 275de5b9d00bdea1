"""Genuine month lines of the daily archive of stations (.dly), and what others read in them.

Source: five lines of the archive (public domain, National Oceanic and Atmospheric Administration)
as they stand in the tests of two public programs that read the form; the means and values beside
them are what those tests expect. Both tests were read, the archive itself was not.
"""

from __future__ import annotations

import statistics

import pytest

from lattermath.weather.readings import read_weather_bytes

LOST = "-9999   "


def cells(values: str, source: str) -> str:
    """Values of one source, `.` for a missing one, as the eight characters of each day."""
    return "".join(LOST if v == "." else f"{v:>5}  {source}" for v in values.split())


LINES = {
    "Angola, February 1958": (
        "AO000066422195802TMIN",
        cells(
            "200 200 228 200 200 178 189 200 200 200 178 178 178 172 178 150 161 161 139 161 178 "
            "189 178 161 178 178 189 178 . . .",
            "I",
        ),
        "t_min",
        18.143,
    ),
    "Angola, January 1955": (
        "AO000066422195501TMAX",
        cells("." + " ." * 26 + " 278 . . .", "I"),
        "t_max",
        27.800,
    ),
    "Angola, December 1955": (
        "AO000066422195512TMAX",
        cells(
            ". . . . . . 278 . . . . . . . . 250 222 . . 239 . 250 . . . 250 222 . 250 261 239", "I"
        ),
        "t_max",
        24.610,
    ),
    "Argentina, August 1956": (
        "AR000087860195608TMIN",
        cells(
            "-4 -16 -4 28 70 58 79 60 40 44 46 118 108 76 43 4 42 142 108 74 18 0 2 84 37 60 68 70 "
            "21 -7 4",
            "G",
        ),
        "t_min",
        4.752,
    ),
}
ALABAMA = "USC00011084192601TMAX" + cells(
    ". " * 20 + "239 222 50 50 144 144 161 144 150 128 200", "6"
)


@pytest.mark.parametrize("name", LINES)
def test_the_mean_of_a_month_as_others_have_it(name: str) -> None:
    head, days, field, mean = LINES[name]
    line = head + days
    assert len(line) == 269
    read = read_weather_bytes((line + "\n").encode(), "station.dly")
    assert read.form == "ghcn-daily dly"
    values = [v for r in read.readings if (v := getattr(r, field)) is not None]
    assert statistics.fmean(values) == pytest.approx(mean, abs=0.0006)


def test_the_thirtieth_of_january_and_the_days_that_were_not_read() -> None:
    """The other test expects 1.28 for day 30: tenths taken twice; 12.8 C is the archive's unit."""
    read = read_weather_bytes((ALABAMA + "\n").encode(), "station.dly")
    by_day = {r.day.day: r.t_max for r in read.readings}
    assert by_day[30] == 12.8 and by_day[21] == 23.9
    assert set(by_day) == set(range(21, 32))
