"""Open service JSON: whose days, which hour, nulls, errors, lists, models, units.

Replies are built here; the days are worked out by walking the clock hour by hour with zoneinfo.
"""

import json
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lattermath.vocabulary.errors import WeatherFileError
from lattermath.weather.readings import as_forecast

UNITS = {
    "time": "iso8601",
    "temperature_2m": "°C",
    "precipitation": "mm",
    "shortwave_radiation": "W/m²",
    "wind_speed_10m": "km/h",
    "relative_humidity_2m": "%",
}
DAILY_UNITS = {
    "time": "iso8601",
    "temperature_2m_max": "°C",
    "temperature_2m_min": "°C",
    "precipitation_sum": "mm",
    "et0_fao_evapotranspiration": "mm",
    "precipitation_probability_max": "%",
}


def reply(**parts):
    return {
        "latitude": 51.75,
        "longitude": -1.25,
        "elevation": 63.0,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
    } | parts


def hourly(first_utc, n_hours, offset_hours=0):
    """An hour's temperature is its number from the start, its rain a marked hour only."""
    stamps = [first_utc + timedelta(hours=n + offset_hours) for n in range(n_hours)]
    return {
        "time": [stamp.strftime("%Y-%m-%dT%H:%M") for stamp in stamps],
        "temperature_2m": [15 + 8 * ((n * 7919) % 97) / 97 for n in range(n_hours)],
        "precipitation": [((n * 31) % 11) / 10 for n in range(n_hours)],
        "shortwave_radiation": [float((n * 13) % 500) for n in range(n_hours)],
        "wind_speed_10m": [7.2] * n_hours,
        "relative_humidity_2m": [80.0] * n_hours,
    }


def by_hand(block, first_utc, zone, day, name, preceding):
    """Values of the hours of a local day, found hour by hour."""
    found = []
    for n, value in enumerate(block[name]):
        moment = first_utc.replace(tzinfo=UTC) + timedelta(hours=n)
        if preceding:
            moment -= timedelta(minutes=30)  # the middle of the hour before the stamp
        if moment.astimezone(ZoneInfo(zone)).date() == day:
            found.append(value)
    return found


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        ("Europe/London", date(2024, 3, 31), 23),
        ("Europe/London", date(2024, 10, 27), 25),
        ("America/Chicago", date(2024, 3, 10), 23),
        ("America/Chicago", date(2024, 11, 3), 25),
        ("Pacific/Auckland", date(2024, 9, 29), 23),
        ("Pacific/Auckland", date(2024, 4, 7), 25),
        ("America/Denver", date(2024, 8, 5), 24),
        ("Asia/Tokyo", date(2024, 8, 5), 24),
    ],
)
@pytest.mark.parametrize("offset", [0, -7])
def test_hours_become_the_plots_own_days(taken, on, zone, day, hours, offset):
    """Also when the stamps are on a fixed clock that is not the plot's at that date."""
    start = datetime.combine(day, datetime.min.time()) - timedelta(days=2)
    block = hourly(start, 24 * 5, offset)
    text = json.dumps(reply(hourly=block, hourly_units=UNITS, utc_offset_seconds=offset * 3600))
    got = on(taken(text, time_zone=zone), day.isoformat())
    warm = by_hand(block, start, zone, day, "temperature_2m", preceding=False)
    wet = by_hand(block, start, zone, day, "precipitation", preceding=True)
    sun = by_hand(block, start, zone, day, "shortwave_radiation", preceding=True)
    assert len(warm) == len(wet) == hours
    assert (got.t_min, got.t_max) == (min(warm), max(warm))
    assert got.rain_mm == pytest.approx(sum(wet))
    assert got.solar_mj_m2 == pytest.approx(sum(sun) * 3600 / 1e6)
    assert got.wind_m_s == pytest.approx(2.0 * 0.748, abs=1e-3)  # 7.2 km/h at 10 m


def test_rain_stamped_midnight_fell_the_day_before(taken, on):
    block = hourly(datetime(2024, 7, 1), 72)
    block["precipitation"] = [0.0] * 72
    block["precipitation"][48] = 6.0  # stamped 3 July 00:00
    file = taken(json.dumps(reply(hourly=block, hourly_units=UNITS)))
    assert on(file, "2024-07-02").rain_mm == 6.0
    assert on(file, "2024-07-01").rain_mm == 0.0


def test_a_day_with_an_hour_missing_is_left_out(taken, on):
    block = hourly(datetime(2024, 7, 1), 72)
    block["temperature_2m"][30] = None
    file = taken(json.dumps(reply(hourly=block, hourly_units=UNITS)))
    assert on(file, "2024-07-02").t_min is None
    assert on(file, "2024-07-02").rain_mm is not None
    assert on(file, "2024-07-01").rain_mm is not None


def daily(**over):
    block = {
        "time": ["2024-09-01", "2024-09-02"],
        "temperature_2m_max": [22.4, None],
        "temperature_2m_min": [11.8, 12.1],
        "precipitation_sum": [0.0, 3.4],
        "et0_fao_evapotranspiration": [3.02, 1.55],
    }
    return block | over


def test_daily_values_and_nulls(taken, on):
    """The example of place.md 12.3."""
    text = json.dumps(reply(daily=daily(), daily_units=DAILY_UNITS, timezone="Europe/London"))
    file = taken(text)
    assert file.form == "open-meteo json"
    assert (file.latitude, file.altitude_m) == (51.75, 63.0)
    first, second = file.readings
    assert (first.t_min, first.t_max, first.rain_mm, first.et0_mm) == (11.8, 22.4, 0.0, 3.02)
    assert second.t_max is None
    assert not first.is_forecast


def test_hours_win_over_daily_values_and_days_fill_what_hours_lack(taken, on):
    block = hourly(datetime(2024, 9, 1), 24)
    text = json.dumps(
        reply(hourly=block, hourly_units=UNITS, daily=daily(), daily_units=DAILY_UNITS)
    )
    file = taken(text)
    assert on(file, "2024-09-01").t_max == max(block["temperature_2m"])
    assert on(file, "2024-09-01").et0_mm == 3.02
    assert on(file, "2024-09-02").t_min == 12.1


def test_units_are_read_and_not_assumed(taken):
    units = DAILY_UNITS | {
        "temperature_2m_max": "°F",
        "temperature_2m_min": "°F",
        "precipitation_sum": "inch",
    }
    block = daily(temperature_2m_max=[77.0, 68.0], temperature_2m_min=[50.0, 50.0])
    (first, second) = taken(json.dumps(reply(daily=block, daily_units=units))).readings
    assert (first.t_max, first.t_min) == pytest.approx((25.0, 10.0))
    assert second.rain_mm == pytest.approx(3.4 * 25.4)


@pytest.mark.parametrize("units", [None, {}, DAILY_UNITS | {"temperature_2m_max": "K"}])
def test_missing_or_unknown_units_are_refused(taken, units):
    with pytest.raises(WeatherFileError, match="unit"):
        taken(json.dumps(reply(daily=daily(), daily_units=units)))


def test_utc_days_are_said(taken):
    file = taken(
        json.dumps(reply(daily=daily(), daily_units=DAILY_UNITS)), time_zone="America/Chicago"
    )
    assert any("UTC days" in words for words in file.says)


def test_a_reply_without_its_clock_is_refused(taken):
    body = reply(daily=daily(), daily_units=DAILY_UNITS)
    del body["timezone"]
    with pytest.raises(WeatherFileError, match="whose days"):
        taken(json.dumps(body))
    body = reply(hourly=hourly(datetime(2024, 7, 1), 48), hourly_units=UNITS)
    del body["utc_offset_seconds"]
    with pytest.raises(WeatherFileError, match="on which clock"):
        taken(json.dumps(body), time_zone="Europe/London")


def test_error_replies_give_their_reason(taken):
    with pytest.raises(WeatherFileError, match="Daily API request limit") as caught:
        taken('{"error": true, "reason": "Daily API request limit exceeded"}')
    assert caught.value.faults[0].remedy


def test_lists_of_places(taken):
    one = reply(daily=daily(), daily_units=DAILY_UNITS)
    assert len(taken(json.dumps([one])).readings) == 2
    with pytest.raises(WeatherFileError, match="several places"):
        taken(json.dumps([one, one]))


def test_several_models_are_refused_and_one_is_said(taken):
    block = {
        "time": ["2024-09-01"],
        "temperature_2m_max_ecmwf_ifs": [20.0],
        "temperature_2m_min_ecmwf_ifs": [10.0],
    }
    units = {"temperature_2m_max_ecmwf_ifs": "°C", "temperature_2m_min_ecmwf_ifs": "°C"}
    file = taken(json.dumps(reply(daily=block, daily_units=units)))
    assert file.readings[0].t_max == 20.0
    assert any("one model" in words for words in file.says)
    block["temperature_2m_max_gfs"], units["temperature_2m_max_gfs"] = [21.0], "°C"
    with pytest.raises(WeatherFileError, match="several models"):
        taken(json.dumps(reply(daily=block, daily_units=units)))


@pytest.mark.parametrize(
    "text",
    [
        '{"daily": {"time": ["2024-09-01"]',
        json.dumps(reply(daily=daily(precipitation_sum=[1.0]), daily_units=DAILY_UNITS)),
        json.dumps(reply(daily=daily(precipitation_sum=["wet", 1]), daily_units=DAILY_UNITS)),
        json.dumps(reply(daily=daily(time=["yesterday", "2024-09-02"]), daily_units=DAILY_UNITS)),
        json.dumps(reply(daily={"temperature_2m_max": [1]}, daily_units=DAILY_UNITS)),
    ],
)
def test_damaged_replies_are_refused_whole(taken, text):
    with pytest.raises(WeatherFileError) as caught:
        taken(text)
    assert caught.value.faults[0].remedy


def test_a_chance_of_rain_tells_a_forecast(taken):
    block = daily(precipitation_probability_max=[20, None])
    first, second = taken(json.dumps(reply(daily=block, daily_units=DAILY_UNITS))).readings
    assert (first.rain_chance, second.rain_chance) == (0.2, None)
    assert first.is_forecast
    assert second.is_forecast


def test_the_caller_may_call_it_a_forecast(taken):
    text = json.dumps(reply(daily=daily(), daily_units=DAILY_UNITS))
    file = as_forecast(taken(text), date(2024, 9, 2))
    assert [r.is_forecast for r in file.readings] == [False, True]
    assert file.readings[1].issued == date(2024, 9, 2)
    assert all(r.is_forecast for r in taken(text, form="open-meteo forecast json").readings)


def test_times_as_seconds(taken):
    stamps = [datetime(2024, 9, d, tzinfo=UTC).timestamp() - 3600 for d in (1, 2)]
    text = json.dumps(
        reply(
            daily=daily(time=stamps),
            daily_units=DAILY_UNITS,
            utc_offset_seconds=3600,
            timezone="Europe/London",
        )
    )
    assert [r.day.day for r in taken(text).readings] == [1, 2]


CSV = """latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
51.75,-1.25,63.0,3600,Europe/London,BST

time,temperature_2m_max (°C),temperature_2m_min (°C),precipitation_sum (mm)
2024-09-01,22.4,11.8,0.00
2024-09-02,,12.1,3.40
"""


def test_the_table_form(taken, on):
    file = taken(CSV)
    assert file.form == "open-meteo csv"
    assert (file.latitude, file.longitude, file.altitude_m) == (51.75, -1.25, 63.0)
    assert on(file, "2024-09-01").t_max == 22.4
    assert on(file, "2024-09-02").t_max is None
    assert on(file, "2024-09-02").rain_mm == 3.4


def test_the_table_form_by_the_hour_reads_as_the_reply_does(taken):
    block = hourly(datetime(2024, 3, 30), 72)
    rows = [",".join(map(str, values)) for values in zip(*block.values(), strict=True)]
    head = ",".join(f"{name} ({UNITS[name]})" for name in block)
    place = "latitude,longitude,elevation,utc_offset_seconds,timezone\n51.75,-1.25,63.0,0,GMT\n\n"
    table = taken(place + head + "\n" + "\n".join(rows) + "\n", time_zone="Europe/London")
    reply_ = taken(json.dumps(reply(hourly=block, hourly_units=UNITS)), time_zone="Europe/London")
    assert table.readings == reply_.readings


@pytest.mark.parametrize(
    "text",
    [
        CSV.replace(" (°C)", ""),
        CSV.replace("22.4", "warm"),
        CSV.replace("2024-09-02,,", "2024-09-02,"),
        CSV.replace("time,", "when,"),
        CSV.replace("BST\n", "BST\n1,2,3,4,5,6\n"),
    ],
)
def test_a_damaged_table_is_refused(taken, text):
    with pytest.raises(WeatherFileError):
        taken(text)
