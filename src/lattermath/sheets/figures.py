"""Numbers, days and hours as a sheet says them; the one place where units are turned to US ones."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import Literal

from lattermath.sheets import wording as w
from lattermath.vocabulary.calendar import weekday
from lattermath.vocabulary.plan import WATER, Amount, Span

Units = Literal["metric", "us"]
DEGREE = "°"  # on pages and paper; a terminal goes without

_SMALLEST_SAID = 0.05  # a span below this, rounded to one decimal, would read as nothing

# metric unit: (US unit, what one unit becomes). Published definitions: pound, inch, US gallon.
_TO_US: dict[str, tuple[str, float]] = {
    "kg": ("lb", 1 / 0.45359237),
    "g": ("oz", 1 / 28.349523125),
    "l": ("gal", 1 / 3.785411784),
    "ml": ("fl oz", 1 / 29.5735295625),
    "mm": ("in", 1 / 25.4),
    "cm": ("in", 1 / 2.54),
    "m": ("ft", 1 / 0.3048),
    "km": ("miles", 1 / 1.609344),
    "m2": ("sq ft", 1 / 0.09290304),
    "m/s": ("mph", 3600 / 1609.344),
}
_MIXED = {"ml", "g"}  # what is mixed from a label: rounded down, so never more than the label
_UNIT_WORDS = {"l": "litres"}
_PLURALS = {"can": "cans", "litre": "litres", "bag": "bags", "plant": "plants", "cup": "cups"}


def long_day(when: date) -> str:
    """A day in full: Saturday 9 August."""
    return f"{weekday(when)} {when.day} {w.LONG_MONTHS[when.month - 1]}"


def hour(when: datetime) -> str:
    """An hour by the plot's own clock: 20:05."""
    return f"{when:%H:%M}"


def number(value: float, digits: int = 2) -> str:
    """A number to two significant figures, whole from ten up, with no empty decimals."""
    if value == 0:
        return "0"
    places = max(digits - 1 - math.floor(math.log10(abs(value))), 0)
    said = f"{value:.{places}f}"
    return said.rstrip("0").rstrip(".") if places else said


def _down(value: float) -> float:
    """The value cut, not rounded, to three significant figures."""
    if value <= 0:
        return value
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return math.floor(value / step + 1e-9) * step


def in_units(value: float, unit: str, units: Units) -> tuple[float, str]:
    """A value and its unit, in US units when they are asked for."""
    if units == "metric":
        return value, unit.removesuffix(" apart")
    if unit == "C":
        return value * 1.8 + 32, "F"
    if unit == "C apart":
        return value * 1.8, "F"
    if unit in _TO_US:
        name, factor = _TO_US[unit]
        return value * factor, name
    for weekly in (" a week", "/week"):
        if unit.endswith(weekly):
            turned, name = in_units(value, unit.removesuffix(weekly), units)
            return turned, name + weekly
    return value, unit


def quantity(amount: Amount, units: Units) -> str:
    """How much of what: 2 cans, 1.5 litres, 15 ml."""
    unit = "l" if amount.unit in ("litre", "litres") else amount.unit
    value, name = in_units(amount.quantity, unit, units)
    said = number(_down(value), 3) if unit in _MIXED else _written(value, unit)
    name = _UNIT_WORDS.get(name, name)
    return f"{said} {_one(said, name) if name != unit else _counted(said, name)}".rstrip()


# Marks of US spoons and cups: below so many fl oz, steps of so many fl oz, and the word.
# A tablespoon is half a fluid ounce, a teaspoon a sixth (published definitions).
_SPOONS = ((0.5, 1 / 24, "teaspoon", 6.0), (2.0, 0.25, "tablespoon", 2.0))
_CUP_STEP_FL_OZ = 0.5
_LEAST_SPOON_ML = 29.5735295625 / 24


def mixed(amounts: Sequence[Amount], units: Units) -> list[str]:
    """What goes into a sprayer, in words of one set of marks: water first, then the product.

    In US units water is cut to whole fluid ounces, and the product goes down with it to a mark of
    a spoon or a cup, so that no rounding makes the mix stronger than the label, or more of it.
    """
    if not amounts or amounts[0].unit != "l":
        return [quantity(amount, units) for amount in amounts]
    if units == "metric":  # 1.75 litres is a mark of a sprayer, 1.8 is none; a share is about that
        return [
            f"{number(a.quantity, 3)} {_UNIT_WORDS['l']}" if a.what == WATER else quantity(a, units)
            for a in amounts
        ]
    water = amounts[0].quantity * _TO_US["l"][1] * 128
    whole = math.floor(water + 1e-9)
    return [
        f"{whole} fl oz",
        *(
            _spooned(replace(a, quantity=a.quantity * whole / water))
            if a.unit in _MIXED
            else f"{math.floor(a.quantity * _TO_US['l'][1] * 128 + 1e-9)} fl oz"
            for a in amounts[1:]
        ),
    ]


def _spooned(amount: Amount) -> str:
    if amount.unit != "ml" or amount.quantity < _LEAST_SPOON_ML:
        return f"{number(_down(amount.quantity), 3)} {amount.unit}"  # a syringe or a scale
    ounces = amount.quantity * _TO_US["ml"][1]
    for below, step, word, a_fl_oz in _SPOONS:
        if ounces < below:
            many = math.floor(ounces / step + 1e-9) * step * a_fl_oz
            return f"{number(many, 3)} {word}{'' if many <= 1 else 's'}"
    return f"{number(math.floor(ounces / _CUP_STEP_FL_OZ + 1e-9) * _CUP_STEP_FL_OZ, 4)} fl oz"


def _counted(said: str, name: str) -> str:
    return _one(said, name) if said == "1" else _PLURALS.get(name, name)


def span(known: Span, units: Units) -> str:
    """A range in words, about 5 to 8 kg, or one figure where both ends read the same."""
    low, unit = in_units(known.low, known.unit, units)
    high, _ = in_units(known.high, known.unit, units)
    if high < _SMALLEST_SAID:
        return f"{w.LESS_THAN.format(figure=number(_SMALLEST_SAID * 2))} {unit}"
    low_said, high_said = span_ends(low, high)
    if low_said == high_said:
        return f"{w.ABOUT.format(figure=low_said)} {unit}"
    return f"{w.RANGE.format(low=low_said, high=high_said)} {unit}"


def span_ends(low: float, high: float) -> tuple[str, str]:
    """Both ends of a range, to the decimals its width deserves."""
    places = 0 if max(abs(low), abs(high)) >= 10 else 1
    return _plain(low, places), _plain(high, places)


def _plain(value: float, places: int) -> str:
    said = f"{value:.{places}f}"
    return said.rstrip("0").rstrip(".") if places else said


def chance(probability: float) -> str:
    """A chance as a grower says it: 9 in 10."""
    if probability < 0.05:
        return w.CHANCE_NONE
    if probability > 0.95:
        return w.CHANCE_ALL
    return w.CHANCE.format(tenths=round(probability * 10))


def listed(names: Iterable[str]) -> str:
    """Names in a row: 1, 2 and 6."""
    held = list(names)
    return w.AND.join([", ".join(held[:-1]), held[-1]]) if len(held) > 1 else "".join(held)


_MARK = r"«(-?[\d.]+(?:e[+-]?\d+)?) ([^»]+)»"
_RATE = re.compile(_MARK + r" (in each|in every|a|per) (?:litre|«1 l»)")
_MEASURE = re.compile(f"{_MARK}(?: to {_MARK})?")


def said_in(text: str, units: Units, degree: str = "") -> str:
    """A sentence of the plan with its marked measures in the grower's units.

    Temperatures are readings, never differences: a plan says "5 degrees warmer" for those.
    """
    if units == "us":
        text = _RATE.sub(_rate_in_us, text)
    text = _MEASURE.sub(lambda found: _measure(found, units), text)
    return re.sub(r"(?<=\d) °?([CF])(?!\w)", rf" {degree}\1", text) if degree else text


def _rate_in_us(found: re.Match[str]) -> str:
    per_gallon, unit = float(found[1]) * _TO_US[found[2]][1] / _TO_US["l"][1], _TO_US[found[2]][0]
    return f"{number(_down(per_gallon), 3)} {unit} {found[3]} gallon"


def _measure(found: re.Match[str], units: Units) -> str:
    """One mark, or two with the same unit: about 5 to 8 kg."""
    marks = [(float(found[i]), found[i + 1]) for i in (1, 3) if found[i]]
    turned = [in_units(value, unit, units) for value, unit in marks]
    said = [
        _written(_halved(value) if (unit, name) == ("cm", "in") else value, unit)
        for (value, name), (_, unit) in zip(turned, marks, strict=True)
    ]
    names = [_UNIT_WORDS.get(name, name) for _, name in turned]
    if len(set(names)) == 1:
        return f"{' to '.join(said)} {_one(said[-1], names[0])}"
    return " to ".join(f"{one} {_one(one, name)}" for one, name in zip(said, names, strict=True))


def _halved(inches: float) -> float:
    """Inches as one lays a hand to a fruit: to the half, where that is not nothing."""
    return round(2 * inches) / 2 or inches


def _one(said: str, name: str) -> str:
    return name.removesuffix("s") if said == "1" and name in _PLURALS.values() else name


def _written(value: float, unit: str) -> str:
    if unit == "C":
        return str(round(value))
    return number(_down(value), 3) if unit == "ml" else number(value)


def coarse(value: float) -> str:
    """A number for a small table, to two figures and one decimal: 12000, 38, 0.4."""
    return _plain(float(f"{value:.2g}"), 0 if abs(value) >= 10 else 1)


def coarse_range(low: float, high: float) -> str:
    """Both ends in one cell: 8-20, or one figure where they read the same."""
    ends = coarse(low), coarse(high)
    if ends[0] == ends[1]:
        return ends[0]
    return (" to " if low < 0 else "-").join(ends)
