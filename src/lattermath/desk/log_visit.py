"""Write down what happened: one entry, safe on disk before this returns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.desk.log_checks import impossible
from lattermath.desk.log_names import same_name
from lattermath.desk.what_was_seen import settled
from lattermath.desk.wiring import Folder, folder_at, open_journal, tables_of
from lattermath.planning.folk_practices import folk_ruling
from lattermath.record.journal import Entry
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.errors import Fault, InputError, NotThere, SaysOtherwise
from lattermath.vocabulary.events import (
    Event,
    Payload,
    PlotRow,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
    Withdrawal,
)
from lattermath.vocabulary.plot import Plot


def log(
    path: Path | str,
    payload: Payload,
    at: datetime | None = None,
    supersedes: str | None = None,
    plot: Plot | None = None,
    entry_id: str | None = None,
    made_up: bool = False,
) -> Event:
    """Append one entry. `at` is when it happened (naive: by the plot's clock); where it is not
    given, the hour of the entry that it corrects, and now where it corrects none.

    An entry that brings its own `entry_id` is written once, however often it arrives; where the
    name of what begins was `made_up` for it, it stands under the name that was made first.

    `supersedes` is the number or id of the entry that this one corrects. `plot` is the plot as it
    stands, where it was read already. A word for what was seen becomes the id the tables use; the
    method of a product is read from the shelf. InputError when the plot was not started, the
    entry to correct is not there, or what is said cannot have happened.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        events = journal.events()
        zone = zone_of(events)
        _refuse_a_strange_id(entry_id)
        if entry_id is not None and (there := journal.find(entry_id)) is not None:
            corrected = _target(events, supersedes)
            plot = plot or plot_as_of(events, date.max)
            payload = _named_as(there, payload) if made_up else payload
            return _arrived_before(there, payload, corrected, plot, folder)
        _refuse_the_future(at, zone)
        target = _target(events, supersedes)
        if at is None and not isinstance(payload, Withdrawal):
            at = next((event.local for event in events if event.id == target), None)
        if not isinstance(payload, (Withdrawal, TaskDone)):
            if plot is None or at is not None or target is not None:
                plot = _as_it_stood(events, at, zone, target)
            payload = _possible(payload, plot, folder)
        entry = Entry(_instant(at, zone), zone, payload, target, entry_id)
        (event,) = journal.append([entry], clock.now(), new_id)
    return event


def _refuse_a_strange_id(entry_id: str | None) -> None:
    """An entry brings a UUID of version 7 or none at all."""
    try:
        strange = entry_id is not None and UUID(entry_id).version != 7
    except ValueError:
        strange = True
    if strange:
        remedy = "Use the page's own form, or leave it out."
        raise InputError(Fault("this is no id of an entry", "id", entry_id or "", remedy))


def _named_as(there: Event, payload: Payload) -> Payload:
    """What begins, under the name it was given when it arrived before."""
    before = there.payload
    if isinstance(before, Sowing) and isinstance(payload, Sowing):
        return replace(payload, lot=before.lot, planting=before.planting)
    if isinstance(before, SettingOut) and isinstance(payload, SettingOut):
        return replace(payload, planting=before.planting)
    return payload


def _arrived_before(
    there: Event, payload: Payload, target: str | None, plot: Plot, folder: Folder
) -> Event:
    """The entry that came under this id before; refused where it said something else."""
    if _settled(payload, plot, folder) != there.payload or there.supersedes != target:
        fault = "another entry came under this id"
        raise SaysOtherwise(Fault(fault, "id", there.id, "Write it down anew."))
    return there


def _possible(payload: Payload, plot: Plot, folder: Folder) -> Payload:
    """The entry in the words of the tables; refused where it cannot have happened."""
    meant = _settled(payload, plot, folder)
    faults = impossible(meant, plot, tables_of(folder))
    if faults:
        raise InputError(faults)
    return meant


def zone_of(events: Sequence[Event]) -> str:
    """Give the plot's time zone from its newest place row, without folding everything."""
    for event in reversed(events):
        row = event.payload
        if isinstance(row, PlotRow) and row.section == "place" and row.row is not None:
            return event.zone
    return "UTC"


def _as_it_stood(
    events: Sequence[Event], at: datetime | None, zone: str, target: str | None
) -> Plot:
    """The plot at the end of the day of an entry, without the entry that it puts right."""
    standing = [event for event in effective(events) if event.id != target]
    day = date.max if at is None else _instant(at, zone).astimezone(ZoneInfo(zone)).date()
    return plot_as_of(standing, day)


def _settled(payload: Payload, plot: Plot, folder: Folder) -> Payload:
    """Put the ids of the tables in place of the grower's words, where the tables know them."""
    if isinstance(payload, Sighting):
        return settled(payload, plot, tables_of(folder))
    if isinstance(payload, Treatment):
        once = tuple(dict.fromkeys(payload.plantings))
        return replace(payload, plantings=once, method=_method(payload, plot, folder))
    if isinstance(payload, SettingOut):
        key = same_name(plot, payload.planting)
        return replace(payload, planting=key, crop=_crop(payload.crop, folder))
    if isinstance(payload, Sowing):
        begun = payload.planting and same_name(plot, payload.planting)
        return replace(payload, planting=begun, crop=_crop(payload.crop, folder))
    return payload


def _crop(words: str, folder: Folder) -> str:
    """Give the id of a crop as growers call it."""
    crosswalk = tables_of(folder).crosswalk
    found = crosswalk.crop(words)
    if found is None:
        near = crosswalk.nearest_crops(words)
        known = f"Known: {', '.join(crosswalk.crop_names())}."
        remedy = f"Did you mean {' or '.join(near)}?" if near else known
        raise InputError(Fault("no such crop in the tables", "crop", words, remedy))
    return found


def _refuse_the_future(at: datetime | None, zone: str) -> None:
    """What has not happened is no entry."""
    if at is not None and _instant(at, zone) > clock.now() + timedelta(minutes=5):
        remedy = "Write down what was done, when it is done."
        raise InputError(
            Fault("this hour has not come yet", "--at", f"{at:%Y-%m-%d %H:%M}", remedy)
        )


def _method(treatment: Treatment, plot: Plot, folder: Folder) -> str:
    if treatment.product is not None:
        for label in plot.shelf:
            if label.key == treatment.product:
                return label.active
        known = ", ".join(label.key for label in plot.shelf) or "empty"
        raise InputError(
            Fault("not on the shelf", "product", treatment.product, f"The shelf is: {known}.")
        )
    method = tables_of(folder).crosswalk.method(treatment.method)
    if method is None:
        told = folk_ruling(f"{treatment.method} {treatment.note}").reasons[0]
        if told.who == "our caution" and told.rests_on != ("rule:label_in_hand",):
            raise InputError(
                Fault(f"never advised: {told.says}", "method", treatment.method,
                      f"Instead: {told.way_out}.")
            )  # fmt: skip
        return _of_no_table(treatment.method, folder)
    return method


def _of_no_table(word: str, folder: Folder) -> str:
    """Something that no table and no label here knows: kept as written, so that it bars picking.

    InputError where it is so near to a known word that it may be a slip.
    """
    crosswalk = tables_of(folder).crosswalk
    made = crosswalk.active(word)
    if made is None:
        near = crosswalk.nearly_active(word)
        remedy = f"Did you mean {near}?" if near else "Write what was used, such as water_jet."
        raise InputError(Fault("no such method", "method", word, remedy))
    return made


def _instant(at: datetime | None, zone: str) -> datetime:
    if at is None:
        return clock.now()
    return (at if at.tzinfo else at.replace(tzinfo=ZoneInfo(zone))).astimezone(UTC)


def _older_copy(event: Event, events: Sequence[Event]) -> bool:
    """A label that was copied anew since: its older copy may be taken back as a slip."""
    row = event.payload
    return (
        isinstance(row, PlotRow)
        and row.section == "shelf"
        and any(
            isinstance(later := e.payload, PlotRow)
            and e.serial > event.serial
            and (later.section, later.key) == (row.section, row.key)
            and later.row is not None
            for e in events
        )
    )


def _target(events: Sequence[Event], supersedes: str | None) -> str | None:
    if supersedes is None:
        return None
    for event in events:
        if supersedes in (event.id, str(event.serial)):
            if isinstance(event.payload, PlotRow) and not _older_copy(event, events):
                remedy = "Change plot.toml and run `lattermath start`."
                raise InputError(
                    Fault("this entry comes from plot.toml", "entry", supersedes, remedy)
                )
            return event.id
    raise NotThere(
        Fault(
            "there is no such entry",
            "entry",
            supersedes,
            "Give the number that `lattermath log` answered with.",
        )
    )
