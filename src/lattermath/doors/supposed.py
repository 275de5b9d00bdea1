"""Reads what is supposed, from the command line or a page, and says it back in words."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import get_args

from lattermath.doors.asking import within
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Weekday
from lattermath.vocabulary.supposition import Supposition

MOST_FROST_DAYS = 28  # judgement: what lies further off is another climate
WEEKDAYS: tuple[Weekday, ...] = get_args(Weekday)


def supposition(
    *,
    no_products: bool = False,
    without: tuple[str, ...] = (),
    file: Path | None = None,
    days: str = "",
    minutes: int | None = None,
    cans: int | None = None,
    away: tuple[date, date] | None = None,
    frost_days: int = 0,
) -> Supposition:
    """What is supposed, checked. InputError where nothing is, or a word cannot be read."""
    within(frost_days, -MOST_FROST_DAYS, MOST_FROST_DAYS, "--frost")
    chosen = _days(days)
    if away is not None and away[1] < away[0]:
        fault = Fault(
            "the end lies before the start", "--away", f"{away[0]} {away[1]}", "Turn them round."
        )
        raise InputError(fault)
    says = [
        *(["nothing from a pack"] if no_products else []),
        *(f"without {word}" for word in without),
        *([f"the plot file {file.name}"] if file is not None else []),
        *([f"visits on {' and '.join(chosen)} only"] if chosen else []),
        *([f"{counted(minutes, 'minutes')} at a visit"] if minutes is not None else []),
        *([f"{counted(cans, 'cans')} of water at a visit"] if cans is not None else []),
        *([f"away {short(away[0])} to {short(away[1])}"] if away is not None else []),
        *([_frost_words(frost_days)] if frost_days else []),
    ]
    if not says:
        remedy = "Say what: --no-products, --without, --file, --days, --minutes, --cans, --away, "
        raise InputError(Fault("nothing is supposed", "what-if", "", f"{remedy}--frost."))
    text = "" if file is None else _text(file)
    return Supposition(
        no_products, without, chosen, minutes, cans, away, frost_days, text, tuple(says)
    )


def _frost_words(days: int) -> str:
    way = "earlier" if days < 0 else "later"
    return f"the first frost {counted(abs(days), 'days')} {way}"


def _days(words: str) -> tuple[Weekday, ...]:
    asked = [word.strip().casefold()[:3] for word in words.split(",") if word.strip()]
    for word in asked:
        if word not in WEEKDAYS:
            remedy = f"Choose from {', '.join(WEEKDAYS)}."
            raise InputError(Fault("no such day of the week", "--days", word, remedy))
    return tuple(day for day in WEEKDAYS if day in asked)


def _text(file: Path) -> str:
    try:
        return file.read_text("utf-8-sig")
    except UnicodeDecodeError as fault:
        remedy = "Save it as UTF-8 text."
        raise InputError(Fault("the file is no UTF-8 text", "--file", file.name, remedy)) from fault
