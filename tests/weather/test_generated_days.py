"""The generator against the record its constants were fitted to, Brussels 1976-2005.

Targets: external checks A7 (July to September where by month), wet from 0.3 mm. Acceptance as
written there: lag-1 within 0.05, p01 and p11 within 0.03.
"""

import numpy as np
import pytest

from lattermath.weather.generated_days import Spread, departures, rain_days


@pytest.fixture(scope="module")
def days():
    low, high = departures(1500, 92, Spread(), np.random.default_rng(11))
    return low, high


def lagged(a, b):
    return np.corrcoef(a[:, 1:].ravel(), b[:, :-1].ravel())[0, 1]


def test_departures(days):
    low, high = days
    assert high.std() == pytest.approx(4.00, abs=0.1)
    assert low.std() == pytest.approx(3.43, abs=0.1)
    assert np.corrcoef(high.ravel(), low.ravel())[0, 1] == pytest.approx(0.772, abs=0.05)
    assert lagged(high, high) == pytest.approx(0.743, abs=0.05)
    assert lagged(low, low) == pytest.approx(0.762, abs=0.05)
    assert lagged(high, low) == pytest.approx(0.617, abs=0.05)
    assert lagged(low, high) == pytest.approx(0.761, abs=0.05)


def test_no_drift_from_the_first_day_on(days):
    for values in days:
        by_day = values.std(axis=0)
        assert by_day == pytest.approx(by_day.mean(), rel=0.12)


def test_rain():
    """July to September: P(wet) .408, p01 .267, p11 .613, mean wet amount 5.56 mm."""
    rain = rain_days(np.full(92, 0.408 * 5.56), 1500, np.random.default_rng(12), 5.56)
    wet = rain >= 0.3
    assert rain.mean() == pytest.approx(0.408 * 5.56, rel=0.03)
    before, after = wet[:, :-1], wet[:, 1:]
    assert (after & ~before).sum() / (~before).sum() == pytest.approx(0.267, abs=0.03)


def test_wet_days_follow_wet_days():
    """July to September: p11 .613."""
    wet = rain_days(np.full(92, 0.408 * 5.56), 1500, np.random.default_rng(12), 5.56) >= 0.3
    before, after = wet[:, :-1], wet[:, 1:]
    assert (after & before).sum() / before.sum() == pytest.approx(0.613, abs=0.03)


@pytest.mark.parametrize("usual", [0.02, 0.3, 2.0, 9.0])
def test_the_mean_rain_is_kept_in_dry_and_wet_places(usual):
    rain = rain_days(np.full(120, usual), 3000, np.random.default_rng(13))
    assert rain.mean() == pytest.approx(usual, rel=0.05)


def test_a_longer_run_begins_like_a_shorter_one():
    one, other = (departures(5, n, Spread(), np.random.default_rng(1))[1] for n in (20, 50))
    assert np.array_equal(one, other[:, :20])
    one, other = (rain_days(np.full(n, 2.0), 5, np.random.default_rng(1)) for n in (20, 50))
    assert np.array_equal(one, other[:, :20])
