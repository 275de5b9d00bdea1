"""Make the plan for the coming visits, have it audited, and keep it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lattermath.desk.kept_plan import GOOD_FOR, made_before, made_once
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.since_last import since_last
from lattermath.desk.stamp import stamp_digest
from lattermath.desk.wiring import Folder, folder_at, open_journal
from lattermath.record.journal import Journal
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.plan import Plan

if TYPE_CHECKING:
    from lattermath.desk.plan_tasks import WorkedOut

Progress = Callable[[str, float], None]


def plan(
    path: Path | str,
    on: date | None = None,
    as_known: date | None = None,
    progress: Progress | None = None,
    *,
    sheet: bool = True,
) -> Plan:
    """Give the plan as of now, or as of a day (`on`), from what was recorded by `as_known`.

    plot.toml is read first, and what was edited in it becomes entries. A plan of now stands for an
    hour while nothing changes. The plan is kept in the journal under its stamp. PlanViolates when
    the audit finds that it breaks a limit: no plan is then given. WeatherFileError when nothing is
    known of the sky.

    sheet : its sheet is shown; else a plan of another day is not kept, for nobody saw its numbers.
    """
    tell = progress or _silent
    folder = folder_at(path)
    with open_journal(folder) as journal:
        tell("reading the record", 0.0)
        facts = facts_of(folder, journal, on, as_known)
        if on is None and as_known is None:
            facts = _still_good(folder, journal, facts)
        made = made_once(facts, lambda: _worked_out(facts, tell)).plan
        previous = _previous(journal, facts.now.isoformat())
        made = replace(made, stamp=replace(made.stamp, previous=previous))
        made = replace(made, since=since_last(facts, journal, made))
        if as_known is None and (sheet or on is None):
            journal.keep_plan(stamp_digest(made.stamp), made.as_of, plan_json(made))
        tell("done", 1.0)
    return made


def _worked_out(facts: SeasonFacts, tell: Progress) -> tuple[Plan, WorkedOut]:
    """Work it out; what that takes is loaded only then, for a kept plan is there in a second."""
    from lattermath.desk.lay_out import laid_out

    return laid_out(facts, "", tell)


def plan_before(path: Path | str, made: Plan) -> dict[str, Any]:
    """Give the plan that came before this one as plain data; empty where there was none."""
    with open_journal(folder_at(path)) as journal:
        kept = journal.plan(made.stamp.previous) if made.stamp.previous else None
    found: dict[str, Any] = json.loads(kept) if kept else {}
    return found


def _still_good(folder: Folder, journal: Journal, facts: SeasonFacts) -> SeasonFacts:
    """The facts of the newest plan, where it is of the last hour and nothing changed since."""
    plans = journal.plans()
    if not plans:
        return facts
    made = datetime.fromisoformat(plans[-1].as_of)
    if not timedelta() <= facts.now - made < GOOD_FOR or made.date() != facts.today:
        return facts
    before = facts_of(folder, journal, None, None, at=made.astimezone(facts.now.tzinfo))
    return before if made_before(before) else facts


def _previous(journal: Journal, as_of: str) -> str:
    """Give the stamp of the last plan made for an earlier instant."""
    earlier = [kept for kept in journal.plans() if kept.as_of < as_of]
    return earlier[-1].stamp if earlier else ""


def _silent(_: str, __: float) -> None:
    """Hear nothing."""
