"""Who may ask, and what a page may do: one gate before every page."""

from __future__ import annotations

import hmac
import re
from collections.abc import Awaitable, Callable, Collection
from pathlib import Path
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from lattermath.doors.web.callers import (
    HERE_ONLY,
    IN_SCOPE,
    Caller,
    Lan,
    find_caller,
    is_calendar,
    of_a_home,
)
from lattermath.doors.web.gate_answers import HEADERS, Refused, answer_to
from lattermath.doors.web.pace import Pace
from lattermath.sheets.templating import page_token

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
LARGEST_BODY = 25_000_000  # bytes: a photo as cameras of 2026 write them (judgement), and words
LARGEST_OF_A_STRANGER = 4_000
PAIRING = frozenset({"/pair", "/api/pair"})
RECEIPT = "/arrived"  # read only, for whoever knows the journal's own id
TOKEN_HEADER, TOKEN_FIELD = "x-lattermath-token", "token"
MOST_FIELDS = 2000
_MULTIPART = re.compile(r'multipart/form-data; *boundary="?([\w\'()+,./:=? -]{1,70}?)"?$', re.I)
_NAMES_TOKEN = re.compile(rb'content-disposition: *form-data; *name="token"', re.I)
_FRONT = 1000  # bytes in which the first part of a form of ours ends
# Times a minute and at once: a page and its parts come fast, tries of a code do not.
OF_A_PHONE, OF_A_STRANGER, OF_A_CODE = (600, 200), (60, 40), (6, 6)
OF_A_CALENDAR = (12, 12)  # it is told to ask once an hour


class Guard:
    """Refuses other names than this machine's, strangers, and changes that other sites ask for."""

    def __init__(
        self, app: ASGIApp, folder: Path, lan: Lan | None = None, hosts: Collection[str] = HERE_ONLY
    ) -> None:
        """Guard an app that answers to these host names, whatever the port.

        lan : how it is served beyond this machine; None: it is not.
        """
        self._app, self._folder, self._lan = app, folder, lan
        self._here = frozenset(hosts) | (lan.hosts if lan else frozenset())
        self._phones, self._strangers, self._codes, self._calendars = (
            Pace(*paces) for paces in (OF_A_PHONE, OF_A_STRANGER, OF_A_CODE, OF_A_CALENDAR)
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a refusal, or hand the request on and put the headers on its answer."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":  # there is nothing here to hold a line open to
            await send({"type": "websocket.close", "code": 1008})
            return
        headers = Headers(scope=scope)
        try:
            caller = self._let_in(scope, headers)
            if scope["method"] not in SAFE_METHODS:
                receive = await self._as_ours(scope, headers, caller, receive)
        except Refused as refused:
            await answer_to(refused, scope, headers)(scope, receive, send)
            return
        scope[IN_SCOPE] = caller
        page_token.set(caller.token)
        await self._app(scope, receive, _with_headers(send, scope["path"]))

    def _let_in(self, scope: Scope, headers: Headers) -> Caller:
        """Who asks; Refused for a wrong name, for a stranger, and for one who asks too often."""
        host = _name(headers.get("host", ""))
        if host not in self._here:
            raise Refused(421)
        caller = find_caller(scope, headers, self._folder, self._lan)
        if caller.here:
            return caller
        assert self._lan is not None
        if host in HERE_ONLY:  # a name that only this machine itself has for itself
            raise Refused(421)
        if not self._lan.secure and not of_a_home(caller.peer):
            raise Refused(403, "far")
        self._keep_pace(scope, caller)
        if is_calendar(scope["path"]):
            if caller.calendar is None or scope["method"] not in SAFE_METHODS:
                raise Refused(404, "calendar")
        elif not caller.allowed and not _open_to_strangers(scope):
            raise Refused(401)
        return caller

    def _keep_pace(self, scope: Scope, caller: Caller) -> None:
        if caller.calendar:
            wait = self._calendars.wait(caller.calendar.key)
        elif caller.phone:
            wait = self._phones.wait(caller.phone.key)
        else:
            wait = self._strangers.wait(caller.peer)
        if scope["path"] in PAIRING and scope["method"] not in SAFE_METHODS:
            wait = max(wait, self._codes.wait(caller.peer))
        if wait:
            raise Refused(429, wait=wait)

    async def _as_ours(
        self, scope: Scope, headers: Headers, caller: Caller, receive: Receive
    ) -> Receive:
        """The body of a change, read; Refused where it is too large or no page of ours asks."""
        most = LARGEST_BODY if caller.allowed else LARGEST_OF_A_STRANGER
        size = headers.get("content-length") or "0"
        if not (size.isascii() and size.isdecimal()) or int(size[:18]) > most:
            raise Refused(413)
        by_browser = _by_browser(headers)
        if by_browser and not _same_site(headers, scope["scheme"]):
            raise Refused(403, "site")
        body = await _whole(receive, most)
        needs_token = caller.allowed and not caller.by_token and by_browser
        if needs_token and not _has_token(headers, body, caller.token):
            raise Refused(403, "token")
        return _again(body, receive)


def _open_to_strangers(scope: Scope) -> bool:
    """Whether a request needs no pairing: pairing itself, and asking what has arrived."""
    path = scope["path"]
    return path in PAIRING or (path == RECEIPT and scope["method"] in SAFE_METHODS)


def _name(host: str) -> str:
    """The host without its port; an address in brackets keeps them."""
    if host.startswith("["):
        return host.partition("]")[0] + "]"
    return host.partition(":")[0].lower()


def _by_browser(headers: Headers) -> bool:
    """Whether a browser asks: each that is in use marks its changes with at least one of these."""
    return any(name in headers for name in ("sec-fetch-site", "origin", "cookie"))


def _same_site(headers: Headers, scheme: str) -> bool:
    """Whether a change comes from a page of ours; every mark that is there must say so."""
    fetched, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if fetched is not None and fetched not in ("same-origin", "none"):
        return False
    if origin is None:
        return True
    return origin.lower() == f"{scheme}://{headers.get('host', '').lower()}"


def _has_token(headers: Headers, body: bytes, token: str) -> bool:
    """Whether the token of this caller's own pages came along, as a header or in the form."""
    told, kind = headers.get(TOKEN_HEADER), headers.get("content-type", "")
    if told is None and kind.startswith("application/x-www-form-urlencoded"):
        try:
            fields = parse_qs(body.decode("ascii"), max_num_fields=MOST_FIELDS)
        except ValueError:  # not of a browser's making
            return False
        told = fields.get(TOKEN_FIELD, [""])[-1]
    elif told is None:
        told = _first_part(kind, body)
    return told is not None and bool(token) and hmac.compare_digest(told.encode(), token.encode())


def _first_part(kind: str, body: bytes) -> str | None:
    """The token of a form that may carry a file (RFC 7578), where our pages put it: in front."""
    found = _MULTIPART.match(kind)
    if found is None:
        return None
    line = b"--" + found[1].encode("latin-1") + b"\r\n"
    head, _, rest = body[:_FRONT].removeprefix(line).partition(b"\r\n\r\n")
    if not body.startswith(line) or not _NAMES_TOKEN.fullmatch(head):
        return None
    return rest.partition(b"\r\n--")[0].decode("latin-1")


async def _whole(receive: Receive, most: int) -> bytes:
    """All of a body; Refused where it goes on longer than it may, whatever it said of itself."""
    parts, size, more = [], 0, True
    while more:
        message = await receive()
        if message["type"] != "http.request":
            break
        part = message.get("body", b"")
        parts.append(part)
        size += len(part)
        if size > most:
            raise Refused(413)
        more = message.get("more_body", False)
    return b"".join(parts)


def _again(body: bytes, receive: Receive) -> Receive:
    """The body once more, and then whatever comes after it."""
    told = False

    async def replay() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replay


def _with_headers(send: Send, path: str) -> Callable[[Message], Awaitable[None]]:
    async def answer(message: Message) -> None:
        if message["type"] == "http.response.start":
            told = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                if name not in told:  # a page that carries its own script brings its own policy
                    told[name] = value
            if "cache-control" not in told:
                kept = "max-age=86400" if path.startswith("/static/") else "no-store"
                told["cache-control"] = kept
        await send(message)

    return answer
