"""The JSON API of the demonstration's plot, asked as a program would."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from starlette.testclient import TestClient

from lattermath.desk.plan_visit import plan as plan_visit
from lattermath.desk.told_entries import record_of
from lattermath.doors.web.app import make_app
from lattermath.record.ids import uuid7
from lattermath.sheets.schema import plan_json

ROOT = Path(__file__).resolve().parents[3]
SPOTS = {"kind": "spots", "planting": "melon", "what": "powdery mildew", "percent": 15}
SLIP = {"kind": "counted", "planting": "melon", "what": "whitefly", "counts": [99_999]}
SHAPE = {"what", "where", "value", "remedy"}
BY_KIND: dict[str, dict[str, Any]] = {
    "counted": {"planting": "melon", "what": "whitefly", "counts": [12, 0, 3]},
    "none-seen": {"planting": "Melons", "what": "aphids", "leaves": 12},
    "shaken": {"planting": "melon", "what": "whitefly", "level": "few"},
    "card": {"planting": "melon", "what": "whitefly", "counts": [14, 9], "days": 7},
    "spots": {"planting": "melon", "what": "powdery mildew", "percent": 4.5},
    "seen": {"planting": "melon", "what": "something odd", "note": "on the fence side"},
    "picked": {"planting": "courgettes", "kg": 1.2},
    "watered": {"where": "bed A", "litres": 20, "way": "foot"},
    "treated": {"plantings": ["melon"], "means": "water jet"},
    "set-out": {"name": "new chard", "crop": "chard", "plants": 3, "bed": "bed A"},
    "pulled": {"planting": "courgettes", "plants": 1, "to": "compost"},
    "cups": {"lot": "Young cucumbers", "up": 5, "of": 6, "roots": "few"},
    "sown": {"crop": "chard", "seeds": 8, "lot": "cups-9"},
    "care": {"planting": "tomatoes", "work": "tie"},
    "visit": {"minutes": 40, "note": "hot"},
}


@pytest.fixture(scope="module")
def client(folder: Path) -> Iterator[TestClient]:
    """A program at the API, which gives the plan that its own worker made."""
    app = make_app(folder, on=date(2011, 7, 30))
    keeper = app.state.house.keeper
    with TestClient(app, base_url="http://localhost:8714") as program:
        assert keeper.wait(120).plan is not None
        keeper._is_stale = lambda: False
        yield program


def new_id(number: int) -> str:
    return uuid7(1_311_000_500_000 + number, bytes(10))


def entries(folder: Path) -> int:
    return len(record_of(folder).entries)


def described(client: TestClient) -> dict[str, Any]:
    told: dict[str, Any] = client.get("/api/openapi.json").json()
    return told


def test_the_plan_is_the_plan_of_the_command_line(client: TestClient, folder: Path) -> None:
    told = client.get("/api/plan")
    assert told.status_code == 200
    here = json.loads(plan_json(plan_visit(folder, date(2011, 7, 30))))
    assert told.json() == here
    schema = json.loads((ROOT / "docs" / "plan.schema.json").read_text("utf-8"))
    jsonschema.validate(told.json(), schema)
    assert client.get("/api/picking").json() == here["picking"]
    assert client.get("/api/standby").json() == here["standby"]


def test_the_plot_of_a_day_has_what_stood_then(client: TestClient) -> None:
    now, long_ago = (
        client.get("/api/plot", params={"on": day}).json() for day in ("2011-07-30", "1999-01-01")
    )
    assert now["place"]["time_zone"] == "America/Denver"
    assert {one["key"] for one in now["plantings"]} > {"melon", "tomatoes"}
    assert long_ago["plantings"] == []


@pytest.mark.parametrize(
    ("method", "address", "sent", "status"),
    [
        ("GET", "/api/nothing", {}, 404),
        ("GET", "/api/record/99999", {}, 404),
        ("GET", "/api/record/%0A1", {}, 404),
        ("DELETE", "/api/log", {}, 405),
        ("GET", "/api/plan?on=2011-02-30", {}, 422),
        ("GET", "/api/plan?on=2199-01-01", {}, 422),
        ("GET", "/api/plan?on=0001-01-01", {}, 409),  # plot and weather know nothing of it
        ("POST", "/api/log", {"json": {}}, 422),
        ("POST", "/api/log", {"json": {**SPOTS, "id": "mine"}}, 422),
        ("POST", "/api/log", {"json": {**SPOTS, "id": new_id(99), "planting": "moon"}}, 422),
        ("POST", "/api/log", {"json": {**SPOTS, "id": new_id(99), "more": 1}}, 422),
        ("POST", "/api/log", {"json": {**SPOTS, "id": new_id(99), "percent": "15"}}, 422),
        ("POST", "/api/log", {"json": {**SLIP, "id": new_id(99)}}, 422),
        (
            "POST",
            "/api/log",
            {"content": "{", "headers": {"content-type": "application/json"}},
            400,
        ),
        (
            "POST",
            "/api/log",
            {
                "content": json.dumps({**SPOTS, "id": new_id(99), "what": "\ud800"}),
                "headers": {"content-type": "application/json"},
            },
            422,
        ),
        ("POST", "/api/log", {"headers": {"sec-fetch-site": "cross-site"}}, 403),
        ("POST", "/api/log", {"headers": {"origin": "http://elsewhere.example"}}, 403),
        ("POST", "/api/log", {"headers": {"content-length": "99999999"}}, 413),
        ("POST", "/api/log", {"headers": {"content-length": "many"}}, 413),
        ("GET", "/api/plan", {"headers": {"host": "elsewhere.example"}}, 421),
    ],
)
def test_every_refusal_has_one_shape_and_writes_nothing(
    client: TestClient, folder: Path, method: str, address: str, sent: dict[str, Any], status: int
) -> None:
    before = entries(folder)
    told = client.request(method, address, **sent)
    while told.status_code == 503:  # another plan is in hand: asked again, as it says
        told = client.request(method, address, **sent)
    assert told.status_code == status, told.text
    assert set(told.json()) - {"others"} == SHAPE
    assert all(isinstance(told.json()[key], str) for key in SHAPE)
    assert told.json()["what"] and told.json()["remedy"]
    assert entries(folder) == before


def test_a_plan_not_yet_made_says_when_to_ask_again(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("lattermath.doors.web.api_reading.WAITS", 0.0)
    told = client.get("/api/plan", params={"on": "2011-08-09"})
    assert told.status_code == 503
    assert told.json()["what"] == "the plan is being worked out"
    assert int(told.headers["retry-after"]) >= 1


def test_a_task_is_settled_with_its_entry_once(client: TestClient, folder: Path) -> None:
    tasks = client.get("/api/plan").json()["visits"][0]["tasks"]
    task = next(one for one in tasks if one["kind"] == "pick")
    told = {"kind": "picked", "id": new_id(90), "planting": task["planting"], "items": 2}
    before = entries(folder)
    for _ in range(2):
        client.post("/api/log", json={**told, "task": task["id"]})
    assert entries(folder) == before + 2
    assert record_of(folder).entries[0].task == task["id"]
    alone = {"kind": "done", "id": new_id(91), "task": task["id"]}
    refused = client.post("/api/log", json=alone)
    assert refused.status_code == 422
    assert "a tick does not say enough" in refused.text
    left = client.post("/api/log", json={**alone, "how": "not done"})
    assert left.status_code == 201
    unknown = client.post("/api/log", json={**told, "id": new_id(92), "task": "0000"})
    assert unknown.status_code == 404
    assert entries(folder) == before + 3


@pytest.mark.parametrize("kind", sorted(BY_KIND))
def test_everything_can_be_logged_and_arrives_once(
    client: TestClient, folder: Path, kind: str
) -> None:
    number = sorted(BY_KIND).index(kind)
    told = {"kind": kind, "id": new_id(number), **BY_KIND[kind]}
    before = entries(folder)
    first = client.post("/api/log", json=told)
    assert first.status_code == 201, first.text
    again = client.post("/api/log", json=told)
    assert again.status_code == 200, again.text
    assert entries(folder) == before + 1
    assert first.json()["new"] and not again.json()["new"]
    assert first.json()["entries"] == again.json()["entries"]
    entry = first.json()["entries"][0]
    assert entry["id"] == new_id(number)
    assert client.get(first.headers["location"]).json() == entry


def test_every_kind_of_the_description_is_tried_here(client: TestClient) -> None:
    body = described(client)["paths"]["/log"]["post"]["requestBody"]
    kinds = body["content"]["application/json"]["schema"]["discriminator"]["mapping"]
    assert set(kinds) == {*BY_KIND, "done"}


def test_an_entry_has_the_time_it_was_given(client: TestClient, folder: Path) -> None:
    for number, at in enumerate(("2011-07-29T19:05", "2011-07-29T19:05-06:00")):
        told = client.post("/api/log", json={**SPOTS, "id": new_id(50 + number), "at": at})
        assert told.json()["entries"][0]["happened_at"] == "2011-07-30T01:05:00+00:00"
    for at in ("yesterday", "2011-07-29", "0001-01-01T00:00", "9999-12-31T23:59-12:00"):
        told = client.post("/api/log", json={**SPOTS, "id": new_id(60), "at": at})
        assert told.status_code == 422
        assert told.json()["value"] == at


def test_what_is_counted_by_plant_brings_plants(client: TestClient, folder: Path) -> None:
    """Ten leaves without beetles are not ten plants without; the tables have melons two beetles."""
    none = {"kind": "none-seen", "planting": "melon", "what": "cucumber beetles"}
    few = {"kind": "counted", "planting": "melon", "what": "squash bugs", "level": "few"}
    for number, wrong in enumerate(({**none, "leaves": 2}, none, {**few, "leaves": 2})):
        refused = client.post("/api/log", json={**wrong, "id": new_id(700 + number)})
        assert refused.status_code == 422 and "counted by plant" in refused.text
    told = client.post("/api/log", json={**none, "plants": 2, "id": new_id(710)}).json()
    assert "no striped cucumber beetle on 2 plants" in told["says"][0]
    told = client.post("/api/log", json={**few, "plants": 2, "id": new_id(711)}).json()
    assert "few a plant, on 2 plants" in told["says"][0]
    assert told["entries"][0]["payload"]["surface"] == "whole"


def test_one_id_says_one_thing(client: TestClient, folder: Path) -> None:
    client.post("/api/log", json={**SPOTS, "id": new_id(70)})
    before = entries(folder)
    other = client.post("/api/log", json={**SPOTS, "id": new_id(70), "percent": 40})
    assert other.status_code == 409
    assert other.json()["what"] == "another entry came under this id"
    assert entries(folder) == before


def test_a_sowing_is_told_by_crop_and_place_and_sent_again_is_the_same(
    client: TestClient, folder: Path
) -> None:
    before = entries(folder)
    for number, where in ((75, "cups"), (76, "bed G"), (77, "cups")):
        asked = {"kind": "sown", "id": new_id(number), "crop": "chard", "seeds": 8, "where": where}
        first, again = (client.post("/api/log", json=asked) for _ in range(2))
        assert (first.status_code, again.status_code) == (201, 200), first.text + again.text
        assert first.json()["entries"] == again.json()["entries"]
    assert entries(folder) == before + 3
    lots = {lot["key"] for lot in client.get("/api/plot").json()["lots"]}
    assert {name for name in lots if name.startswith("chard 30 Jul")} == {
        "chard 30 Jul",
        "chard 30 Jul 3",
    }
    unclear = client.post(
        "/api/log", json={"kind": "sown", "id": new_id(78), "crop": "chard", "seeds": 8}
    )
    assert unclear.status_code == 422 and "cups, bed A" in unclear.json()["remedy"]


def test_undo_takes_back_once_and_only_what_it_named(client: TestClient, folder: Path) -> None:
    told = [client.post("/api/log", json={**SPOTS, "id": new_id(n)}).json() for n in (80, 81)]
    serials = [str(one["entries"][0]["serial"]) for one in told]
    before = entries(folder)
    back = {"id": new_id(82), "entry": serials[0], "why": "wrong plant"}
    assert [client.post("/api/undo", json=back).status_code for _ in range(2)] == [201, 200]
    assert entries(folder) == before + 1
    # the same id cannot seem to take another entry back
    assert client.post("/api/undo", json={**back, "entry": serials[1]}).status_code == 409
    # what was taken back cannot be taken back again, and what is not there cannot be
    assert client.post("/api/undo", json={**back, "id": new_id(83)}).status_code == 409
    assert client.post("/api/undo", json={"id": new_id(84), "entry": "99999"}).status_code == 404
    newest, gone = client.get("/api/record", params={"count": 3}).json()["entries"][::2]
    assert newest["kind"] == "withdrawal" and gone["gone_by"] == newest["serial"]


def test_the_description_loads_nothing_from_elsewhere(client: TestClient) -> None:
    told = described(client)
    assert told["openapi"].startswith("3.1")
    assert "http://" not in json.dumps(told) and "https://" not in json.dumps(told)
    for address in ("/api/docs", "/api/redoc", "/docs", "/openapi.json"):
        assert client.get(address).status_code == 404
