"""The unit door of the plot file: US customary names become metric ones and die here."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lattermath.vocabulary.errors import Fault

# Exact by definition: foot, inch, mile (1959 agreement), US gallon of 231 cubic inches.
FOOT_M = 0.3048
INCH_M = 0.0254
MILE_M = 1609.344
GALLON_L = 3.785411784
FLUID_OUNCE_ML = GALLON_L * 1000 / 128


def _times(factor: float) -> Callable[[float], float]:
    return lambda value: value * factor


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) * 5 / 9


US_NAMES: dict[str, tuple[str, Callable[[float], float]]] = {
    "altitude_ft": ("altitude_m", _times(FOOT_M)),
    "x_ft": ("x_m", _times(FOOT_M)),
    "y_ft": ("y_m", _times(FOOT_M)),
    "length_ft": ("length_m", _times(FOOT_M)),
    "width_ft": ("width_m", _times(FOOT_M)),
    "distance_ft": ("distance_m", _times(FOOT_M)),
    "root_limit_in": ("root_limit_m", _times(INCH_M)),
    "cup_fl_oz": ("cup_ml", _times(FLUID_OUNCE_ML)),
    "mix_gallons": ("mix_litres", _times(GALLON_L)),
    "can_gallons": ("can_litres", _times(GALLON_L)),
    "gallons_left": ("litres_left", _times(GALLON_L)),
    "rate_fl_oz_per_gal": ("rate_ml_per_l", _times(FLUID_OUNCE_ML / GALLON_L)),
    "max_gal_per_1000_sq_ft": ("max_l_per_m2", _times(GALLON_L / (1000 * FOOT_M**2))),
    "max_temperature_f": ("max_temperature_c", _celsius),
    "max_wind_mph": ("max_wind_m_s", _times(MILE_M / 3600)),
    "highs_f": ("highs_c", _celsius),
    "lows_f": ("lows_c", _celsius),
    "rain_in": ("rain_mm", _times(INCH_M * 1000)),
}
METRIC_NAMES = {metric: us for us, (metric, _) in US_NAMES.items()}


class UnitDoor:
    """Renames and converts the US names of one file, and remembers what the grower wrote."""

    def __init__(self, us: bool, file: str) -> None:
        self.us = us
        self.file = file
        self.faults: list[Fault] = []

    def through(self, table: dict[str, Any], where: str) -> dict[str, Any]:
        """A table with metric names and values only; faults are kept in `faults`."""
        passed: dict[str, Any] = {}
        for name, value in table.items():
            if name not in US_NAMES:
                passed.setdefault(name, value)
                continue
            metric, convert = US_NAMES[name]
            if not self.us:
                self._fault("this is a US unit in a metric file", where, name, metric)
            elif metric in table:
                self._fault("the same thing is written in two units", where, name, metric)
            else:
                passed[metric] = _converted(value, convert)
        return passed

    def written(self, name: str, table: dict[str, Any]) -> str:
        """The name under which the grower wrote a metric field."""
        us = METRIC_NAMES.get(name)
        return us if us is not None and us in table else name

    def _fault(self, what: str, where: str, name: str, metric: str) -> None:
        remedy = (
            f"Keep {metric} or {name}, not both."
            if self.us
            else f'Write {metric}, or say units = "us" at the top.'
        )
        self.faults.append(Fault(what, f"{self.file}: {where}.{name}", name, remedy))


def _converted(value: Any, convert: Callable[[float], float]) -> Any:
    """A number, each number of a list, or the value of a label line; words stay as they are."""
    if isinstance(value, list):
        return [_converted(item, convert) for item in value]
    if isinstance(value, dict):
        return (
            value | {"value": _converted(value.get("value"), convert)}
            if "value" in value
            else value
        )
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return convert(float(value))
    return value
