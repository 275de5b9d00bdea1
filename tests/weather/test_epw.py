"""Hourly files of building simulation: a year that happened, a typical one, and damaged ones.

Rows are typed for these tests after place.md 12.5; genuine files are read in
`published/test_typical_years.py`.
"""

from __future__ import annotations

from datetime import date

import pytest

from lattermath.vocabulary.errors import WeatherFileError

HEAD = """LOCATION,Exampleton,XX,GBR,{source},999990,51.76,-1.26,0.0,63.0
DESIGN CONDITIONS,0
TYPICAL/EXTREME PERIODS,0
GROUND TEMPERATURES,0
HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0
COMMENTS 1,fictitious
COMMENTS 2,fictitious
DATA PERIODS,1,{each},Data,Sunday,1/1,12/31
"""
FLAGS = "?9?9?9?9E0?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9*9*9?9?9?9"


def hour(day, at, celsius=14.2, rh="86", sun="0", wind="2.1", rain="0.0"):
    y, m, d = (int(part) for part in day.split("-"))
    return (
        f"{y},{m},{d},{at},60,{FLAGS},{celsius},11.9,{rh},100900,0,0,330,{sun},0,0,0,0,0,0,240,"
        f"{wind},6,5,20.0,77777,9,999999999,180,0.1200,0,88,0.20,{rain},1.0\n"
    )


def one_day(day, curve, **said):
    return "".join(hour(day, n + 1, celsius, **said) for n, celsius in enumerate(curve))


def epw(*days, source="AMY", each="1"):
    return HEAD.format(source=source, each=each) + "".join(days)


CURVE = [float(12 + abs(12 - n)) for n in range(24)]  # 24 at midnight, 12 at noon: no real day


def test_hours_become_the_days_they_stand_under(taken, on):
    text = epw(
        one_day("2024-07-01", CURVE, sun="100", rain="0.5"),
        one_day("2024-07-02", [20.0] * 23 + [9.5]),
    )
    file = taken(text, "plot.epw")
    assert file.form == "epw" and not file.usual_months
    assert (file.latitude, file.longitude, file.altitude_m) == (51.76, -1.26, 63.0)
    first, second = on(file, "2024-07-01"), on(file, "2024-07-02")
    assert (first.t_min, first.t_max) == (12.0, 24.0)
    assert second.t_min == 9.5  # hour 24 belongs to its own day
    assert first.rain_mm == 12.0 and second.rain_mm == 0.0
    assert first.solar_mj_m2 == pytest.approx(24 * 100 * 0.0036)  # 100 Wh/m2 each hour
    assert first.wind_m_s == pytest.approx(2.1 * 0.748)  # 10 m brought to 2 m
    assert first.rh_mean == 86.0


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"celsius": 99.9}, "t_max"),
        ({"rh": "999"}, "rh_mean"),
        ({"sun": "9999"}, "solar_mj_m2"),
        ({"wind": "999"}, "wind_m_s"),
        ({"rain": "999"}, "rain_mm"),
    ],
)
def test_a_missing_hour_makes_the_day_missing(taken, on, said, field):
    """The codes for missing of place.md 12.5; a day of 23 hours has no extremes."""
    day = one_day("2024-07-01", CURVE, rain="0.1").splitlines(keepends=True)
    day[7] = hour("2024-07-01", 8, **{"celsius": 20.0, **said})
    file = taken(epw("".join(day), one_day("2024-07-02", CURVE)), "plot.epw")
    assert getattr(on(file, "2024-07-01"), field) is None
    assert on(file, "2024-07-02").t_max == 24.0


def test_no_rain_at_all_is_no_measurement(taken, on):
    file = taken(epw(one_day("2024-07-01", CURVE)), "plot.epw")
    assert on(file, "2024-07-01").rain_mm is None
    assert any("no rain on any day" in words for words in file.says)


def test_leaves_are_marked_by_the_plots_own_clock(taken, on):
    """Rain in the hour from 20:00 standard time is the hour from 21:00 by summer time."""
    day = one_day("2024-07-01", CURVE).splitlines(keepends=True)
    day[20] = hour("2024-07-01", 21, 15.0, rain="1.0")
    file = taken(epw("".join(day)), "plot.epw", time_zone="Europe/London")
    (word,) = [m for m in on(file, "2024-07-01").marks if m.startswith("leaves by the hour")]
    letters = word.rsplit(" ", 1)[1]
    assert letters == "?" + "-" * 20 + "w" + "--"


def a_year(years, source):
    """Twelve months of 28 equal days, each of its own year: 2 C by night, 12 by day and month."""
    days = []
    for month in range(1, 13):
        curve = [2.0] * 12 + [12.0 + month] * 12
        days += [
            one_day(f"{years[month - 1]}-{month:02d}-{n:02d}", curve, rain="0.1" if n == 1 else "0")
            for n in range(1, 29)
        ]
    return epw(*days, source=source)


@pytest.mark.parametrize(
    ("years", "source"),
    [
        ([1991, 1991, 1994, 2002, 2002, 1996, 2004, 1998, 2003, 1995, 1994, 1999], "unknown"),
        ([2009] * 12, "TMY3"),
        ([1982] * 12, "IWEC Data"),
    ],
)
def test_a_typical_year_gives_usual_months_and_no_day(taken, years, source):
    file = taken(a_year(years, source), "plot.epw")
    assert file.readings == ()
    assert [(m.month, m.t_min, m.t_max) for m in file.usual_months] == [
        (n, 2.0, 12.0 + n) for n in range(1, 13)
    ]
    assert all(m.rain_mm == pytest.approx(2.4) for m in file.usual_months)


@pytest.mark.parametrize(
    ("text", "what", "where"),
    [
        (epw(hour("2024-07-01", 25)), "hours run from 1 to 24", "line 9"),
        (epw(hour("2024-13-01", 1)), "month must be", "line 9"),
        (epw(hour("2024-07-01", 1, "warm")), "dry bulb temperature is no number", "line 9"),
        (epw("2024,7,1,1,60\n"), "breaks off", "line 9"),
        (epw(hour("2024-07-01", 1), each="4"), "no whole hours", "line 8"),
        (epw().replace("DATA PERIODS", "DATA"), "eight header lines", "line 8"),
        (epw(hour("2024-07-01", 1)).replace(",0.0,63.0", ",noon,63.0"), "time zone", "line 1"),
    ],
)
def test_damage_says_where(taken, text, what, where):
    with pytest.raises(WeatherFileError) as caught:
        taken(text, "plot.epw")
    assert what in caught.value.faults[0].what
    assert caught.value.faults[0].where == f"plot.epw, {where}"


def test_a_day_told_twice_is_not_a_day(taken, on):
    text = epw(one_day("2024-07-01", CURVE), hour("2024-07-01", 1), one_day("2024-07-02", CURVE))
    file = taken(text, "plot.epw")
    assert on(file, "2024-07-01").t_min is None
    assert [r.day for r in file.readings] == [date(2024, 7, 1), date(2024, 7, 2)]
