"""One block (`hourly` or `daily`) of an Open-Meteo reply: times, and values in base units."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lattermath.weather.forms.document import Document
from lattermath.weather.units import TWO_METRES_FROM_TEN, Unit, unit_of

_OLD_NAMES = {
    "wind_speed_10m": "windspeed_10m",
    "wind_speed_10m_mean": "windspeed_10m_mean",
    "relative_humidity_2m": "relativehumidity_2m",
}


@dataclass(frozen=True, slots=True)
class Block:
    """The arrays of a block, all as long as its times."""

    name: str
    times: Sequence[Any]
    arrays: Mapping[str, Sequence[Any]]
    units: Mapping[str, str]

    def values(self, document: Document, name: str, quantity: str) -> list[float | None] | None:
        """A variable in base units, null staying None; None where the reply has no such variable.

        Raises WeatherFileError for an unknown unit, a value that is no number, or several models.
        """
        found = self._found(document, name)
        if found is None:
            return None
        unit = self._unit(document, found, quantity)
        factor = TWO_METRES_FROM_TEN if "10m" in name else 1.0
        out: list[float | None] = []
        for n, value in enumerate(self.arrays[found]):
            if value is None:
                out.append(None)
            elif isinstance(value, int | float) and not isinstance(value, bool):
                out.append(unit.to_base(value) * factor)
            else:
                where = f"{self.name}.{found}[{n}]"
                raise document.refusal("this is no number", where, str(value), "Fetch it again.")
        return out

    def notes(self, name: str) -> list[str]:
        """What to say when a variable came under another name."""
        if name in self.arrays or _OLD_NAMES.get(name) in self.arrays:
            return []
        suffixed = self._suffixed(name)
        return [f"Only one model gave values: {suffixed[0]}."] if suffixed else []

    def _found(self, document: Document, name: str) -> str | None:
        for known in (name, _OLD_NAMES.get(name, "")):
            if known in self.arrays:
                return known
        suffixed = self._suffixed(name)
        if len(suffixed) > 1:
            raise document.refusal(
                "the reply holds several models",
                self.name,
                ", ".join(suffixed),
                "Ask for one model, or for the best match.",
            )
        return suffixed[0] if suffixed else None

    def _suffixed(self, name: str) -> list[str]:
        """Names of a request for models, such as `temperature_2m_max_ecmwf_ifs`."""
        more = ("_min", "_max", "_mean", "_sum", "_probability")
        return [
            key
            for key in self.arrays
            if key.startswith(name + "_") and not key.removeprefix(name).startswith(more)
        ]

    def _unit(self, document: Document, name: str, quantity: str) -> Unit:
        text = self.units.get(name)
        unit = None if text is None else unit_of(text)
        if unit is None or unit.quantity != quantity:
            raise document.refusal(
                "the unit is not known",
                f"{self.name}_units.{name}",
                text or "missing",
                "Fetch it again with its units.",
            )
        return unit


def block(document: Document, reply: Mapping[str, Any], name: str) -> Block | None:
    """The block of that name; None when the reply has none. Raises where its lengths differ."""
    raw, units = reply.get(name), reply.get(f"{name}_units")
    if raw is None:
        return None
    if not isinstance(raw, dict) or not isinstance(raw.get("time"), list):
        raise document.refusal("the block has no list of times", name, remedy="Fetch it again.")
    if not isinstance(units, dict):
        raise document.refusal(
            "the block does not state its units",
            f"{name}_units",
            remedy="Fetch it again with its units.",
        )
    times = raw["time"]
    for key, array in raw.items():
        if not isinstance(array, list) or len(array) != len(times):
            found = str(len(array)) if isinstance(array, list) else str(array)
            raise document.refusal(
                f"the list is not as long as the {len(times)} times",
                f"{name}.{key}",
                found,
                "Fetch it again.",
            )
    plain = {key: array for key, array in raw.items() if re.fullmatch(r"[a-z0-9_]+", key)}
    return Block(name, times, plain, units)
