"""What was done and seen last, for whoever writes the same again."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.knowledge.tables import Tables
from lattermath.record.read_back import effective
from lattermath.vocabulary.events import Payload, Sighting, Treatment

LOOKED_AT = 200  # newest entries; what is older is no habit of this season (judgement)


@dataclass(frozen=True, slots=True)
class Done:
    """One standing entry. `what`: what was seen, or treated against, in everyday words."""

    payload: Payload
    what: str = ""


def last_done(path: Path | str) -> tuple[Done, ...]:
    """The newest standing entries, the newest first."""
    folder = folder_at(path)
    with open_journal(folder) as journal:
        events = effective(journal.events())
    tables = tables_of(folder)
    return tuple(
        Done(one.payload, _name(one.payload, tables)) for one in reversed(events[-LOOKED_AT:])
    )


def _name(done: Payload, tables: Tables) -> str:
    if isinstance(done, Sighting):
        return tables.named(done.what)
    return tables.named(done.against) if isinstance(done, Treatment) and done.against else ""
