"""Units a weather file may use, and the way from each to C, mm, m/s, MJ/m2, percent."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of one quantity: base value = (value - zero) * factor."""

    name: str
    quantity: str
    factor: float = 1.0
    zero: float = 0.0

    def to_base(self, value: float) -> float:
        """The value in the unit that the rest of the program uses."""
        return (value - self.zero) * self.factor

    def from_base(self, value: float) -> float:
        """The value in this unit."""
        return value / self.factor + self.zero


CELSIUS = Unit("°C", "temperature")
FAHRENHEIT = Unit("°F", "temperature", 5 / 9, 32.0)
MILLIMETRE = Unit("mm", "depth")
INCH = Unit("inch", "depth", 25.4)
MEGAJOULE = Unit("MJ/m²", "energy")
WATT = Unit("W/m²", "power")
METRE_A_SECOND = Unit("m/s", "speed")

_SPELLINGS: dict[str, Unit] = {
    "c": CELSIUS,
    "celsius": CELSIUS,
    "f": FAHRENHEIT,
    "fahrenheit": FAHRENHEIT,
    "mm": MILLIMETRE,
    "cm": Unit("cm", "depth", 10.0),
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    "m/s": METRE_A_SECOND,
    "m_s": METRE_A_SECOND,
    "ms": METRE_A_SECOND,
    "km/h": Unit("km/h", "speed", 1 / 3.6),
    "km_h": Unit("km/h", "speed", 1 / 3.6),
    "kmh": Unit("km/h", "speed", 1 / 3.6),
    "mph": Unit("mph", "speed", 0.44704),
    "mp/h": Unit("mph", "speed", 0.44704),
    "kn": Unit("kn", "speed", 1852 / 3600),
    "mj/m2": MEGAJOULE,
    "mj_m2": MEGAJOULE,
    "mj": MEGAJOULE,
    "w/m2": WATT,
    "%": Unit("%", "share"),
    "pct": Unit("%", "share"),
    "percent": Unit("%", "share"),
}

# Wind at 2 m from wind at 10 m over grass: FAO-56 equation 47, 4.87 / ln(67.8 z - 5.42)  [memory]
TWO_METRES_FROM_TEN = 0.748


def unit_of(text: str) -> Unit | None:
    """The unit that a cell, header or `*_units` field names; None when it names none."""
    plain = text.strip().strip("()[]").lower().replace("²", "2").replace("º", "°")
    plain = re.sub(r"^(°\s*|deg(rees?)?[\s_.]*)", "", plain).strip()
    return _SPELLINGS.get(plain)


def split_unit(header: str) -> tuple[str, Unit | None]:
    """A column header as name and unit: `tmin_f`, `rain (mm)` and `Max °C` carry one."""
    text = header.strip().lower()
    if found := re.fullmatch(r"(.*?)\s*[(\[]([^)\]]*)[)\]]", text):
        return _plain_name(found[1]), unit_of(found[2])
    words = [word for word in re.split(r"[_\s]+", text) if word]
    for last in (2, 1):  # `m_s` takes two words, `mm` one
        unit = unit_of("_".join(words[-last:])) if len(words) > last else None
        if unit is not None:
            return _plain_name("_".join(words[:-last])), unit
    return _plain_name(text), None


def _plain_name(text: str) -> str:
    return re.sub(r"[\s_.\-]+", "", text)


def asked_units(text: str) -> dict[str, Unit] | None:
    """Units stated in words: "metric", "us", "C mm", "F in". Keyed by quantity; None: not units."""
    whole = {"metric": ("c", "mm"), "us": ("f", "in"), "imperial": ("f", "in")}
    words = whole.get(text.strip().lower()) or re.split(r"[\s,;+]+", text.strip())
    units = [unit_of(word) for word in words]
    found = {unit.quantity: unit for unit in units if unit is not None}
    return found if units and None not in units and len(found) == len(units) else None
