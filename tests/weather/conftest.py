"""Station records of an installed data package, written as diaries; and files typed for a test."""

import importlib.util
from datetime import date
from pathlib import Path

import pytest

from lattermath.weather.daily_record import DailyRecord, daily_record
from lattermath.weather.readings import read_weather, read_weather_bytes


def station_rows(name: str) -> list[list[str]]:
    spec = importlib.util.find_spec("aquacrop")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("aquacrop is not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / f"{name}_climate.txt"
    return [line.split() for line in path.read_text().splitlines()[1:] if line.strip()]


def station_diary(name: str) -> bytes:
    rows = [
        f"{int(y)}-{int(m):02d}-{int(d):02d},{low},{high},{rain},{et0}"
        for d, m, y, low, high, rain, et0 in station_rows(name)
    ]
    return ("date,tmin_c,tmax_c,rain_mm,et0_mm\n" + "\n".join(rows) + "\n").encode()


@pytest.fixture(scope="session")
def station():
    """The record of a packaged station, read once."""
    read: dict[str, DailyRecord] = {}

    def record(name: str) -> DailyRecord:
        if name not in read:
            read[name] = daily_record([read_weather_bytes(station_diary(name), f"{name}.csv")])
        return read[name]

    return record


@pytest.fixture
def taken(tmp_path):
    """Write a text to a file and read it as weather."""

    def read(text: str, name: str = "readings.csv", **asked: str | None):
        path = tmp_path / name
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return read_weather(path, **asked)

    return read


@pytest.fixture
def on():
    """The reading of a day, by its ISO date."""
    return lambda file, iso: next(r for r in file.readings if r.day == date.fromisoformat(iso))
