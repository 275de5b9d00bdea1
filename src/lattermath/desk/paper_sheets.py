"""Sheets as they were printed, found again by the mark at their head, to be typed up."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from lattermath.desk.kept_sheets import keys_by_name, numbered
from lattermath.desk.stamp import stamp_digest
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import Fault, NotThere
from lattermath.vocabulary.plan import Plan

MARK_LETTERS = 5  # a million marks: two sheets of one season hardly ever share theirs
TYPED_WITHIN = timedelta(days=14)  # judgement: after that nobody remembers what a tick meant
MADE_WITHIN = TYPED_WITHIN + timedelta(days=7)  # a sheet is made at most a week before
MOST = 12
REMEDY = "Take it from the head of the sheet: five figures and letters, as in 3f2a9."
NO_NUMBER = "It has the tasks 1 to {most}."


@dataclass(frozen=True, slots=True)
class PaperSheet:
    """One kept plan as its sheet prints it.

    tasks : of its first visit as plain data, by the number printed before them.
    """

    mark: str
    day: date
    arrive: datetime
    worked_out: datetime
    tasks: dict[int, dict[str, Any]]
    keys: dict[str, str]  # of plantings, by their names without regard to capitals

    def task(self, wanted: str) -> dict[str, Any]:
        """A task by the number before it, or by its id; NotThere where it has none such."""
        held = self.tasks.get(int(wanted)) if wanted.isdecimal() else None
        held = held or next((task for task in self.tasks.values() if task["id"] == wanted), None)
        if held is None:
            remedy = NO_NUMBER.format(most=len(self.tasks))
            raise NotThere(Fault("the sheet has no such task", "task", wanted, remedy))
        return held


def sheet_mark(made: Plan) -> str:
    """The mark that a plan's sheet is printed with."""
    return stamp_digest(made.stamp)[:MARK_LETTERS]


def paper_sheets(path: Path | str, today: date) -> tuple[PaperSheet, ...]:
    """Sheets of visits that may have been made by this day and not long ago, newest first."""
    found: list[PaperSheet] = []
    with open_journal(folder_at(path)) as journal:
        for kept in reversed(journal.plans()):
            if today - date.fromisoformat(kept.as_of[:10]) > MADE_WITHIN:
                break
            sheet = _sheet(kept.stamp, journal.plan(kept.stamp) or "{}")
            if sheet is not None and timedelta(0) <= today - sheet.day <= TYPED_WITHIN:
                found.append(sheet)
            if len(found) == MOST:
                break
    return tuple(found)


def paper_sheet(path: Path | str, mark: str) -> PaperSheet:
    """The sheet of a mark; NotThere where no kept plan, or more than one, bears it."""
    with open_journal(folder_at(path)) as journal:
        wanted = mark.strip().lower()
        text = journal.plan(wanted) if len(wanted) >= MARK_LETTERS else None
        stamp = next((k.stamp for k in journal.plans() if k.stamp.startswith(wanted)), "")
    sheet = _sheet(stamp, text) if text else None
    if sheet is None:
        raise NotThere(Fault("no kept sheet has this mark", "sheet", mark, REMEDY))
    return sheet


def _sheet(stamp: str, text: str) -> PaperSheet | None:
    """A kept plan as a sheet; None where it has no visit to do."""
    plan = json.loads(text)
    tasks = numbered(plan) if plan.get("visits") else {}
    if not tasks:
        return None
    visit = plan["visits"][0]
    return PaperSheet(
        mark=stamp[:MARK_LETTERS],
        day=date.fromisoformat(visit["date"]),
        arrive=datetime.fromisoformat(visit["arrive"]),
        worked_out=datetime.fromisoformat(plan["as_of"]),
        tasks=tasks,
        keys=keys_by_name(plan),
    )
