"""Keep the record safe: export it openly, back it up, and check it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from lattermath.desk import clock
from lattermath.desk.gone_plantings import gone_faults
from lattermath.desk.plot_edits import as_if, read_file
from lattermath.desk.wiring import Folder, folder_at, open_journal, tables_of
from lattermath.record.backup import back_up
from lattermath.record.effective import effective
from lattermath.record.export import write_csv, write_json
from lattermath.record.photos import faults_in
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError, LattermathError

PHOTOS = "photos"  # folder of the photos in an export


@dataclass(frozen=True, slots=True)
class Kept:
    """What was written or found, in words."""

    says: tuple[str, ...]
    files: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()


def export(path: Path | str, to: Path) -> Kept:
    """Write the whole journal as JSON and CSV, plot file and photos beside it, into a new folder.

    It appears whole or not at all; `bring_in` reads it back.
    """
    if to.exists():
        raise InputError(
            Fault("this folder is there already", "export", str(to), "Name one that is not.")
        )
    making = to.with_name(f".{to.name}.{os.getpid()}")
    try:
        with open_journal(folder_at(path)) as journal:
            write_csv(journal, making)
            with (making / "journal.json").open("w", encoding="utf-8") as out:
                write_json(journal, out)
        _copy_beside(folder_at(path), making)
        names = tuple(
            sorted(str(file.relative_to(making)) for file in making.rglob("*") if file.is_file())
        )
        making.rename(to)
    finally:
        shutil.rmtree(making, ignore_errors=True)
    return Kept((f"Wrote {len(names)} files to {to}.",), names)


def _copy_beside(folder: Folder, making: Path) -> None:
    """The plot file, tables of the grower's own and the photos, as they stand."""
    if folder.tables.is_dir():
        shutil.copytree(folder.tables, making / folder.tables.name)
    if folder.photos.is_dir():
        shutil.copytree(folder.photos, making / PHOTOS)
    if folder.plot_file.exists():
        shutil.copyfile(folder.plot_file, making / folder.plot_file.name)


def backup(path: Path | str, to: Path, progress: Callable[[int, int], None] | None = None) -> Kept:
    """Copy the journal and its photos while others may write; refuse to overwrite."""
    folder = folder_at(path)
    target = to / folder.journal.name if to.is_dir() else to
    with open_journal(folder) as journal:
        written = tuple(str(file) for file in back_up(journal, target, folder.photos, progress))
    return Kept((f"Copied the journal to {target}, and checked the copy.",), written)


def check(path: Path | str) -> Kept:
    """Look over plot.toml and the whole journal: pages, guards, chain, readings, plans.

    What was sprayed and is no longer in plot.toml is a fault too.
    """
    folder = folder_at(path)
    faults: tuple[Fault, ...] = ()
    file = None
    try:
        file = read_file(folder, clock.now())
    except LattermathError as wrong:
        faults += wrong.faults
    with open_journal(folder) as journal:
        serial = journal.last_serial
        faults += journal.check()
        if not faults:
            events = journal.events()
            faults += tuple(faults_in(folder.photos, events))
            known = effective((*events, *as_if(events, file, clock.now())))
            faults += tuple(gone_faults(known, tables_of(folder)))
    entries = counted(str(serial), "entries", "entry")
    says = f"{entries} looked over: {'all sound' if not faults else 'see below'}."
    return Kept((says,), (), faults)
