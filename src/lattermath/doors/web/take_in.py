"""Entries that come back from a take-away page: each goes in once, in order, or says why not."""

from __future__ import annotations

import base64
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from lattermath.desk import clock, photos
from lattermath.desk.known_words import known_words
from lattermath.desk.log_visit import log
from lattermath.desk.told_entries import record_of
from lattermath.doors.asking import Units
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.log_forms import BY_KEY, Asked
from lattermath.doors.web.ticks import tick, tick_beside
from lattermath.sheets import page_words as p
from lattermath.sheets.page_instead import on_a_page
from lattermath.vocabulary.errors import Fault, InputError, LattermathError
from lattermath.vocabulary.events import Event

LONGEST_PHOTO = 1_000_000  # letters of base64; the page stays below it
CLOCKS_AGREE = timedelta(minutes=2)
Words = Annotated[str, Field(max_length=2000)]


class CarriedEntry(BaseModel):
    """One entry as the page keeps it: the blanks of a form, by name.

    photo : a picture that goes with it, as base64; empty where none does.
    """

    model_config = ConfigDict(extra="forbid")
    id: Annotated[str, Field(max_length=40)]
    at: Annotated[str, Field(max_length=40)]
    form: Annotated[str, Field(max_length=40)]
    task: Annotated[str, Field(max_length=40)] = ""
    fields: dict[Annotated[str, Field(max_length=40)], list[Words]]
    photo: Annotated[str, Field(max_length=LONGEST_PHOTO)] = ""


class Parcel(BaseModel):
    """All that a page hands over.

    clock   : what its phone took the time to be, with its zone.
    journal : id of the first entry of the journal that the page was made from.
    """

    model_config = ConfigDict(extra="forbid")
    format: Literal[1]
    plot: Words
    journal: Annotated[str, Field(max_length=40)] = ""
    stamp: Words = ""
    clock: datetime
    entries: Annotated[list[CarriedEntry], Field(max_length=2000)]


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What became of a parcel: ids written now, ids known before, and those refused with faults."""

    taken: tuple[str, ...]
    known: tuple[str, ...]
    refused: tuple[tuple[str, tuple[Fault, ...]], ...]
    says: tuple[str, ...]


def read_parcel(text: str) -> Parcel:
    """A parcel from its JSON; InputError names every fault in it."""
    if not text.strip("\ufeff \t\r\n"):
        remedy = "Hand the entries over again: nothing of them is in it."
        raise InputError(Fault("the file is empty", "file", "", remedy))
    try:
        return Parcel.model_validate_json(text)
    except ValidationError as error:
        remedy = "Hand the entries over again, and do not change the file."
        raise InputError(
            Fault(one["msg"].lower(), ".".join(map(str, one["loc"])) or "file", "", remedy)
            for one in error.errors()
        ) from error


def take_in(folder: Path, parcel: Parcel, units: Units) -> TakenIn:
    """Write what a page brought home; one entry that is refused does not hold up the others.

    Hours that the phone told by a clock that is wrong now are set right by as much; hours that
    somebody wrote stay. InputError, and nothing written, where the page is of another plot.
    """
    ahead = parcel.clock - clock.now()
    ahead = ahead if abs(ahead) > CLOCKS_AGREE else timedelta(0)
    entries = record_of(folder).entries
    if parcel.journal and entries and parcel.journal != entries[-1].id:
        raise InputError(Fault(p.ANOTHER_PLOT, "plot", parcel.plot, p.ANOTHER_PLOT_REMEDY))
    before = {one.id for one in entries}
    taken: list[str] = []
    known: list[str] = []
    refused: list[tuple[str, tuple[Fault, ...]]] = []
    for entry in parcel.entries:
        try:
            _write(folder, entry, ahead, units)
        except LattermathError as error:
            refused.append((entry.id, error.faults))
        else:
            (known if entry.id in before else taken).append(entry.id)
    told = TakenIn(tuple(taken), tuple(known), tuple(refused), ())
    return TakenIn(told.taken, told.known, told.refused, tuple(_says(told, ahead)))


def _write(folder: Path, entry: CarriedEntry, ahead: timedelta, units: Units) -> tuple[Event, ...]:
    """One entry under its own id; a form filled in for a task ticks it too."""
    filled = Filled((name, words) for name, many in entry.fields.items() for words in many)
    carried = Filled([("at", entry.at)])
    at = filled.hour("at")
    if at is None:
        told = carried.hour("at")
        at = None if told is None else told - ahead
    if entry.form == "done":
        return tick(folder, entry.task, filled.one("how"), at, entry.id)
    if entry.form not in BY_KEY:
        raise InputError(Fault("nothing of that name can be logged", "form", entry.form, ""))
    record = record_of(folder)
    asked = Asked(record.plot, units, known_words(folder))
    payload = BY_KEY[entry.form].read(_dated(filled, entry, at), asked)
    picture = _picture(entry.photo)
    event = log(folder, payload, at, entry_id=entry.id, made_up=not filled.one("name"))
    if picture is not None:
        photos.attach(folder, picture, event.id, sent_with_it=True)
    if not entry.task or any(one.task == entry.task and one.may_undo for one in record.entries):
        return (event,)
    return (event, tick_beside(folder, entry.task, event, at, filled.one("how")))


def _dated(filled: Filled, entry: CarriedEntry, at: datetime | None) -> Filled:
    """The form with the hour at which it was filled in, for names that are made of the day."""
    if at is None or filled.one("at"):
        return filled
    said = [(name, words) for name, many in entry.fields.items() for words in many if name != "at"]
    return Filled([*said, ("at", f"{at:%Y-%m-%d %H:%M}")])


def _picture(photo: str) -> photos.Clean | None:
    """The picture of an entry, cleaned as one from a form is; None where none came."""
    if not photo:
        return None
    try:
        data = base64.b64decode(photo, validate=True)
    except ValueError as fault:
        what = "the photo did not arrive whole"
        raise InputError(Fault(what, "photo", "", "Hand the entry over again.")) from fault
    return photos.clean(data, "photo")


def _says(told: TakenIn, ahead: timedelta) -> Iterable[str]:
    """The outcome in words, what was refused with its reason."""
    yield p.TAKEN.format(count=len(told.taken))
    if told.known:
        yield p.KNOWN_ALREADY.format(count=len(told.known))
    if ahead:
        form = p.CLOCK_AHEAD if ahead > timedelta(0) else p.CLOCK_BEHIND
        yield form.format(much=_much(abs(ahead)))
    if told.refused:
        yield p.NOT_TAKEN.format(count=len(told.refused))
    for _, faults in told.refused:
        yield from (f"  {fault}" for fault in faults)


def _much(time: timedelta) -> str:
    """So much time, to the unit that tells: minutes, hours, or days."""
    minutes = round(time / timedelta(minutes=1))
    for unit, (one, many) in ((1440, p.DAYS), (60, p.HOURS), (1, p.MINUTES)):
        if minutes >= unit:
            number = round(minutes / unit)
            return f"{number} {one if number == 1 else many}"
    return f"0 {p.MINUTES[1]}"


def as_data(told: TakenIn) -> dict[str, Any]:
    """The outcome as plain data for a page or a program."""
    return {
        "taken": list(told.taken),
        "known": list(told.known),
        "refused": [
            {"id": one, "faults": [on_a_page(str(f)) for f in faults]}
            for one, faults in told.refused
        ],
        "says": on_a_page(" ".join(told.says)),
    }


def read_text(file: Path) -> str:
    """The text of a parcel's file; InputError where it is none."""
    try:
        return file.read_text("utf-8-sig")
    except UnicodeDecodeError as error:
        remedy = "Give the file that the page saved."
        raise InputError(Fault("the file is no UTF-8 text", str(file), "", remedy)) from error
