"""Plain diaries: units always stated, cells as people type them, nothing half-read."""

from datetime import date, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from lattermath.vocabulary.errors import WeatherFileError
from lattermath.weather.readings import read_weather_bytes
from lattermath.weather.units import FAHRENHEIT, INCH

HEAD = "date,tmin_c,tmax_c,rain_mm\n"


def refused(taken, text, **asked):
    with pytest.raises(WeatherFileError) as caught:
        taken(text, **asked)
    return caught.value


def test_metric_header(taken, on):
    file = taken(HEAD + "2026-07-01,12.5,24,0\n2026-07-02,13,25.5,4.2\n")
    assert file.form == "diary csv"
    day = on(file, "2026-07-02")
    assert (day.t_min, day.t_max, day.rain_mm, day.marks) == (13.0, 25.5, 4.2, ())


def test_fahrenheit_and_inches(taken, on):
    file = taken("date,tmin_f,tmax_f,rain_in\n2026-07-01,50,86,0.5\n2026-07-02,41,77,\n")
    day = on(file, "2026-07-01")
    assert day.t_min == pytest.approx(10.0)
    assert day.t_max == pytest.approx(30.0)
    assert day.rain_mm == pytest.approx(12.7)
    assert on(file, "2026-07-02").rain_mm is None


@pytest.mark.parametrize(
    "text",
    [
        "# units: F, in\ndate,min,max,rain\n2026-07-01,50,86,0.5\n",
        "units: F in\ndate,min,max,rain\n2026-07-01,50,86,0.5\n",
        "date,min,max,rain\n,°F,°F,inch\n2026-07-01,50,86,0.5\n",
        "Date;Low (°F);High (°F);Rain (in)\n2026-07-01;50;86;0,5\n",
        "date\tmin F\tmax F\train in\n2026-07-01\t50\t86\t0.5\n",
        "\ufeffdate,max,min,rain\nunits,F,F,inch\n2026-07-01,86,50,.5\n",
    ],
)
def test_ways_to_state_units(taken, text):
    (day,) = taken(text).readings
    assert (day.t_min, day.t_max, day.rain_mm) == pytest.approx((10.0, 30.0, 12.7))


@pytest.mark.parametrize("units", ["F in", "us", "F, inch"])
def test_units_said_by_the_grower(taken, units):
    (day,) = taken("date,min,max,rain\n2026-07-01,50,86,0.5\n", units=units).readings
    assert (day.t_min, day.t_max, day.rain_mm) == pytest.approx((10.0, 30.0, 12.7))


def test_no_units_are_refused_and_never_guessed(taken):
    error = refused(taken, "date,min,max,rain\n2026-07-01,10,30,0.5\n2026-07-02,11,31,0\n")
    assert len(error.faults) == 3  # every column, at once
    assert "Say units" in error.faults[0].remedy


def test_units_for_temperature_alone_leave_rain_refused(taken):
    error = refused(taken, "date,min,max,rain\n2026-07-01,10,30,0.5\n", units="C")
    assert [fault.where for fault in error.faults] == ["readings.csv, column rain"]


def test_a_contradiction_is_refused(taken):
    error = refused(taken, HEAD + "2026-07-01,10,30,0.5\n", units="F in")
    assert "the file says °C and you say °F" in str(error)


def test_a_station_order_without_unit_marks_is_refused_until_they_are_said(taken):
    text = 'STATION,NAME,DATE,PRCP,TMAX,TMIN\nUSC1,"X, IA",2023-10-14,0.02,71,37\n'
    assert "Say units" in str(refused(taken, text))
    file = taken(text, units="F in")
    assert file.form == "station order csv"
    assert file.readings[0].t_max == pytest.approx((71 - 32) / 1.8)


def test_fahrenheit_called_celsius_is_refused(taken):
    rows = "".join(f"2026-07-{n:02d},60,{80 + n % 5},0\n" for n in range(1, 20))
    assert "hardly °C" in str(refused(taken, HEAD + rows))


def test_blank_and_missing_codes_are_never_zero(taken):
    text = HEAD + "2026-07-01,,24,\n2026-07-02,NA,-9999,---\n2026-07-03,12,-99.9,m\n"
    first, second, third = taken(text).readings
    assert (first.t_min, first.rain_mm) == (None, None)
    assert (second.t_min, second.t_max, second.rain_mm) == (None, None, None)
    assert (third.t_max, third.rain_mm) == (None, None)


def test_a_trace_of_rain_is_marked(taken, on):
    file = taken(HEAD + "2026-07-01,12,24,T\n2026-07-02,12,25,0\n")
    assert on(file, "2026-07-01").rain_mm == 0.0
    assert on(file, "2026-07-01").marks == ("trace",)
    assert on(file, "2026-07-02").marks == ()


def test_every_bad_cell_is_named_with_its_line(taken):
    error = refused(
        taken,
        "# my diary\n" + HEAD + "2026-07-01,twelve,24,0\n\n2026-07-02,12,24,wet\nsoon,1,2,3\n",
    )
    assert {fault.where for fault in error.faults} == {
        "readings.csv, line 3, tmin_c",
        "readings.csv, line 5, rain_mm",
        "readings.csv, line 6, date",
    }
    assert {fault.value for fault in error.faults} == {"twelve", "wet", "soon"}
    assert all(fault.remedy for fault in error.faults)


@pytest.mark.parametrize(
    ("cells", "days"),
    [
        (["13/07/2026", "14/07/2026"], [date(2026, 7, 13), date(2026, 7, 14)]),
        (["07/13/2026", "07/14/2026"], [date(2026, 7, 13), date(2026, 7, 14)]),
        (["01/07/2026", "31/07/2026"], [date(2026, 7, 1), date(2026, 7, 31)]),
        (["1.7.2026", "2.7.2026"], [date(2026, 7, 1), date(2026, 7, 2)]),
        (["20260701", "2026/07/02"], [date(2026, 7, 1), date(2026, 7, 2)]),
    ],
)
def test_orders_of_day_and_month(taken, cells, days):
    file = taken(HEAD + "".join(f"{cell},10,20,0\n" for cell in cells))
    assert [r.day for r in file.readings] == days


@pytest.mark.parametrize("cells", [["01/07/2026", "02/07/2026"], ["13/07/2026", "07/14/2026"]])
def test_an_order_that_cannot_be_told_is_refused(taken, cells):
    error = refused(taken, HEAD + "".join(f"{cell},10,20,0\n" for cell in cells))
    assert "2026-07-31" in error.faults[0].remedy


def test_a_day_written_twice(taken, on):
    text = HEAD + "2026-07-01,10,20,0\n2026-07-01,10,22,\n2026-07-02,9,19,0\n"
    file = taken(text)
    day = on(file, "2026-07-01")
    assert (day.t_min, day.t_max, day.rain_mm) == (10.0, None, 0.0)
    assert day.marks == ("set aside: t_max written as 20 and as 22",)
    assert any("written twice" in words for words in file.says)


def test_a_morning_reading_gives_its_maximum_and_rain_to_the_day_before(taken, on):
    file = taken("# read at: 07:00\n" + HEAD + "2026-07-02,11,27,5\n2026-07-03,12,21,0\n")
    assert on(file, "2026-07-01").t_max == 27.0
    assert on(file, "2026-07-01").rain_mm == 5.0
    assert on(file, "2026-07-02").t_min == 11.0
    assert on(file, "2026-07-02").t_max == 21.0
    assert "shifted from 07:00 reading" in on(file, "2026-07-01").marks


def test_an_evening_reading_stays(taken, on):
    file = taken("# read at: 19:00\n" + HEAD + "2026-07-02,11,27,5\n")
    assert [r.day for r in file.readings] == [date(2026, 7, 2)]


def test_place_and_optional_columns(taken):
    text = (
        "# latitude: 40.4\n# longitude: -101.73\n# altitude: 1072 m\n"
        "date,tmin_c,tmax_c,rain_mm,et0_mm,rh_pct,wind_m_s,wind10m_note\n"
        "2026-07-01,12,24,0,4.5,61,2.0,x\n"
    )
    file = taken(text)
    assert (file.latitude, file.longitude, file.altitude_m) == (40.4, -101.73, 1072.0)
    (day,) = file.readings
    assert (day.et0_mm, day.rh_mean, day.wind_m_s) == (4.5, 61.0, 2.0)
    assert "Columns not used: wind10m_note." in file.says


@pytest.mark.parametrize(
    "data",
    [b"", b"  \n", b"hello\nworld\n", b"date,tmin_c\n", b"\x89PNG\x00\x00\x01", b'{"a": 1}'],
)
def test_other_files_are_refused(data):
    with pytest.raises(WeatherFileError) as caught:
        read_weather_bytes(data, "x.csv")
    assert all(fault.what for fault in caught.value.faults)


def test_an_unknown_form_or_zone_is_refused(taken):
    assert "no such form" in str(refused(taken, HEAD + "2026-07-01,1,2,0\n", form="almanac"))
    assert "time zone" in str(refused(taken, HEAD + "2026-07-01,1,2,0\n", time_zone="Mars/Base"))


def test_a_missing_file_is_refused(tmp_path):
    from lattermath.weather.readings import read_weather

    with pytest.raises(WeatherFileError, match="cannot be opened"):
        read_weather(tmp_path / "nowhere.csv")


def test_the_name_of_a_file_does_not_matter(taken):
    text = HEAD + "2026-07-01,12.5,24,0\n"
    assert taken(text, name="forecast.json").readings == taken(text).readings


def test_the_digest_follows_the_content(taken):
    text = HEAD + "2026-07-01,12.5,24,0\n"
    assert taken(text).digest == taken(text, name="other.csv").digest
    assert taken(text).digest != taken(text.replace("24", "25")).digest


@given(
    days=st.lists(
        st.tuples(
            st.integers(-20, 15), st.integers(0, 25), st.one_of(st.none(), st.integers(0, 120))
        ),
        min_size=1,
        max_size=8,
    )
)
@example(days=[(6, 0, None), (11, 21, None)])  # a front of 5 K to the digit, which F blurred
def test_units_make_a_round_trip(days):
    """The same days in C and mm and in F and inch read alike."""
    metric, us = [HEAD.strip()], ["date,tmin_f,tmax_f,rain_in"]
    for n, (low, span, rain) in enumerate(days):
        day, high = date(2026, 7, 1) + timedelta(days=n), low + span
        metric.append(f"{day},{low},{high},{'' if rain is None else rain}")
        inches = "" if rain is None else f"{INCH.from_base(rain):.6f}"
        us.append(
            f"{day},{FAHRENHEIT.from_base(low):.3f},{FAHRENHEIT.from_base(high):.3f},{inches}"
        )
    one = read_weather_bytes("\n".join(metric).encode(), "m.csv").readings
    other = read_weather_bytes("\n".join(us).encode(), "u.csv").readings
    for a, b in zip(one, other, strict=True):
        for name in ("t_min", "t_max", "rain_mm"):
            x, y = getattr(a, name), getattr(b, name)
            assert (x is None) == (y is None)
            assert x is None or abs(x - y) < 1e-3
