"""The daily record: merging, gaps, and nothing visible that is dated later than the day asked."""

from datetime import date, timedelta

import numpy as np
import pytest

from lattermath.vocabulary.errors import WeatherFileError
from lattermath.weather.calendar_days import next_on, same_day, year_days
from lattermath.weather.daily_record import UNKNOWN_RAIN_MM, daily_record
from lattermath.weather.days import Reading, WeatherFile
from lattermath.weather.gaps import fill_temperature
from lattermath.weather.readings import as_forecast


def file(readings, name="a"):
    return WeatherFile(name, "test", name, tuple(readings), 50.8, 4.4, 100.0, ())


def run(first, lows, rain=1.0):
    return [
        Reading(first + timedelta(days=n), low, None if low is None else low + 10.0, rain)
        for n, low in enumerate(lows)
    ]


DAY = date(2026, 7, 1)


def test_later_files_win_where_they_have_a_value():
    first = run(DAY, [10.0, 11.0, 12.0])
    second = [Reading(DAY + timedelta(days=1), 15.0, None, None)]
    record = daily_record([file(first), file(second, "b")])
    assert record.t_min.tolist() == [10.0, 15.0, 12.0]
    assert record.t_max.tolist() == [20.0, 21.0, 22.0]
    assert not record.filled.any()


def test_a_forecast_never_overrides_a_measurement_and_counts_as_filled():
    measured = file(run(DAY, [10.0, 11.0]))
    told = as_forecast(file(run(DAY, [1.0, 2.0, 3.0]), "f"), DAY)
    for order in ([measured, told], [told, measured]):
        record = daily_record(order)
        assert record.t_min.tolist() == [10.0, 11.0, 3.0]
        assert record.filled_min.tolist() == [False, False, True]


def test_absent_days_are_filled_and_marked():
    record = daily_record([file(run(DAY, [10.0, 11.0]) + run(DAY + timedelta(days=5), [15.0]))])
    assert record.n_days == 6
    assert record.filled.tolist() == [False, False, True, True, True, False]
    assert record.t_min.tolist() == pytest.approx([10, 11, 12, 13, 14, 15])
    assert any("short" in words for words in record.says)


def test_rain_is_not_invented():
    dry = [r._replace(rain_mm=None) for r in run(DAY, [10.0, 11.0])]
    record = daily_record([file(dry)])
    assert record.filled_rain.all()
    assert record.rain.tolist() == [UNKNOWN_RAIN_MM] * 2
    assert any("rough figure" in words for words in record.says)


def test_no_reading_is_refused_and_so_is_a_wrong_century():
    with pytest.raises(WeatherFileError, match="no weather"):
        daily_record([])
    with pytest.raises(WeatherFileError, match="centuries"):
        daily_record([file([Reading(date(206, 7, 1), 1.0, 2.0, 0.0), *run(DAY, [3.0])])])


def test_short_gaps_keep_the_departure_and_long_ones_return_to_the_usual():
    usual = 10 + 8 * np.sin(np.arange(400) / 58)
    truth = usual + 3.0
    values = truth.copy()
    values[100:104] = np.nan
    values[200:260] = np.nan
    filled = fill_temperature(values, usual, seasons=True)
    assert filled[100:104] == pytest.approx(truth[100:104])
    assert filled[230:260] == pytest.approx(usual[230:260], abs=0.01)
    assert filled[200] == pytest.approx(usual[200] + 3.0 * 0.76)
    known = ~np.isnan(values)
    assert (filled[known] == values[known]).all()


def test_filled_gaps_of_a_real_record_are_closer_than_the_usual_weather(station):
    """Two-day holes cut into Brussels: interpolated departures beat climatology alone."""
    record = station("brussels")
    usual = record.usual.t_max[year_days(record.first, record.n_days)]
    holes = np.arange(40, record.n_days - 40, 37)
    values = record.t_max.copy()
    values[holes] = values[holes + 1] = np.nan
    filled = fill_temperature(values, usual, seasons=True)
    ours = np.abs(filled - record.t_max)[holes].mean()
    climate = np.abs(usual - record.t_max)[holes].mean()
    assert ours < 0.75 * climate


def poisoned(readings, after, low, high, rain):
    return [
        r if r.day <= after else r._replace(t_min=low, t_max=high, rain_mm=rain) for r in readings
    ]


@pytest.mark.parametrize("poison", [(None, None, None), (-40.0, -39.0, 400.0), (50.0, 54.0, 0.0)])
def test_nothing_dated_later_is_ever_visible(poison):
    """Later values replaced by nothing, or by extremes: the record as of the day is the same."""
    rng = np.random.default_rng(3)
    first = date(2019, 1, 1)
    lows = [None if rng.random() < 0.05 else round(float(rng.normal(8, 5)), 1) for _ in range(2600)]
    readings = run(first, lows)
    as_of = date(2024, 8, 5)
    clean = daily_record([file(readings)]).until(as_of)
    other = daily_record([file(poisoned(readings, as_of, *poison))]).until(as_of)
    assert clean.last == as_of == other.last
    assert clean.digest == other.digest
    assert clean.says == other.says
    for name in ("t_min", "t_max", "rain", "filled"):
        assert np.array_equal(getattr(clean, name), getattr(other, name))
    assert np.array_equal(clean.usual.t_min, other.usual.t_min)
    end = date(2024, 11, 15)
    assert (
        clean.years_for(as_of, end) == other.years_for(as_of, end) == (2019, 2020, 2021, 2022, 2023)
    )


def test_a_total_read_later_is_not_yet_known():
    readings = run(DAY, [10.0] * 5)
    known = DAY + timedelta(days=3)
    for n in (1, 2, 3):
        readings[n] = readings[n]._replace(rain_mm=4.2, rain_known=known)
    record = daily_record([file(readings)])
    assert record.rain[1:4].tolist() == [4.2] * 3
    before = record.until(DAY + timedelta(days=2))
    assert before.filled_rain.tolist() == [False, True, True]
    assert not record.until(known).filled_rain.any()


def test_until_before_the_record_is_empty(station):
    empty = station("brussels").until(date(1970, 1, 1))
    assert empty.n_days == 0
    assert empty.years_for(date(1970, 1, 1)) == ()


def test_years_for_counts_whole_past_seasons(station):
    record = station("brussels")
    assert record.years_for(date(2004, 8, 5), date(2004, 11, 15)) == tuple(range(1976, 2004))
    # over the new year: the season begun in 2003 had not ended by November 2004
    assert record.years_for(date(2003, 11, 15), date(2004, 11, 20))[-1] == 2001
    assert station("cordoba").years_for(date(2020, 11, 15), date(2021, 4, 30)) == tuple(
        range(1991, 2020)
    )


def test_the_last_day_of_february():
    assert same_day(date(2024, 2, 29), 2023) == date(2023, 2, 28)
    places = year_days(date(2023, 2, 27), 4).tolist()
    assert places == [57, 58, 60, 61]
    assert year_days(date(2024, 2, 27), 4).tolist() == [57, 58, 59, 60]
    assert year_days(date(1899, 12, 31), 2).tolist() == [365, 0]
    assert next_on("10-02", date(2026, 8, 1)) == date(2026, 10, 2)
    assert next_on("04-20", date(2026, 8, 1)) == date(2027, 4, 20)


def test_year_days_against_the_calendar():
    start = date(1999, 1, 1)
    for n, place in enumerate(year_days(start, 3000).tolist()):
        day = start + timedelta(days=n)
        assert place == (date(2000, day.month, day.day) - date(2000, 1, 1)).days


def test_usual_weather_against_monthly_means(station):
    """Brussels, A7 of the external checks: means of July to October and January."""
    usual = station("brussels").usual
    month = np.array([(date(2000, 1, 1) + timedelta(days=n)).month for n in range(366)])
    for number, high, low in (
        (7, 22.48, 13.60),
        (8, 22.53, 13.48),
        (10, 14.70, 8.04),
        (1, 5.42, 0.73),
    ):
        assert usual.t_max[month == number].mean() == pytest.approx(high, abs=0.35)
        assert usual.t_min[month == number].mean() == pytest.approx(low, abs=0.35)
    assert usual.sd_max == pytest.approx(4.0, abs=0.3)


def test_two_files_that_contradict_each_other_are_both_set_aside():
    first = run(DAY, [10.0, 11.0, 12.0])
    second = [Reading(DAY + timedelta(days=1), 25.0, None, None)]
    record = daily_record([file(first), file(second, "b")])
    assert record.filled_min.tolist() == record.filled_max.tolist() == [False, True, False]
    assert (record.t_max >= record.t_min).all()
    assert any("above another's maximum" in words for words in record.says)


def test_a_rounding_of_units_is_no_contradiction():
    record = daily_record([file([Reading(DAY, 20.0 + 1e-9, 20.0, 0.0)])])
    assert not record.filled.any()
    assert (record.t_max >= record.t_min).all()
