"""The hours of a visit: heat from spraying until dry, rain to come, what is unknown."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from lattermath.weather.evenings import evening, rain_chance
from lattermath.weather.futures import Futures

ZONE = ZoneInfo("Europe/London")
DAY = date(2026, 8, 4)


def clock(hour, minute=0, day=DAY):
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZONE)


def runs(low, high, rain=0.0, n_futures=400, n_days=6, forecast_days=0):
    shape = (n_futures, n_days)
    return Futures(
        DAY - timedelta(days=1),
        np.broadcast_to(np.asarray(low, float), shape).copy(),
        np.broadcast_to(np.asarray(high, float), shape).copy(),
        np.broadcast_to(np.asarray(rain, float), shape).copy(),
        None, None, (None,) * n_futures, "rough", "", np.zeros((3, 366)), forecast_days,
    )  # fmt: skip


def asked(weather, day=DAY, arrive=None, leave=None, **over):
    sun = {"sunrise": clock(5, 30, day), "sunset": clock(20, 50, day)}
    return evening(
        day, arrive or clock(18, 30, day), leave or clock(20, 30, day), weather, **(sun | over)
    )


def test_heat_from_spraying_until_dry():
    """A day of 12 to 27 C: falling through the evening, between its extremes, below noon's."""
    found = asked(runs(12.0, 27.0))
    assert 12 < found.temperature_low_c < found.temperature_c < found.temperature_high_c < 27
    early = asked(runs(12.0, 27.0), spraying_from=clock(18, 30))
    assert early.temperature_high_c > found.temperature_high_c
    assert early.temperature_low_c == pytest.approx(found.temperature_low_c)
    afternoon = asked(runs(12.0, 27.0), arrive=clock(14), leave=clock(15))
    assert afternoon.temperature_high_c == pytest.approx(27.0, abs=0.3)


def until_dry(found, starts, hours):
    ends = starts + timedelta(hours=hours)
    spots = [spot for spot in found.air if starts <= spot.at <= ends]
    return min(s.low_c for s in spots), max(s.high_c for s in spots)


def test_a_morning_goes_on_warming_until_soap_is_dry():
    """17 to 35.5 C, sprayed 9:15 to 9:55, dry at 13:55: not what is met within two hours."""
    found = asked(runs(17.0, 35.5), arrive=clock(8), leave=clock(9, 55))
    low, high = until_dry(found, clock(9, 15), 4 + 40 / 60)
    assert high > found.temperature_high_c + 1.5 and high > 34 and low > 17
    two = asked(runs(17.0, 35.5), arrive=clock(8), leave=clock(9, 55), spraying_from=clock(9, 15),
                dry_after=timedelta(hours=4))  # fmt: skip
    assert high == pytest.approx(two.temperature_high_c, abs=0.05)
    assert low == pytest.approx(two.temperature_low_c)


def test_an_evening_goes_on_cooling_and_the_next_morning_warms():
    found = asked(runs(9.0, 27.0))
    low, high = until_dry(found, clock(20), 4.5)
    assert low < found.temperature_low_c - 1 and high >= found.temperature_high_c
    at = {spot.at: spot.low_c for spot in found.air}
    tomorrow = DAY + timedelta(days=1)
    dawn, later = at[clock(5, 30, tomorrow)], at[clock(9, 0, tomorrow)]
    assert 9 <= dawn < 10 and later > dawn + 3
    assert found.air[0].at == clock(18, 30)
    assert found.air[-1].at >= clock(20, 30) + timedelta(hours=12)  # copper dries in twelve hours


def test_low_and_high_are_one_in_ten_and_nine_in_ten():
    """With the same shape of day, quantiles of the visit follow those of the maxima."""
    highs = np.linspace(20, 30, 401)[:, None]
    found = asked(runs(highs - 10.0, highs, n_futures=401))
    middle = asked(runs(15.0, 25.0))
    spread = found.temperature_high_c - found.temperature_low_c
    assert found.temperature_c == pytest.approx(middle.temperature_c)
    width = middle.temperature_high_c - middle.temperature_low_c
    assert spread == pytest.approx(8.0 + width)  # 90 % less 10 % of a span of 10, and the fall


def test_far_off_the_highest_are_what_is_as_likely_as_not():
    """Half of the futures are hotter; the lowest, the mean and the rain stay as they are."""
    highs = np.linspace(20.0, 36.0, 400)[:, None]
    near, far = (asked(runs(12.0, highs), far=off) for off in (False, True))
    assert far.temperature_high_c < near.temperature_high_c - 2
    assert far.hottest_next_two_days_c == pytest.approx(28.0, abs=0.1)
    assert near.hottest_next_two_days_c == pytest.approx(34.4, abs=0.1)
    assert max(spot.high_c for spot in far.air) < max(spot.high_c for spot in near.air) - 2
    assert far.temperature_low_c == near.temperature_low_c
    assert far.temperature_c == near.temperature_c
    assert (far.far, near.far) == (True, False)


def test_the_hottest_of_the_next_two_days():
    highs = np.full((400, 6), 25.0)
    highs[:, 2] = 28.0
    highs[:60, 3] = 35.0  # in 15 % of the futures
    highs[:, 4] = 44.0  # three days on: not asked
    assert asked(runs(12.0, highs)).hottest_next_two_days_c == 35.0
    highs[30:60, 3] = 25.0  # in 7.5 %
    assert asked(runs(12.0, highs)).hottest_next_two_days_c == 28.0


def test_rain_against_spells_thrown_at_random():
    """A spell of four hours at any hour of each wet day, counted by simulation."""
    rng = np.random.default_rng(5)
    wet = np.array([0.0, 4.0, 4.0, 0.0, 0.0, 0.0])
    weather = runs(12.0, 25.0, wet)
    for leave, hours in ((20.5, 2.0), (20.5, 12.0), (8.0, 12.0)):
        hits = np.zeros(40_000, bool)
        for midnight in (0.0, 24.0):
            start = midnight + rng.random(hits.size) * 24  # wrapped within its day
            for shift in (-24.0, 0.0, 24.0):
                begins = np.maximum(start + shift, midnight)
                ends = np.minimum(start + shift + 4, midnight + 24)
                met = (begins < ends) & (begins < leave + hours) & (ends > leave)
                hits |= met
        ours = rain_chance(weather, clock(int(leave), int(leave % 1 * 60)), hours)
        assert ours == pytest.approx(hits.mean(), abs=0.01)


def test_rain_is_the_share_of_wet_futures():
    rain = np.zeros((400, 6))
    rain[:100, 1] = 5.0
    found = asked(runs(12.0, 25.0, rain))
    assert found.rain_chance_2h == pytest.approx(0.25 * 6 / 24)
    assert 0 < found.rain_chance_12h < 0.25
    dry = asked(runs(12.0, 25.0, 0.2))
    assert (dry.rain_chance_2h, dry.rain_chance_12h) == (0.0, 0.0)


def test_outside_the_futures_everything_is_unknown():
    for day in (DAY - timedelta(days=9), DAY + timedelta(days=40)):
        found = asked(runs(12.0, 25.0), day=day)
        assert found.temperature_high_c is None
        assert found.hottest_next_two_days_c is None
        assert found.rain_chance_2h is None
        assert found.rain_chance_12h is None
        assert not found.forecast


def test_near_the_end_only_what_is_known():
    last = DAY + timedelta(days=4)
    found = asked(runs(12.0, 25.0), day=last)
    assert found.temperature_high_c is not None
    assert found.hottest_next_two_days_c is None
    assert found.rain_chance_2h is not None
    assert found.rain_chance_12h is None  # runs past midnight of the last day


def test_wind_and_forecast():
    found = asked(runs(12.0, 25.0, forecast_days=2))
    assert found.wind_m_s is None
    assert found.forecast
    assert not asked(runs(12.0, 25.0, forecast_days=1)).forecast
    assert asked(runs(12.0, 25.0), wind_m_s=2.5).wind_m_s == 2.5


def test_no_sunset_falls_back_to_a_plain_course():
    found = asked(runs(12.0, 25.0), sunrise=None, sunset=None)
    assert 12 <= found.temperature_low_c <= found.temperature_high_c <= 25


@pytest.mark.parametrize("day", [date(2026, 3, 29), date(2026, 10, 25)])
def test_on_days_when_the_clocks_change(day):
    weather = runs(6.0, 14.0)
    moved = Futures(
        day - timedelta(days=1), weather.t_min, weather.t_max, weather.rain, None, None,
        weather.years, "rough", "", weather.usual,
    )  # fmt: skip
    found = asked(moved, day=day)
    assert 6 <= found.temperature_low_c <= found.temperature_high_c <= 14
    assert found.rain_chance_12h == 0.0
