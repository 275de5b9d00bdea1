"""The station CSV with attributes: tenths, flags, traces, totals, hours of reading.

The rows are typed for these tests after place.md 12.1; the worked reading of each trap is there.
"""

from datetime import date

import pytest

from lattermath.vocabulary.errors import WeatherFileError

HEAD = (
    '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES",'
    '"TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES","DAPR",'
    '"DAPR_ATTRIBUTES"\n'
)


def row(day, rain="", rain_a="", high="", high_a="", low="", low_a="", total="", over="", id_="S1"):
    place = f'"{id_}","{day}","41.2345","-95.6789","312.1","EXAMPLE 2 NW, IA US"'
    tail = f'"{total}",",,7","{over}",",,7"'
    return f'{place},"{rain}","{rain_a}","{high}","{high_a}","{low}","{low_a}",{tail}\n'


def test_the_example_of_the_form(taken, on):
    """place.md 12.1, three rows read at 07:00."""
    text = HEAD + (
        row("2023-10-14", "    5", ",,7,0700", "  217", ",,7,0700", "   28", ",,7,0700")
        + row("2023-10-15", "    0", "T,,7,0700", "  189", ",I,7,0700", "  -11", ",,7,0700")
        + row("2023-10-16", high="  171", high_a=",,7,0700")
    )
    file = taken(text)
    assert file.form == "ghcn-daily csv"
    assert (file.latitude, file.longitude, file.altitude_m) == (41.2345, -95.6789, 312.1)
    assert on(file, "2023-10-13").t_max == 21.7
    assert on(file, "2023-10-13").rain_mm == 0.5
    assert on(file, "2023-10-14").t_min == 2.8
    assert on(file, "2023-10-14").t_max is None  # failed its check
    assert on(file, "2023-10-14").rain_mm == 0.0
    assert "trace" in on(file, "2023-10-14").marks
    assert on(file, "2023-10-15").t_max == 17.1
    assert on(file, "2023-10-15").t_min == -1.1
    assert on(file, "2023-10-15").rain_mm is None
    assert any(m.startswith("set aside: t_max 18.9") for m in on(file, "2023-10-14").marks)


def test_an_evening_reading_stays_on_its_day(taken, on):
    text = HEAD + row("2023-10-14", "5", ",,7,1800", "217", ",,7,1800", "28", ",,7,1800")
    day = on(taken(text), "2023-10-14")
    assert (day.t_min, day.t_max, day.rain_mm) == (2.8, 21.7, 0.5)


def test_without_an_hour_the_printed_date_is_taken_and_said(taken, on):
    file = taken(HEAD + row("2023-10-14", "5", ",,7", "217", ",,7", "28", ",,7"))
    assert on(file, "2023-10-14").t_max == 21.7
    assert any("no hour of reading" in words for words in file.says)


def test_midnight_is_no_morning(taken, on):
    file = taken(HEAD + row("2023-10-14", high="217", high_a=",,7,2400"))
    assert on(file, "2023-10-14").t_max == 21.7


@pytest.mark.parametrize("flag", list("DGIKLMNORSTWXZ"))
def test_any_quality_flag_sets_aside(taken, on, flag):
    file = taken(HEAD + row("2023-10-14", "5", f",{flag},7", "217", ",,7", "28", ",,7"))
    day = on(file, "2023-10-14")
    assert day.rain_mm is None
    assert day.t_max == 21.7
    assert any(mark.startswith("set aside: rain_mm 0.5") for mark in day.marks)


def test_a_presumed_zero_is_not_a_measurement(taken, on):
    file = taken(HEAD + row("2023-10-14", "0", "P,,7", "217", ",,7"))
    assert on(file, "2023-10-14").rain_mm is None


def test_a_total_of_days_is_shared_and_known_only_at_its_end(taken, on):
    text = HEAD + (
        row("2023-10-14", high="200", high_a=",,7")
        + row("2023-10-15", high="200", high_a=",,7")
        + row("2023-10-16", high="201", high_a=",,7", total="126", over="3")
    )
    file = taken(text)
    days = [on(file, f"2023-10-{n}") for n in (14, 15, 16)]
    assert [d.rain_mm for d in days] == pytest.approx([4.2, 4.2, 4.2])
    assert all(d.rain_known == date(2023, 10, 16) for d in days)
    assert all(any("share of 12.6 mm" in mark for mark in d.marks) for d in days)


def test_a_total_over_unknown_days_is_set_aside(taken, on):
    file = taken(HEAD + row("2023-10-16", high="201", high_a=",,7", total="126"))
    assert on(file, "2023-10-16").rain_mm is None


def test_a_change_of_hour_keeps_the_reading_of_the_day_itself(taken, on):
    text = HEAD + (
        row("2023-10-14", high="217", high_a=",,7,1800")
        + row("2023-10-15", high="217", high_a=",,7,0700")
        + row("2023-10-16", high="180", high_a=",,7,0700")
    )
    file = taken(text)
    assert on(file, "2023-10-14").t_max == 21.7
    assert on(file, "2023-10-15").t_max == 18.0


@pytest.mark.parametrize(
    ("text", "where"),
    [
        (row("2023-10-14", high="21.7", high_a=",,7"), "line 2, TMAX"),
        (row("2023-10-14", high="217", high_a=",,7,0760"), "line 2, TMAX"),
        (row("14.10.2023", high="217", high_a=",,7"), "line 2, DATE"),
    ],
)
def test_faults_say_where(taken, text, where):
    with pytest.raises(WeatherFileError) as caught:
        taken(HEAD + text)
    assert caught.value.faults[0].where == f"readings.csv, {where}"


def test_two_stations_in_one_file_are_refused(taken):
    with pytest.raises(WeatherFileError, match="several stations"):
        taken(HEAD + row("2023-10-14", high="217") + row("2023-10-14", high="210", id_="S2"))


def test_missing_code(taken, on):
    file = taken(HEAD + row("2023-10-14", "-9999", "", "217", ",,7"))
    assert on(file, "2023-10-14").rain_mm is None


MONTH = {
    "TMAX": "  247  7  244  7  241  7  238  7  235  7  232  7  229  7  226  7  223  7  220  7"
    "  217  7  214  7  211  7  208  7  205  7  202  7  199 I7  196  7  193  7  190  7  187  7"
    "  184  7  181  7  178  7  175  7  172  7  169  7  166  7  163  7  160  7-9999   ",
    "PRCP": "    0  7    0  7   21  7    0T 7    0  7   19  7    0  7    0  7   17  7    0  7"
    "    0  7-9999       0  7    0  7   13  7    0  7    0  7   11  7    0  7    0  7    9  7"
    "    0  7    0  7    7  7    0  7    0  7    5  7    0  7    0  7    3  7-9999   ",
}


@pytest.mark.parametrize("stripped", [False, True])
def test_month_lines(taken, on, stripped):
    """The example of place.md 12.2 and its expected reading; also with trailing blanks lost."""
    lines = [f"USC00999999202309{name}{cells}" for name, cells in MONTH.items()]
    assert all(len(line) == 269 for line in lines)
    file = taken("\n".join(line.rstrip() if stripped else line for line in lines) + "\n")
    assert file.form == "ghcn-daily dly"
    assert len(file.readings) == 30
    assert on(file, "2023-09-17").t_max is None
    assert on(file, "2023-09-16").t_max == 20.2
    assert on(file, "2023-09-04").rain_mm == 0.0
    assert on(file, "2023-09-04").marks == ("trace",)
    assert on(file, "2023-09-12").rain_mm is None
    assert on(file, "2023-09-03").rain_mm == 2.1


def test_headerless_rows(taken, on):
    text = (
        "USC00999999,20231014,TMAX,217,,,7,0700\n"
        "USC00999999,20231014,TMIN,28,,,7,0700\n"
        "USC00999999,20231014,SNWD,0,,,7,\n"
        "USC00999999,20231015,PRCP,0,T,,7,1800\n"
    )
    file = taken(text)
    assert file.form == "ghcn-daily rows"
    assert on(file, "2023-10-13").t_max == 21.7
    assert on(file, "2023-10-14").t_min == 2.8
    assert on(file, "2023-10-15").marks == ("trace",)


def test_wind_of_an_airfield_is_brought_down_to_two_metres(taken, on):
    text = "USC00999999,20231014,AWND,40,,,W,\nUSC00999999,20231014,TMAX,217,,,W,\n"
    assert on(taken(text), "2023-10-14").wind_m_s == pytest.approx(4.0 * 0.748, abs=0.006)
