"""The code that lets one more phone in: once, for some minutes, and not to be guessed."""

from __future__ import annotations

import hmac
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from threading import Lock

from lattermath.desk import clock
from lattermath.vocabulary.errors import Fault, InputError

DIGITS = 8
LASTS_SECONDS = 600
# After so many wrong tries, from wherever, a code is void: one in ten million would be guessed.
WRONG_TRIES = 10
BETWEEN = re.compile(r"[\s.\-]")


class CodeRefused(InputError):
    """No such code stands."""


@dataclass(frozen=True, slots=True)
class PairingCode:
    """Digits to type. `until` is told to people; what lapses it is a clock that nobody sets."""

    digits: str
    until: datetime
    lapses: float

    @property
    def spaced(self) -> str:
        """The digits in two groups."""
        return f"{self.digits[: DIGITS // 2]} {self.digits[DIGITS // 2 :]}"


class PairingCodes:
    """At most one code stands at a time; a new one makes the one before void."""

    def __init__(self, running: Callable[[], float] = clock.running_seconds) -> None:
        """Begin with none. `running` gives seconds by a clock that nobody sets."""
        self._running, self._lock = running, Lock()
        self._code: PairingCode | None = None
        self._wrong = 0

    def fresh(self) -> PairingCode:
        """Make a new code."""
        lasts = timedelta(seconds=LASTS_SECONDS)
        with self._lock:
            digits = "".join(str(secrets.randbelow(10)) for _ in range(DIGITS))
            lapses = self._running() + LASTS_SECONDS
            self._code, self._wrong = PairingCode(digits, clock.now() + lasts, lapses), 0
            return self._code

    def standing(self) -> PairingCode | None:
        """The code that stands, if one does."""
        with self._lock:
            return self._still()

    def use(self, words: str) -> None:
        """Use the code up. CodeRefused where it is wrong, was used, or has lapsed: all one."""
        tried = BETWEEN.sub("", words)
        with self._lock:
            code = self._still()
            right = code is not None and hmac.compare_digest(tried.encode(), code.digits.encode())
            if right:
                self._code = None
                return
            self._wrong += 1
            if self._wrong >= WRONG_TRIES:
                self._code = None
        remedy = "Ask for a new code on the machine itself, on its page Phones."
        what = "this code is not right, was used already, or has lapsed"
        raise CodeRefused(Fault(what, "code", "", remedy))

    def _still(self) -> PairingCode | None:
        if self._code is not None and self._running() >= self._code.lapses:
            self._code = None
        return self._code
