"""First frosts from the daily record, as of a day."""

from datetime import date, timedelta

import pytest

from lattermath.weather.daily_record import daily_record
from lattermath.weather.days import Reading, WeatherFile
from lattermath.weather.frost_dates import frost_dates

# Brussels 1976-2005, worked out by an independent script over the packaged record (external checks
# A6): day of the year of the first minimum at or below 0.0 C from 1 August, leap years less one.
BRUSSELS = (
    "325 331 314 317 305 312 335 303 362 305 333 333 304 327 313 "
    "325 287 320 336 308 318 301 320 317 350 313 340 296 316 323"
)


def level(day):
    leap = date(day.year, 12, 31).timetuple().tm_yday == 366
    return day.timetuple().tm_yday - leap


def test_brussels(station):
    found = frost_dates(station("brussels"), date(2005, 12, 31))
    assert list(found) == list(range(1976, 2006))
    assert [level(day) for day in found.values()] == [int(n) for n in BRUSSELS.split()]


def test_a_harder_frost_at_brussels(station):
    """At -2 C: 29 of 30 years, mean day 330.7 (external checks A6)."""
    found = frost_dates(station("brussels"), date(2005, 12, 31), -2.0)
    seen = [level(day) for day in found.values() if day is not None]
    assert len(seen) == 29
    assert sum(seen) / 29 == pytest.approx(330.7, abs=0.05)


def test_only_seasons_that_have_ended(station):
    record = station("brussels")
    assert max(frost_dates(record, date(2004, 12, 30))) == 2003
    assert max(frost_dates(record, date(2004, 12, 31))) == 2004


def winter(first, n_days, frosts):
    readings = tuple(
        Reading(day, -1.0 if day in frosts else 6.0, 12.0, 0.0)
        for day in (first + timedelta(days=n) for n in range(n_days))
    )
    return daily_record([WeatherFile("w", "test", "w", readings, -37.0, 175.0, 10.0, ())])


@pytest.mark.parametrize("frost", [date(2024, 5, 3), date(2023, 5, 3), date(2024, 2, 28)])
def test_south_of_the_equator(frost):
    record = winter(date(2023, 1, 1), 730, {frost, date(2023, 8, 20), date(2024, 8, 9)})
    found = frost_dates(record, date(2024, 12, 30), southern=True)
    assert found == {2023: None, 2024: None} | {frost.year: frost}


def test_a_thinly_watched_year_is_left_out():
    record = winter(date(2024, 8, 1), 100, {date(2024, 10, 20)})
    assert frost_dates(record, date(2025, 6, 1)) == {}


def test_a_forecast_frost_does_not_count():
    measured = [date(2023, 8, 1) + timedelta(days=n) for n in range(153)]
    frost, told = date(2023, 10, 20), date(2023, 10, 3)
    readings = [
        Reading(day, None if day == told else -1.0 if day == frost else 6.0, 12.0, 0.0)
        for day in measured
    ]
    guess = Reading(told, -5.0, 12.0, 0.0, marks=("forecast of 2023-10-01",))
    files = [
        WeatherFile(name, "test", name, tuple(rows), None, None, None, ())
        for name, rows in (("m", readings), ("f", [guess]))
    ]
    record = daily_record(files)
    assert record.t_min[record.at(told)] == -5.0
    assert frost_dates(record, date(2023, 12, 31)) == {2023: frost}


def test_champion_has_a_frost_every_autumn(station):
    found = frost_dates(station("champion"), date(2018, 12, 31))
    assert len(found) == 37
    assert None not in found.values()
