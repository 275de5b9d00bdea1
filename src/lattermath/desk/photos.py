"""A photo is cleaned, kept beside the journal, and written down with the entry it goes with."""

from __future__ import annotations

from pathlib import Path

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.ids import id_beside
from lattermath.record.journal import Entry
from lattermath.record.photos import LARGEST_FILE, NAME, Clean, clean, keep, small
from lattermath.vocabulary.errors import Fault, InputError, NotThere
from lattermath.vocabulary.events import Event, Photo, PlotRow, WeatherTaken, Withdrawal

BESIDE = 1000  # place among the ids beside an entry; no task names as many works

__all__ = ["Clean", "attach", "clean", "kept_photo", "photo_from", "photos_at", "said_of"]


def photo_from(file: Path) -> Clean:
    """Read a photo from a file; InputError where there is none, or it is no picture."""
    try:
        with file.open("rb") as held:
            data = held.read(LARGEST_FILE + 1)
    except OSError as fault:
        remedy = "Check its name, and that it may be read."
        raise InputError(Fault("no such file", "photo", str(file), remedy)) from fault
    return clean(data, file.name)


def attach(
    path: Path | str,
    picture: Clean,
    entry: str | None = None,
    sent_with_it: bool = False,
) -> Event:
    """Keep a picture and write down that it goes with an entry, at that entry's hour.

    entry        : number or id of the entry; None: the newest of what was logged.
    sent_with_it : it came together with the entry, and is written once however often both come.

    NotThere where there is no such entry, or it was taken back.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        target = _target(journal.events(), entry)
        keep(folder.photos, picture)
        shown = Photo(target.id, picture.file, picture.width, picture.height, len(picture.data))
        beside = id_beside(target.id, BESIDE) if sent_with_it else None
        written = Entry(target.happened_at, target.zone, shown, None, beside)
        (event,) = journal.append([written], clock.now(), new_id)
    return event


def _target(events: tuple[Event, ...], entry: str | None) -> Event:
    gone = {event.supersedes for event in events}
    ours = (PlotRow, WeatherTaken, Withdrawal, Photo)
    for event in reversed(events):
        asked = entry in (None, event.id, str(event.serial))
        if asked and event.id not in gone and not isinstance(event.payload, ours):
            return event
    remedy = "Give the number of an entry that was logged and not taken back."
    raise NotThere(Fault("there is no entry for a photo", "entry", entry or "", remedy))


def said_of(event: Event) -> str:
    """What was kept, in words."""
    shown = event.payload
    assert isinstance(shown, Photo)
    kilobytes = -(-shown.size_bytes // 1000)
    size = f"{shown.width} by {shown.height} dots, {kilobytes} kB"
    return (
        f"Photo kept as entry {event.serial}, {size}; "
        "place, hour and all else that the camera wrote into it are gone."
    )


def photos_at(path: Path | str) -> Path:
    """The folder in which the photos stand; it may not be there."""
    return folder_at(path).photos


def kept_photo(path: Path | str, name: str, in_a_list: bool = False) -> bytes | None:
    """The bytes of a kept photo, small where it stands in a list; None where there is none."""
    file = folder_at(path).photos / name
    if not (NAME.fullmatch(name) and file.is_file()):
        return None
    data = file.read_bytes()
    return small(data) if in_a_list else data
