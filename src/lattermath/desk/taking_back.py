"""Taking back what one press wrote: a ticked task and the work that it named go together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path

from lattermath.desk.log_visit import log
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.ids import id_beside
from lattermath.vocabulary.events import Event, TaskDone, Withdrawal

MOST_BESIDE = 40  # works that one tick may name: a watering for each planting of a large plot


def take_back(
    path: Path | str,
    entry: str,
    at: datetime | None = None,
    why: str = "",
    entry_id: str | None = None,
) -> tuple[Event, ...]:
    """Withdraw an entry, by its number or id, and what was written with it by one press.

    Of a tick all its work goes; of work its tick goes where no other work of that tick stands.
    What went already is left. InputError as for `log`.
    """
    with open_journal(folder_at(path)) as journal:
        events = journal.events()
    beside = [one.id for one in _written_with(events, entry)]
    first = log(path, Withdrawal(why), at, supersedes=entry, entry_id=entry_id)
    ids = [None if entry_id is None else id_beside(entry_id, n) for n in range(len(beside))]
    more = [
        log(path, Withdrawal(why), at, supersedes=one, entry_id=new)
        for one, new in zip(beside, ids, strict=True)
    ]
    return first, *more


def _written_with(events: Sequence[Event], entry: str) -> Iterator[Event]:
    """The entries that stand and were written by the same press as this one."""
    gone = {event.supersedes for event in events if event.supersedes is not None}
    stand = {event.id: event for event in events if event.id not in gone}
    mine = next((e for e in stand.values() if entry in (e.id, str(e.serial))), None)
    if mine is None:
        return
    if isinstance(mine.payload, TaskDone):
        yield from _beside(mine, stand)
    for other in stand.values():
        beside = () if other is mine else tuple(_beside(other, stand))
        pair = isinstance(other.payload, TaskDone) or isinstance(mine.payload, TaskDone)
        if beside == (mine,) and pair:
            yield other
    if not isinstance(mine.payload, TaskDone):
        yield from (e for e in _beside(mine, stand) if isinstance(e.payload, TaskDone))


def _beside(one: Event, stand: dict[str, Event]) -> Iterator[Event]:
    """What stands of the entries that arrived with one."""
    for n in range(MOST_BESIDE):
        other = stand.get(id_beside(one.id, n))
        if other is not None:
            yield other
