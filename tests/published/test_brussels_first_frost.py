"""First autumn frost at Brussels, 1976 to 2005, from the daily record to the odds.

Source: the record packaged with AquaCrop's open port (read whole); days, mean, spread and odds were
worked out by an independent script. First day from 1 August with a minimum at or below 0.0 C, day
of the year with leap years reduced by one.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from lattermath.science import frost_odds as frost

EXPECTED = {
    1976: 325, 1977: 331, 1978: 314, 1979: 317, 1980: 305, 1981: 312, 1982: 335, 1983: 303,
    1984: 362, 1985: 305, 1986: 333, 1987: 333, 1988: 304, 1989: 327, 1990: 313, 1991: 325,
    1992: 287, 1993: 320, 1994: 336, 1995: 308, 1996: 318, 1997: 301, 1998: 320, 1999: 317,
    2000: 350, 2001: 313, 2002: 340, 2003: 296, 2004: 316, 2005: 323,
}  # fmt: skip
AUGUST_1 = 213  # as a day of the year


@pytest.fixture(scope="module")
def minima():
    """Minima by year and season day, 1 August to 31 December."""
    spec = importlib.util.find_spec("aquacrop")
    if spec is None:
        pytest.skip("aquacrop is not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / "brussels_climate.txt"
    table = np.loadtxt(path, skiprows=1)
    rows = np.full((30, 153), np.nan)
    for day, month, year, low in table[table[:, 1] >= 8][:, :4]:
        rows[int(year) - 1976, frost.season_day(int(month), int(day))] = low
    return rows


@pytest.fixture(scope="module")
def days(minima):
    return frost.first_frosts(minima, 0.0) + AUGUST_1


def test_the_day_of_every_year(days):
    assert dict(zip(range(1976, 2006), days.astype(int), strict=True)) == EXPECTED


def test_the_fit(days):
    fit = frost.fit_frosts(days)
    assert fit.mean_day == pytest.approx(319.63, abs=0.005)
    assert fit.sd_days == pytest.approx(16.09, abs=0.005)
    assert (fit.years, fit.frost_free_share) == (30, 0)
    assert frost.frost_day(fit, [0.1, 0.5, 0.9]) == pytest.approx([299.0, 319.6, 340.3], abs=0.06)


def test_the_record_itself(days):
    assert frost.empirical_day(days, [0.1, 0.5, 0.9]) == pytest.approx(
        [302.8, 317.5, 336.4], abs=0.05
    )
    assert frost.empirical_chance(days, 305) == pytest.approx(7 / 30)


def test_the_odds_of_november(days):
    fit = frost.fit_frosts(days)
    assert frost.frost_chance(fit, 305) == pytest.approx(0.182, abs=0.001)
    later = frost.given_none_yet(frost.frost_chance(fit, 319), frost.frost_chance(fit, 304))
    assert later == pytest.approx(0.382, abs=0.001)


def test_a_harder_frost(minima):
    days = frost.first_frosts(minima, -2.0) + AUGUST_1
    fit = frost.fit_frosts(days)
    assert np.isfinite(days).sum() == 29
    assert fit.frost_free_share == pytest.approx(1 / 30)
    assert fit.mean_day == pytest.approx(330.7, abs=0.05)
    assert fit.sd_days == pytest.approx(19.9, abs=0.05)
