"""Labels copied line by line on the pages, asked as a browser without scripts would."""

from __future__ import annotations

import re
import tomllib
from datetime import UTC, date, datetime
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from lattermath.desk.plan_keeper import PlanKeeper
from lattermath.desk.start import start
from lattermath.desk.told_entries import record_of
from lattermath.doors.web.app import make_app
from lattermath.doors.web.label_form import CROP_LINES, PACK
from lattermath.record.plot_products import PRODUCT_LINES
from lattermath.vocabulary.label import LabelLine, ProductLabel

# The pack and its limits are invented.
OWN = """format = 1
[place]
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"

# from the shed
[[shelf]]
name = "Example soap"
active = "soap"
re_entry_hours = { value = 4, words = "Keep out for 4 hours." }  # read twice
rain_free_hours = "none"

[shelf.crops.courgette]
pre_harvest_days = 1
retreat_days = 7

[[planting]]
crop = "courgette"
"""
SULFUR = {
    "shelf.name": "Example sulfur",
    "shelf.active": "sulfur",
    "shelf.re_entry_hours": "24",
    "shelf.re_entry_hours.words": "Do not enter for 24 hours.",
    "shelf.max_temperature_c": "28",
    "shelf.rain_free_hours.none": "yes",
    "shelf.bloom": "evening only",
    "crop.0.word": "courgettes",
    "crop.0.pre_harvest_days": "1",
    "crop.0.season_max": "4",
    "crop.0.season_max_scope": "active",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(OWN, "utf-8")
    start(tmp_path, datetime(2026, 7, 25, 8, tzinfo=UTC))
    return tmp_path


@pytest.fixture
def client(folder: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    """No plan is begun: these pages need none."""
    monkeypatch.setattr(PlanKeeper, "_begin", lambda _: None)
    return TestClient(make_app(folder, on=date(2026, 7, 26)), base_url="http://localhost:8714")


def form_of(client: TestClient, address: str) -> dict[str, str]:
    """What a browser would send of the page's form as it stands."""
    page = client.get(address).text
    held = {}
    for one in re.findall(r"<input [^>]*>", page):
        name, value = (re.search(rf'\s{key}="([^"]*)"', one) for key in ("name", "value"))
        picked = "checked" in one or not re.search(r'type="(radio|checkbox)"', one)
        if name and value and picked:
            held[name[1]] = unescape(value[1])
    return held


def send(client: TestClient, number: str, told: dict[str, str]) -> tuple[int, str]:
    address = f"/set-up/shelf/{number}"
    filled = {**form_of(client, address), **told}
    answer = client.post(address, data=filled, follow_redirects=False)
    return answer.status_code, unescape(answer.text)


def beside(page: str, name: str) -> str:
    found = re.search(rf'id="{re.escape(name)}-slip">(.*?)</div>', page, re.DOTALL)
    return re.sub(r"<[^>]+>", "", found[1]) if found else ""


def product(folder: Path, name: str) -> ProductLabel:
    return next(one for one in record_of(folder).plot.shelf if one.name == name)


def text(folder: Path) -> str:
    return (folder / "plot.toml").read_text("utf-8")


def test_a_label_is_copied_each_line_in_its_state(client: TestClient, folder: Path) -> None:
    assert send(client, "new", SULFUR)[0] == 303
    made = product(folder, "Example sulfur")
    assert made.re_entry_hours == LabelLine("value", 24, "Do not enter for 24 hours.")
    assert made.max_temperature_c == LabelLine("value", 28)
    assert made.rain_free_hours == LabelLine("none")
    assert made.max_wind_m_s == LabelLine("not copied")
    (limits,) = made.crops
    assert (limits.crop, limits.season_max.value, limits.season_max_scope) == (
        "summer_squash",
        4,
        "active",
    )
    assert limits.retreat_days == LabelLine("not copied")
    assert text(folder).startswith(OWN.rpartition("\n[[planting]]")[0])


def test_a_label_sent_as_it_stands_changes_no_byte(client: TestClient, folder: Path) -> None:
    assert send(client, "0", {})[0] == 303
    assert text(folder) == OWN


def test_one_line_more_is_one_line_more(client: TestClient, folder: Path) -> None:
    told = {
        "shelf.max_wind_m_s.none": "yes",
        "crop.0.season_max": "3",
        "crop.0.season_max.words": "3 a year",
    }
    assert send(client, "0", told)[0] == 303
    added = [line for line in text(folder).splitlines() if line not in OWN.splitlines()]
    assert added == ['max_wind_m_s = "none"', 'season_max = { value = 3, words = "3 a year" }']


def test_a_crop_may_be_added_and_taken_out(client: TestClient, folder: Path) -> None:
    told = {"crop.1.word": "tomato", "crop.1.pre_harvest_days": "3"}
    assert send(client, "0", told)[0] == 303
    assert send(client, "0", {"crop.0.out": "yes"})[0] == 303
    assert [one.crop for one in product(folder, "Example soap").crops] == ["tomato_indeterminate"]
    assert "# from the shed" in text(folder) and "# read twice" in text(folder)


def test_every_line_of_a_label_has_its_blank(client: TestClient) -> None:
    page = client.get("/set-up/shelf/new").text
    names = {f"shelf.{key}" for key in (*PRODUCT_LINES, *(ask.key for ask in PACK))}
    names |= {f"crop.0.{key}" for key in CROP_LINES}
    for name in names:
        assert f'name="{name}"' in page, name
    for name in [one for one in names if one.split(".")[-1] in (*PRODUCT_LINES, *CROP_LINES)]:
        assert f'name="{name}.words"' in page and f'name="{name}.none"' in page
    assert not re.search(r"\s(style|on[a-z]+)=", page)
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize(
    ("told", "name", "says"),
    [
        # Ten times the 24 hours that are usual of sulfur.
        (
            {"shelf.re_entry_hours": "240", "shelf.re_entry_hours.words": ""},
            "shelf.re_entry_hours",
            "ten times",
        ),
        ({"crop.0.pre_harvest_days": "300"}, "crop.0.pre_harvest_days", "ten times"),
        ({"shelf.max_temperature_c": "55"}, "shelf.max_temperature_c", "is this °F?"),
        ({"shelf.max_wind_m_s": "15"}, "shelf.max_wind_m_s", "mph or km/h"),
        (
            {"shelf.re_entry_hours": "24", "shelf.re_entry_hours.words": "24 days"},
            "shelf.re_entry_hours",
            "say days",
        ),
        (
            {"crop.0.retreat_days": "48", "crop.0.retreat_days.words": "48 hours"},
            "crop.0.retreat_days",
            "say hours",
        ),
        (
            {
                "shelf.re_entry_hours": "3",
                "shelf.re_entry_hours.words": "",
                "crop.0.pre_harvest_days": "24",
            },
            "crop.0.pre_harvest_days",
            "exchanged",
        ),
    ],
)
def test_a_slip_is_asked_about_with_what_is_usual_and_taken_when_it_is_so(
    client: TestClient, folder: Path, told: dict[str, str], name: str, says: str
) -> None:
    status, page = send(client, "new", {**SULFUR, **told})
    assert status == 422 and says.lower() in beside(page, name).lower(), re.findall(
        r'id="([^"]+)-slip', page
    )
    assert told[name] in beside(page, name), "what was typed is said"
    assert re.search(r"\((memory|judgement|published)\)|Turn ", beside(page, name))
    assert text(folder) == OWN and f'value="{told[name]}"' in page
    asked = dict.fromkeys(re.findall(r'name="([^"]+\.sure)"', page), "yes")
    assert f"{name}.sure" in asked
    assert send(client, "new", {**SULFUR, **told, **asked})[0] == 303
    held = tomllib.loads(text(folder))["shelf"][1]
    where: Any = held["crops"]["courgettes"] if name.startswith("crop") else held
    line = where[name.rpartition(".")[2]]
    assert (line["value"] if isinstance(line, dict) else line) == float(told[name])


@pytest.mark.parametrize(
    ("told", "name", "says"),
    [
        ({"shelf.name": ""}, "shelf.name", "this is needed"),
        ({"shelf.active": "sulfurr"}, "shelf.active", "not in the tables"),
        ({"shelf.max_temperature_c": "85"}, "shelf.max_temperature_c", "no air temperature"),
        ({"shelf.re_entry_hours.none": "yes"}, "shelf.re_entry_hours", "Keep one of the two"),
        ({"shelf.max_wind_m_s.words": "not in wind"}, "shelf.max_wind_m_s", "no value"),
        ({"crop.0.pre_harvest_days": "soon"}, "crop.0.pre_harvest_days", "no amount"),
        ({"crop.0.season_max": "2.5"}, "crop.0.season_max", "no whole number"),
        ({"crop.0.word": "courgete"}, "crop.0.word", "courgette"),
        ({"crop.1.retreat_days": "7"}, "crop.1.word", "which crop"),
    ],
)
def test_what_cannot_be_stands_beside_its_line_and_nothing_is_lost(
    client: TestClient, folder: Path, told: dict[str, str], name: str, says: str
) -> None:
    status, page = send(client, "new", {**SULFUR, **told})
    assert status == 422
    assert says.lower() in beside(page, name).lower(), re.findall(r'id="([^"]+)-slip', page)
    assert 'value="Do not enter for 24 hours."' in page
    assert text(folder) == OWN


def test_zero_days_is_no_slip(client: TestClient, folder: Path) -> None:
    assert send(client, "new", {**SULFUR, "crop.0.pre_harvest_days": "0"})[0] == 303
    assert product(folder, "Example sulfur").crops[0].pre_harvest_days.value == 0


def test_us_units(client: TestClient, folder: Path) -> None:
    (folder / "plot.toml").write_text('units = "us"\n' + OWN, "utf-8")
    start(folder, datetime(2026, 7, 25, 9, tzinfo=UTC))
    told = {key: value for key, value in SULFUR.items() if key != "shelf.max_temperature_c"}
    status, page = send(client, "new", {**told, "shelf.max_temperature_f": "28"})
    assert status == 422 and "Is this °C?" in beside(page, "shelf.max_temperature_f")
    assert send(client, "new", {**told, "shelf.max_temperature_f": "82.4"})[0] == 303
    assert product(folder, "Example sulfur").max_temperature_c.value == pytest.approx(28)


def test_a_pack_that_is_none_is_not_there(client: TestClient) -> None:
    assert client.get("/set-up/shelf/7").status_code == 422
    assert "Example soap" in client.get("/set-up/shelf").text
