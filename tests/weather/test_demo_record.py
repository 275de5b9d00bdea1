"""The record of the demonstration is the packaged one, laid out anew and nothing else."""

import importlib.util
from datetime import date
from importlib.resources import files
from pathlib import Path

import pytest

from lattermath.weather.readings import read_weather

DEMO = Path(str(files("lattermath"))) / "demo"


@pytest.fixture(scope="module")
def read():
    return read_weather(DEMO / "champion.csv")


def source_rows():
    spec = importlib.util.find_spec("aquacrop")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("aquacrop is not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / "champion_climate.txt"
    return [line.split() for line in path.read_text().splitlines()[1:] if line.strip()]


def test_every_value_is_that_of_the_source(read):
    rows = source_rows()
    assert len(read.readings) == len(rows) == 13_514
    for reading, (day, month, year, *values) in zip(read.readings, rows, strict=True):
        assert reading.day == date(int(year), int(month), int(day))
        ours = (reading.t_min, reading.t_max, reading.rain_mm, reading.et0_mm)
        for value, text in zip(ours, values, strict=True):
            assert value == float(text) if value is not None else reading.marks


def test_what_its_note_says(read):
    """Figures of champion.md."""
    set_aside = [mark for r in read.readings for mark in r.marks if mark.startswith("set aside")]
    assert len(set_aside) == 7
    assert (read.latitude, read.longitude, read.altitude_m) == (40.4, -101.73, 1072.0)
    assert (DEMO / "champion.csv").stat().st_size < 600_000
