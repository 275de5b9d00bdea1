"""Treatments of a planting or bed that the plot file no longer names: they still bar its ground.

A planting written under another name is the same plants with the same residue. The journal cannot
tell a new name from other plants, so what may be the treated ones carries the treatment on, until
the file names the old key again or the planting is written down as pulled.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Generic, TypeVar

from lattermath.record.plot_facts import FactKey
from lattermath.record.plot_fold import PlotFold
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.events import Event, PlotRow, SettingOut, Sowing
from lattermath.vocabulary.plot import Bed, Planting

T = TypeVar("T", Bed, Planting)
PLANTINGS = ("planting", "neighbour")


@dataclass(frozen=True, slots=True)
class Gone(Generic[T]):
    """What the plot file named until an edit took it out, as it stood then."""

    was: T
    at: datetime  # recorded


@dataclass(slots=True)
class Named:
    """Since when the journal names what is on the plot, and what it no longer names.

    Plantings that were pulled before they were taken out are ended, not gone.
    """

    since: dict[FactKey, Event] = field(default_factory=dict)
    plantings: dict[str, Gone[Planting]] = field(default_factory=dict)
    beds: dict[str, Gone[Bed]] = field(default_factory=dict)

    def apply(self, event: Event, fold: PlotFold) -> None:
        """Let an entry change the plot, and keep what an edit of the file takes out."""
        row = event.payload
        if not isinstance(row, PlotRow) or row.row is not None:
            fold.apply(event)
            self._begun(event)
            return
        planting, bed = fold.planting(row.key), fold.facts.get(("bed", row.key))
        fold.apply(event)
        self.since.pop((row.section, row.key), None)
        if row.section in PLANTINGS and planting is not None and fold.planting(row.key) is None:
            if planting.pulled is None:
                self.plantings[row.key] = Gone(planting, event.recorded_at)
        elif row.section == "bed" and isinstance(bed, Bed):
            self.beds[row.key] = Gone(bed, event.recorded_at)

    def _begun(self, event: Event) -> None:
        row = event.payload
        if isinstance(row, PlotRow):
            section, key = row.section, row.key
        elif isinstance(row, (Sowing, SettingOut)) and row.planting is not None:
            section, key = "planting", row.planting
        else:
            return
        self.since.setdefault((section, key), event)
        if section in PLANTINGS:
            self.plantings.pop(key, None)
        elif section == "bed":
            self.beds.pop(key, None)

    def new(self, at: FactKey, a: Applied, gone: datetime) -> bool:
        """Was it first named after a treatment was written down, or by the edit of that instant?"""
        first = self.since.get(at)
        return first is None or first.recorded_at >= gone or first.serial > (a.serial or 0)


def carried_over(applied: Iterable[Applied], fold: PlotFold, named: Named) -> Iterator[Applied]:
    """Every treatment, and beside it one for whatever else may be what was treated.

    Those name in `of` the planting they were written down for, and have its entry's serial. A bed
    that goes by another name is told by where it lies; one that cannot be told is None.
    """
    for a in applied:
        held = fold.planting(a.planting)
        bed = _bed_now(a, held, fold, named)
        yield replace(a, bed=bed)
        if held is not None and held.bed not in (None, bed) and bed is not None:
            yield replace(a, planting="", bed=held.bed, of=a.planting)
        for other in fold.all("planting", Planting):
            if other.pulled is None and _may_be(other, a, bed, held, named):
                yield replace(a, planting=other.key, crop=other.crop, bed=other.bed, of=a.planting)


def _bed_now(a: Applied, held: Planting | None, fold: PlotFold, named: Named) -> str | None:
    """The bed of a treatment under the name it has now."""
    gone = named.beds.get(a.bed or "")
    if gone is None:
        return a.bed
    if held is not None and held.bed is not None:
        return held.bed
    new = [bed for bed in fold.all("bed", Bed) if named.new(("bed", bed.key), a, gone.at)]
    same = [bed.key for bed in new if _lies(bed) == _lies(gone.was)]
    if len(same) == 1:
        return same[0]
    return None if new else a.bed


def _lies(bed: Bed) -> tuple[float, float, float, float]:
    return bed.x_m, bed.y_m, bed.length_m, bed.width_m


def _may_be(
    other: Planting, a: Applied, bed: str | None, held: Planting | None, named: Named
) -> bool:
    """May a planting be, or hold, the plants that got this treatment under another key?"""
    if other.key == a.planting or _begun_after(other, a):
        return False
    alike = a.crop in ("", other.crop)
    here = bed is None or other.bed in (None, bed)
    if held is not None:  # plants do not walk: where the file moves a key, names were exchanged
        moved = held.bed not in (None, bed) or held.crop != a.crop
        return moved and alike and here and bed is not None and not _begun_after(held, a)
    gone = named.plantings.get(a.planting)
    if gone is None:
        return False
    new = named.new(("planting", other.key), a, gone.at)
    return (alike and here) or (new and (alike or here))


def _begun_after(planting: Planting, a: Applied) -> bool:
    """Not in the ground yet on the day of the treatment, however roughly its dates are known."""
    if planting.started is None:
        return False
    return planting.started - timedelta(days=planting.about_days) > a.at.date()
