"""Weather from too far off: asked about before it is taken, and said on every sheet after."""

from __future__ import annotations

import json
import math
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from lattermath.desk import clock
from lattermath.desk.far_weather import far_words
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.sheets.leaf import leaf
from lattermath.sheets.schema import plan_json
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.errors import LattermathError
from lattermath.vocabulary.events import WeatherTaken
from lattermath.vocabulary.place import Place
from lattermath.weather.stations import Station, apart_km

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """format = 1

[place]
latitude = 51.5
longitude = -0.6
altitude_m = 30
time_zone = "Europe/London"
"""
DAYS = "date,tmin_c,tmax_c\n2026-07-01,12,22\n2026-07-02,13,23\n"
NEAR, FAR = (51.48, -0.45), (40.4, -101.73)


def station_file(folder: Path, at: tuple[float, float], altitude: float = 25) -> str:
    head = f"# latitude: {at[0]}\n# longitude: {at[1]}\n# altitude: {altitude}\n"
    (folder / "station.csv").write_text(head + DAYS, "utf-8")
    return "station.csv"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 7, 25, 9, 0, tzinfo=UTC))
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)
    return tmp_path


def taken(folder: Path) -> list[WeatherTaken]:
    with open_journal(folder_at(folder)) as journal:
        return [e.payload for e in journal.events() if isinstance(e.payload, WeatherTaken)]


def test_the_way_between_two_places_is_that_of_the_law_of_cosines() -> None:
    for here, there in ((NEAR, FAR), ((51.5, -0.6), NEAR), ((-36.9, 174.8), (51.5, -0.6))):
        north, south = math.radians(here[0]), math.radians(there[0])
        cosine = math.sin(north) * math.sin(south) + math.cos(north) * math.cos(south) * math.cos(
            math.radians(here[1] - there[1])
        )
        assert apart_km(*here, *there) == pytest.approx(6371 * math.acos(cosine), rel=1e-6)
    # A degree of a meridian is 60 nautical miles of 1.852 km, but for the earth's flatness.
    assert apart_km(50, 0, 51, 0) == pytest.approx(60 * 1.852, rel=5e-3)


def test_weather_of_another_climate_is_asked_about_and_nothing_is_written(folder: Path) -> None:
    with pytest.raises(LattermathError) as refused:
        take(folder, station_file(folder, FAR, 1072))
    (fault,) = refused.value.faults
    assert fault.where == "station.csv" and "7,2" in fault.value and "1,042 m higher" in fault.value
    assert "far_weather = true" in fault.remedy and not taken(folder)
    (folder / "plot.toml").write_text(PLOT + "far_weather = true\n", "utf-8")
    assert "Took in 2 days" in take(folder, "station.csv").says[0]  # no `start` in between
    (one,) = taken(folder)
    assert (one.latitude, one.longitude, one.altitude_m) == (*FAR, 1072)


def test_a_lost_minus_is_asked_about(folder: Path) -> None:
    (folder / "plot.toml").write_text(PLOT.replace("-0.6", "9.6"), "utf-8")
    with pytest.raises(LattermathError, match="minus of the longitude missing"):
        take(folder, station_file(folder, (51.4, -9.5)))


@pytest.mark.parametrize(("at", "altitude"), [(NEAR, 900), (FAR, 25)])
def test_start_writes_nothing_where_a_named_file_is_of_another_climate(
    tmp_path: Path, at: tuple[float, float], altitude: float
) -> None:
    named = station_file(tmp_path, at, altitude)
    text = PLOT.replace("[place]", f'weather = ["{named}"]\n\n[place]')
    (tmp_path / "plot.toml").write_text(text, "utf-8")
    with pytest.raises(LattermathError, match="another climate"):
        start(tmp_path, datetime(2026, 7, 25, 9, tzinfo=UTC))
    assert not (tmp_path / "lattermath.journal").exists()


def test_near_weather_is_taken_without_a_word(folder: Path) -> None:
    take(folder, station_file(folder, NEAR))
    assert len(taken(folder)) == 1
    place = Place("", 51.5, -0.6, "Europe/London", 30)
    assert not list(far_words([Station("near.csv", *NEAR, 25)], place))


def test_every_sheet_says_that_its_weather_is_from_afar(folder: Path) -> None:
    crop = "\n[[planting]]\ncrop = 'courgette'\nset_out = 2026-06-01\n"
    (folder / "plot.toml").write_text(PLOT + "far_weather = true\n" + crop, "utf-8")
    take(folder, station_file(folder, FAR, 1072))
    made = plan(folder, date(2026, 7, 3))
    (told,) = [words for words in made.warnings if "station.csv" in words]
    assert "«" not in json.loads(plan_json(made))["warnings"][made.warnings.index(told)]
    for units, far in (("metric", "7276 km"), ("us", "4521 miles")):
        sheet = " ".join(text_sheet(made, "Lane", units).split())
        assert f"measured {far} from the plot" in sheet and "another climate" in sheet
        assert far in str(leaf(made, "Lane", units))  # page and paper are made of this


@pytest.mark.parametrize(
    ("at", "altitude", "said"),
    [
        ((52.3, -0.6), None, ["«89 km»", "out by days"]),
        ((51.5, -0.6), 330, ["«300 m» higher", "«1.9 C apart» cooler", "out by days"]),
        ((51.5, -0.6), -170, ["«200 m» lower", "«1.3 C apart» warmer"]),
        (FAR, 1072, ["another climate", "out by weeks", "«1042 m» higher", "nearer by"]),
    ],
)
def test_a_far_or_high_station_is_said_with_what_it_means(
    at: tuple[float, float], altitude: float | None, said: list[str]
) -> None:
    place = Place("", 51.5, -0.6, "Europe/London", 30)
    (words,) = far_words([Station("s.csv", *at, altitude)], place)
    assert [one for one in said if one not in words] == []


def test_weather_of_no_known_place_is_said_once_and_own_highs_and_lows_are_not(
    folder: Path,
) -> None:
    week = "[[week]]\nfirst = 2026-07-20\nhighs_c = [22, 23, 24]\nlows_c = [12, 12, 13]\n"
    (folder / "plot.toml").write_text(PLOT + week, "utf-8")
    told = plan(folder, date(2026, 7, 25)).warnings
    assert not any("Not known how far" in words for words in told)
    months = "[normals]\nhighs_c = [7,8,11,14,18,21,23,23,19,15,10,8]\n"
    months += "lows_c = [1,1,3,4,8,11,13,12,10,7,4,2]\n"
    (folder / "plot.toml").write_text(PLOT + week + months, "utf-8")
    for name in ("a.csv", "b.csv"):
        (folder / name).write_text(DAYS, "utf-8")
        take(folder, name)
    station_file(folder, NEAR)
    take(folder, "station.csv")
    sheet = " ".join(text_sheet(plan(folder, date(2026, 7, 25)), "Plot").split())
    assert sheet.count("Not known how far from the plot") == 1
    assert "measured: a.csv, b.csv and the usual months you typed." in sheet
