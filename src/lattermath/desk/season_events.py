"""What was done and seen on a plot up to a day, and still stands: what the pictures draw."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.read_back import effective
from lattermath.vocabulary.events import Event, Picking, Sighting, Treatment

DRAWN = (Picking, Sighting, Treatment)


def season_events(path: Path | str, today: date) -> tuple[Event, ...]:
    """Pickings, sightings and treatments in the order of the journal; nothing later is read."""
    with open_journal(folder_at(path)) as journal:
        standing = effective(journal.events())
    return tuple(e for e in standing if isinstance(e.payload, DRAWN) and e.day <= today)
