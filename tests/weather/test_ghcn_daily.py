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
