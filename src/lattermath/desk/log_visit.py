"""Write down what happened: one entry, safe on disk before this returns."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.wiring import Folder, folder_at, open_journal, tables_of
from lattermath.record.ids import id_maker
from lattermath.record.journal import Entry, Journal
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import (
    Event,
    Payload,
    PlotRow,
    SettingOut,
    Sighting,
    Sowing,
    Treatment,
)
from lattermath.vocabulary.plot import Plot


def log(
    path: Path | str,
    payload: Payload,
    at: datetime | None = None,
    supersedes: str | None = None,
) -> Event:
    """Append one entry. `at` is when it happened (naive: by the plot's clock), now if not given.

    `supersedes` is the number or id of the entry that this one corrects. A word for what was seen
    becomes the id the tables use; the method of a product is read from the shelf.
    InputError when the plot was not started, or the entry to correct is not there.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        zone = zone_of(journal)
        settled = _settled(payload, folder, journal)
        _refuse_the_future(at, zone)
        entry = Entry(_instant(at, zone), zone, settled, _target(journal, supersedes))
        (event,) = journal.append([entry], clock.now(), id_maker(clock.now, clock.random_bytes))
    return event


def resolve(path: Path | str, words: str) -> str:
    """Give the key of a planting, bed, lot or product, as the grower calls it.

    InputError names what there is, when the words fit nothing or more than one thing.
    """
    plot = plot_now(path)
    wanted = words.strip().lower()
    names: dict[str, str] = {lot.key: lot.key for lot in plot.lots}
    names |= {bed.key: bed.name for bed in plot.beds}
    names |= {label.key: label.name for label in plot.shelf}
    names |= {planting.key: planting.name for planting in plot.plantings}
    for key, name in names.items():
        if wanted in (key.lower(), name.lower()):
            return key
    near = {k for k, n in names.items() if wanted in k.lower() or wanted in n.lower()}
    if len(near) == 1:
        return near.pop()
    raise InputError(
        Fault(
            "this fits more than one thing"
            if near
            else "there is no such planting, bed or product",
            "log",
            words,
            f"There are: {', '.join(sorted(near or names)) or 'none'}.",
        )
    )


def plot_now(path: Path | str) -> Plot:
    """Give the plot as the journal tells it now."""
    with open_journal(folder_at(path)) as journal:
        return plot_as_of(journal.events(), date.max)


def zone_of(journal: Journal) -> str:
    """Give the plot's time zone from its newest place row, without folding everything."""
    for event in reversed(journal.events()):
        row = event.payload
        if isinstance(row, PlotRow) and row.section == "place" and row.row is not None:
            return event.zone
    return "UTC"


def _settled(payload: Payload, folder: Folder, journal: Journal) -> Payload:
    """Put the ids of the tables in place of the grower's words, where the tables know them."""
    if isinstance(payload, Sighting):
        crosswalk = tables_of(folder).crosswalk
        # A grower who says whitefly has not said which: the kind is kept, not a species.
        known = crosswalk.kind(payload.what) or crosswalk.organism(payload.what)
        known = known or crosswalk.disease(payload.what)
        return replace(payload, what=known or payload.what)
    if isinstance(payload, Treatment):
        return replace(payload, method=_method(payload, folder, journal))
    if isinstance(payload, (Sowing, SettingOut)):
        return replace(payload, crop=_crop(payload.crop, folder))
    return payload


def _crop(words: str, folder: Folder) -> str:
    """Give the id of a crop as growers call it."""
    crosswalk = tables_of(folder).crosswalk
    found = crosswalk.crop(words)
    if found is None:
        alike = [name for name in crosswalk.nearest(words) if crosswalk.crop(name)]
        near = ", ".join(alike) or "names such as courgette, tomato or chard"
        raise InputError(Fault("no such crop in the tables", "CROP", words, f"There are: {near}."))
    return found


def _refuse_the_future(at: datetime | None, zone: str) -> None:
    """What has not happened is no entry."""
    if at is not None and _instant(at, zone) > clock.now() + timedelta(minutes=5):
        remedy = "Write down what was done, when it is done."
        raise InputError(
            Fault("this hour has not come yet", "--at", f"{at:%Y-%m-%d %H:%M}", remedy)
        )


def _method(treatment: Treatment, folder: Folder, journal: Journal) -> str:
    if treatment.product is not None:
        shelf = plot_as_of(journal.events(), date.max).shelf
        for label in shelf:
            if label.key == treatment.product:
                return label.active
        known = ", ".join(label.key for label in shelf) or "empty"
        raise InputError(
            Fault("not on the shelf", "product", treatment.product, f"The shelf is: {known}.")
        )
    method = tables_of(folder).crosswalk.method(treatment.method)
    if method is None:
        remedy = "A method is such as water_jet, hand_pick or prune_leaves."
        raise InputError(Fault("no such method", "method", treatment.method, remedy))
    return method


def _instant(at: datetime | None, zone: str) -> datetime:
    if at is None:
        return clock.now()
    return (at if at.tzinfo else at.replace(tzinfo=ZoneInfo(zone))).astimezone(UTC)


def _target(journal: Journal, supersedes: str | None) -> str | None:
    if supersedes is None:
        return None
    for event in journal.events():
        if supersedes in (event.id, str(event.serial)):
            if isinstance(event.payload, PlotRow):
                remedy = "Change plot.toml and run `lattermath start`."
                raise InputError(
                    Fault("this entry comes from plot.toml", "entry", supersedes, remedy)
                )
            return event.id
    raise InputError(
        Fault(
            "there is no such entry",
            "entry",
            supersedes,
            "Give the number that `lattermath export` or `log` printed.",
        )
    )
