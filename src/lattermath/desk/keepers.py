"""Keep the record safe: export it openly, back it up, and check it."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TextIO

from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.backup import back_up
from lattermath.record.export import write_csv, write_json
from lattermath.vocabulary.errors import Fault, InputError


def export_json(path: Path | str, out: TextIO) -> None:
    """Write the whole journal as one JSON document."""
    with open_journal(folder_at(path)) as journal:
        write_json(journal, out)


def export_json_file(path: Path | str, target: Path) -> Path:
    """Write the whole journal to a new file; it appears whole or not at all."""
    if target.exists():
        raise InputError(
            Fault("there is a file of this name already", str(target), "", "Name another.")
        )
    making = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        with making.open("w", encoding="utf-8") as out:
            export_json(path, out)
        making.rename(target)
    finally:
        making.unlink(missing_ok=True)
    return target


def export_csv(path: Path | str, target: Path) -> tuple[Path, ...]:
    """Write the whole journal as CSV files into a new folder."""
    with open_journal(folder_at(path)) as journal:
        return write_csv(journal, target)


def backup(
    path: Path | str, target: Path, progress: Callable[[int, int], None] | None = None
) -> tuple[Path, ...]:
    """Copy the journal and its photos while others may write; refuse to overwrite."""
    folder = folder_at(path)
    with open_journal(folder) as journal:
        return back_up(journal, target, folder.photos, progress)


def check(path: Path | str) -> tuple[Fault, ...]:
    """Read the whole journal: pages, guards, chain, readings and plans. Empty: it is sound."""
    with open_journal(folder_at(path)) as journal:
        return journal.check()
