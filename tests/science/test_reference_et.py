"""Reference evapotranspiration: fallbacks day by day, bounds, monotone response."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science import reference_et as et

DAY = (187, 50.8, 100, 12.3, 21.5)


def test_each_gap_takes_the_next_best_source_of_its_own_day():
    nan = np.nan
    extra = et.Measured(
        vapour_pressure_kpa=[1.4, nan, nan, nan],
        t_dew=[nan, 11.0, nan, nan],
        rh_max=[90, 90, 84, nan],
        rh_min=[50, 50, nan, nan],
        wind_m_s=[3.0, nan, 0.1, 1.0],
        solar_mj_m2=[20.0, nan, nan, nan],
        sunshine_h=[5.0, 5.0, nan, nan],
    )
    got = et.penman_monteith(np.full(4, 187), 50.8, 100, np.full(4, 12.3), np.full(4, 21.5), extra)
    assert [et.VAPOUR_FROM[i] for i in got.vapour_from] == [
        "vapour pressure",
        "dew point",
        "highest humidity",
        "night minimum taken as dew point",
    ]
    assert [et.RADIATION_FROM[i] for i in got.radiation_from] == [
        "measured",
        "sunshine hours",
        "daily range of temperature",
        "daily range of temperature",
    ]
    assert [et.WIND_FROM[i] for i in got.wind_from] == [
        "measured",
        "2 m/s assumed",
        "measured",
        "measured",
    ]
    assert got.u2_m_s == pytest.approx([3.0, 2.0, 0.5, 1.0])


def test_lowest_humidity_alone_is_used():
    got = et.penman_monteith(*DAY, et.Measured(rh_min=60))
    assert got.ea_kpa == pytest.approx(0.6 * 0.6108 * np.exp(17.27 * 21.5 / (21.5 + 237.3)))


def test_guessed_radiation_never_beats_a_clear_sky():
    got = et.penman_monteith(187, 50.8, 0, -5, 40, coastal=True)
    assert got.rs_mj_m2 == pytest.approx(got.rso_mj_m2)


def test_unknown_temperature_is_unknown_water():
    got = et.penman_monteith([1, 2], 45, 0, [5.0, np.nan], [15.0, 16.0])
    assert np.isfinite(got.et0_mm[0]) and np.isnan(got.et0_mm[1])
    assert np.isnan(et.hargreaves([1, 2], 45, [5.0, np.nan], [15.0, 16.0])[1])


def test_polar_night_and_futures():
    got = et.penman_monteith(np.arange(350, 360), 78, 10, np.full((3, 10), -9.0), -3.0)
    assert got.et0_mm.shape == (3, 10) and np.isfinite(got.et0_mm).all()
    assert (got.rs_mj_m2 == 0).all()


def test_given_mean_enters_slope_not_saturation():
    one, two = (et.penman_monteith(*DAY, et.Measured(t_mean=t)) for t in (15.0, 19.0))
    assert one.es_kpa == two.es_kpa and one.slope_kpa_c < two.slope_kpa_c


@pytest.mark.parametrize(
    ("call", "extra", "sentence"),
    [
        ((187, 50, 0, 20, 10), {}, "below t_min"),
        ((187, 95, 0, 10, 20), {}, "latitude"),
        ((187, 50, 0, 10, 20), {"rh_max": 120}, "rh_max"),
        ((187, 50, 0, 10, 20), {"wind_m_s": -1}, "wind_m_s"),
        ((187, 50, 0, 10, 20), {"wind_m_s": 1, "wind_height_m": 0.05}, "0.5 m"),
    ],
)
def test_refusals(call, extra, sentence):
    with pytest.raises(ValueError, match=sentence):
        et.penman_monteith(*call, et.Measured(**extra))


def test_soil_heat_of_a_month_needs_a_month():
    with pytest.raises(ValueError, match="needs the mean"):
        et.monthly_soil_heat(12.0)


@settings(max_examples=50, deadline=None)
@given(
    st.integers(120, 240), st.floats(25, 55), st.floats(0, 25), st.floats(2, 18), st.floats(0, 12)
)
def test_dryer_or_sunnier_summer_days_never_take_less(day, latitude, low, swing, sunshine):
    def water(**change):
        base = {"sunshine_h": sunshine, "rh_max": 95.0, "rh_min": 40.0, "wind_m_s": 2.0}
        extra = et.Measured(**{**base, **change})
        return float(et.penman_monteith(day, latitude, 100, low, low + swing, extra).et0_mm)

    here = water()
    assert here >= 0
    assert water(rh_min=20.0) >= here - 1e-9
    assert water(sunshine_h=sunshine + 2) >= here - 1e-9
