"""Sun: daylength forms against each other, radiation against numerical integration."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science import sun


@pytest.mark.parametrize(
    ("day", "almanac", "geometric", "fao"),
    [
        (80, 12.16, 11.99, 11.95),
        (172, 16.37, 16.15, 16.15),
        (227, 14.55, 14.36, 14.25),
        (288, 10.86, 10.68, 10.44),
        (355, 8.07, 7.85, 7.85),
    ],
)
def test_daylength_forms_at_50_north(day, almanac, geometric, fao):
    # Recomputed by an independent script from the published formulas; tolerance 0.02 h.
    assert sun.almanac_daylength(day, 50.0) == pytest.approx(almanac, abs=0.02)
    assert sun.almanac_daylength(day, 50.0, 0.0) == pytest.approx(geometric, abs=0.02)
    assert sun.daylight_hours(day, 50.0) == pytest.approx(fao, abs=0.02)


def test_civil_day_in_october():
    assert sun.almanac_daylength(288, 50.0, 6.0) == pytest.approx(11.94, abs=0.02)


def test_almanac_daylength_is_what_rise_and_set_enclose():
    # Another route: ecliptic longitude and equation of time, event by event. The CBM form knows
    # no leap cycle and rounds the orbit: five minutes is what it can hold at 52 degrees.
    days = np.arange(8401, 8766)  # the days of 2023
    for latitude in (-45.0, 10.0, 38.0, 52.0):
        up = sun.sun_times(days, latitude, 5.0).hours_up
        np.testing.assert_allclose(
            sun.almanac_daylength(np.arange(1, 366), latitude), up, atol=5 / 60
        )


@pytest.mark.parametrize(("day", "latitude"), [(187, 50.8), (246, -20.0), (15, 45.0), (100, 65.0)])
def test_top_of_air_radiation_is_the_integral_of_the_suns_height(day, latitude):
    phi, tilt = np.radians(latitude), float(sun.solar_declination(day))
    angle = (np.arange(100_000) + 0.5) / 100_000 * 2 * np.pi - np.pi
    height = np.sin(phi) * np.sin(tilt) + np.cos(phi) * np.cos(tilt) * np.cos(angle)
    flux = sun.SOLAR_CONSTANT_MJ * float(sun.inverse_distance(day)) * np.maximum(height, 0)
    assert sun.extraterrestrial_radiation(day, latitude) == pytest.approx(
        flux.mean() * 1440, rel=1e-6
    )
    assert sun.daylight_hours(day, latitude) == pytest.approx((height > 0).mean() * 24, abs=1e-3)


def test_polar_radiation():
    assert sun.daylight_hours([172, 355], 80.0) == pytest.approx([24, 0])
    assert sun.extraterrestrial_radiation(355, 80.0) == pytest.approx(0, abs=1e-9)


def test_hourly_share_is_the_sine_cut_into_hours():
    share = sun.hourly_share(5.3, 14.2)
    fine = (np.arange(240_000) + 0.5) / 10_000
    height = np.where((fine > 5.3) & (fine < 19.5), np.sin(np.pi * (fine - 5.3) / 14.2), 0)
    by_hour = height.reshape(24, -1).sum(axis=1) / height.sum()
    np.testing.assert_allclose(share, by_hour, atol=1e-6)


def test_hourly_share_wraps_midnight_and_survives_the_pole():
    share = sun.hourly_share([3.0, 6.0, np.nan, np.nan], [21.9, 12.0, 24.0, 0.0])
    assert share.shape == (4, 24)
    np.testing.assert_allclose(share.sum(axis=-1), [1, 1, 1, 0])
    assert share[0, 0] > 0 and share[2].argmax() in (11, 12)


def test_events_belong_to_the_solar_day_of_the_date():
    # At 175 E the sun rises on the evening before by UTC; at 150 W it sets on the next UTC day.
    east, west = sun.sun_times(9000, -40.0, 175.0), sun.sun_times(9000, 40.0, -150.0)
    assert east.rise < east.noon < east.set and east.rise < 0
    assert west.set > 24


def test_positions_outside_the_globe_are_refused():
    with pytest.raises(ValueError, match="latitude"):
        sun.sun_times(9000, 91.0, 0.0)
