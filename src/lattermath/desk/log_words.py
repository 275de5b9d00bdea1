"""An entry said in words: what the grower reads back after writing it down."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import singledispatch
from pathlib import Path

from lattermath.desk.entries_at_odds import beside
from lattermath.desk.log_others import all_else, of_another, replaced
from lattermath.desk.stand_ins import named_as
from lattermath.desk.what_was_seen import told, unit_of
from lattermath.desk.wiring import folder_at, tables_of
from lattermath.vocabulary.events import (
    Care,
    CupCheck,
    Event,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
    Visit,
    Watering,
    Withdrawal,
)
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.watering import WAY_SAID

Names = Callable[[str | None], str]


def echo(path: Path | str, event: Event, plot: Plot | None = None) -> tuple[str, ...]:
    """Say what was written, by the names of `plot` as it was before, and what is odd about it."""
    payload, names = event.payload, _names(plot)
    words = [_told(path, payload, names)]
    if isinstance(event.payload, (Withdrawal, TaskDone)):
        words = [of_another(path, event)]
    elif plot is not None and event.supersedes is None:
        words += _left(event.payload, plot)
    says = f"{'; '.join(words)}, {event.local:%Y-%m-%d %H:%M}"
    return (
        f"Logged as entry {event.serial}: {says}.",
        *_instead(path, event, names),
        *_seen(path, event, plot),
        *_beside(path, event),
    )


def _told(path: Path | str, payload: object, names: Names) -> str:
    if isinstance(payload, Sighting):
        return _seen_words(path, payload, names)
    return _words(payload, names)


def _instead(path: Path | str, event: Event, names: Names) -> tuple[str, ...]:
    """What a correction stands for, and whether it can have been meant."""
    old = None if isinstance(event.payload, Withdrawal) else replaced(path, event)
    if old is None:
        return ()
    was = f"{_told(path, old.payload, names)}, {old.local:%Y-%m-%d %H:%M}"
    return tuple(filter(None, (f"Instead of entry {old.serial}: {was}.", all_else(old, event))))


def counted(count: float, one: str, many: str = "") -> str:
    """A number and its noun: `1 plant`, `2 plants`."""
    return f"{count:g} {one if count == 1 else many or f'{one}s'}"


def _names(plot: Plot | None) -> Names:
    known: dict[str, str] = {}
    if plot is not None:
        known |= {lot.key: lot.called for lot in plot.lots}
        known |= {bed.key: bed.name for bed in plot.beds}
        known |= {label.key: label.name for label in plot.shelf}
        known |= {planting.key: planting.name for planting in plot.plantings}
    return lambda key: known.get(key or "", (key or "").replace("-", " "))


MANY = {"aphid": "aphids", "caterpillar": "caterpillars"}  # kinds whose name is of one


@singledispatch
def _words(payload: object, _names: Names) -> str:
    return re.sub(r"(?<!^)(?=[A-Z])", " ", type(payload).__name__).lower()


@_words.register
def _visit(payload: Visit, _names: Names) -> str:
    return "a visit" + (f" of {counted(payload.minutes, 'minute')}" if payload.minutes else "")


def _seen_words(path: Path | str, seen: Sighting, names: Names) -> str:
    """A sighting in words, what was seen by the name that the tables give it."""
    tables = tables_of(folder_at(path))
    what = named_as(seen, tables.crosswalk) or tables.named(seen.what)
    return _sighting(replace(seen, what=what), names, unit_of(seen, tables))


def _sighting(payload: Sighting, names: Names, unit: tuple[str, str]) -> str:
    what, where = payload.what, names(payload.planting)
    stage = f" ({payload.stage})" if payload.stage else ""
    looked = counted(payload.looked_at, *unit)
    if payload.measure == "first seen":
        return f"{what} seen on {where}"
    if payload.measure == "shake":
        return f"{what}, {payload.level}, from {counted(payload.looked_at, 'plant')} of {where}"
    if payload.measure == "severity":
        side = {"top": "leaf tops", "underside": "leaf undersides"}.get(payload.surface, "")
        if payload.level is not None:
            return f"{what}, {payload.level}, on the {side or 'leaves'} of {where}"
        share = f"{payload.percent:g} %" if payload.percent else "nothing"
        return f"{what} on {share} of the {side or 'leaf'} of {where}"
    if payload.level is not None:
        return f"{what}{stage}, {payload.level} a {unit[0]}, on {looked} of {where}"
    if payload.measure == "some":
        return f"{what}{stage} on {payload.total} of {looked} of {where}"
    total = sum(payload.counts) if payload.total is None else payload.total
    what = MANY.get(what, what) if total != 1 else what
    if payload.measure == "card":
        hung = (
            f"{counted(len(payload.counts), 'card')} at {where} in {counted(payload.days, 'day')}"
        )
        return f"{total or 'no'} {what} on {hung}"
    return f"{total or 'no'} {what}{stage} on {looked} of {where}"


@_words.register
def _treatment(payload: Treatment, names: Names) -> str:
    where = " and ".join(names(key) for key in payload.plantings)
    by = f"with {names(payload.product)}" if payload.product else f"by {payload.method}"
    litres = f", {measure(payload.litres, 'l')}" if payload.litres else ""
    return f"{where} treated {by.replace('_', ' ')}{litres}"


@_words.register
def _sowing(payload: Sowing, names: Names) -> str:
    seeds = f"{counted(payload.seeds, 'seed')} of {payload.crop.replace('_', ' ')} sown"
    if payload.lot is not None:
        return f"{seeds} in cups as {payload.lot}"
    return f"{seeds} as {payload.planting}" + _in_bed(payload.bed, names)


@_words.register
def _cup_check(payload: CupCheck, names: Names) -> str:
    found = [] if payload.up is None else [f"{payload.up} of {payload.cups} came up"]
    found += [f"roots {payload.roots}"] if payload.roots else []
    return f"{names(payload.lot)} in cups: {', '.join(found)}"


@_words.register
def _setting_out(payload: SettingOut, names: Names) -> str:
    plants = counted(payload.plants, "plant")
    where = f"{plants} set out as {names(payload.planting)}{_in_bed(payload.bed, names)}"
    return where + (f" from {names(payload.lot)}" if payload.lot else "")


def _in_bed(bed: str | None, names: Names) -> str:
    return f" in {names(bed)}" if bed else ""


@_words.register
def _pulling(payload: Pulling, names: Names) -> str:
    number = "all" if payload.plants is None else counted(payload.plants, "plant")
    to = payload.to if payload.to.startswith("bagged") else f"to {payload.to}"
    return f"{number} of {names(payload.planting)} pulled, {to}"


@_words.register
def _picking(payload: Picking, names: Names) -> str:
    held = [] if payload.kg is None else [measure(payload.kg, "kg")]
    held += [] if payload.items is None else [counted(payload.items, "piece")]
    return f"{' and '.join(held)} of {names(payload.planting)} picked"


@_words.register
def _watering(payload: Watering, names: Names) -> str:
    where = names(payload.bed or payload.planting)
    return f"{measure(payload.litres, 'l')} of water to {where}{WAY_SAID[payload.way]}"


@_words.register
def _care(payload: Care, names: Names) -> str:
    return f"{names(payload.planting)}: {payload.work}"


def _left(payload: object, plot: Plot) -> list[str]:
    """How many are left of what was pulled or set out."""
    left = None
    if isinstance(payload, Pulling) and payload.plants is not None:
        left = next((p.plants for p in plot.plantings if p.key == payload.planting), None)
    elif isinstance(payload, SettingOut):
        left = next((lot.plants for lot in plot.lots if lot.key == payload.lot), None)
    if left is None or not isinstance(payload, (Pulling, SettingOut)):
        return []
    rest = max(0, left - (payload.plants or 0))
    return ["none is left" if rest == 0 else f"{rest} {'is' if rest == 1 else 'are'} left"]


def _seen(path: Path | str, event: Event, plot: Plot | None) -> tuple[str, ...]:
    """What is not reckoned of what was seen; the tables are asked."""
    if not isinstance(event.payload, Sighting):
        return ()
    return told(event.payload, plot, tables_of(folder_at(path)))


def _beside(path: Path | str, event: Event) -> tuple[str, ...]:
    """What to ask of a look that another of its day contradicts."""
    return beside(path, event) if isinstance(event.payload, Sighting) else ()
