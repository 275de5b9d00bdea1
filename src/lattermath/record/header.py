"""Is this file a journal of ours? Answered from its first bytes, before anything opens it."""

from __future__ import annotations

import os
from pathlib import Path

from lattermath.vocabulary.errors import Fault, JournalError

APPLICATION_ID = 0x4C41_5454  # "LATT"
SCHEMA_VERSION = 1

_MAGIC = b"SQLite format 3\x00"
_HEADER_BYTES = 100


def refuse_unless_ours(path: Path) -> None:
    """Raise JournalError unless the file's header is that of a journal this program can read.

    Reads the first 100 bytes and the file's size; opens nothing for writing and leaves no trace.
    Header layout: SQLite file format, section 1.3 (offsets 16, 24, 28, 60, 68 and 92).
    """
    try:
        with path.open("rb") as file:
            head = file.read(_HEADER_BYTES)
            size = os.fstat(file.fileno()).st_size
    except OSError as fault:
        raise _refusal(path, "the journal cannot be read", str(fault.strerror or fault)) from fault
    if size == 0:
        raise _refusal(path, "the file is empty, so it is no journal", "0 bytes")
    if head[:16] != _MAGIC:
        raise _refusal(path, "this file is no journal", repr(head[:16]))
    if len(head) < _HEADER_BYTES:
        raise _refusal(path, "the journal is cut short", f"{size} bytes")
    if _number(head, 68) != APPLICATION_ID:
        raise _refusal(path, "this database belongs to another program", f"{_number(head, 68):#x}")
    _refuse_version(path, _number(head, 60))
    _refuse_short(path, head, size)


def _refuse_version(path: Path, version: int) -> None:
    if version > SCHEMA_VERSION:
        raise JournalError(
            Fault(
                "the journal was written by a newer program",
                str(path),
                f"version {version}; this program reads up to {SCHEMA_VERSION}",
                "Use the newer program; this file was not touched.",
            )
        )
    if version < 1:
        raise _refusal(path, "the journal's version is damaged", str(version))


def _refuse_short(path: Path, head: bytes, size: int) -> None:
    """Refuse a file shorter than its header says, unless the log beside it holds the rest."""
    page = int.from_bytes(head[16:18], "big")
    page = 65536 if page == 1 else page
    if page < 512 or page & (page - 1):
        raise _refusal(path, "the journal's header is damaged", f"page size {page}")
    log = path.with_name(path.name + "-wal")
    pages = _number(head, 28)
    if pages * page > size and _number(head, 24) == _number(head, 92) and not _has_content(log):
        raise _refusal(path, "the journal is cut short", f"{size} of {pages * page} bytes")


def _has_content(path: Path) -> bool:
    return path.exists() and path.stat().st_size > 0


def _number(head: bytes, offset: int) -> int:
    return int.from_bytes(head[offset : offset + 4], "big")


def _refusal(path: Path, what: str, found: str) -> JournalError:
    remedy = "Name the right file, or bring back the last backup; this file was not touched."
    return JournalError(Fault(what, str(path), found, remedy))
