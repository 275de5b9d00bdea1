"""Hours kept with a reading: missing is unknown and not dry, and local hours are the plot's."""

import json
from datetime import date, timedelta

import numpy as np
import pytest

from lattermath.weather.leaf_hours import MARK, day_mark, hour_letter, hour_states, leaf_hours
from lattermath.weather.readings import read_weather_bytes


@pytest.mark.parametrize(
    ("rh", "rain", "letter"),
    [(90, 0, "h"), (89.9, 0, "-"), (89.9, 0.2, "w"), (95, 3, "h"), (None, 0.2, "w"),
     (None, 0.0, "?"), (None, None, "?"), (50, None, "-")],
)  # fmt: skip
def test_one_hour(rh, rain, letter: str) -> None:
    assert hour_letter(rh, rain) == letter


def test_unknown_is_not_dry() -> None:
    humid, wet = hour_states({date(2025, 8, 2): "h" * 3 + "-" * 20 + "?"}, date(2025, 8, 1), 3)
    assert np.isnan(humid[0]).all() and np.isnan(wet[2]).all()
    assert humid[1, :3].tolist() == [1, 1, 1] and np.isnan(humid[1, 23])


def test_an_hour_that_comes_twice_counts_as_the_wetter() -> None:
    assert day_mark([(1, "-"), (1, "h"), (2, "-")]) == f"{MARK}?h-{'?' * 21}"
    assert day_mark([]) == ""


def reply(first: str, humid, rain, zone="Europe/London", offset=3600) -> bytes:
    start = np.datetime64(first)
    stamps = [str(start + np.timedelta64(n, "h"))[:16] for n in range(len(humid))]
    body = {
        "latitude": 51.0, "longitude": 0.0, "utc_offset_seconds": offset, "timezone": zone,
        "hourly_units": {"time": "iso8601", "temperature_2m": "°C", "precipitation": "mm",
                         "relative_humidity_2m": "%"},
        "hourly": {"time": stamps, "temperature_2m": [15.0] * len(humid),
                   "relative_humidity_2m": humid, "precipitation": rain},
    }  # fmt: skip
    return json.dumps(body).encode()


def test_a_file_by_the_hour_keeps_them() -> None:
    """The day worked by hand in checks-diseases 6: 10 h, and 11 h with one hour of rain, stamped at
    the end of the hour in which it fell."""
    humid = [95, 96, 97, 97, 96, 95, 93, 90, 84, 75, 66, 60, 55, 52, 50, 52, 57, 64, 72, 80, 86, 89,
             91, 93]  # fmt: skip
    rain = [0.0] * 24
    rain[16] = 1.0  # stands at 16:00, fell from 15:00 on
    read = read_weather_bytes(reply("2025-08-01T00:00", humid, rain), "a.json")
    word = leaf_hours(read.readings)[date(2025, 8, 1)]
    assert [n for n, c in enumerate(word) if c == "h"] == [*range(8), 22, 23]
    assert [n for n, c in enumerate(word) if c == "w"] == [15]


def test_hours_are_those_of_the_plots_clock() -> None:
    humid = [95 if n == 12 else 50 for n in range(48)]
    read = read_weather_bytes(
        reply("2025-08-01T00:00", humid, [0.0] * 48), "a.json", time_zone="America/Denver"
    )
    words = leaf_hours(read.readings)
    there = {day + timedelta(hours=0): word.find("h") for day, word in words.items() if "h" in word}
    assert there == {date(2025, 8, 1): 5}  # noon of British summer time is 11:00 UTC, 05:00 there
