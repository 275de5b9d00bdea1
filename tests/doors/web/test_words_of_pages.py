"""Words that a tired gardener reads: nothing of the program's own shapes stands on a page."""

from __future__ import annotations

import re
from datetime import datetime
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.doors.web.set_up_forms import OWN, at_pages, started, text

from lattermath.desk.log_names import or_made_up, plot_now
from lattermath.desk.told_entries import record_of

SHELF = """
[[shelf]]
name = "Example soap"
active = "fatty acids"

[shelf.crops.courgette]
pre_harvest_days = {value = 1, words = "one day"}

"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return started(tmp_path, OWN + SHELF)


@pytest.fixture
def client(folder: Path, monkeypatch: pytest.MonkeyPatch) -> TestClient:
    return at_pages(folder, monkeypatch)


def test_a_wrong_label_line_is_shown_as_its_value(client: TestClient, folder: Path) -> None:
    own = text(folder)
    bad = own.replace(
        'active = "fatty acids"',
        'active = "fatty acids"\nmax_temperature_c = {value = 90, words = "not above"}',
    )
    (folder / "plot.toml").write_text(bad, "utf-8")
    page = unescape(client.get("/set-up/shelf").text)
    assert "90" in page and "{'value'" not in page and "'words'" not in page


def test_a_lot_without_a_name_is_named_for_its_crop_and_day(
    client: TestClient, folder: Path
) -> None:
    for _ in range(2):
        page = client.get("/log/sown").text
        ident = re.search(r'name="id" value="([^"]+)"', page)
        token = re.search(r'name="token" value="([^"]+)"', page)
        assert ident and token
        told = {
            "id": ident[1],
            "token": token[1],
            "crop": "courgette",
            "seeds": "6",
            "place": "cups",
        }
        answer = client.post("/log/sown", data=told, follow_redirects=False)
        assert answer.status_code == 303, answer.text[:500]
    names = [lot.called for lot in record_of(folder).plot.lots]
    assert len(names) == len(set(names)) == 2 and all(n.startswith("courgette ") for n in names)


def test_a_made_up_name_gives_way_to_a_given_one(folder: Path) -> None:
    plot, at = plot_now(folder), datetime(2026, 7, 26, 9)
    assert or_made_up(plot, "Mine", "kale", at) == "Mine"
    assert or_made_up(plot, "", "kale", at) == "kale 26 Jul"


def test_the_plan_of_beds_without_places_speaks_of_no_keys(client: TestClient) -> None:
    page = unescape(client.get("/plot").text)
    assert "x_m" not in page and "Say under Set up, Beds how far it lies" in page
