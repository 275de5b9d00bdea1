"""Phones and programs beyond this machine that may use a plot, and calendars that may read it.

One small file each, in a folder beside the journal that only its owner may read. A file is named
for the digest of the phone's session, which is kept nowhere: whoever reads the folder cannot come
in with it. Taking a file away takes the leave away, at once; being seen only touches the file, so
that no race brings a revoked phone back.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Literal, get_args

from lattermath.desk import clock
from lattermath.desk.wiring import folder_at
from lattermath.vocabulary.errors import Fault, InputError, NotThere

Kind = Literal["phone", "program", "calendar"]
KINDS: tuple[Kind, ...] = get_args(Kind)
SECRET_BYTES = 32
SECRET = re.compile(r"[A-Za-z0-9_-]{43}")  # 32 bytes as base64 without its filling
UNSEEN = timedelta(days=200)  # longer than a season: a phone not seen for so long is forgotten
SEEN_AGAIN = timedelta(hours=1)
MOST_PHONES = 50
MOST_LETTERS = 40  # of a name
KEY_LETTERS = 8
CALENDAR_PATH = "/calendar/{secret}/visits.ics"
EVERYONE = "all"


@dataclass(frozen=True, slots=True)
class Phone:
    """One that was let in. `key` names it; nothing here lets anybody in."""

    key: str
    name: str
    kind: Kind
    paired_at: datetime
    seen_at: datetime


def admit(folder: Path, name: str, kind: Kind = "phone") -> str:
    """Let one in, and give its session: 256 random bits, kept by it alone.

    InputError where there are too many already.
    """
    place = _place(folder)
    if len(paired(folder)) >= MOST_PHONES:
        remedy = "Take some away: lattermath phones --revoke NAME."
        raise InputError(Fault("too many phones are paired", "phones", str(MOST_PHONES), remedy))
    secret = _letters(clock.random_bytes(SECRET_BYTES))
    told = {"name": _plain(name, kind), "kind": kind, "paired_at": clock.now().isoformat()}
    _write_new(place / f"{_digest(secret)}.json", json.dumps(told))
    return secret


def known(folder: Path, secret: str) -> Phone | None:
    """The phone of a session; None where nobody has it, or not any more. A calendar has none."""
    found = _known(folder, secret)
    return found if found is not None and found.kind != "calendar" else None


def calendar_of(folder: Path, secret: str) -> Phone | None:
    """The calendar of an address; None where there is none, or not any more. A phone is none."""
    found = _known(folder, secret)
    return found if found is not None and found.kind == "calendar" else None


def calendar_path(secret: str) -> str:
    """Where a calendar of this secret is read, behind the plot's address."""
    return CALENDAR_PATH.format(secret=secret)


def calendars(folder: Path) -> tuple[Phone, ...]:
    """The calendars that read the plot's visits, the last first."""
    return tuple(one for one in paired(folder) if one.kind == "calendar")


def _known(folder: Path, secret: str) -> Phone | None:
    if not SECRET.fullmatch(secret):
        return None
    file = _folder(folder) / f"{_digest(secret)}.json"
    phone = _read(file)
    if phone is None:
        return None
    now = clock.now()
    if now - phone.seen_at > UNSEEN:
        file.unlink(missing_ok=True)
        return None
    if abs(now - phone.seen_at) > SEEN_AGAIN:
        _touch(file, now)
    return phone


def paired(folder: Path) -> tuple[Phone, ...]:
    """All that were let in, the last first."""
    found = [phone for _, phone in _all(folder)]
    return tuple(sorted(found, key=lambda one: one.paired_at, reverse=True))


def revoke(folder: Path, which: str) -> tuple[Phone, ...]:
    """Take leave away from the phone of a key or a name, or from `all`; gives those that went.

    NotThere where none is called so; nothing is taken from any where several are.
    """
    found = [
        (file, phone)
        for file, phone in _all(folder)
        if which == EVERYONE or which.lower() in (phone.key, phone.name.lower())
    ]
    if not found and which != EVERYONE:
        remedy = "See `lattermath phones` for names and keys."
        raise NotThere(Fault("no phone is called so", "phones", which, remedy))
    if len(found) > 1 and which != EVERYONE:
        keys = ", ".join(phone.key for _, phone in found)
        raise InputError(Fault("several are called so", "phones", which, f"Give a key: {keys}."))
    for file, _ in found:
        file.unlink(missing_ok=True)
    return tuple(phone for _, phone in found)


def change_token(secret: str) -> str:
    """What a page of this session's own sends along with every change; no other page can know."""
    return hashlib.sha256(f"lattermath change {secret}".encode()).hexdigest()


def machine_token(folder: Path) -> str:
    """The same for pages opened on this machine itself; it outlasts the program's end.

    Before there is a plot nothing is written, and it lasts as long as the program.
    """
    if not folder_at(folder).journal.exists():
        return change_token(_before_a_plot())
    file = _place(folder) / "pages.key"
    if not file.exists():
        with suppress(FileExistsError):  # another process was first
            _write_new(file, _letters(clock.random_bytes(SECRET_BYTES)))
    return change_token(file.read_text("ascii"))


@cache
def _before_a_plot() -> str:
    return _letters(clock.random_bytes(SECRET_BYTES))


def _folder(folder: Path) -> Path:
    return folder_at(folder).phones


def _place(folder: Path) -> Path:
    place = _folder(folder)
    place.mkdir(mode=0o700, exist_ok=True)
    return place


def _write_new(file: Path, text: str) -> None:
    """Write a file that only its owner may read, and that was not there."""
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as out:
        out.write(text)


def _all(folder: Path) -> Iterator[tuple[Path, Phone]]:
    for file in sorted(_folder(folder).glob("*.json")):
        phone = _read(file)
        if phone is not None:
            yield file, phone


def _read(file: Path) -> Phone | None:
    """A phone from its file; None where it is gone, or half-written: nobody comes in with that."""
    try:
        seen = datetime.fromtimestamp(file.stat().st_mtime, UTC)
        told = json.loads(file.read_text("utf-8"))
        at = datetime.fromisoformat(told["paired_at"])
        kind = next(one for one in KINDS if one == told["kind"])
        return Phone(file.stem[:KEY_LETTERS], str(told["name"]), kind, at, seen)
    except (OSError, ValueError, KeyError, TypeError, StopIteration):
        return None


def _touch(file: Path, now: datetime) -> None:
    with suppress(OSError):  # revoked this instant
        os.utime(file, (now.timestamp(), now.timestamp()))


def _plain(name: str, kind: Kind) -> str:
    """A name of printable letters in one line."""
    words = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    return words[:MOST_LETTERS] or kind.capitalize()


def _letters(secret: bytes) -> str:
    return base64.urlsafe_b64encode(secret).rstrip(b"=").decode()


def _digest(secret: str) -> str:
    """A plain digest is enough: nobody can try out 256 random bits."""
    return hashlib.sha256(secret.encode()).hexdigest()
