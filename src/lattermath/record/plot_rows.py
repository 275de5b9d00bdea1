"""A plot file as journal entries: all of it at the start, and what a later edit changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from lattermath.record.codec import from_plain, to_plain
from lattermath.record.effective import effective
from lattermath.record.plot_facts import SECTIONS, Fact, FactKey
from lattermath.vocabulary.events import Event, PlotRow

if TYPE_CHECKING:
    from lattermath.record.plot_file import PlotFile

KEPT = frozenset({"week"})  # days typed in stay known when the file goes on to the next week


def rows_of(plot_file: PlotFile) -> tuple[PlotRow, ...]:
    """Every fact of a plot file as the payload of an entry, in the order of the file."""
    return tuple(_row(at, fact) for at, fact in plot_file.facts.items())


def differences(events: Iterable[Event], plot_file: PlotFile) -> tuple[PlotRow, ...]:
    """The rows that bring the journal up to an edited file: changed, new, then withdrawn.

    Empty when the file says what the journal last took from it. Days of weather typed in are
    never withdrawn by their absence.
    """
    last = last_rows(events)
    changed = [
        _row(at, fact) for at, fact in plot_file.facts.items() if _fact(at, last.get(at)) != fact
    ]
    gone = [
        PlotRow(section, key, None)
        for (section, key), row in last.items()
        if row is not None and (section, key) not in plot_file.facts and section not in KEPT
    ]
    return (*changed, *gone)


def last_rows(events: Iterable[Event]) -> dict[FactKey, Mapping[str, Any] | None]:
    """What the journal last took from the file, by section and key; None: withdrawn."""
    last: dict[FactKey, Mapping[str, Any] | None] = {}
    for event in sorted(effective(events), key=lambda event: event.serial):
        if isinstance(event.payload, PlotRow):
            last[event.payload.section, event.payload.key] = event.payload.row
    return last


def _row(at: FactKey, fact: Fact) -> PlotRow:
    section, key = at
    return PlotRow(section, key, to_plain(fact))


def _fact(at: FactKey, row: Mapping[str, Any] | None) -> Fact | None:
    """The fact a row holds; None where it holds none that can be read today."""
    if row is None:
        return None
    try:
        fact: Fact = from_plain(SECTIONS[at[0]], row)
    except (KeyError, ValueError):
        return None
    return fact
