"""Daily CSV of an open archive of stations, old and new layout. The rows are made up.

The old layout and its example are place.md 12.6. Columns, units and sources of the new one are as
the archive's own reader has them (package meteostat 2.1.5, `parameters.py`, `providers/index.py`
and `utils/data.py`, read): year, month, day; temp, tmin, tmax, rhum, prcp, snwd, wspd, wpgt, pres,
tsun, cldc, each with a column of its source. Its header stands so in three public programs that
read the archive (read); one of them holds a genuine row, which is asked below.
"""

from __future__ import annotations

import gzip

import pytest

from lattermath.vocabulary.errors import WeatherFileError

OLD = """date,tavg,tmin,tmax,prcp,snow,wdir,wspd,wpgt,pres,tsun
2023-10-14,9.1,3.4,14.8,0.0,,280,8.3,27.8,1012.4,312
2023-10-15,6.0,-0.6,12.1,,,,6.1,,1019.0,
"""
NAMES = ("temp", "tmin", "tmax", "rhum", "prcp", "snwd", "wspd", "wpgt", "pres", "tsun", "cldc")
HEAD = "year,month,day," + ",".join(f"{n},{n}_source" for n in NAMES) + "\n"


def new_row(day, sources=None, **values):
    of = sources or {}
    cells = [f"{values.get(n, '')},{of.get(n, 'ghcnd') if n in values else ''}" for n in NAMES]
    return ",".join([*(str(int(part)) for part in day.split("-")), *cells]) + "\n"


@pytest.mark.parametrize("text", [OLD, OLD.split("\n", 1)[1]], ids=["header", "bare"])
def test_the_example_of_the_form(taken, on, text):
    file = taken(text)
    assert file.form == "meteostat daily csv"
    first, second = on(file, "2023-10-14"), on(file, "2023-10-15")
    assert (first.t_min, first.t_max, first.rain_mm) == (3.4, 14.8, 0.0)
    assert first.wind_m_s == pytest.approx(8.3 / 3.6 * 0.748)
    assert (second.t_min, second.rain_mm) == (-0.6, None)  # empty is missing, never zero
    assert any("does not say where its values are from" in words for words in file.says)


def test_the_layout_with_sources(taken, on):
    text = HEAD + new_row("2024-07-03", temp=18.2, tmin=12.1, tmax=24.9, rhum=71, prcp=0.4, wspd=9)
    file = taken(text)
    assert file.form == "meteostat daily csv"
    day = on(file, "2024-07-03")
    assert (day.t_min, day.t_max, day.rain_mm, day.rh_mean) == (12.1, 24.9, 0.4, 71.0)
    assert day.wind_m_s == pytest.approx(9 / 3.6 * 0.748)
    assert not any("where its values are from" in words for words in file.says)


def test_a_genuine_row(taken, on):
    """A German station, 14 August 2026, as it stands in the test of a public program (read)."""
    text = (
        "year,month,day,temp,temp_source,tmin,tmin_source,tmax,tmax_source,rhum,rhum_source,prcp,"
        "prcp_source,snwd,snwd_source,wspd,wspd_source,pres,pres_source,cldc,cldc_source\n"
        "2026,8,14,28.6,dwd_daily,20.7,dwd_daily,35.1,dwd_daily,26,dwd_daily,0.0,dwd_daily,,,12.1,"
        "metno_forecast,1017.5,metno_forecast,0,metno_forecast\n"
    )
    day = on(taken(text), "2026-08-14")
    assert (day.t_min, day.t_max, day.rh_mean, day.rain_mm) == (20.7, 35.1, 26.0, 0.0)
    assert day.wind_m_s is None and not day.is_forecast  # the wind alone is of a model


def test_what_a_model_filled_in_is_no_measurement(taken, on):
    text = HEAD + (
        new_row("2024-07-03", tmin=12.1, tmax=24.9, prcp=0.4)
        + new_row(
            "2024-07-04",
            {"tmax": "ghcnd dwd_mosmix", "prcp": "metno_forecast"},
            tmin=12.1,
            tmax=24.9,
            prcp=0.4,
        )
        + new_row(
            "2024-07-05", {"tmin": "dwd_mosmix", "tmax": "dwd_mosmix"}, tmin=11.0, tmax=23.0, prcp=1
        )
    )
    file = taken(text)
    half, whole = on(file, "2024-07-04"), on(file, "2024-07-05")
    assert (half.t_min, half.t_max, half.rain_mm) == (12.1, None, None)
    assert "set aside: t_max 24.9, filled in by a model" in half.marks and not half.is_forecast
    assert whole.is_forecast and (whole.t_min, whole.t_max) == (11.0, 23.0)
    assert not on(file, "2024-07-03").marks
    assert {
        "1 day filled in by a model: taken as forecast.",
        "2 values filled in by a model: set aside.",
    } <= set(file.says)


def test_packed_as_the_archive_serves_it(taken, on):
    packed = taken(gzip.compress(OLD.encode()), "10637.csv.gz")
    assert on(packed, "2023-10-14").t_max == 14.8
    assert packed.digest == taken(OLD).digest
    with pytest.raises(WeatherFileError, match="the packed file is damaged"):
        taken(gzip.compress(OLD.encode())[:60], "10637.csv.gz")


def test_a_packed_file_that_swells_without_end_is_refused(taken):
    swelling = gzip.compress(b"\n" * 110_000_000, compresslevel=1)
    with pytest.raises(WeatherFileError, match="too large"):
        taken(swelling, "swelling.csv.gz")


def test_a_diary_stays_a_diary(taken):
    assert taken("date,tmin_c,tmax_c,rain_mm\n2024-07-03,12.1,24.9,0.4\n").form == "diary csv"


@pytest.mark.parametrize(
    ("text", "what", "where"),
    [
        (OLD.replace("14.8", "warm"), "no number", "line 2, tmax"),
        (OLD.replace("2023-10-15", "15.10.2023"), "no date", "line 3"),
        (OLD.replace("2023-10-15", "2023-10-14"), "stands twice", "line 3"),
    ],
)
def test_damage_says_where(taken, text, what, where):
    with pytest.raises(WeatherFileError) as caught:
        taken(text)
    assert what in caught.value.faults[0].what
    assert caught.value.faults[0].where == f"readings.csv, {where}"
