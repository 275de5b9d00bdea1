"""The set-up pages of a plot that was started, asked as a browser without scripts would."""

from __future__ import annotations

import csv
import math
import re
import shutil
import tomllib
from datetime import date
from html import unescape
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.doors.web.set_up_forms import (
    BEGUN,
    OWN,
    at_pages,
    beside,
    blanks,
    lines,
    send,
    started,
    text,
)

from lattermath.desk.start import start
from lattermath.desk.told_entries import record_of
from lattermath.doors.web.set_up_sections import SECTIONS

ADDRESSES = [f"/set-up/{key}" for key in (*SECTIONS, "weather", "months")]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return started(tmp_path)


@pytest.fixture
def client(folder: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    return at_pages(folder, monkeypatch)


@pytest.mark.parametrize("address", ["/set-up", *ADDRESSES])
def test_every_page_stands_names_its_blanks_and_runs_nothing_inline(
    client: TestClient, address: str
) -> None:
    answer = client.get(address)
    page = answer.text
    assert answer.status_code == 200 and page.count("<h1") == 1
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert not re.search(r"\s(style|on[a-z]+)=", page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    labelled = set(re.findall(r'<label for="([^"]+)"', page))
    for one in re.findall(r'<input class="write"[^>]*>', page):
        named = re.search(r'\sid="([^"]+)"', one)
        assert named and (named[1] in labelled or "aria-labelledby=" in one), one
    for told in re.findall(r'aria-(?:describedby|labelledby)="([^"]+)"', page):
        assert set(told.split()) <= set(ids), told


@pytest.mark.parametrize("section", [*SECTIONS, "weather", "months"])
def test_a_form_sent_as_it_stands_changes_no_byte(
    client: TestClient, folder: Path, section: str
) -> None:
    before = len(record_of(folder).entries)
    assert send(client, section, {})[0] == 303
    assert text(folder) == OWN and len(record_of(folder).entries) == before


@pytest.mark.parametrize(
    ("section", "told", "expected"),
    [
        (
            "place",
            {"place.altitude_m": "20,5", "place.latitude": "51.6"},
            [
                "-latitude = 51.5   # off the map",
                "+latitude = 51.6   # off the map",
                "+altitude_m = 20.5",
            ],
        ),
        (
            "beds",
            {
                "bed.0.texture": "loam",
                "bed.1.name": "South bed",
                "bed.1.length_m": "3",
                "bed.1.width_m": "1",
                "bed.1.mulched": "yes",
            },
            [
                '+texture = "loam"',
                "+",
                "+[[bed]]",
                '+name = "South bed"',
                "+length_m = 3",
                "+width_m = 1",
                "+mulched = true",
            ],
        ),
        (
            "plantings",
            {
                "planting.0.plants": "3",
                "planting.0.bed": "north bed",
                "planting.1.sown": "about 12 May",
            },
            ["+plants = 3", '+bed = "north bed"', '-sown = "mid-May"', '+sown = "about 12 May"'],
        ),
        (
            "plantings",
            {"planting.1.out": "yes"},
            ["-[[planting]]", '-name = "Beans"', '-crop = "climbing bean"', '-sown = "mid-May"'],
        ),
        (
            "cups",
            {
                "lot.0.crop": "courgettes",
                "lot.0.plants": "4",
                "lot.0.sown": "2026-07-10",
                "lot.0.cup_ml": "200",
            },
            [
                "+",
                "+[[lot]]",
                '+crop = "courgettes"',
                "+plants = 4",
                "+sown = 2026-07-10",
                "+cup_ml = 200",
            ],
        ),
        (
            "visits",
            {
                "visiting.days": ["tue", "sat"],
                "visiting.arrive": "18:30",
                "visiting.away": "10 August to 17 August",
            },
            [
                "+",
                "+[visiting]",
                '+days = ["tue", "sat"]',
                '+arrive = "18:30"',
                '+away = [["10 August", "17 August"]]',
            ],
        ),
        (
            "water",
            {"water.can_litres": "10", "water.hose": "yes"},
            ["+", "+[water]", "+can_litres = 10", "+hose = true"],
        ),
        (
            "household",
            {
                "household.people": "3",
                "household.want.0.food": "tomato",
                "household.want.0.portions_a_week": "8",
            },
            [
                "+",
                "+[household]",
                "+people = 3",
                "+",
                "+[[household.want]]",
                '+food = "tomato"',
                "+portions_a_week = 8",
            ],
        ),
        (
            "weather",
            {"high.4": "27", "low.4": "15", "rain.3": "4"},
            [
                "-highs_c = [24, 26] # from the shed",
                "+highs_c = [24, 26, 27] # from the shed",
                "-lows_c = [13, 14]",
                "+lows_c = [13, 14, 15]",
                '+rain_mm = ["?", 4, "?"]',
            ],
        ),
    ],
)
def test_only_what_was_told_changes_in_the_file(
    client: TestClient, folder: Path, section: str, told: dict[str, Any], expected: list[str]
) -> None:
    before = len(record_of(folder).entries)
    assert send(client, section, told)[0] == 303
    assert sorted(lines(folder)) == sorted(expected)
    assert len(record_of(folder).entries) > before


def test_a_rough_date_is_carried_as_how_far_it_may_be_off(client: TestClient, folder: Path) -> None:
    assert send(client, "plantings", {"planting.1.sown": "mid-June"})[0] == 303
    beans = next(one for one in record_of(folder).plot.plantings if one.key == "beans")
    assert (beans.sown, beans.about_days) == (date(2026, 6, 15), 5)


@pytest.mark.parametrize(
    ("section", "told", "name", "says"),
    [
        ("place", {"place.latitude": "151"}, "place.latitude", "less than or equal to 90"),
        ("place", {"place.latitude": ""}, "place.latitude", "this is needed"),
        ("place", {"place.time_zone": "Europe/Lundon"}, "place.time_zone", "Did you mean"),
        ("beds", {"bed.0.length_m": "four"}, "bed.0.length_m", "number"),
        ("beds", {"bed.1.name": "South bed"}, "bed.1.length_m", "this is needed"),
        (
            "beds",
            {"bed.1.name": "North bed", "bed.1.length_m": "1", "bed.1.width_m": "1"},
            "bed.0.name",
            "stands twice",
        ),
        ("plantings", {"planting.0.crop": "courgete"}, "planting.0.crop", "courgette"),
        ("plantings", {"planting.1.bed": "East bed"}, "planting.1.bed", "no such bed"),
        (
            "plantings",
            {"planting.3.crop": "leek", "planting.3.sown": "spring"},
            "planting.3.sown",
            "mid-June",
        ),
        (
            "plantings",
            {"planting.0.out": "yes", "planting.1.plants": "many"},
            "planting.1.plants",
            "many",
        ),
        ("cups", {"lot.1.crop": "leek"}, "lot.1.plants", "this is needed"),
        (
            "visits",
            {"visiting.days": ["tue"], "visiting.arrive": "late"},
            "visiting.arrive",
            "18:30",
        ),
        (
            "visits",
            {"visiting.days": ["tue"], "visiting.away": "10 August"},
            "visiting.away",
            "at least 2",
        ),
        ("household", {"household.want.0.food": "tomatto"}, "household.want.0.food", "tomato"),
        ("weather", {"high.4": "warm", "low.4": "3"}, "high.4", "warm"),
        ("weather", {"weather": "nowhere.csv"}, "weather", "no such file"),
        ("weather", {"weather": "../plot.toml"}, "weather", "the plot's folder"),
        ("place", {"place.altitude_m": "1,500"}, "place.altitude_m", "1,500"),
    ],
)
def test_what_cannot_be_stands_beside_its_blank_and_nothing_is_lost(
    client: TestClient, folder: Path, section: str, told: dict[str, Any], name: str, says: str
) -> None:
    status, page = send(client, section, told)
    assert status == 422
    assert says.lower() in beside(page, name).lower(), re.findall(r'id="([^"]+)-slip', page)
    for words in told.values():
        for one in [words] if isinstance(words, str) else words:
            assert not one or f'value="{one}"' in page
    assert text(folder) == OWN


def test_us_units_are_shown_and_written(client: TestClient, folder: Path) -> None:
    own = OWN.replace("format = 1", 'format = 1\nunits = "us"')
    (folder / "plot.toml").write_text(own, "utf-8")
    start(folder, BEGUN)
    told = {"bed.1.name": "South", "bed.1.length_ft": "10", "bed.1.width_ft": "4"}
    page = client.get("/set-up/beds").text
    assert 'name="bed.0.length_m"' in page, "what is written in metres stays in metres"
    assert send(client, "beds", told)[0] == 303
    assert tomllib.loads(text(folder))["bed"][1]["length_ft"] == 10
    assert record_of(folder).plot.beds[1].length_m == pytest.approx(3.048)


def test_a_page_opened_before_the_file_was_edited_writes_nothing_over(
    client: TestClient, folder: Path
) -> None:
    opened = blanks(client, "place")
    (folder / "plot.toml").write_text(OWN.replace("51.5", "52.5"), "utf-8")
    answer = client.post("/set-up/place", data={**opened, "place.name": "Lane"})
    assert answer.status_code == 422 and "changed since" in answer.text
    assert 'value="Lane"' in answer.text and "52.5" in text(folder)


def test_the_frost_of_the_record_is_offered_and_fills_only_the_blank(
    client: TestClient, folder: Path
) -> None:
    """Thirty years of a real station; counted here from the file itself, by another way."""
    shutil.copy(str(files("lattermath.demo") / "champion.csv"), folder / "champion.csv")
    status, asked = send(client, "weather", {"weather": "champion.csv"})
    assert status == 422 and "another climate" in beside(asked, "weather")
    told = {"weather": "champion.csv", "sure.far": "yes"}
    assert send(client, "weather", told)[0] == 303
    page = unescape(client.get("/set-up/place").text)
    told = re.search(r"In (\d+) autumns .* in the middle on (\d+ \w+)", page)
    assert told and told[2] == _middle_frost(folder / "champion.csv", int(told[1]))
    address = re.search(r'href="(/set-up/place\?[^"]+frost[^"]+)"', page)
    assert address
    before = text(folder)
    offered = client.get(address[1]).text
    assert f'value="{told[2]}"' in offered and text(folder) == before
    station = re.search(r'href="(/set-up/place\?[^"]+latitude[^"]+)"', page)
    far = re.search(r"stands at 40.4, -101.7, (\d+) km from", page)
    north, south, east = (math.radians(one) for one in (51.5, 40.4, 101.73 - 0.6))
    cosines = math.sin(north) * math.sin(south)
    cosines += math.cos(north) * math.cos(south) * math.cos(east)
    assert station and far and abs(int(far[1]) - 6371 * math.acos(cosines)) < 1
    assert 'value="-101.73"' in client.get(station[1]).text and text(folder) == before


def _middle_frost(file: Path, years: int) -> str:
    firsts: dict[int, date] = {}
    measured: dict[int, int] = {}
    with file.open() as opened:
        for row in csv.DictReader(line for line in opened if not line.startswith("#")):
            day, low = date.fromisoformat(row["date"]), row["tmin_c"].strip()
            if day.month < 8 or not low:
                continue
            measured[day.year] = measured.get(day.year, 0) + 1
            if float(low) <= 0 and day.year not in firsts:
                firsts[day.year] = day
    whole = sorted(day.replace(year=2000) for year, day in firsts.items() if measured[year] >= 140)
    assert len(whole) == years
    middle = whole[(len(whole) - 1) // 2]
    return f"{middle.day} {middle:%B}"


def test_one_thing_is_asked_for_at_most(client: TestClient) -> None:
    page = client.get("/set-up").text
    assert page.count("One thing would help most") == 1
    assert "Count your plants" in page
    assert send(client, "plantings", {"planting.0.plants": "3", "planting.1.plants": "9"})[0] == 303
    assert "Say what stands in which bed" in client.get("/set-up").text


def test_a_bed_of_400_m_is_asked_about_and_taken_when_it_is_so(
    client: TestClient, folder: Path
) -> None:
    told = {"bed.0.length_m": "400"}
    assert "bed.0.checked" not in client.get("/set-up/beds").text
    status, page = send(client, "beds", told)
    assert status == 422 and "Did you mean 4.00 m?" in beside(page, "bed.0.length_m")
    assert "checked = true" not in page and page.count('name="bed.0.checked"') == 1
    assert lines(folder) == []
    assert send(client, "beds", {**told, "bed.0.checked": "yes"})[0] == 303
    assert lines(folder) == ["-length_m = 4", "+length_m = 400", "+checked = true"]
    assert 'name="bed.0.checked" value="yes" checked' in client.get("/set-up/beds").text


def test_plants_that_no_bed_holds_are_asked_about(client: TestClient, folder: Path) -> None:
    told = {"planting.0.plants": "600", "planting.0.bed": "North bed"}
    status, page = send(client, "plantings", told)
    assert status == 422 and "fit into this bed" in beside(page, "planting.0.plants")
    assert send(client, "plantings", {**told, "planting.0.checked": "yes"})[0] == 303


def test_beds_are_drawn_to_scale(client: TestClient, folder: Path) -> None:
    told = {"bed.1.name": "South", "bed.1.length_m": "2", "bed.1.width_m": "3"}
    assert send(client, "beds", {**told, "bed.1.x_m": "6", "bed.1.y_m": "-2"})[0] == 303
    page = client.get("/set-up/beds").text
    sizes = re.findall(r'<rect class="blank" width="([\d.]+)" height="([\d.]+)"', page)
    assert [(float(w), float(h)) for w, h in sizes] == [(4, 1.2), (2, 3)]
    moved = re.findall(r'transform="translate\(([\d.-]+) ([\d.-]+)\)"', page)
    # SVG's y runs down: the top of a bed lies at minus its north edge.
    assert [(float(x), float(y)) for x, y in moved] == [(0, -1.2), (6, -1)]


@pytest.mark.parametrize("address", ["/set-up/nothing", "/set-up/../x"])
def test_a_section_that_is_none_is_not_there(client: TestClient, address: str) -> None:
    assert client.get(address).status_code in (404, 422)
