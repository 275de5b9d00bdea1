"""Unfold a piece of advice down to journal entries, readings, table rows and sources."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from lattermath.desk.addresses import Ground, unfold
from lattermath.desk.kept_sheets import kept_sheets, tasks_of
from lattermath.desk.sky import sky_of
from lattermath.desk.wiring import Folder, folder_at, open_journal, tables_of
from lattermath.record.journal import Journal
from lattermath.record.read_back import plot_as_of
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.errors import Fault, InputError, WeatherFileError

NOT_CLEAR = "Not known when it may be picked"


def why(path: Path | str, address: str) -> list[str]:
    """Give the reasons of one thing as lines, indented by depth.

    `address` is a task id, a planting (its verdict and clearance), an organism, or an address
    such as `rule:bloom`. InputError when the last plan holds no such thing.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        plan = _last_plan(journal)
        ground = _ground(journal, plan, folder)
    if ":" in address:
        return [unfold(address, ground)]
    found = list(_things(plan, address))
    if not found:
        raise InputError(
            Fault(
                "the last plan holds no such thing",
                "why",
                address,
                "Give a task's id (`lattermath plan --json` and the back of the sheet show them), "
                "a planting or an organism.",
            )
        )
    lines: list[str] = []
    newer = max((e.serial for e in ground.events), default=0) - plan["stamp"]["serial"]
    if newer > 0:
        lines.append(f"{newer} entries are newer than this plan: run `lattermath plan` first.")
    for head, reasons in found:
        lines.append(head)
        for reason in reasons:
            lines += _reason(reason, ground)
    return lines


def _things(plan: dict[str, Any], address: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    yield from _at_visits(plan, address)
    for verdict in plan["verdicts"]:
        if verdict["planting"] == address:
            yield verdict["says"], verdict["because"]
    for clearance in plan["picking"]:
        if clearance["planting"] == address:
            yield (
                f"{_cleared(clearance)}, by the plan of {plan['as_of'][:16]}",
                clearance["barred_by"],
            )
    for population in plan["populations"]:
        if address == population["organism"]:
            yield population["says"], population["because"]
    for advice in plan["standby"]:
        if address in (advice["lot"], advice["crop"]):
            yield advice["says"], advice["because"]


def _cleared(clearance: dict[str, Any]) -> str:
    if clearance["clear_now"]:
        return "May be picked"
    when = clearance["safe_from"]
    return (
        f"May be picked from {said_with_hour(datetime.fromisoformat(when))}" if when else NOT_CLEAR
    )


def _at_visits(plan: dict[str, Any], address: str) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    for day, task in tasks_of(plan):
        if task["id"] == address:
            yield f"{day}: {task['says']}", task["because"]
    for visit in plan["visits"]:
        for bar in visit["not_today"]:
            if bar["planting"] == address:
                yield f"{visit['date']}: {bar['what']}", bar["because"]


def _reason(reason: dict[str, Any], ground: Ground) -> list[str]:
    forbids = "" if reason["holds"] else f"  (forbidden by {reason['who']})"
    lines = [f"  {reason['says']}{forbids}"]
    lines += [f"      {unfold(address, ground)}" for address in reason["rests_on"]]
    if reason["way_out"]:
        lines.append(f"      instead: {reason['way_out']}")
    return lines


def _last_plan(journal: Journal) -> dict[str, Any]:
    plan = next(kept_sheets(journal), None)
    if plan is None:
        raise InputError(Fault("no plan was made yet", "why", "", "Run `lattermath plan` first."))
    return plan


def _ground(journal: Journal, plan: dict[str, Any], folder: Folder) -> Ground:
    day = datetime.fromisoformat(plan["as_of"]).date()
    events = journal.events()
    try:
        record = sky_of(journal, events, day).record.until(day)
    except WeatherFileError:
        record = None
    return Ground(plot_as_of(events, day), events, tables_of(folder), record)
