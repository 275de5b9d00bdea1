"""What edits of the plot file may not undo: treatments under an older key, waits of an older label.

Read from the rows that the journal keeps of the file, as plain data. A treatment of a key that is
gone counts for each planting of the same crop and bed that was in the ground by then.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from lattermath.vocabulary.events import Event, PlotRow, Pulling
from lattermath.vocabulary.plot import Planting, Plot

Row = Mapping[str, Any]
OF_PLANTS = ("planting", "neighbour")


def of_the_plot(entries: Sequence[Event]) -> list[Event]:
    """The entries that are read here."""
    kinds = (PlotRow, Pulling)
    return [entry for entry in entries if isinstance(entry.payload, kinds)]


def other_names(key: str, entry: Event, entries: Sequence[Event], plot: Plot) -> Iterator[str]:
    """Keys of plantings that may be what an entry treated under a key that the plot has no more."""
    left = _left(key, entries)
    row = _row_then(key, OF_PLANTS, entry, entries)
    if left is None or row is None or row["bed"] is None or _all_pulled(key, row, left, entries):
        return
    for one in plot.standing():
        same = (one.crop, one.bed) == (row["crop"], row["bed"])
        if same and not _began_after(one, entry.day):
            yield one.key


def _left(key: str, entries: Sequence[Event]) -> datetime | None:
    """When the file last lost the key; None where it never had it, or has it still."""
    rows = _rows(OF_PLANTS, key, entries)
    if not rows or _row(rows[-1]) is not None:
        return None
    return rows[-1].recorded_at


def _all_pulled(key: str, row: Row, left: datetime, entries: Sequence[Event]) -> bool:
    pulled = [
        e.payload.plants
        for e in entries
        if isinstance(e.payload, Pulling) and e.payload.planting == key and e.recorded_at <= left
    ]
    return None in pulled or sum(n or 0 for n in pulled) >= row["plants"]


def _began_after(planting: Planting, day: date) -> bool:
    began = planting.set_out or planting.sown
    return began is not None and began - timedelta(days=planting.about_days) > day


def longest_waits(
    product: str, crop: str, entry: Event, entries: Sequence[Event]
) -> tuple[float | None, float | None]:
    """Longest days before picking and hours of re-entry of all copies of a label since an entry.

    None where no copy prints a figure. [d, h]
    """
    then = _row_then(product, ("shelf",), entry, entries)
    after = [_row(e) for e in _rows(("shelf",), product, entries) if _order(e) > _order(entry)]
    copies = [row for row in (then, *after) if row is not None]
    days = [line["pre_harvest_days"]["value"] for row in copies for line in row["crops"]
            if line["crop"] == crop]  # fmt: skip
    return _most(days), _most([row["re_entry_hours"]["value"] for row in copies])


def _most(figures: Sequence[float | None]) -> float | None:
    return max((figure for figure in figures if figure is not None), default=None)


def _row_then(
    key: str, sections: Sequence[str], entry: Event, entries: Sequence[Event]
) -> Row | None:
    """What the file said of a key at an entry, or first of all where it said nothing yet."""
    rows = _rows(sections, key, entries)
    before = [e for e in rows if _order(e) < _order(entry) and _row(e) is not None]
    said = before[-1:] or [e for e in rows if _row(e) is not None][:1]
    return _row(said[0]) if said else None


def _rows(sections: Sequence[str], key: str, entries: Sequence[Event]) -> list[Event]:
    found = [
        e
        for e in entries
        if isinstance(e.payload, PlotRow) and e.payload.section in sections and e.payload.key == key
    ]
    return sorted(found, key=_order)


def _row(entry: Event) -> Row | None:
    return entry.payload.row if isinstance(entry.payload, PlotRow) else None


def _order(entry: Event) -> tuple[datetime, int]:
    return entry.happened_at, entry.serial
