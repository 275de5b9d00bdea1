"""The plan as JSON for other programs: keys in a fixed order, dates and hours by ISO 8601."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

from lattermath.vocabulary.plan import Plan


def plan_json(plan: Plan) -> str:
    """The whole plan as JSON text with a line feed at the end; same plan, same bytes.

    Raises ValueError for a number that JSON has no word for: a plan holds none.
    """
    return json.dumps(as_data(plan), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def as_data(value: Any) -> Any:
    """A record as dicts, lists and plain values, its fields in the order they are declared."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: as_data(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, (tuple, list)):
        return [as_data(item) for item in value]
    if isinstance(value, dict):
        return {str(key): as_data(item) for key, item in value.items()}
    if isinstance(value, date):
        return value.isoformat()
    return value
