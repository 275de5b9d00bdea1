"""A deposit as the tables know it, and what this plot's weather leaves of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.methods import Method
from lattermath.science.deposits import deposit_left, first_day_left

FloatArray = NDArray[np.float64]

# The first of these words in the table's driver of loss = what the model lets wear it down.
DRIVERS = {
    "light": ("sun", "light", "photolysis", "uv"),
    "warmth": ("vapor", "evapor", "volatil", "metabolism", "hydrolysis"),
}
ONLY_RAIN = ("rain", "new growth")  # and nothing else: it does not decay


@dataclass(frozen=True, slots=True)
class Wear:
    """What wears a deposit down. Everything but the half-life, which its effect holds.

    driver     : light, warmth, rain alone, or time.
    dry_hours  : until it is dry. [h]
    mm_halves  : rain that takes half of a dried deposit; None: `washed_off` rules. [mm]
    washed_off : share that a good washing takes off a dried deposit. [0 to 1]
    """

    driver: str = "time"
    dry_hours: float = 0.0
    mm_halves: float | None = None
    washed_off: float = 0.0

    def left(
        self, half_life_days: float, rain: FloatArray, first: int, pace: Mapping[str, FloatArray]
    ) -> FloatArray:
        """Share left on each day from day `first`, the mean over the futures, (n_days,). [0 to 1]

        rain : from that day on, (n_days,) or (n_futures, n_days). [mm]
        pace : of every day from day 0, by driver; one left out keeps to the half-life.
        """
        n_days = int(rain.shape[-1])
        speeds = pace.get(self.driver)
        speed = np.ones(n_days) if speeds is None else speeds[first : first + n_days]
        left = deposit_left(
            half_life_days,
            np.zeros(n_days) if self.driver == "rain" else speed,
            rain,
            dry_hours=self.dry_hours,
            mm_halves=self.mm_halves,
            washed_off=self.washed_off,
        )
        return left if left.ndim == 1 else np.asarray(left.mean(axis=0))

    def dries(self, rain: FloatArray) -> float:
        """Share of a contact spray that dries before rain takes it, mean over the futures.

        rain : of that day, (1,) or (n_futures, 1); empty past the last day. [mm]
        """
        if not rain.size or not self.dry_hours:
            return 1.0
        return float(first_day_left(rain, self.dry_hours, None, 0.0).mean())


def wear_of(method: Method) -> Wear:
    """What wears the deposit of a method down, by its rows; nothing, for what leaves none."""
    if not method.is_product:
        return Wear()
    dry, halves, washed = method.drying_hours, method.rain_mm_halves, method.wash_off_fraction
    return Wear(
        driver_of(method.fades_by),
        dry.value if dry else 0.0,
        halves.value if halves else None,
        washed.value if washed else 0.0,
    )


def driver_of(words: str) -> str:
    """The driver of loss, read from the words of the table: `sunlight on leaf`."""
    said = words.lower()
    first = {
        kind: min((said.find(w) for w in starts if w in said), default=len(said))
        for kind, starts in DRIVERS.items()
    }
    kind = min(first, key=lambda k: first[k])
    if first[kind] < len(said):
        return kind
    return "rain" if said.startswith(ONLY_RAIN) and "dew" not in said else "time"
