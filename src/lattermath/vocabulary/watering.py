"""How water is given: at the foot, or over the leaves."""

from __future__ import annotations

from typing import Literal

Way = Literal["foot", "overhead"]
"""`foot`: on the ground, leaves stay dry; `overhead`: a sprinkler, a hose or a rose over leaves."""

WAY_SAID: dict[Way | None, str] = {
    "foot": ", at the foot",
    "overhead": ", over the leaves",
    None: "",
}
"""How an entry says it; None: nobody said."""
