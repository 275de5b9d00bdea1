"""The phone in the house: paired with one code, at home on every page, and shut out again."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient
from tests.doors.web.planned import planned

from lattermath.desk.demo import Shown
from lattermath.desk.paired_phones import paired, revoke
from lattermath.desk.pairing_code import PairingCodes
from lattermath.desk.told_entries import record_of
from lattermath.doors import command
from lattermath.doors.web.app import make_app
from lattermath.doors.web.callers import Lan
from lattermath.record.ids import uuid7
from lattermath.sheets import phone_words as h
from lattermath.sheets.qr_code import drawing, on_screen

OWN = "192.168.1.5"
HOME = f"http://{OWN}:8714"
KEYS = Path(__file__).parent / "certificate"
SEEN = {"kind": "seen", "planting": "melon", "what": "aphids", "at": "2011-07-29T19:05"}


class House:
    """The plot served to the house, and whoever asks from wherever."""

    def __init__(self, folder: Path, secure: bool = False) -> None:
        self.folder, self.codes, self.numbers = folder, PairingCodes(), count()
        self.home = HOME.replace("http:", "https:") if secure else HOME
        hosts = frozenset({OWN, "plot.local"})
        lan = Lan(self.home, hosts, secure, self.codes)
        self.app: FastAPI = make_app(folder, on=date(2011, 7, 30), lan=lan)

    def phone(self, at: str = "192.168.1.7") -> TestClient:
        return TestClient(
            self.app, base_url=self.home, client=(at, 5000), follow_redirects=False,
            headers={"origin": self.home, "accept": "text/html"},
        )  # fmt: skip

    def machine(self) -> TestClient:
        there = "http://localhost:8714"
        return TestClient(
            self.app, base_url=there, client=("127.0.0.1", 5000), headers={"origin": there}
        )

    def program(self) -> TestClient:
        return TestClient(self.app, base_url=self.home, client=("192.168.1.9", 5000))

    def paired(self, name: str = "Anna") -> TestClient:
        # Each from an address of its own: tries are counted by address.
        phone = self.phone(f"192.168.1.{20 + next(self.numbers)}")
        answer = phone.post("/pair", data={"code": self.codes.fresh().digits, "name": name})
        assert (answer.status_code, answer.headers["location"]) == (303, "/")
        return phone


@contextmanager
def opened(shown: Shown, secure: bool = False) -> Iterator[House]:
    house = House(shown.folder, secure)
    planned(house.app, shown.plan)
    yield house
    house.app.state.house.keeper.close()


@pytest.fixture(scope="module")
def served(shown: Shown) -> Iterator[House]:
    with opened(shown) as house:
        yield house


@pytest.fixture
def house(served: House) -> House:
    revoke(served.folder, "all")
    return served


def token_of(client: TestClient) -> str:
    return str(client.get("/token").json()["token"])


def new_id(number: int) -> str:
    return uuid7(1_311_100_000_000 + number, bytes(10))


def test_a_phone_is_paired_by_a_code_and_then_at_home(house: House) -> None:
    phone = house.phone()
    page = phone.get("/")
    assert page.status_code == 401 and h.PAIR_LEAD in page.text
    assert 'src="' not in page.text and "<script" not in page.text
    assert "script" not in page.headers["content-security-policy"]
    phone = house.paired()
    assert phone.get("/").status_code == 200
    assert phone.get("/api/state").status_code == 200
    token, before = token_of(phone), len(record_of(house.folder).entries)
    told = {"planting": "melon", "what": "aphids", "id": new_id(1)}
    assert phone.post("/log/seen", data=told).status_code == 403
    assert phone.post("/log/seen", data={**told, "token": token}).status_code == 303
    assert phone.post("/api/log", json={**SEEN, "id": new_id(2)}).status_code == 403
    headers = {"x-lattermath-token": token}
    answer = phone.post("/api/log", json={**SEEN, "id": new_id(2)}, headers=headers)
    assert answer.status_code == 201
    assert len(record_of(house.folder).entries) == before + 2


def test_the_cookie_is_for_this_server_alone(house: House, shown: Shown) -> None:
    phone = house.phone()
    answer = phone.post("/pair", data={"code": house.codes.fresh().digits})
    told = answer.headers["set-cookie"].lower()
    assert told.startswith("lattermath=") and "httponly" in told and "samesite=lax" in told
    assert "domain" not in told and "secure" not in told and "path=/" in told
    with opened(shown, secure=True) as under_tls:
        answer = under_tls.phone().post("/pair", data={"code": under_tls.codes.fresh().digits})
        told = answer.headers["set-cookie"]
        assert told.startswith("__Host-lattermath=") and "; Secure" in told
        assert under_tls.phone("203.0.114.9").get("/").status_code == 401  # from anywhere
        assert under_tls.paired().get("/").status_code == 200


def test_a_code_is_not_used_twice_nor_by_looking_at_it(house: House) -> None:
    code = house.codes.fresh().digits
    looked = house.phone("192.168.1.20").get(f"/pair?code={code}")
    assert f'value="{code}"' in looked.text
    first = house.phone("192.168.1.20").post("/pair", data={"code": code})
    assert first.status_code == 303
    again = house.phone("192.168.1.21").post("/pair", data={"code": code})
    assert again.status_code == 422 and "set-cookie" not in again.headers
    assert "has lapsed" in again.text and code not in again.text
    assert len(paired(house.folder)) == 1
    assert "<script>" not in house.phone().get("/pair?code=<script>").text


def test_another_site_pairs_nobody(house: House) -> None:
    phone = house.phone()
    data = {"code": house.codes.fresh().digits}
    for headers in ({"origin": "http://evil.example"}, {"host": "evil.example"}):
        assert phone.post("/pair", data=data, headers=headers).status_code in (403, 421)
    assert house.codes.standing() is not None and not paired(house.folder)


def test_leave_taken_away_ends_at_once_everywhere(house: House) -> None:
    anna, ben = house.paired("Anna"), house.paired("Ben")
    token = token_of(anna)
    machine = house.machine()
    shown = machine.get("/phones").text
    assert "Anna" in shown and "Ben" in shown
    key = next(one.key for one in paired(house.folder) if one.name == "Anna")
    data = {"phone": key, "token": token_of(machine)}
    assert "Taken away: Anna." in machine.post("/phones/revoke", data=data).text
    before = len(record_of(house.folder).entries)
    told = {"planting": "melon", "what": "aphids", "id": new_id(5), "token": token}
    assert anna.get("/").status_code == 401
    assert anna.post("/log/seen", data=told).status_code == 401
    assert anna.get("/api/plan").status_code == 401
    assert len(record_of(house.folder).entries) == before
    assert ben.get("/").status_code == 200


def test_a_phone_looks_after_nobody_but_itself(house: House) -> None:
    anna, _ = house.paired("Anna"), house.paired("Ben")
    token = token_of(anna)
    page = anna.get("/phones").text
    assert "paired as Anna" in page and "Ben" not in page and '<svg class="qr"' not in page
    key = next(one.key for one in paired(house.folder) if one.name == "Ben")
    for path, data in (("/phones/revoke", {"phone": key}), ("/phones/code", {})):
        assert anna.post(path, data={**data, "token": token}).status_code == 422
    assert len(paired(house.folder)) == 2 and house.codes.standing() is None
    assert anna.post("/unpair", data={"token": token}).status_code == 303
    assert [one.name for one in paired(house.folder)] == ["Ben"]


def test_the_machine_shows_a_code_as_words_and_as_a_square(house: House) -> None:
    machine = house.machine()
    machine.post("/phones/code", data={"token": token_of(machine)})
    code = house.codes.standing()
    assert code is not None
    page = machine.get("/phones").text
    assert code.spaced in page and '<svg class="qr"' in page
    assert not re.search(r"\sstyle=", page)


def test_a_program_gets_a_token_by_the_same_code(house: House) -> None:
    program = house.program()
    assert program.get("/api/plot").status_code == 401
    refused = program.post("/api/pair", json={"code": "00000000", "name": "Barn"})
    assert refused.status_code == 422 and set(refused.json()) >= {"what", "where", "remedy"}
    code = house.codes.fresh().digits
    token = program.post("/api/pair", json={"code": code, "name": "Barn"}).json()["token"]
    assert len(token) == 43
    bearer = {"authorization": f"Bearer {token}"}
    assert program.get("/api/plot", headers=bearer).status_code == 200
    assert program.get("/", headers=bearer).status_code == 401, "a token opens no page"
    told = {**SEEN, "id": new_id(9)}
    for status in (201, 200):
        assert program.post("/api/log", json=told, headers=bearer).status_code == status
    foreign = {**bearer, "origin": "http://evil.example"}
    assert program.post("/api/log", json=told, headers=foreign).status_code == 403
    revoke(house.folder, "Barn")
    refused = program.post("/api/log", json=told, headers=bearer)
    assert refused.status_code == 401 and refused.headers["www-authenticate"] == "Bearer"
    assert set(refused.json()) == {"what", "where", "value", "remedy"}


def test_without_lan_there_is_nothing_to_pair_with(folder: Path) -> None:
    app = make_app(folder, on=date(2011, 7, 30))
    machine = TestClient(app, base_url="http://localhost:8714")
    assert h.NOT_SERVED in machine.get("/phones").text
    assert machine.post("/api/pair", json={"code": "12345678"}).status_code == 422
    assert machine.get("/", headers={"host": OWN}).status_code == 421
    app.state.house.keeper.close()


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (["--cert", str(KEYS / "house.pem")], "--cert"),
        (["--name", "plot.test"], "--name"),
        (["--lan", "--key", str(KEYS / "house.key")], "--key"),
        (["--lan", "--name", "http://plot.test"], "--name"),
        (["--lan", "--cert", str(KEYS / "missing.pem")], "--cert"),
        (["--lan", "--cert", str(KEYS / "house.pem")], "--cert"),
        (["--lan", "--cert", str(KEYS / "house.key")], "--cert"),
        (
            ["--lan", "--cert", str(KEYS / "house.pem"), "--key", str(KEYS / "other.key")],
            "--cert, --key",
        ),
        (
            ["--lan", "--cert", str(KEYS / "house.pem"), "--key", str(KEYS / "locked.key")],
            "--cert, --key",
        ),
    ],
)
def test_what_cannot_be_served_is_refused_before_anything_listens(
    folder: Path,
    words: list[str],
    where: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("uvicorn.run", lambda *_, **__: pytest.fail("it listens"))
    assert command.run(["serve", "--plot", str(folder), *words]) == 2
    assert capsys.readouterr().err.startswith(f"{where}: ")


def test_beyond_the_machine_only_when_asked(
    folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[dict[str, Any]] = []
    monkeypatch.setattr("uvicorn.run", lambda _, **options: told.append(options))
    monkeypatch.setattr("lattermath.doors.web.lan.own_addresses", lambda: (OWN,))
    tls = ["--cert", str(KEYS / "house.pem"), "--key", str(KEYS / "house.key")]
    serve = ["serve", "--plot", str(folder)]
    assert command.run(serve) == 0
    assert "code" not in capsys.readouterr().out
    assert command.run([*serve, "--lan"]) == 0
    out = capsys.readouterr().out
    assert f"{HOME}/pair" in out and re.search(r"code \d{4} \d{4}:", out) and h.PLAIN_HTTP in out
    assert command.run([*serve, "--lan", *tls, "--name", "Plot.Test"]) == 0
    out = capsys.readouterr().out
    assert "https://plot.test:8714/pair" in out and h.PLAIN_HTTP not in out
    assert [one["host"] for one in told] == ["127.0.0.1", "0.0.0.0", "0.0.0.0"]
    assert all(one["proxy_headers"] is False for one in told)
    assert told[2]["ssl_certfile"] == tls[1] and "ssl_certfile" not in told[1]


def test_phones_are_listed_and_revoked_by_command(
    house: House, capsys: pytest.CaptureFixture[str]
) -> None:
    house.paired("Anna")
    there = ["--plot", str(house.folder)]
    assert command.run(["phones", *there]) == 0
    assert "Anna (phone): paired " in capsys.readouterr().out
    assert command.run(["phones", "--json", *there]) == 0
    assert json.loads(capsys.readouterr().out)[0]["name"] == "Anna"
    assert command.run(["phones", "--revoke", "Carl", *there]) == 2
    assert command.run(["phones", "--revoke", "Anna", *there]) == 0
    assert command.run(["phones", "--revoke", "all", *there]) == 1
    assert not paired(house.folder)


def test_the_square_on_the_screen_and_on_the_page_is_the_same_square() -> None:
    """Both are read back, module by module, and compared; the finder patterns stand in place."""
    words = f"{HOME}/pair?code=12345678"
    halves = {" ": "00", "▀": "10", "▄": "01", "█": "11"}
    lines = [re.sub(r"\x1b\[[0-9;]*m", "", line) for line in on_screen(words)]
    screen = [[int(halves[c][half]) for c in line] for line in lines for half in (0, 1)]
    svg = str(drawing(words, "x"))
    width = len(screen[0])
    page = [[0] * width for _ in range(width)]
    for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", svg):
        page[int(y)][int(x)] = 1
    assert screen[:width] == page
    finder = ["1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"]
    for top, left in ((4, 4), (4, width - 11), (width - 11, 4)):
        found = ["".join(map(str, row[left : left + 7])) for row in page[top : top + 7]]
        assert found == finder
    assert not any(map(sum, page[:4])) and not any(map(sum, page[-4:]))
