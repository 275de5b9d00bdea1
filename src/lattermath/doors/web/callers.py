"""Who asks: somebody on this machine, a paired phone, a program with its token, or a stranger."""

from __future__ import annotations

import ipaddress
import re
from dataclasses import dataclass
from pathlib import Path

from fastapi import Request
from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.types import Scope

from lattermath.desk.paired_phones import Phone, calendar_of, change_token, known, machine_token
from lattermath.desk.pairing_code import PairingCodes

HERE_ONLY = frozenset({"localhost", "127.0.0.1", "[::1]"})
FORWARDED = ("forwarded", "x-forwarded-for", "x-real-ip", "via")
COOKIE, SECURE_COOKIE = "lattermath", "__Host-lattermath"
IN_SCOPE = "lattermath.caller"
_CALENDAR = re.compile(r"/calendar/([^/]+)/visits\.ics")


@dataclass(frozen=True, slots=True)
class Lan:
    """How a plot is served beyond this machine.

    address : as a phone types it, with scheme and port.
    hosts   : names and addresses that this machine goes by there.
    secure  : whether it is served under a certificate.
    """

    address: str
    hosts: frozenset[str]
    secure: bool
    codes: PairingCodes

    @property
    def cookie(self) -> str:
        """The name of the cookie; under a certificate one that only this host can set."""
        return SECURE_COOKIE if self.secure else COOKIE


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks. `token`: what a change must bring; empty where no page of ours can be behind it.

    here     : on this machine itself.
    by_token : a program, by a token that no browser sends by itself.
    peer     : address of the far end.
    lan      : how the plot is served beyond this machine, if it is.
    calendar : whose address is asked for, which is open to it and nothing else is.
    """

    here: bool
    phone: Phone | None = None
    token: str = ""
    by_token: bool = False
    peer: str = ""
    lan: Lan | None = None
    calendar: Phone | None = None

    @property
    def allowed(self) -> bool:
        """Whether more than pairing is open to them."""
        return self.here or self.phone is not None


def find_caller(scope: Scope, headers: Headers, folder: Path, lan: Lan | None) -> Caller:
    """Who asks, by the address they ask from, their cookie, or their token."""
    peer = str((scope.get("client") or ("",))[0])
    if lan is None or is_here(scope, headers):
        return Caller(True, token=machine_token(folder), peer=peer, lan=lan)
    if (asked := _CALENDAR.fullmatch(scope["path"])) is not None:
        return Caller(False, peer=peer, lan=lan, calendar=calendar_of(folder, asked[1]))
    kind, _, bearer = headers.get("authorization", "").partition(" ")
    if kind.lower() == "bearer" and scope["path"].startswith("/api/"):
        return Caller(False, known(folder, bearer.strip()), by_token=True, peer=peer, lan=lan)
    secret = cookie_parser(headers.get("cookie", "")).get(lan.cookie, "")
    phone = known(folder, secret)
    return Caller(False, phone, change_token(secret) if phone else "", peer=peer, lan=lan)


def is_calendar(path: str) -> bool:
    """Whether an address is of the kind that calendars are given."""
    return _CALENDAR.fullmatch(path) is not None


def is_here(scope: Scope, headers: Headers) -> bool:
    """Whether the far end is this machine, and speaks for itself and for nobody further off."""
    if any(name in headers for name in FORWARDED):
        return False
    peer, own = ((scope.get(end) or ("",))[0] for end in ("client", "server"))
    address = _address(str(peer))
    return address is not None and (address.is_loopback or address == _address(str(own)))


def of_a_home(peer: str) -> bool:
    """Whether an address is of a private network or of the machine's own link."""
    address = _address(peer)
    return address is not None and (address.is_private or address.is_link_local)


def caller_of(request: Request) -> Caller:
    """Who asks, as the guard found."""
    found: Caller = request.scope[IN_SCOPE]
    return found


def _address(words: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        address = ipaddress.ip_address(words.partition("%")[0])
    except ValueError:
        return None
    return getattr(address, "ipv4_mapped", None) or address
