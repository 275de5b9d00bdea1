"""Ids of tasks: short digests that stay the same when the plan is made again."""

from __future__ import annotations

import hashlib
from datetime import date


def task_id(visit: date, kind: str, planting: str | None, what: str | None) -> str:
    """Give eight letters for (visit, kind, planting, product or organism)."""
    words = "|".join((visit.isoformat(), kind, planting or "", what or ""))
    return hashlib.sha256(words.encode()).hexdigest()[:8]
