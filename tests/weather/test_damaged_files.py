"""Damaged files of every form: read, or refused with the one error shape; nothing else."""

import json
import random
from datetime import datetime

import pytest

from lattermath.vocabulary.errors import WeatherFileError
from lattermath.weather.daily_record import daily_record
from lattermath.weather.readings import read_weather_bytes

HOURS = [f"2024-03-30T{h:02d}:00" for h in range(24)] + [
    f"2024-03-31T{h:02d}:00" for h in range(24)
]
REPLY = {
    "latitude": 51.75, "longitude": -1.25, "elevation": 63.0, "utc_offset_seconds": 0,
    "timezone": "GMT",
    "hourly_units": {"temperature_2m": "°C", "precipitation": "mm"},
    "hourly": {"time": HOURS, "temperature_2m": [9.5] * 48, "precipitation": [0.1] * 48},
    "daily_units": {"temperature_2m_max": "°F", "precipitation_probability_max": "%"},
    "daily": {"time": ["2024-03-30"], "temperature_2m_max": [50.0],
              "precipitation_probability_max": [40]},
}  # fmt: skip
WHOLE = [
    "date,tmin_c,tmax_c,rain_mm\n"
    + "".join(f"2026-07-{n:02d},{n},{n + 9},T\n" for n in range(1, 9)),
    "# read at: 07:00\n# latitude: 3\ndate;min F;max F;rain in\n"
    "1.7.2026;50;60;0,5\n2.7.2026;50;60;\n",
    'STATION,NAME,DATE,PRCP_in,TMAX_f\nA,"x, y",2023-10-14,0.02,71\n',
    '"STATION","DATE","PRCP","PRCP_ATTRIBUTES","MDPR","MDPR_ATTRIBUTES","DAPR","DAPR_ATTRIBUTES"\n'
    '"S1","2023-10-14","   5","T,,7,0700","","","",""\n'
    '"S1","2023-10-17","","","33",",,7","3",",,7"\n',
    "USC00999999,20231014,TMAX,217,,,7,0700\nUSC00999999,20231014,TMIN,28,,I,7,0700\n",
    "USC00999999202309TMAX" + "  247  7" * 30 + "-9999   \n",
    json.dumps(REPLY),
    "LOCATION,Exampleton,XX,GBR,AMY,999990,51.76,-1.26,0.0,63.0\nDESIGN\nTYPICAL\nGROUND\n"
    "HOLIDAYS\nCOMMENTS 1\nCOMMENTS 2\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
    + "".join(
        f"2024,7,{1 + n // 24},{1 + n % 24},60,?9,{n % 24}.5,11,86,0,0,0,0,9,0,0,0,0,0,0,0,2.1,"
        "6,5,20,7,9,9,18,0.1,0,88,0.2,0.1,1\n"
        for n in range(48)
    ),
    "date,tavg,tmin,tmax,prcp,snow,wdir,wspd,wpgt,pres,tsun\n"
    + "".join(f"2023-10-{n},9.1,3.4,14.8,0.0,,280,8.3,27.8,1012.4,\n" for n in range(10, 20)),
]
BITS = ["NaN", "-1", "null", "{}", "[]", '"', ",", "\n", "9e99", "0001-01-01", "9999-12-31", "\x00",
        ";", "#", "true", "9" * 20, "units: C", "inf", "1e400", "25:00", "²",
        "[" * 3000]  # fmt: skip


def damaged(rng):
    data = bytearray(rng.choice(WHOLE).encode())
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(data) + 1)
        way = rng.random()
        if way < 0.45:
            data[at : at + rng.randint(0, 12)] = rng.choice(BITS).encode()
        elif way < 0.65:
            del data[at : at + rng.randint(1, 30)]
        elif way < 0.8:
            data[at:at] = bytes([rng.randrange(256)])
        else:
            end = rng.randrange(len(data) + 1)
            data[at:at] = data[min(at, end) : max(at, end)][:200]
    return bytes(data)


@pytest.mark.parametrize("text", WHOLE)
def test_undamaged_they_are_read(text):
    assert read_weather_bytes(text.encode(), "x").readings


@pytest.mark.parametrize("seed", range(6))
def test_damage(seed):
    rng = random.Random(seed)
    for _ in range(200):
        data = damaged(rng)
        zone = rng.choice([None, "Europe/London"])
        try:
            file = read_weather_bytes(data, "x", time_zone=zone)
        except WeatherFileError as refusal:
            assert all(fault.what and fault.where for fault in refusal.faults)
            continue
        days = [reading.day for reading in file.readings]
        assert days == sorted(set(days))
        assert all(isinstance(datetime.combine(day, datetime.min.time()), datetime) for day in days)
        for reading in file.readings:
            low, high = reading.t_min, reading.t_max
            assert low is None or -55 <= low <= 55
            assert high is None or -55 <= high <= 55
            assert low is None or high is None or low <= high
        try:
            daily_record([file])
        except WeatherFileError:
            assert max(days).year - min(days).year > 290
