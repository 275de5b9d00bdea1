"""Genuine typical years in EPW: three stations of the United States.

Source: `*.epw` of the package diyepw (open files of a typical year: two TMY3, one TMYx), read from
its folder without importing it; skipped where it is not installed. Truth: the same files by the
reader of another project (pvlib `read_epw`), and days and months by pandas.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pandas as pd
import pytest
from pvlib.iotools import read_epw

from lattermath.weather.readings import read_weather, read_weather_bytes

FILES = {
    "Northway": "USA_AK_Northway.AP.702910_TMY3.epw",
    "Mount Shasta": "USA_CA_Mount.Shasta.725957_TMYx.epw",
    "Chicago": "USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw",
}


@pytest.fixture(scope="module")
def folder() -> Path:
    spec = importlib.util.find_spec("diyepw")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("diyepw is not installed")
    return Path(spec.submodule_search_locations[0]) / "data" / "tmy_epw_files"


def days(path: Path) -> pd.DataFrame:
    """Days by another project's reader, each under its printed date."""
    hours, _ = read_epw(path)
    printed = pd.to_datetime(hours[["year", "month", "day"]])
    by_day = hours.groupby(printed.to_numpy())
    return pd.DataFrame(
        {
            "low": by_day["temp_air"].min(),
            "high": by_day["temp_air"].max(),
            "rain": by_day["liquid_precipitation_depth"].sum(),
            "sun": by_day["ghi"].sum() * 0.0036,
            "rh": by_day["relative_humidity"].mean(),
            "wind": by_day["wind_speed"].mean() * 0.748,
        }
    )


@pytest.mark.parametrize("name", FILES)
def test_usual_months_as_another_reader_has_them(folder: Path, name: str) -> None:
    read = read_weather(folder / FILES[name])
    truth = days(folder / FILES[name])
    months = truth.groupby(truth.index.month)
    assert read.form == "epw" and read.readings == ()
    assert len(read.usual_months) == 12
    for usual in read.usual_months:
        of_month = months.get_group(usual.month)
        assert usual.t_min == pytest.approx(of_month["low"].mean())
        assert usual.t_max == pytest.approx(of_month["high"].mean())
        assert usual.rain_mm == pytest.approx(of_month["rain"].sum(), abs=0.2)


@pytest.mark.parametrize("name", FILES)
def test_days_of_one_month_as_another_reader_has_them(folder: Path, name: str) -> None:
    """July of the file by itself, under a name of no typical year: a month that happened."""
    lines = (folder / FILES[name]).read_text("utf-8").splitlines(keepends=True)
    july = [line for line in lines[8:] if line.split(",")[1] == "7"]
    head = [lines[0].replace("SRC-TMYx", "X").replace("TMY3", "X"), *lines[1:8]]
    read = read_weather_bytes("".join([*head, *july]).encode(), "july.epw")
    truth = days(folder / FILES[name])
    truth = truth[truth.index.month == 7]
    assert [r.day for r in read.readings] == [when.date() for when in truth.index]
    for reading, (_, row) in zip(read.readings, truth.iterrows(), strict=True):
        assert (reading.t_min, reading.t_max) == pytest.approx((row["low"], row["high"]))
        assert reading.rain_mm == pytest.approx(row["rain"], abs=0.006)
        assert reading.solar_mj_m2 == pytest.approx(row["sun"])
        assert reading.rh_mean == pytest.approx(row["rh"])
        assert reading.wind_m_s == pytest.approx(row["wind"])
