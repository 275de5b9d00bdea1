"""What the grower calls a planting, bed, lot or product, turned into the key the plot uses."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

from lattermath.desk import clock
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.knowledge.tables import load_tables
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Planting, Plot

# What growers call what stands on the bench; seed that went there is a new lot.
CUPS = frozenset({"cups", "in cups", "cup", "cells", "pots", "modules", "tray", "trays", "bench"})


class Thing(NamedTuple):
    """Something of the plot that has a name."""

    kind: str
    key: str
    name: str
    stands: bool = True  # False for a planting that was pulled


def plot_now(path: Path | str, without: str = "") -> Plot:
    """Give the plot as the journal tells it now; `without` the entry of that id."""
    with open_journal(folder_at(path)) as journal:
        return plot_as_of([one for one in journal.events() if one.id != without], date.max)


def planting_key(plot: Plot, words: str) -> str:
    """The key of a planting, own or the neighbour's; InputError names what there is."""
    return _find("planting", _plantings(plot), words).key


def lot_key(plot: Plot, words: str) -> str:
    """The key of a lot in cups; InputError names what there is."""
    return _find("lot", [Thing("lot", lot.key, lot.called) for lot in plot.lots], words).key


def cups_of(plot: Plot, lot: str, up: int | None, looked_at: int | None) -> int | None:
    """Cups looked at: as many as were said, else all of the lot; None where none were counted."""
    if up is None or looked_at is not None:
        return looked_at
    return next((one.plants for one in plot.lots if one.key == lot), None)


def bed_key(plot: Plot, words: str) -> str:
    """The key of a bed; InputError names what there is."""
    return _find("bed", _beds(plot), words).key


def product_key(plot: Plot, words: str) -> str:
    """The key of a product on the shelf; InputError names what there is."""
    shelf = [Thing("product", label.key, label.name) for label in plot.shelf]
    try:
        return _find("product on the shelf", shelf, words).key
    except InputError as wrong:
        more = "What is not on the shelf is logged with --method and its active."
        told = [replace(fault, remedy=f"{fault.remedy} {more}") for fault in wrong.faults]
        raise InputError(told) from wrong


def ground(plot: Plot, words: str) -> Thing:
    """The bed or planting that was watered; InputError names what there is."""
    return _find("bed or planting", [*_beds(plot), *_plantings(plot)], words)


def same_name(plot: Plot, words: str) -> str:
    """The key of the planting that has just this name or key; the words where there is none."""
    exact = _exact(_plantings(plot), words)
    return next((thing.key for thing in exact if thing.stands), words)


def or_made_up(plot: Plot, name: str, crop: str, at: datetime | None) -> str:
    """The name given, or one made of crop and day that nothing on the plot has yet."""
    if name:
        return name
    now = clock.now().astimezone(ZoneInfo(plot.place.time_zone))  # a day of the plot's own clock
    day = (now if at is None else at).date()
    made = f"{crop.replace('_', ' ')} {day.day} {day:%b}"
    lots = [Thing("lot", lot.key, lot.called) for lot in plot.lots]
    names = (made, *(f"{made} {n}" for n in range(2, 100)))
    return next(one for one in names if not _exact([*lots, *_plantings(plot)], one))


class Sown(NamedTuple):
    """Where seed went: a new lot in cups, or a planting, and its bed."""

    lot: str | None = None
    planting: str | None = None
    bed: str | None = None


def sown_in(
    plot: Plot,
    crop: str,
    where: str = "",
    *,
    lot: str = "",
    planting: str = "",
    at: datetime | None = None,
) -> Sown:
    """Where seed of a crop went, from as little as the grower says.

    where : "cups", a bed, or a planting that was declared and not begun; "": only such a planting
            of the crop is meant, where there is just one.
    lot, planting : names of the grower's own; one is made of crop and day where none is given.

    Raises InputError where it fits neither or both, and asks where it is not clear.
    """
    cups = _plain(where) in CUPS
    if (lot and planting) or (lot and where and not cups) or (planting and cups):
        fault = "seed goes into cups or into a bed, not into both"
        raise InputError(Fault(fault, "log sown", lot or planting, "Name one of them."))
    if lot or cups:
        return Sown(lot=or_made_up(plot, lot, crop, at))
    waiting = _not_begun(plot, crop)
    named = [p for p in waiting if _plain(where) in (_plain(p.key), _plain(p.name))]
    bed = bed_key(plot, where) if where and not named else None
    meant = named or [p for p in waiting if bed is None or p.bed == bed]
    if planting:
        return Sown(planting=planting, bed=bed)
    if len(meant) == 1:
        return Sown(planting=meant[0].key, bed=bed)
    if bed is None:
        raise InputError(_where_went(plot, crop, where, [p.name for p in meant]))
    return Sown(planting=or_made_up(plot, "", crop, at), bed=bed)


def _not_begun(plot: Plot, crop: str) -> list[Planting]:
    """The plantings of a crop that were declared and have no date yet."""
    kind = load_tables().crosswalk.crop(crop) or crop
    own = (p for p in plot.plantings if not p.neighbours_plot and p.pulled is None)
    return [p for p in own if p.crop == kind and p.started is None]


def _where_went(plot: Plot, crop: str, where: str, meant: Sequence[str]) -> Fault:
    """The question that is left, with the answers that there are."""
    beds = [bed.name for bed in plot.beds]
    answers = ", ".join(dict.fromkeys(("cups", *meant, *beds)))
    remedy = f"Say one of: {answers}. As in: log sown {crop} 8 {shlex.quote((*beds, 'cups')[0])}."
    return Fault("it is not clear where the seed went", "log sown", where, remedy)


def _plantings(plot: Plot) -> list[Thing]:
    return [Thing("planting", p.key, p.name, p.pulled is None) for p in plot.plantings]


def _beds(plot: Plot) -> list[Thing]:
    return [Thing("bed", bed.key, bed.name) for bed in plot.beds]


def _find(kind: str, known: Sequence[Thing], words: str) -> Thing:
    """The one thing that the words fit: its very key, its name or key, or a part of them."""
    keyed = [thing for thing in known if thing.key == words.strip()]
    fits = (keyed if len(keyed) == 1 else []) or _exact(known, words) or _part(known, words)
    if len(fits) > 1:
        fits = [thing for thing in fits if thing.stands] or fits
    if len(fits) == 1:
        return fits[0]
    if fits:
        remedy = f"Say which: {' or '.join(map(_told, fits))}."
        raise InputError(Fault(f"this fits more than one {kind}", kind, words, remedy))
    remedy = f"There are: {_names(known)}."
    raise InputError(Fault(f"there is no such {kind}", kind, words, remedy))


def _exact(known: Iterable[Thing], words: str) -> list[Thing]:
    wanted = _plain(words)
    return [thing for thing in known if wanted in (_plain(thing.key), _plain(thing.name))]


def _part(known: Iterable[Thing], words: str) -> list[Thing]:
    wanted = _plain(words)
    return [t for t in known if wanted and (wanted in _plain(t.key) or wanted in _plain(t.name))]


def _plain(words: str) -> str:
    return " ".join(words.casefold().replace("-", " ").replace("_", " ").split())


def _told(thing: Thing) -> str:
    return thing.key if _plain(thing.key) == _plain(thing.name) else f"{thing.key} ({thing.name})"


def _names(known: Iterable[Thing]) -> str:
    return ", ".join(_told(thing) for thing in known if thing.stands) or "none"
