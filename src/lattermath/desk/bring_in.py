"""Bring in what `export` wrote: onto an empty folder, or beside what a plot's journal holds."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from lattermath.desk.keepers import PHOTOS, Kept
from lattermath.desk.wiring import Folder
from lattermath.record.imported import REMEDY, Exported, read_export
from lattermath.record.journal import Journal
from lattermath.record.photos import sound
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event

JSON = "journal.json"


def bring_in(path: Path | str, source: Path) -> Kept:
    """Take in an export; entries known already are passed over, so it may be done twice.

    path : folder of the plot; it is made where there is none, and its journal too.

    InputError where the source is no export or of another plot; JournalError where the two
    journals contradict each other. Nothing is written then.
    """
    file = source / JSON if source.is_dir() else source
    held = read_export(_text(file), str(file))
    if not held.events:
        raise InputError(Fault("this export holds no entry", "import", str(file), REMEDY))
    photos = _photos(file.parent / PHOTOS)
    folder = Folder(Path(path))
    folder.path.mkdir(parents=True, exist_ok=True)
    new, known = _write(folder, held)
    says = [f"Brought in: {counted(new, 'entries', 'entry')}."]
    if known:
        says.append(f"{counted(known, 'entries', 'entry')} known already.")
    brought = _copied(photos, folder.photos)
    if brought:
        says.append(f"{counted(brought, 'photos')} brought too.")
    says += _tables(file.parent / folder.tables.name, folder)
    says += _plot_file(file.parent / folder.plot_file.name, folder)
    return Kept(tuple(says))


def _text(file: Path) -> str:
    try:
        return file.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        what = "there is no export here" if isinstance(fault, OSError) else "this is no UTF-8 text"
        raise InputError(Fault(what, "import", str(file), REMEDY)) from fault


def _photos(album: Path) -> list[Path]:
    """Photos of the export; refused where one is not what its name says."""
    files = sorted(album.iterdir()) if album.is_dir() else []
    wrong = [file.name for file in files if not sound(file)]
    if wrong:
        raise InputError(Fault("a photo is not what its name says", str(album), wrong[0], REMEDY))
    return files


def _write(folder: Folder, held: Exported) -> tuple[int, int]:
    """How many entries were new, and how many were there; a journal begun here goes on failure."""
    begun = not folder.journal.exists()
    try:
        with Journal.open(folder.journal, create=True) as journal:
            if not begun:
                _refuse_another_plot(journal.events(), held.events)
            new = journal.bring_in(held.entries, held.readings, held.plans)
    except BaseException:
        if begun:
            for ending in ("", "-wal", "-shm"):
                folder.journal.with_name(folder.journal.name + ending).unlink(missing_ok=True)
        raise
    return new, len(held.events) - new


def _refuse_another_plot(mine: Sequence[Event], theirs: Sequence[Event]) -> None:
    """Two plots in one journal could never be told apart again."""
    if not mine:
        return
    here, there = (plot_as_of(events, date.max).place for events in (mine, theirs))
    if (here.latitude, here.longitude, here.time_zone) != (
        there.latitude,
        there.longitude,
        there.time_zone,
    ):
        remedy = "Bring it into a folder of its own: --plot NEW-FOLDER. Nothing was written."
        raise InputError(Fault("this is the record of another place", "import", there.name, remedy))


def _copied(photos: Sequence[Path], album: Path) -> int:
    """Copy the photos that are not there yet."""
    new = [file for file in photos if not (album / file.name).exists()]
    if new:
        album.mkdir(exist_ok=True)
    for file in new:
        shutil.copyfile(file, album / file.name)
    return len(new)


def _tables(theirs: Path, folder: Folder) -> list[str]:
    """Bring tables of the grower's own where there are none; those that are there stay."""
    if not theirs.is_dir() or folder.tables.exists():
        return []
    shutil.copytree(theirs, folder.tables)
    return ["Tables of your own brought too."]


def _plot_file(theirs: Path, folder: Folder) -> list[str]:
    """Bring the plot file where there is none; one that is there stays."""
    if not theirs.exists():
        return []
    if not folder.plot_file.exists():
        shutil.copyfile(theirs, folder.plot_file)
        return ["plot.toml brought too."]
    if folder.plot_file.read_bytes() == theirs.read_bytes():
        return []
    return ["The plot.toml here stays as it is; the export has another."]
