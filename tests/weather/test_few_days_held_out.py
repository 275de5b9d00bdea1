"""Weather from a few days of a diary, against the seasons that came, at stations not fitted to.

A grower who has no record types the highs and lows of some days and when the first frost usually
comes (here the median of the station's years). Each year is foretold from its own days up to 14
July (14 January in the south), and the heat and first frost that came are placed among its futures.
The records are those packaged with AquaCrop's open port. Asked: eight ranges in ten, which ought to
hold 80 %, hold no fewer than 70 %; they are rough, and may be too wide. One swing of the year
through the week's level, as was done before, held 37 to 59 % of the heat and 69 % of the frosts of
Champion.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from tests.weather.test_generated_held_out import N_DAYS, first_frost, heat
from tests.weather.test_short_record_held_out import cut

from lattermath.weather.daily_record import daily_record
from lattermath.weather.days import Reading, WeatherFile
from lattermath.weather.futures import futures

STATIONS = {"champion": 40.4, "brussels": 50.8, "cordoba": -31.4}
TO_FROST = 170


def places(record, latitude, back):
    """Where each year's heat and first frost fall among its futures."""
    days = [date(y, 7 if latitude > 0 else 1, 15)
            for y in range(record.first.year + 1, record.last.year)]  # fmt: skip
    lows = {day: record.t_min[record.at(day) :][:TO_FROST] for day in days}
    usual = int(np.median([first_frost(low) for low in lows.values()]))
    found = []
    for day, low in lows.items():
        runs = futures(
            cut(record, day - timedelta(days=back), day - timedelta(days=1), latitude),
            day,
            day + timedelta(days=TO_FROST - 1),
            latitude=latitude,
            rng=np.random.default_rng(day.year),
            usual_first_frost=(day + timedelta(days=usual)).strftime("%m-%d"),
        )
        assert runs.method == "rough"
        high = record.t_max[record.at(day) :][:TO_FROST]
        came, frosts = heat(low[:N_DAYS], high[:N_DAYS]), first_frost(runs.t_min)
        foretold, frost = heat(runs.t_min[:, :N_DAYS], runs.t_max[:, :N_DAYS]), first_frost(low)
        below = (frosts < frost).mean() + (frosts == frost).mean() / 2
        found.append(((foretold < came).mean(), below))
    return np.array(found)


@pytest.mark.parametrize("name", STATIONS)
def test_ranges_from_one_week_and_the_usual_frost_hold_what_came(station, name):
    found = places(station(name), STATIONS[name], back=7)
    inside = ((found > 0.1) & (found < 0.9)).mean(axis=0)
    assert len(found) >= 19
    assert (inside >= 0.7).all()


@pytest.mark.parametrize("name", STATIONS)
def test_a_season_s_diary_still_meets_the_usual_frost(station, name):
    frost = places(station(name), STATIONS[name], back=100)[:, 1]
    assert ((frost > 0.1) & (frost < 0.9)).mean() >= 0.7
    assert np.median(frost) == pytest.approx(0.5, abs=0.15)


def diary(first, lows, swing):
    rows = [Reading(first + timedelta(days=n), float(low), float(low + swing), None)
            for n, low in enumerate(lows)]  # fmt: skip
    return daily_record([WeatherFile("a", "test", "a", tuple(rows), 0.0, 0.0, 100.0, ())])


def test_one_cool_week_moves_no_frost():
    """At 35 S, a warm diary whose last seven lows fall from 14 to 9 C; usual frost on 10 June."""
    days = np.random.default_rng(3).normal(0, 2.2, 128)
    lows = np.concatenate([np.linspace(8.0, 14.0, 128) + days, np.full(7, 9.0)])
    runs = futures(
        diary(date(2025, 9, 1), lows, 14.0), date(2026, 1, 14), date(2026, 8, 1), latitude=-35.0,
        rng=np.random.default_rng(4), usual_first_frost="06-10",
    )  # fmt: skip
    days = np.quantile(first_frost(runs.t_min), (0.1, 0.5))
    soonest, usual = (date(2026, 1, 14) + timedelta(days=int(n)) for n in days)
    assert abs((usual - date(2026, 6, 10)).days) <= 6
    assert soonest > date(2026, 4, 1)
    assert "hardly fit" not in runs.says


def test_it_never_freezes_near_the_sea_within_the_tropics():
    runs = futures(
        diary(date(2026, 7, 1), 23.0 + np.sin(np.arange(12)), 7.0), date(2026, 7, 13),
        date(2026, 12, 31), latitude=10.5, rng=np.random.default_rng(5),
    )  # fmt: skip
    assert runs.t_min.min() > 0
    assert runs.t_min.mean(axis=0).min() > 15


def test_a_frost_that_cannot_be_is_said():
    """At 45 N lows of 20 C in August with a usual first frost on 20 August."""
    runs = futures(
        diary(date(2026, 7, 1), np.full(40, 20.0), 10.0), date(2026, 8, 10), date(2026, 12, 1),
        latitude=45.0, rng=np.random.default_rng(6), usual_first_frost="08-20",
    )  # fmt: skip
    assert "hardly fit" in runs.says
