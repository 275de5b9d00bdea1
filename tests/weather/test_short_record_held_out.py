"""Made-up weather from a record of two years and a half, against the record and against the season.

Each year from the third on is foretold from the days since the new year two years before, and what
came is placed among the futures: heat, rain and first frost. An even spread of places is asked for:
Kolmogorov's distance under its 1 % bound, 1.63 / sqrt n.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from tests.weather.test_generated_held_out import BOUND, distance, first_frost, heat

from lattermath.weather.daily_record import daily_record
from lattermath.weather.days import Reading, WeatherFile
from lattermath.weather.futures import futures
from lattermath.weather.generated_days import (
    Habit,
    Spread,
    course_error,
    departures,
    rain_days,
)

STATIONS = {"champion": 40.4, "brussels": 50.8, "cordoba": -31.4, "tunis": 36.8}
N_DAYS = 110


def cut(record, first, last, latitude):
    rows = [
        Reading(
            first + timedelta(days=n - record.at(first)),
            float(record.t_min[n]),
            float(record.t_max[n]),
            float(record.rain[n]),
        )
        for n in range(record.at(first), record.at(last) + 1)
    ]
    return daily_record([WeatherFile("a", "test", "a", tuple(rows), latitude, 0.0, 100.0, ())])


@pytest.fixture(scope="module")
def foretold(station):
    """By station: the place of each year's heat, rain and first frost among its futures."""
    found = {}

    def places(name):
        if name not in found:
            found[name] = _places(station(name), STATIONS[name])
        return found[name]

    return places


def _places(record, latitude):
    month, turn = (7, 1) if latitude > 0 else (1, 7)
    rows = []
    for year in range(record.first.year + 3, record.last.year):
        as_of = date(year, month, 5)
        begun = date(year - 2 if turn == 1 else year - 3, turn, 1)
        short = cut(record, begun, as_of - timedelta(days=1), latitude)
        runs = futures(
            short, as_of, as_of + timedelta(days=N_DAYS - 1), latitude=latitude,
            rng=np.random.default_rng(year),
        )  # fmt: skip
        assert runs.method == "generated" and "cannot tell how far seasons" in runs.says
        real = slice(record.at(as_of), record.at(as_of) + N_DAYS)
        low, high, rain = record.t_min[real], record.t_max[real], record.rain[real]
        tie = np.random.default_rng(year).random()
        frost, frosts = first_frost(low), first_frost(runs.t_min)
        rows.append((
            (heat(runs.t_min, runs.t_max) < heat(low, high)).mean(),
            (runs.rain.sum(axis=1) < rain.sum()).mean(),
            (frosts < frost).mean() + tie * (frosts == frost).mean(),
        ))  # fmt: skip
    return np.sort(np.array(rows), axis=0)


@pytest.mark.parametrize("column", [0, 1, 2], ids=["heat", "rain", "first frost"])
@pytest.mark.parametrize("name", STATIONS)
def test_what_came_falls_evenly_among_what_a_short_record_foretells(foretold, name, column):
    places = foretold(name)[:, column]
    assert len(places) >= 19
    assert distance(places) < BOUND / np.sqrt(len(places))


def next_day(values):
    """Correlation of each day with the day before, (..., n_days)."""
    return np.corrcoef(values[..., 1:].ravel(), values[..., :-1].ravel())[0, 1]


def by_month(record, values, scaled=True):
    """Departures from the month's mean, in its standard deviations: not the program's own waves."""
    months = np.array([(record.first + timedelta(days=n)).month for n in range(record.n_days)])
    off = values.astype(float).copy()
    for month in range(1, 13):
        here = months == month
        off[here] = (off[here] - off[here].mean()) / (max(off[here].std(), 1e-9) if scaled else 1.0)
    return off


@pytest.mark.parametrize("name", STATIONS)
def test_days_hold_from_one_to_the_next_as_in_the_record_they_are_made_from(station, name):
    """Minimum, maximum, and rain or none; departures taken here by months, there by waves."""
    record = station(name)
    begun, as_of = date(record.first.year + 6, 1, 1), date(record.first.year + 8, 6, 30)
    short = cut(record, begun, as_of, STATIONS[name])
    usual = short.usual
    habit = Habit.of(usual.same_day, usual.next_day, usual.wet_after_wet)
    made = departures(200, 300, Spread(), np.random.default_rng(3), habit)
    for days, known in zip(made, (short.t_min, short.t_max), strict=True):
        assert next_day(days) == pytest.approx(next_day(by_month(short, known)), abs=0.06)
    mean = float(short.rain.mean())
    rain = rain_days(
        np.full(300, mean), 200, np.random.default_rng(4), usual.wet_amount_mm, habit.wet_after_wet
    )
    truth = next_day(by_month(short, short.rain >= 0.3, scaled=False))
    assert next_day((rain >= 0.3).astype(float)) == pytest.approx(truth, abs=0.06)


def test_what_a_record_cannot_bear_stays_as_it_is_elsewhere():
    habit = Habit.of(np.nan, np.full((2, 2), np.nan), np.nan)
    assert np.array_equal(habit.a, Habit().a) and habit.wet_after_wet == Habit().wet_after_wet
    odd = Habit.of(0.9, np.array([[0.99, 0.99], [0.99, 0.99]]), 0.5)  # no such days can be
    assert np.array_equal(odd.b, Habit().b) and odd.wet_after_wet == 0.5


def test_the_error_of_a_course_is_that_of_a_mean_of_three_months():
    """Against fitting: means of 91 days of other made-up years, alike in spread."""
    low, _ = departures(400, 300, Spread(), np.random.default_rng(5))
    again, _ = departures(400, 300, Spread(), np.random.default_rng(6))
    assert course_error(low)[:, 150].std() == pytest.approx(
        again[:, 105:196].mean(axis=1).std(), rel=0.15
    )
    assert course_error(low).mean(axis=0) == pytest.approx(np.zeros(300), abs=1e-9)


def test_long_means_of_made_up_days_spread_as_the_closed_form_says():
    """The spectrum at frequency 0 against means of 2,000 days."""
    habit = Habit.of(0.5, np.array([[0.6, 0.3], [0.55, 0.65]]), 0.3)
    low, high = departures(600, 2_000, Spread(1.0, 1.0), np.random.default_rng(7), habit)
    found = [2_000 * one.mean(axis=1).var() for one in (low, high)]
    assert found == pytest.approx(habit.slow(), rel=0.15)
    assert Habit().lacks() == pytest.approx([0.0, 0.0])
