"""Asks a server on the network, bounded in time, tries and size. Nothing else here does."""

from __future__ import annotations

import http.client
import json
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from email.message import Message
from typing import Any

from lattermath import __version__
from lattermath.vocabulary.errors import Fault, WeatherFileError

MOST_BYTES = 5_000_000  # judgement: a month of hours takes a twentieth of it
_PIECE = 65_536
_BUSY = (408, 425, 429, 500, 502, 503, 504)  # worth another try
_LONGEST_WAIT_S = 10.0  # however long the server asks us to wait
_NOT_NOW = "The plan goes on with what is known; try again later, or take in a file."
_MEND = "Look at [forecast] in plot.toml."


@dataclass(frozen=True, slots=True)
class Patience:
    """How often a server is asked, and how long an answer may take in all. [s]"""

    tries: int
    seconds: float
    pause_s: float = 1.0  # before the second try; doubled before each after it


class _Refused(Exception):
    """An answer that another try will not change."""


class _NoDetour(urllib.request.HTTPRedirectHandler):
    """Follows nobody elsewhere: the grower named one address."""

    def redirect_request(self, *_: Any, **__: Any) -> None:
        """Follow no redirection."""
        return


def ask(address: str, patience: Patience, sleep: Callable[[float], None] = time.sleep) -> bytes:
    """The body of the answer. WeatherFileError when none came in time, with why and what to do."""
    opener = urllib.request.build_opener(_NoDetour)
    ends, pause, why = time.monotonic() + patience.seconds, patience.pause_s, ""
    for n in range(patience.tries):
        left = ends - time.monotonic()
        if left <= 0:
            break
        try:
            return _once(opener, address, left)
        except _Refused as refused:
            raise _fault("the weather service refuses", address, str(refused), _MEND) from refused
        except urllib.error.HTTPError as busy:
            why, wait = f"{busy.code} {busy.reason}", _asked_wait(busy.headers, pause)
        except (OSError, http.client.HTTPException) as fault:
            why, wait = _said(fault), pause
        if n + 1 < patience.tries:
            sleep(max(min(wait, ends - time.monotonic()), 0.0))
            pause *= 2
    raise _fault("no weather service can be reached", address, why or "no time left", _NOT_NOW)


def _once(opener: urllib.request.OpenerDirector, address: str, seconds: float) -> bytes:
    headers = {"User-Agent": f"lattermath/{__version__}", "Accept": "application/json"}
    ends = time.monotonic() + seconds
    try:
        with opener.open(urllib.request.Request(address, headers=headers), timeout=seconds) as got:
            return _read(got, ends)
    except urllib.error.HTTPError as error:
        if error.code in _BUSY:
            raise
        raise _Refused(f"{error.code} {_reason(error)}") from error


def _read(got: http.client.HTTPResponse, ends: float) -> bytes:
    """The body piece by piece, so that a server that trickles is not waited for."""
    body = bytearray()
    while piece := got.read1(_PIECE):
        body += piece
        if len(body) > MOST_BYTES:
            raise _Refused(f"more than {MOST_BYTES} bytes")
        if time.monotonic() > ends:
            raise TimeoutError("the answer takes too long")
    length = got.headers.get("Content-Length")
    if length is not None and length.isdigit() and int(length) != len(body):
        raise TimeoutError("the answer broke off")
    return bytes(body)


def _reason(error: urllib.error.HTTPError) -> str:
    """Why, in the server's own words where it sends some as JSON."""
    try:
        told = json.loads(error.read(_PIECE))
        return str(told["reason"])[:200]
    except (ValueError, KeyError, TypeError, OSError):
        return str(error.reason)


def _asked_wait(headers: Message, pause: float) -> float:
    asked = headers.get("Retry-After", "")
    return min(float(asked), _LONGEST_WAIT_S) if asked.isdigit() else pause


def _said(fault: Exception) -> str:
    reason = getattr(fault, "reason", None)
    return str(reason or fault) or type(fault).__name__


def _fault(what: str, address: str, value: str, remedy: str) -> WeatherFileError:
    host = address.split("?")[0]
    return WeatherFileError(Fault(what, host, value, remedy))
