"""Quantities inside sentences, so that a sheet can say them in the reader's own units.

A planner writes `f"about {measure(0.6, 'kg')}"`; the sentence then carries `«0.6 kg»`, and the
sheet turns the mark into words in metric or US units.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

Unit = Literal["kg", "g", "l", "ml", "cm", "m", "km", "m2", "C", "mm", "m/s", "C apart"]


def measure(value: float, unit: Unit) -> str:
    """Mark a quantity for the sheet. Units are metric inside the program.

    `C apart` is a difference between two temperatures; `C` is a reading.
    """
    return f"«{value:.6g} {unit}»"


def roughly(number: float, figures: int = 2) -> str:
    """A number to so many significant figures, without powers of ten: 130, 4.2, 0.031."""
    return f"{Decimal(f'{number:.{figures}g}'):f}"
