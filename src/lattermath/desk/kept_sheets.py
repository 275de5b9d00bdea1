"""The plans that the record kept, as plain data, the newest first."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from lattermath.record.journal import Journal
from lattermath.sheets.wording import PARTS


def kept_sheets(journal: Journal) -> Iterator[dict[str, Any]]:
    """Give the plans one by one, so that an old one is read only when the newer lack something."""
    for kept in reversed(journal.plans()):
        yield json.loads(journal.plan(kept.stamp) or "{}")


def tasks_of(plan: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give every task of a plan with the day of its visit."""
    for visit in plan["visits"]:
        for task in visit["tasks"]:
            yield visit["date"], task


def numbered(plan: dict[str, Any]) -> dict[int, dict[str, Any]]:
    """The tasks of a plan's first visit under the numbers that its sheet prints."""
    parts = list(PARTS)
    first = plan["visits"][0]["tasks"] if plan["visits"] else []
    there = [task for task in first if task["part"] in parts]
    return dict(enumerate(sorted(there, key=lambda task: parts.index(task["part"])), 1))


def keys_by_name(plan: dict[str, Any]) -> dict[str, str]:
    """Keys of a plan's plantings by their names as typed, without regard to capitals."""
    plantings = {clear["planting"] for clear in plan["picking"]}
    return {name.casefold(): key for key, name in plan["names"] if key in plantings}
