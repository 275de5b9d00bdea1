"""Which entries that a phone made have arrived."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from lattermath.desk.wiring import folder_at, open_journal


def arrived(path: Path | str, ids: Iterable[str]) -> tuple[str, ...]:
    """Those of these ids that the journal has, what was taken back since among them."""
    with open_journal(folder_at(path)) as journal:
        return tuple(one for one in ids if journal.find(one) is not None)
