"""An entry that speaks of another, in words: a task ticked, an entry taken back."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from lattermath.desk.kept_sheets import kept_sheets, tasks_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.effective import put_right_by
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.events import Event, Sighting, TaskDone
from lattermath.vocabulary.sentence import listed


def of_another(path: Path | str, event: Event) -> str:
    """A withdrawal or a tick, by what it speaks of."""
    with open_journal(folder_at(path)) as journal:
        if isinstance(event.payload, TaskDone):
            wanted = event.payload.task
            tasks = (task for plan in kept_sheets(journal) for _, task in tasks_of(plan))
            told = (task["says"] for task in tasks if task["id"] == wanted)
            says = _first_words(next(told, ""))
            return f"task {wanted}, {event.payload.how}" + (f" ({says})" if says else "")
        gone = journal.find(event.supersedes or "")
        before = () if gone is None else put_right_by(gone, journal.events())
    if gone is None:
        return "an entry taken back"
    said = f"entry {gone.serial} taken back ({gone.kind} of {said_with_hour(gone.local)})"
    return f"{said}; {stay_gone([one.serial for one in before])}" if before else said


def replaced(path: Path | str, event: Event) -> Event | None:
    """The entry that a correction stands for; None where it is none."""
    if event.supersedes is None:
        return None
    with open_journal(folder_at(path)) as journal:
        return journal.find(event.supersedes)


def all_else(old: Event, new: Event) -> str:
    """What to ask where neither the place nor the kind of an entry is that of its correction: a
    slip in its number is likelier than two faults at once. Empty where one of them is the same."""
    if _place(old) == _place(new) or _kind(old) == _kind(new):
        return ""
    return (
        f"Was entry {old.serial} meant? Place and kind are both others; entry {old.serial} no "
        f"longer counts. If not, take that back: lattermath log withdraw {new.serial}. Then write "
        "both down anew."
    )


def _place(event: Event) -> object:
    one = event.payload
    return getattr(one, "plantings", None) or (
        getattr(one, "planting", None) or getattr(one, "bed", None) or getattr(one, "lot", None),
    )


def _kind(event: Event) -> object:
    seen = event.payload
    return seen.what if isinstance(seen, Sighting) else type(seen)


def stay_gone(serials: Sequence[int]) -> str:
    """What becomes of entries whose correction was taken back: they do not count again."""
    if len(serials) == 1:
        return (
            f"entry {serials[0]}, which it had put right, does not count again: write it down "
            "anew, if it was right"
        )
    which = listed([str(one) for one in serials])
    return (
        f"entries {which}, which it had put right, do not count again: write down anew what was "
        "right"
    )


def _first_words(says: str) -> str:
    """What a task of a sheet begins with: enough to know it again."""
    sentence = re.split(r" \{task:|[;.] ", says)[0].rstrip(". ")
    head = sentence.partition(": ")[0]
    return head if " " in head else sentence
