"""The words and options of the command line that several commands share, and their reading."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Literal, get_args

from cyclopts import Parameter

from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Level, LookedAt, Sighting, Surface

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
PhotoFile = Annotated[
    Path | None,
    Parameter(name="--photo", help="A photo to keep with the entry; its place is removed."),
]
At = Annotated[
    str,
    Parameter(name="--at", help='When it happened, by the plot\'s clock: "2016-07-29 19:05". Now.'),
]

HERE = Path()

_KG_A_POUND = 0.45359237
_LITRES_A_GALLON = 3.785411784
_MASSES = {
    "kg": 1.0,
    "g": 0.001,
    "lb": _KG_A_POUND,
    "oz": _KG_A_POUND / 16,
}
_VOLUMES = {"litres": 1.0, "ml": 0.001, "gal": _LITRES_A_GALLON}
_SAME_UNIT = {  # a pint is left out: it is not the same on both sides of the sea
    "kg": ("kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"),
    "g": ("gm", "gms", "gram", "grams", "gramme", "grammes"),
    "lb": ("lbs", "pound", "pounds"),
    "oz": ("ounce", "ounces"),
    "litres": ("l", "litre", "liter", "liters", "ltr", "ltrs"),
    "ml": ("mls", "millilitre", "millilitres", "milliliter", "milliliters"),
    "gal": ("gals", "gallon", "gallons"),
    "cans": ("can",),
}
_UNITS = {word: unit for unit, words in _SAME_UNIT.items() for word in (unit, *words)}
_NUMBER = r"(\d+(?:[.,]\d+)?|[.,]\d+)"
_AMOUNT = re.compile(_NUMBER + r"\s*([a-z]*)\.?")
_PERCENT = re.compile(_NUMBER + r"\s*(?:%|percent|per cent)?")
_THOUSANDS = re.compile(r"\d+,\d{3}")  # 1,500 may be one and a half or fifteen hundred
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
    """A weight in kg from `2.1`, `1,5 kg`, `800g`, `4 lbs`; bare is kg, or lb in US units."""
    return _amount(words, _MASSES, "lb" if units == "us" else "kg", "weight", "2.1, 800g or 4 lb")


def litres(words: str, units: Units, can_litres: float | None = None) -> float:
    """A volume in litres from `20`, `10 liters`, `5gal`, `2 cans`; bare is litres, or US gallons.

    can_litres : what a can of this plot holds, where cans may be written. [l]
    """
    factors = _VOLUMES if can_litres is None else {**_VOLUMES, "cans": can_litres}
    example = "1.5, 500ml or 0.4gal" if can_litres is None else "20, 2cans or 5gal"
    return _amount(words, factors, "gal" if units == "us" else "litres", "water", example)


def in_units(quantity: float, of: Literal["kg", "l"], units: Units) -> str:
    """A quantity as it is written bare in the reader's units: kg or lb, litres or US gallons."""
    factor = 1.0 if units == "metric" else _KG_A_POUND if of == "kg" else _LITRES_A_GALLON
    return f"{round(quantity / factor, 2):g}"


def percent(words: str) -> float:
    """A share in percent from `15`, `15%`, `12,5 %`. [%]"""
    found = _PERCENT.fullmatch(words.strip().lower())
    if found is None:
        raise InputError(
            Fault("this is no share of the leaf", "percent", words, "Write 15 or 15%.")
        )
    return within(_number(found[1], words, "percent"), 0, 100, "percent")


def _amount(words: str, factors: dict[str, float], bare: str, where: str, example: str) -> float:
    found = _AMOUNT.fullmatch(words.strip().lower())
    unit = _UNITS.get(found[2], found[2]) or bare if found else ""
    value = _number(found[1], words, where) if found else 0.0
    if unit not in factors or value <= 0:
        remedy = f"Write it as {example}; units are {', '.join(factors)}."
        raise InputError(Fault("this is no amount", where, words, remedy))
    return value * factors[unit]


def _number(digits: str, words: str, where: str) -> float:
    """A number with a point or a comma; refused where a comma may part thousands."""
    if _THOUSANDS.fullmatch(digits):
        whole, _, rest = digits.partition(",")
        remedy = f"Write {whole}.{rest} or {whole}{rest}."
        raise InputError(Fault("this could be two numbers", where, words, remedy))
    return float(digits.replace(",", "."))


def within(value: float, least: float, most: float, where: str) -> float:
    """The number itself, refused outside `least` to `most`."""
    if not least <= value <= most:
        remedy = f"Write a number from {least:g} to {most:g}."
        raise InputError(Fault("this number is out of range", where, f"{value:g}", remedy))
    return value


def leaves_with_some(words: str) -> tuple[int, int] | None:
    """Leaves with any, and leaves turned, from `7 of 10`; None where it is said otherwise."""
    told = re.fullmatch(r"\s*(\d+)\s+of\s+(\d+)\s*", words)
    return (int(told[1]), int(told[2])) if told else None


def caught(words: str) -> tuple[int, ...]:
    """Counts, one a card, from `14,9`; no class, which says nothing of a card."""
    what = "what a card caught is a whole number, one a card, with commas between"
    return _whole_numbers(words, what, "Count them and write 14; or 14,9 of two cards.")


def counts(words: str) -> tuple[int, ...]:
    """Counts, one a leaf, from `12,0,3`."""
    what = "counts are whole numbers, one a leaf, with commas between, or a class"
    remedy = "Write them as 12,0,3; or 7 of 10, leaves with any; or none, few, many or heavy."
    return _whole_numbers(words, what, remedy)


def _whole_numbers(words: str, what: str, remedy: str) -> tuple[int, ...]:
    parts = [part.strip() for part in words.split(",")]
    wrong = [part for part in parts if not re.fullmatch(r"\d+", part)]
    if wrong:
        raise InputError(Fault(what, "counts", wrong[0], remedy))
    return tuple(int(part) for part in parts)


def level_said(words: str) -> Level | None:
    """The class that was written: none, few, many or heavy; None where it is anything else."""
    known: tuple[Level, ...] = get_args(Level)
    return next((one for one in known if one == words.strip().lower()), None)


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


def leaves_of(value: int, where: str) -> int:
    """How many leaves a class or a share is of; asked for where it was left out."""
    if value == 0:
        remedy = f"Write it, as in {where} 10."
        units = next((one for one in ("plants", "flowers", "leaves") if one in where), "")
        what = f"how many {units} it is of" if units else "how many were looked at"
        raise InputError(Fault(f"{what} is missing", where, "", remedy))
    return whole(value, where)


def of_counts(seen: Sighting, counted: tuple[int, ...], looked: int, where: str) -> Sighting:
    """A count one by one, or the sum of so many; refused where a list is of another number.

    looked : how many leaves, plants or flowers it is of; 0 where that is not said.
    """
    if not looked or len(counted) == looked > 1:
        return replace(seen, looked_at=len(counted), counts=counted)
    if len(counted) > 1:
        units = where.strip("-")
        remedy = (
            f"Write one number for each of the {looked} {units}, noughts too; or their sum, "
            f"{sum(counted)}; or leave {where} out, if {len(counted)} {units} were looked at."
        )
        found = ",".join(map(str, counted))
        fault = f"these are {len(counted)} numbers for {looked} {units}"
        raise InputError(Fault(fault, "counts", found, remedy))
    return replace(seen, looked_at=looked, total=sum(counted))


def of_plants(seen: Sighting, plants: int) -> Sighting:
    """A look at whole plants, where their number was given: at no side of leaves alone."""
    return replace(seen, surface="whole") if plants and seen.surface == "underside" else seen


def of_flowers(seen: Sighting, flowers: int, others: int) -> Sighting:
    """A look at flowers, where their number was given; refused where it is of leaves as well.

    others : the number of leaves or plants, where that was given.
    """
    of_leaves = flowers and seen.surface not in ("underside", "flowers")
    if of_leaves or (others and seen.surface == "flowers"):
        fault = "it is of flowers or of leaves"
        remedy = "Give --flowers 10, or --leaves 10 and a side of leaves."
        raise InputError(Fault(fault, "--surface", seen.surface, remedy))
    return replace(seen, surface="flowers") if flowers else seen


def looked_at_place(words: str) -> LookedAt:
    """Where something was looked for: a surface of the plant, or its flowers."""
    return "flowers" if words == "flowers" else surfaces(words)[0]


def whole(value: int, where: str, least: int = 1) -> int:
    """The number itself, refused when it is less than `least`."""
    if value < least:
        raise InputError(Fault("this number is too small", where, str(value), f"Least: {least}."))
    return value
