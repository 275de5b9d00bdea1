"""Plans made behind the pages: after an entry, of another day, and of a supposition.

On Hollow, whose plan takes a second: these tests are about when a plan is made, not what it says.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk.plan_visit import plan as plan_visit
from lattermath.desk.told_entries import record_of
from lattermath.doors.web.app import make_app
from lattermath.record.ids import uuid7
from lattermath.sheets import page_words as p
from lattermath.sheets.schema import plan_json

PLOT = HOLLOW.format(
    place=NORTH, visiting='days = ["tue", "sat"]\nminutes = 75', courgettes=3, more="", week=MILD
)
TUESDAY = date(2016, 8, 2)
SPOTS = {"planting": "courgettes", "what": "powdery mildew", "percent": "15", "surface": "top"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begun(tmp_path_factory.mktemp("anew") / "hollow", PLOT)


@pytest.fixture(scope="module")
def client(folder: Path) -> Iterator[TestClient]:
    """A browser whose plans come from a worker, as where the pages are served."""
    app = make_app(folder, on=TUESDAY)
    with TestClient(app, base_url="http://localhost:8714") as browser:
        assert app.state.house.keeper.look().being_made
        assert app.state.house.keeper.wait(120).plan is not None
        yield browser


def new_id(number: int) -> str:
    return uuid7(1_470_000_000_000 + number, bytes(10))


def test_the_plan_is_the_plan_of_the_command_line(
    client: TestClient, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path))  # worked out here, not read back
    here = json.loads(plan_json(plan_visit(folder, TUESDAY)))
    assert client.get("/api/plan").json() == here


def test_another_day_has_its_own_plan(
    client: TestClient, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = client.get("/api/plan", params={"on": "2016-08-05"})
    while told.status_code == 503:  # a slow machine, or another day in hand: as the API says
        told = client.get("/api/plan", params={"on": "2016-08-05"})
    assert told.status_code == 200
    assert told.json()["as_of"].startswith("2016-08-05")
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path))
    assert told.json() == json.loads(plan_json(plan_visit(folder, date(2016, 8, 5))))


def test_the_plan_is_made_anew_after_an_entry(client: TestClient) -> None:
    keeper = client.app.state.house.keeper  # type: ignore[attr-defined]
    before = keeper.wait(120).plan.stamp.serial
    client.post("/log/spots", data={**SPOTS, "id": new_id(7)})
    assert client.get("/state").json()["being_made"]
    while (kept := keeper.wait(120)).being_made:  # one begun before the entry is not enough
        pass
    assert kept.plan.stamp.serial > before
    assert not client.get("/state").json()["being_made"]


def test_the_newest_plan_knows_the_newest_entry_and_then_rests(client: TestClient) -> None:
    keeper = client.app.state.house.keeper  # type: ignore[attr-defined]
    told = client.post("/api/log", json={"kind": "spots", **SPOTS, "percent": 15,
                                         "id": new_id(100)}).json()  # fmt: skip
    serial = told["entries"][0]["serial"]
    back = {"id": new_id(101), "entry": str(serial)}
    for written in (told, client.post("/api/undo", json=back).json()):
        assert not client.get("/api/state").json()["refused"]
        rested = any(not keeper.wait(120).being_made for _ in range(6))
        assert rested, "what was taken back is no reason to plan again and again"
        assert client.get("/api/state").json()["serial"] >= written["entries"][0]["serial"]


def test_a_supposition_is_answered_and_nothing_is_written(client: TestClient, folder: Path) -> None:
    before = len(record_of(folder).entries)
    page = client.get("/what-if", params={"days": "sat"})
    for _ in range(5):
        if p.WHAT_IF_WAITS not in page.text:
            break
        page = client.get("/what-if", params={"days": "sat"})
    assert page.status_code == 200
    assert "Minutes of work at a visit: " in page.text
    # Tuesdays and Saturdays from 2 August to 30 November 2016: 18 and 17, by the calendar.
    assert "Visits to the end of the season: 35 visits as planned, 17 visits then: -18" in page.text
    assert 'name="days" value="sat"' in page.text
    assert len(record_of(folder).entries) == before


def test_what_cannot_be_supposed_is_said_and_the_form_kept(client: TestClient) -> None:
    for field, value in (
        ("minutes", "many"), ("cans", "-1"), ("days", "someday"), ("away_from", "2011-02-30"),
        ("frost", "-99"),
    ):  # fmt: skip
        page = client.get("/what-if", params={field: value})
        assert page.status_code == 422, field
        assert f'name="{field}" value="{value}"' in page.text
