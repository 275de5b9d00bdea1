"""What once could only be written into plot.toml by hand: its pages, asked without scripts."""

from __future__ import annotations

import re
import tomllib
from dataclasses import fields
from html import unescape
from pathlib import Path
from typing import Any, get_args

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
from lattermath.record.plot_sections import MANY, SINGLE, Section
from lattermath.vocabulary.plot import Household, OnHand

HIGHS = [7, 8, 11, 14, 17, 20, 23, 23, 20, 15, 10, 8]
LOWS = [1, 1, 3, 4, 7, 10, 12, 12, 10, 7, 4, 2]
# Lines that no page asks for, with the reason.
NOT_ASKED = {
    "key": "made from the name",
    "far_weather": "a tick of the weather page, where a file is from afar",
    "about_days": "said by the date's own words",
    "wilted": "logged, as what is seen",
    "x_m": "one planting in one bed needs none",
    "y_m": "the same",
    "invented": "for the demonstration",
    "crops": "a group of foods is named in the file",
}
# What nobody knows of plants over the fence, unless they ask.
THEIR_OWN = ("variety", "days_to_maturity", "resists", "vigour", "bearing_since")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return started(tmp_path)


@pytest.fixture
def client(folder: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    return at_pages(folder, monkeypatch)


def typed(name: str, values: list[int]) -> dict[str, str]:
    return {f"{name}.{n}": str(value) for n, value in enumerate(values)}


MONTHS = {**typed("high", HIGHS), **typed("low", LOWS)}


@pytest.mark.parametrize(
    ("section", "told", "expected"),
    [
        (
            "neighbours",
            {
                "neighbour.0.name": "their beans",
                "neighbour.0.crop": "pole bean",
                "neighbour.0.plants": "12",
                "neighbour.0.distance_m": "2,5",
                "neighbour.0.side": "west",
                "neighbour.0.sown": "mid-May",
            },
            [
                "+",
                "+[[neighbour]]",
                '+crop = "pole bean"',
                "+plants = 12",
                "+distance_m = 2.5",
                '+side = "west"',
                '+sown = "mid-May"',
                '+name = "their beans"',
            ],
        ),
        (
            "tin",
            {
                "tin.cups": "20",
                "tin.packet.0.crop": "chard",
                "tin.packet.0.seeds": "60",
                "tin.packet.0.resists": "bolting, mildew",
            },
            [
                "+",
                "+[tin]",
                "+cups = 20",
                "+",
                "+[[tin.packet]]",
                '+crop = "chard"',
                "+seeds = 60",
                '+resists = ["bolting", "mildew"]',
            ],
        ),
        (
            "means",
            {"means.on_hand": ["vacuum", "fine mesh"]},
            ["+", "+[means]", '+on_hand = ["vacuum", "fine mesh"]'],
        ),
        (
            "forecast",
            {"forecast.service": "https://example.org/v1/forecast", "forecast.days": "5"},
            ["+", "+[forecast]", '+service = "https://example.org/v1/forecast"', "+days = 5"],
        ),
        (
            "worth",
            {"household.worth_of_hour": "2,5", "household.worth_of_treatment": "3"},
            ["+", "+[household]", "+worth_of_hour = 2.5", "+worth_of_treatment = 3"],
        ),
        (
            "garden",
            {"garden.poison_number": "0123 456789", "garden.no_fires": "yes", "holder.plot": "14"},
            [
                "+",
                "+[garden]",
                "+no_fires = true",
                '+poison_number = "0123 456789"',
                "+",
                "+[holder]",
                '+plot = "14"',
            ],
        ),
        (
            "months",
            {**MONTHS, **typed("rain", HIGHS)},
            ["+", "+[normals]", f"+highs_c = {HIGHS}", f"+lows_c = {LOWS}", f"+rain_mm = {HIGHS}"],
        ),
    ],
)
def test_what_was_told_is_written_and_nothing_else_changes(
    client: TestClient, folder: Path, section: str, told: dict[str, Any], expected: list[str]
) -> None:
    before = len(record_of(folder).entries)
    assert send(client, section, told)[0] == 303
    assert sorted(lines(folder)) == sorted(expected)
    assert len(record_of(folder).entries) > before
    assert text(folder).count("#") == OWN.count("#")
    written = text(folder)
    assert send(client, section, {})[0] == 303
    assert text(folder) == written, "the same form sent again changes no byte"


@pytest.mark.parametrize(
    ("section", "told", "name", "says"),
    [
        ("neighbours", {"neighbour.0.crop": "beens"}, "neighbour.0.crop", "not in the tables"),
        (
            "neighbours",
            {"neighbour.0.crop": "pole bean", "neighbour.0.distance_m": "-2"},
            "neighbour.0.distance_m",
            "greater than 0",
        ),
        ("neighbours", {"neighbour.1.plants": "3"}, "neighbour.1.crop", "this is needed"),
        ("tin", {"tin.packet.1.crop": "chard"}, "tin.packet.1.seeds", "this is needed"),
        ("tin", {"tin.cups": "many"}, "tin.cups", "many"),
        ("forecast", {"forecast.service": "http://example.org"}, "forecast.service", "https://"),
        ("forecast", {"forecast.days": "5"}, "forecast.service", "this is needed"),
        (
            "forecast",
            {"forecast.service": "https://example.org", "forecast.days": "40"},
            "forecast.days",
            "less than or equal to 16",
        ),
        ("worth", {"household.worth_of_hour": "-1"}, "household.worth_of_hour", "greater than"),
        ("worth", {"household.worth_of_litre": "a lot"}, "household.worth_of_litre", "number"),
        ("garden", {"garden.poison_number": "ask"}, "garden.poison_number", "no number to ring"),
        ("garden", {"garden.tidy_by": "soon"}, "garden.tidy_by", "15 november"),
        ("months", {"high.0": "7", "low.0": "1"}, "high.1", "this month is missing"),
        ("months", {**MONTHS, "rain.3": "40"}, "rain.0", "this month is missing"),
        ("months", {**MONTHS, "low.6": "40"}, "high.6", "below the low"),
        ("months", {**MONTHS, "high.6": "warm"}, "high.6", "number"),
        ("months", {**MONTHS, "high.6": "91"}, "high.6", "ever so hot"),
    ],
)
def test_what_cannot_be_stands_beside_its_blank_and_nothing_is_lost(
    client: TestClient, folder: Path, section: str, told: dict[str, Any], name: str, says: str
) -> None:
    status, page = send(client, section, told)
    assert status == 422
    assert says in beside(page, name).lower(), (re.findall(r'id="([^"]+)-slip', page), page)
    assert all(f'value="{words}"' in page for words in told.values())
    assert text(folder) == OWN


def test_a_service_that_is_emptied_is_asked_no_more(client: TestClient, folder: Path) -> None:
    told = {"forecast.service": "https://example.org/forecast", "forecast.past_days": "3"}
    assert send(client, "forecast", told)[0] == 303
    assert send(client, "forecast", {"forecast.service": ""})[0] == 303
    assert "forecast" not in tomllib.loads(text(folder)) and "[forecast]" not in text(folder)


def test_months_that_are_emptied_are_taken_out(client: TestClient, folder: Path) -> None:
    assert send(client, "months", MONTHS)[0] == 303
    assert send(client, "months", dict.fromkeys(MONTHS, ""))[0] == 303
    assert "normals" not in tomllib.loads(text(folder))


def test_yes_and_no_are_written_as_such_and_not_said_takes_them_out(
    client: TestClient, folder: Path
) -> None:
    assert (
        send(client, "garden", {"garden.no_sprays": "no", "garden.organic_only": "yes"})[0] == 303
    )
    assert tomllib.loads(text(folder))["garden"] == {"no_sprays": False, "organic_only": True}
    assert send(client, "garden", {"garden.no_sprays": ""})[0] == 303
    assert tomllib.loads(text(folder))["garden"] == {"organic_only": True}
    assert send(client, "plantings", {"planting.0.in_bloom": "yes"})[0] == 303
    assert tomllib.loads(text(folder))["planting"][0]["in_bloom"] is True


def test_means_keep_the_order_of_the_file_while_the_same_are_ticked(
    client: TestClient, folder: Path
) -> None:
    own = OWN + '\n[means]\non_hand = ["mesh", "vacuum"] # mesh first\n'
    (folder / "plot.toml").write_text(own, "utf-8")
    start(folder, BEGUN)
    assert sorted(blanks(client, "means")["means.on_hand"]) == ["mesh", "vacuum"]
    assert send(client, "means", {})[0] == 303
    assert text(folder) == own
    assert send(client, "means", {"means.on_hand": ["vacuum"]})[0] == 303
    assert text(folder) == own.replace('["mesh", "vacuum"]', '["vacuum"]')


def test_us_units_stand_on_the_new_pages_too(client: TestClient, folder: Path) -> None:
    (folder / "plot.toml").write_text(
        OWN.replace("format = 1", 'format = 1\nunits = "us"'), "utf-8"
    )
    start(folder, BEGUN)
    assert "°F" in client.get("/set-up/months").text
    told = {"neighbour.0.crop": "kale", "neighbour.0.distance_ft": "10"}
    told["neighbour.0.side"] = "west"
    assert send(client, "neighbours", told)[0] == 303
    assert send(client, "months", {**typed("high", [70] * 12), **typed("low", [50] * 12)})[0] == 303
    held = tomllib.loads(text(folder))
    assert held["normals"]["highs_f"] == [70] * 12 and held["neighbour"][0]["distance_ft"] == 10
    theirs = next(one for one in record_of(folder).plot.plantings if one.neighbours_plot)
    assert theirs.x_m == pytest.approx(-3.048)  # west of the plot's only bed


def test_each_rate_stands_with_its_figure_and_what_it_decides(client: TestClient) -> None:
    page = unescape(client.get("/set-up/worth").text)
    rates = [one for one in fields(Household) if one.name.startswith("worth_of_")]
    assert rates
    for rate in rates:
        hint = re.search(rf'id="household.{rate.name}-hint">(.*?)</p>', page)
        assert hint and f"Left empty: {rate.default:g}." in hint[1]
        assert len(hint[1]) > 60, "it says what it decides"
    assert send(client, "worth", {"household.worth_of_hour": "6"})[0] == 303
    page = client.get("/set-up/worth").text
    assert 'value="6"' in page and "Left empty: 4." in page


def test_every_means_has_its_words(client: TestClient) -> None:
    page = client.get("/set-up/means").text
    assert all(f'value="{one}"' in page for one in get_args(OnHand))


def _asked() -> set[tuple[str, str]]:
    """Every table and key that the pages of sections ask for, and the rows that have their own."""
    return {
        (part.prefix, ask.key)
        for section in SECTIONS.values()
        for part in section.parts
        for ask in part.asks
    }


def test_every_line_of_the_file_has_its_page() -> None:
    """The shelf, the week and the months have pages of their own, tested elsewhere and above."""
    asked = _asked()
    tables: dict[str, type[Section]] = {**SINGLE, **MANY}
    missing = [
        (name, key)
        for name, section in tables.items()
        if name not in ("shelf", "week", "normals")
        for key in section.model_fields
        if key not in NOT_ASKED
        and not (name == "neighbour" and key in THEIR_OWN)
        and (name, key) not in asked
        and f"{name}.{key}" not in {prefix for prefix, _ in asked}
    ]
    assert not missing
