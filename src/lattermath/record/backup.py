"""A copy of the journal, whole and checked, with the photos beside it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

from lattermath.record.journal import Journal
from lattermath.vocabulary.errors import Fault, JournalError


def photos_beside(target: Path) -> Path:
    """The folder in which the photos of a backup stand."""
    return target.with_name(f"{target.name}.photos")


def back_up(
    journal: Journal,
    target: Path,
    photos: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Path, ...]:
    """Copy the journal to `target`, and the `photos` folder, if it is there, to one beside it.

    Gives what was written. The copy is made by the store's own backup interface while others may
    write, is checked before it takes its name, and never overwrites anything. `progress` hears
    pages left and pages in all. JournalError leaves nothing behind.
    """
    album = photos_beside(target)
    for path in (target, album):
        if path.exists():
            raise _refusal("there is a file of this name already", path, "")
    making, making_album = (
        path.with_name(f".{path.name}.{os.getpid()}.new") for path in (target, album)
    )
    try:
        _clear(making, making_album)
        journal.copy_to(making, progress)
        _refuse_faulty(making)
        with_photos = photos is not None and photos.is_dir()
        if photos is not None and with_photos:
            shutil.copytree(photos, making_album)
        _name_copy(making, target)
        if with_photos:
            _name_album(making_album, album, target)
    except OSError as fault:
        raise _refusal("the backup cannot be written", target, str(fault)) from fault
    finally:
        _clear(making, making_album)
    return (target, album) if with_photos else (target,)


def _name_album(making: Path, album: Path, target: Path) -> None:
    """Give the photos their name; where that fails, the copy of the journal goes too."""
    try:
        making.rename(album)
    except OSError:
        target.unlink()
        raise


def _refuse_faulty(copy: Path) -> None:
    with Journal.open(copy) as journal:
        faults = journal.check()
    if faults:
        raise JournalError(faults)


def _name_copy(making: Path, target: Path) -> None:
    """Give the copy its name, unless something has taken that name meanwhile."""
    with making.open("rb+") as file:
        os.fsync(file.fileno())
    try:
        os.link(making, target)
    except FileExistsError as fault:
        raise _refusal("there is a file of this name already", target, "") from fault
    except OSError:  # a file system without links, such as that of a memory stick
        making.rename(target)


def _clear(making: Path, album: Path) -> None:
    for suffix in ("", "-wal", "-shm"):
        making.with_name(making.name + suffix).unlink(missing_ok=True)
    shutil.rmtree(album, ignore_errors=True)


def _refusal(what: str, path: Path, found: str) -> JournalError:
    return JournalError(Fault(what, str(path), found, "Name another file; nothing was written."))
