"""The gate: what it lets through, whoever asks, from wherever, with whatever in hand."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.desk.paired_phones import admit, change_token, machine_token, revoke
from lattermath.desk.pairing_code import PairingCodes
from lattermath.doors.web.callers import Lan
from lattermath.doors.web.guard import LARGEST_BODY, Guard
from lattermath.doors.web.pace import Pace

OWN, PORT = "192.168.1.5", 8714
HOSTS = frozenset({OWN, "plot.local"})
HERE, AT_HOME, FAR = "127.0.0.1", "192.168.1.7", "203.0.114.9"
OURS = (f"{OWN}:{PORT}", f"plot.local:{PORT}", "PLOT.local")
UNSAFE = ("POST", "PUT", "DELETE", "PATCH")


@dataclass
class Gate:
    """A guard before an app that only notes that it was reached."""

    folder: Path
    secure: bool = False
    reached: int = 0
    body: bytes = b""

    def __post_init__(self) -> None:
        scheme = "https" if self.secure else "http"
        lan = Lan(f"{scheme}://{OWN}:{PORT}", HOSTS, self.secure, PairingCodes())
        self.lan, self.guard = lan, Guard(self.app, self.folder, lan)

    async def app(self, scope: Any, receive: Any, send: Any) -> None:
        self.reached += 1
        message = await receive()
        self.body = message.get("body", b"")
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    def ask(
        self,
        method: str = "GET",
        path: str = "/",
        peer: str = AT_HOME,
        headers: dict[str, str] | None = None,
        parts: tuple[bytes, ...] = (b"",),
    ) -> tuple[int, bool]:
        """The status, and whether the app was reached."""
        before, statuses, coming = self.reached, [], list(parts)

        async def receive() -> dict[str, Any]:
            body = coming.pop(0)
            return {"type": "http.request", "body": body, "more_body": bool(coming)}

        async def send(message: dict[str, Any]) -> None:
            statuses.append(message.get("status"))

        told = {"host": OURS[0], **(headers or {})}
        scope = {
            "type": "http", "method": method, "path": path, "query_string": b"",
            "scheme": "https" if self.secure else "http",
            "client": (peer, 5000), "server": (HERE if peer == HERE else OWN, PORT),
            "headers": [(k.encode(), v.encode("latin-1")) for k, v in told.items()],
        }  # fmt: skip
        asyncio.run(self.guard(scope, receive, send))  # type: ignore[arg-type]
        return statuses[0], self.reached > before


@pytest.fixture
def gate(tmp_path: Path) -> Gate:
    return Gate(tmp_path)


@pytest.fixture(scope="module")
def folder() -> Iterator[Path]:
    with TemporaryDirectory() as name:
        yield Path(name)


@pytest.fixture(scope="module")
def sessions(folder: Path) -> dict[str, str]:
    paired, gone = admit(folder, "Anna"), admit(folder, "Lost")
    revoke(folder, "Lost")
    return {"paired": paired, "revoked": gone, "invented": "A" * 43, "nonsense": "../x", "none": ""}


CHOICES: dict[str, tuple[Any, ...]] = {
    "method": ("GET", "HEAD", *UNSAFE),
    "path": ("/", "/log/spots", "/api/log", "/static/look.css", "/token"),
    "peer": (HERE, OWN, AT_HOME, FAR, "::1", "fe80::1%eth0", "testclient", ""),
    "host": (*OURS, "localhost", "evil.example", "192.168.1.50", ""),
    "origin": (None, "ours", "null", "http://evil.example", "https://localhost:1", "other scheme"),
    "site": (None, "same-origin", "none", "same-site", "cross-site", ""),
    "session": ("paired", "revoked", "invented", "nonsense", "none"),
    "by": ("cookie", "bearer", "secure cookie"),
    "token": (None, "right", "wrong", "empty", "machine"),
    "carried": ("header", "form", "form with a photo"),
    "forwarded": (None, "x-forwarded-for", "via", "forwarded"),
    "secure": (False, True),
}
PHONE = {
    "method": "POST", "path": "/log/spots", "peer": AT_HOME, "host": OURS[0], "origin": "ours",
    "site": None, "session": "paired", "by": "cookie", "token": "right", "carried": "form",
    "forwarded": None, "secure": False,
}  # fmt: skip
RIGHT: tuple[dict[str, Any], ...] = (
    PHONE,
    {**PHONE, "site": "same-origin", "carried": "header"},
    {**PHONE, "by": "secure cookie", "secure": True, "peer": FAR, "site": "same-origin"},
    {**PHONE, "by": "bearer", "path": "/api/log", "origin": None, "token": None},
    {**PHONE, "peer": HERE, "host": "localhost", "session": "none", "token": "machine"},
    {**PHONE, "peer": HERE, "session": "none", "token": None, "origin": None},
)


def never(case: dict[str, Any]) -> list[bool]:
    """Each reason why this may not come through, said by itself and not as the guard says it."""
    here = case["peer"] in (HERE, OWN, "::1") and case["forwarded"] is None
    cookie_kind = "secure cookie" if case["secure"] else "cookie"
    by_cookie = case["session"] == "paired" and case["by"] == cookie_kind
    by_bearer = case["session"] == "paired" and case["by"] == "bearer"
    by_bearer = by_bearer and case["path"].startswith("/api/")
    told = [
        case["host"] in ("evil.example", "192.168.1.50", ""),
        case["host"] == "localhost" and not here,
        not here and not by_cookie and not by_bearer,
        case["peer"] in (FAR, "testclient", "") and not case["secure"],
    ]
    if case["method"] not in UNSAFE:
        return told
    has_cookie = case["session"] != "none" and case["by"] != "bearer"
    from_a_page = case["origin"] is not None or case["site"] is not None or has_cookie
    token = "machine" if here else "right"
    return [
        *told,
        case["origin"] not in (None, "ours"),
        case["site"] not in (None, "same-origin", "none"),
        from_a_page and (here or by_cookie) and case["token"] != token,
    ]


def asks(
    folder: Path, sessions: dict[str, str], case: dict[str, Any]
) -> tuple[int, bool, list[bool]]:
    gate = Gate(folder, case["secure"])
    headers, body = _told(gate, sessions, case)
    status, reached = gate.ask(case["method"], case["path"], case["peer"], headers, (body,))
    assert reached == (status == 200)
    if reached and case["method"] in UNSAFE:
        assert gate.body == body
    return status, reached, never(case)


@settings(max_examples=1500, deadline=None)
@given(case=st.fixed_dictionaries({k: st.sampled_from(v) for k, v in CHOICES.items()}))
def test_nothing_comes_through_that_may_not_and_all_else_does(
    folder: Path, sessions: dict[str, str], case: dict[str, Any]
) -> None:
    status, reached, reasons = asks(folder, sessions, case)
    assert reached == (not any(reasons)), (status, reasons)


@pytest.mark.parametrize("right", RIGHT)
def test_one_thing_wrong_is_enough_and_two(
    folder: Path, sessions: dict[str, str], right: dict[str, Any]
) -> None:
    """From each request that is right: every single change, and every pair of changes."""
    assert asks(folder, sessions, right)[1]
    refused = 0
    changes = [(name, value) for name, values in CHOICES.items() for value in values]
    for first in changes:
        for second in changes:
            case = {**right, first[0]: first[1], second[0]: second[1]}
            status, reached, reasons = asks(folder, sessions, case)
            assert reached == (not any(reasons)), (status, reasons, case)
            refused += not reached
    assert refused > 500


BOUNDARY = "----WebKitFormBoundaryqZ7HnBdH6YtKr2aS"


def parts(*named: tuple[str, bytes]) -> bytes:
    """A form as browsers send it where it may carry a file (RFC 7578)."""
    made = [
        b'--%s\r\nContent-Disposition: form-data; name="%s"\r\n\r\n%s\r\n'
        % (BOUNDARY.encode(), name.encode(), value)
        for name, value in named
    ]
    return b"".join(made) + f"--{BOUNDARY}--\r\n".encode()


@pytest.mark.parametrize(
    "body",
    [
        parts(("note", b"x")),
        parts(("tokens", b"right")),
        b"right",
        b"--" + BOUNDARY.encode(),
        parts(("token", b"right")).replace(BOUNDARY.encode(), b"other"),
        parts(("token", b"right" + b"x" * 2000)),
    ],
)
def test_a_form_with_a_photo_brings_its_token_in_front_or_is_refused(
    folder: Path, sessions: dict[str, str], body: bytes
) -> None:
    gate = Gate(folder, False)
    headers, _ = _told(gate, sessions, {**PHONE, "carried": "form with a photo"})
    told = body.replace(b"right", change_token(sessions["paired"]).encode())
    assert gate.ask("POST", "/log/spots", AT_HOME, headers, (told,)) == (403, False)


def _told(
    gate: Gate, sessions: dict[str, str], case: dict[str, Any]
) -> tuple[dict[str, str], bytes]:
    headers, body = {"host": case["host"]}, b"note=x"
    session = sessions[case["session"]]
    if case["origin"] is not None:
        own = f"{'https' if case['secure'] else 'http'}://{case['host'].lower()}"
        other = own.replace("https:", "x:").replace("http:", "https:").replace("x:", "http:")
        headers["origin"] = {"ours": own, "other scheme": other}.get(case["origin"], case["origin"])
    if case["site"] is not None:
        headers["sec-fetch-site"] = case["site"]
    if session and case["by"] == "bearer":
        headers["authorization"] = f"Bearer {session}"
    elif session:
        name = "__Host-lattermath" if case["by"] == "secure cookie" else "lattermath"
        headers["cookie"] = f"{name}={session}"
    if case["forwarded"]:
        headers[case["forwarded"]] = "127.0.0.1"
    if case["token"] is not None:
        token = {
            "right": change_token(session), "wrong": "0" * 64, "empty": "",
            "machine": machine_token(gate.folder),
        }[case["token"]]  # fmt: skip
        if case["carried"] == "header":
            headers["x-lattermath-token"] = token
        elif case["carried"] == "form with a photo":
            headers["content-type"] = f"multipart/form-data; boundary={BOUNDARY}"
            body = parts(("token", token.encode()), ("note", b"x"), ("photo", b"\xff\xd8\r\n--"))
        else:
            headers["content-type"] = "application/x-www-form-urlencoded"
            body += b"&token=" + token.encode()
    return headers, body


def test_a_stranger_in_the_house_gets_the_page_for_a_code_and_nothing_else(gate: Gate) -> None:
    for path in ("/", "/static/look.css", "/state", "/token", "/api/plan", "/api/openapi.json"):
        assert gate.ask(path=path) == (401, False)
    assert gate.ask(path="/pair") == (200, True)
    assert gate.ask(path="/pair", peer=FAR) == (403, False)
    assert gate.ask(path="/pair", headers={"host": "evil.example"}) == (421, False)


def test_a_body_that_lies_about_its_length_is_not_read_to_the_end(gate: Gate) -> None:
    part = b"x" * 1_000_000
    assert gate.ask("POST", peer=HERE, parts=(part,) * 26) == (413, False)
    assert gate.ask("POST", "/pair", parts=(b"x" * 4001,)) == (413, False)
    assert gate.ask("POST", peer=HERE, headers={"content-length": "²"}) == (413, False)
    assert gate.ask("POST", peer=HERE, headers={"content-length": str(LARGEST_BODY)}) == (200, True)


def test_tries_of_a_code_are_slowed_down_and_another_phone_is_not(gate: Gate) -> None:
    tries = [gate.ask("POST", "/pair")[0] for _ in range(20)]
    assert tries.count(200) == 6 and tries[6:] == [429] * 14
    assert gate.ask("POST", "/pair", peer="192.168.1.8") == (200, True)
    assert gate.ask("POST", "/api/pair") == (429, False)


def test_strangers_are_slowed_down_and_the_machine_itself_is_not(gate: Gate) -> None:
    assert [gate.ask()[0] for _ in range(60)].count(429) >= 19
    assert all(gate.ask(peer=HERE) == (200, True) for _ in range(300))


@settings(max_examples=200, deadline=None)
@given(
    steps=st.lists(st.floats(0, 30, allow_nan=False), min_size=1, max_size=80),
    a_minute=st.floats(1, 600),
    at_once=st.integers(1, 50),
)
def test_nobody_goes_faster_than_the_pace(
    steps: list[float], a_minute: float, at_once: int
) -> None:
    """In every stretch of time at most what may come at once and what fills up meanwhile."""
    now, passed = [0.0], []
    pace = Pace(a_minute, at_once, lambda: now[0])
    for step in steps:
        now[0] += step
        wait = pace.wait("one")
        if wait == 0:
            passed.append(now[0])
        else:
            now[0] += wait
            assert pace.wait("one") == 0, "whoever waits as told is let through"
            passed.append(now[0])
    for n, begun in enumerate(passed):
        for m, ended in enumerate(passed[n:], 1):
            assert m <= at_once + (ended - begun) * a_minute / 60 + 1e-6


def test_a_line_held_open_is_closed(gate: Gate) -> None:
    told: list[dict[str, Any]] = []

    async def send(message: dict[str, Any]) -> None:
        told.append(message)

    asyncio.run(gate.guard({"type": "websocket", "path": "/"}, None, send))  # type: ignore[arg-type]
    assert told == [{"type": "websocket.close", "code": 1008}] and not gate.reached


@pytest.mark.parametrize(
    ("method", "path", "passes"),
    [("GET", "/arrived", True), ("POST", "/arrived", False), ("GET", "/arrived/x", False)],
)
def test_what_has_arrived_may_be_asked_unpaired_and_nothing_written(
    gate: Gate, method: str, path: str, passes: bool
) -> None:
    assert gate.ask(method, path)[1] is passes
    assert gate.ask(method, path, peer=FAR) == (403, False)  # and not from beyond the house
