"""A genuine station order export without unit marks: Lincoln, Nebraska, 2016.

Source: `lincoln_weather.csv` of the package bokeh_sampledata (public data of the national archive),
read from its folder without importing it; skipped where it is not installed. Truth: the same rows
by the csv module and the definition of the Fahrenheit scale.
"""

import csv
import importlib.util
from pathlib import Path

import pytest

from lattermath.vocabulary.errors import WeatherFileError
from lattermath.weather.daily_record import daily_record
from lattermath.weather.readings import read_weather


@pytest.fixture(scope="module")
def path():
    spec = importlib.util.find_spec("bokeh_sampledata")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("bokeh_sampledata is not installed")
    return Path(spec.submodule_search_locations[0]) / "_data" / "lincoln_weather.csv"


def test_without_units_it_is_refused(path):
    with pytest.raises(WeatherFileError) as caught:
        read_weather(path)
    assert "Say units" in caught.value.faults[0].remedy


def test_said_to_be_celsius_it_is_refused(path):
    """In F half of its maxima are 70 and more, which no garden has in C."""
    with pytest.raises(WeatherFileError, match="hardly °C"):
        read_weather(path, units="C mm")


def test_said_to_be_fahrenheit_every_day_is_read(path):
    file = read_weather(path, units="F")
    with path.open(newline="") as lines:
        rows = {row["DATE"]: row for row in csv.DictReader(lines)}
    assert file.form == "station order csv"
    assert len(file.readings) == len(rows) == 366
    for reading in file.readings:
        row = rows[reading.day.isoformat()]
        for value, text in ((reading.t_min, row["TMIN"]), (reading.t_max, row["TMAX"])):
            if value is None:
                assert text == "" or any("set aside" in mark for mark in reading.marks)
            else:
                assert value == pytest.approx((float(text) - 32) * 5 / 9)
        assert reading.rain_mm is None
    record = daily_record([file])
    assert record.filled_rain.all()
    assert int((record.filled_min | record.filled_max).sum()) <= 8
