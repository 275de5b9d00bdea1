"""The plan as JSON for other programs: keys in a fixed order, dates and hours by ISO 8601."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date, time
from typing import Any

from lattermath.sheets.figures import said_in
from lattermath.vocabulary.plan import Plan


def plan_json(plan: Plan, *, marks: bool = False) -> str:
    """The whole plan as JSON text with a line feed at the end; same plan, same bytes.

    marks : keep measures marked inside sentences, so that a sheet can be reprinted from the text
            in any units; otherwise they stand as metric words.

    Raises ValueError for a number that JSON has no word for: a plan holds none.
    """
    data = as_data(plan, marks=marks)
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def as_data(value: Any, *, marks: bool = False) -> Any:
    """A record as dicts, lists and plain values, its fields in the order they are declared."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: as_data(getattr(value, f.name), marks=marks) for f in fields(value)}
    if isinstance(value, (tuple, list)):
        return [as_data(item, marks=marks) for item in value]
    if isinstance(value, dict):
        return {str(key): as_data(item, marks=marks) for key, item in value.items()}
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, str) and not marks:
        return said_in(value, "metric")
    return value
