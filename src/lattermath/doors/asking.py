"""The words and options of the command line that several commands share, and their reading."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Literal, get_args

from cyclopts import Parameter

from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Surface

Units = Literal["metric", "us"]
Paper = Literal["a4", "letter"]

PlotFolder = Annotated[
    Path, Parameter(name="--plot", help="Folder of the plot; this folder when left out.")
]
AsJson = Annotated[bool, Parameter(name="--json", negative=(), help="Answer as JSON.")]
OnDay = Annotated[
    date | None,
    Parameter(name="--on", help="As of this day, by what is known now of what happened up to it."),
]
KnownDay = Annotated[
    date | None, Parameter(name="--as-known", help="By what was recorded up to this day only.")
]
UnitsAsked = Annotated[Units, Parameter(name="--units", help="metric or us.")]
At = Annotated[
    str,
    Parameter(name="--at", help='When it happened, by the plot\'s clock: "2016-07-29 19:05". Now.'),
]

HERE = Path()

_KG_A_POUND = 0.45359237
_LITRES_A_GALLON = 3.785411784
_MASSES = {"kg": 1.0, "g": 0.001, "lb": _KG_A_POUND, "oz": _KG_A_POUND / 16}
_VOLUMES = {"l": 1.0, "litres": 1.0, "litre": 1.0, "ml": 0.001, "gal": _LITRES_A_GALLON}
_CANS = re.compile(r"(\d+(?:\.\d+)?)\s*cans?")
_AMOUNT = re.compile(r"(\d+(?:\.\d+)?)\s*([a-z]*)")
_HOURS = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S")


def instant(words: str) -> datetime | None:
    """The local hour written after `--at`, without a zone; None when nothing was written."""
    if not words:
        return None
    for form in _HOURS:
        try:
            return datetime.strptime(words, form)
        except ValueError:
            continue
    raise InputError(
        Fault("this is no day and hour", "--at", words, 'Write it as "2016-07-29 19:05".')
    )


def kilograms(words: str, units: Units) -> float:
    """A weight in kg from `2.1`, `2.1kg`, `800g`, `4lb`; a bare number is kg, or lb in US units."""
    return _amount(words, _MASSES, "lb" if units == "us" else "kg", "KG")


def litres(words: str, units: Units, can_litres: Callable[[], float] | None = None) -> float:
    """A volume in litres from `20`, `20l`, `5gal`, `2cans`; bare is litres, or gallons in US units.

    can_litres : asked for what a can of this plot holds, where cans are written.
    """
    found = _CANS.fullmatch(words.strip().lower())
    if found and can_litres is not None:
        return float(found[1]) * can_litres()
    return _amount(words, _VOLUMES, "gal" if units == "us" else "l", "LITRES")


def _amount(words: str, factors: dict[str, float], bare: str, where: str) -> float:
    found = _AMOUNT.fullmatch(words.strip().lower())
    unit = (found[2] or bare) if found else ""
    if found is None or unit not in factors or float(found[1]) <= 0:
        known = ", ".join(factors)
        remedy = f"Write a number above 0, with one of {known} or none."
        raise InputError(Fault("this is no amount", where, words, remedy))
    return float(found[1]) * factors[unit]


def within(value: float, least: float, most: float, where: str) -> float:
    """The number itself, refused outside `least` to `most`."""
    if not least <= value <= most:
        remedy = f"Write a number from {least:g} to {most:g}."
        raise InputError(Fault("this number is out of range", where, f"{value:g}", remedy))
    return value


def counts(words: str) -> tuple[int, ...]:
    """Counts, one a leaf, from `12,0,3`."""
    parts = [part.strip() for part in words.split(",")]
    wrong = [part for part in parts if not re.fullmatch(r"\d+", part)]
    if wrong:
        raise InputError(
            Fault(
                "counts are whole numbers, one a leaf, with commas between",
                "COUNTS",
                wrong[0],
                "Write them as 12,0,3.",
            )
        )
    return tuple(int(part) for part in parts)


def surfaces(words: str) -> tuple[Surface, ...]:
    """Surfaces of a plant from `underside,top`."""
    parts = [part.strip() for part in words.split(",")]
    known: tuple[Surface, ...] = get_args(Surface)
    for part in parts:
        if part not in known:
            raise InputError(
                Fault("no such surface", "--surfaces", part, f"Choose from {', '.join(known)}.")
            )
    return tuple(surface for part in parts for surface in known if surface == part)


def whole(value: int, where: str, least: int = 1) -> int:
    """The number itself, refused when it is less than `least`."""
    if value < least:
        raise InputError(Fault("this number is too small", where, str(value), f"Least: {least}."))
    return value
