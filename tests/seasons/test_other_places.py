"""A second plot, in another climate and hemisphere, from the least file and each kind of weather.

The weather is the Cordoba (Argentina) record of the aquacrop package, written out in each form that
people have; the plot is invented.
"""

import csv
import importlib.util
import json
from datetime import date
from pathlib import Path

import pytest

from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

ON = date(2016, 2, 9)  # high summer in the south

PLACE = """
format = 1
season = 2015

[place]
name = "Calle Larga"
latitude = -31.4
longitude = -64.2
time_zone = "America/Argentina/Cordoba"
usual_first_frost = "05-25"
"""

CROPS = """
[[planting]]
name = "Zapallitos"
crop = "courgette"
plants = 3
set_out = "early December"

[[planting]]
name = "Tomates"
crop = "tomato"
plants = 6
set_out = "mid-November"
"""

WEEK = """
[[week]]
first = 2016-02-04
highs_c = [31, 33, 30, 29, 32]
lows_c = [18, 19, 17, 16, 18]
"""

Row = tuple[date, float, float, float]


def record() -> list[Row]:
    found = importlib.util.find_spec("aquacrop")
    assert found is not None and found.submodule_search_locations
    file = Path(found.submodule_search_locations[0]) / "data" / "cordoba_climate.txt"
    rows = []
    for line in file.read_text().splitlines()[1:]:
        day, month, year, low, high, rain, *_ = line.split()
        rows.append((date(int(year), int(month), int(day)), float(low), float(high), float(rain)))
    return [row for row in rows if row[0] < date(2017, 1, 1) and row[2] >= row[1]]


def as_diary(rows: list[Row], file: Path) -> None:
    with file.open("w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(["date", "tmin_f", "tmax_f", "rain_in"])
        for day, low, high, rain in rows:
            writer.writerow(
                [day, round(low * 1.8 + 32, 2), round(high * 1.8 + 32, 2), round(rain / 25.4, 4)]
            )


def as_ghcn(rows: list[Row], file: Path) -> None:
    columns = ["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME"]
    columns += ["PRCP", "PRCP_ATTRIBUTES", "TMAX", "TMAX_ATTRIBUTES", "TMIN", "TMIN_ATTRIBUTES"]
    with file.open("w", newline="") as out:
        writer = csv.writer(out, quoting=csv.QUOTE_ALL)
        writer.writerow(columns)
        for day, low, high, rain in rows:
            place = ["AR000000000", day, "-31.4000", "-64.2000", "400.0", "EXAMPLE, AR"]
            values = [round(rain * 10), ",,W", round(high * 10), ",,W", round(low * 10), ",,W"]
            writer.writerow(place + values)


def as_open_meteo(rows: list[Row], file: Path) -> None:
    daily = {
        "time": [day.isoformat() for day, *_ in rows],
        "temperature_2m_min": [low for _, low, _, _ in rows],
        "temperature_2m_max": [high for _, _, high, _ in rows],
        "precipitation_sum": [rain for *_, rain in rows],
    }
    units = {
        "time": "iso8601",
        "temperature_2m_min": "°C",
        "temperature_2m_max": "°C",
        "precipitation_sum": "mm",
    }
    head = {
        "latitude": -31.4,
        "longitude": -64.2,
        "utc_offset_seconds": -10800,
        "timezone": "America/Argentina/Cordoba",
        "elevation": 400.0,
    }
    file.write_text(json.dumps({**head, "daily_units": units, "daily": daily}))


WRITERS = {"diary.csv": as_diary, "ghcn.csv": as_ghcn, "open_meteo.json": as_open_meteo}


def planned(folder: Path, text: str, weather: str | None) -> Plan:
    folder.joinpath("plot.toml").write_text(text)
    start(folder)
    if weather is not None:
        WRITERS[weather](record(), folder / weather)
        take(folder, folder / weather)
    return plan(folder, ON)


def test_the_least_file_gives_a_whole_sheet_marked_rough(tmp_path: Path) -> None:
    made = planned(tmp_path, PLACE + CROPS + WEEK, None)
    assert made.visits and made.visits[0].tasks
    assert len(made.verdicts) == 2
    assert all(clearance.clear_now for clearance in made.picking)
    assert any("shelf is empty" in words for words in made.rough)
    assert "to come is rough" in made.warnings[0]


@pytest.mark.parametrize("weather", WRITERS)
def test_each_kind_of_weather_file_gives_a_sheet(tmp_path: Path, weather: str) -> None:
    made = planned(tmp_path, PLACE + CROPS, weather)
    assert made.visits[0].date == ON
    assert made.visits[0].sunset is not None
    # Truth by another route: this day's usual sunset at 31.4 S, 64.2 W is about 20:05 local.
    assert made.visits[0].sunset.hour in (19, 20)
    tomatoes = next(o for o in made.outlook if o.planting == "tomates")
    assert sum(week.median for week in tomatoes.with_plan) > 1.0
    frosts = [row[0] for row in record() if row[1] <= 0 and 3 <= row[0].month <= 8]
    assert frosts
    assert "frost" in made.frost.lower()


def test_the_three_forms_of_one_record_give_one_plan(tmp_path: Path) -> None:
    texts = []
    for name in WRITERS:
        folder = tmp_path / name.split(".")[0]
        folder.mkdir()
        made = planned(folder, PLACE + CROPS, name)
        texts.append(
            [(v.planting, v.choice, round(v.options[0].kg.median, 1)) for v in made.verdicts]
        )
    assert texts[0] == texts[1] == texts[2]


def test_the_same_stamp_gives_the_same_bytes(tmp_path: Path) -> None:
    planned(tmp_path, PLACE + CROPS, "diary.csv")
    assert plan_json(plan(tmp_path, ON)) == plan_json(plan(tmp_path, ON))
