"""What is said of a crop that is lifted when the reckoned days are over."""

from __future__ import annotations

import numpy as np

from lattermath.belief.after_season import Stands
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.span import Span

LEAST_KG = 0.2  # judgement: less that waits in the ground is not worth a line


def later_kg(stands: Stands | None) -> Span | None:
    """How much stands ready then; None where hardly anything does. [kg]"""
    if stands is None:
        return None
    low, middle, high = (round(float(q), 2) for q in np.percentile(stands.kg, (10, 50, 90)))
    return Span(low, middle, high, "kg") if middle >= LEAST_KG else None


def later_says(stands: Stands | None, season: GrowingSeason) -> str:
    """From when to lift it, how much stands then, and how long; empty for any other crop."""
    kg = later_kg(stands)
    if stands is None or kg is None:
        return ""
    weather, (low, high) = season.weather, stands.stands
    ends = weather.n_days - 1
    day = weather.day(min(stands.ready, ends))
    when = f"from about {said(day)} on" if stands.ready <= ends else f"after {said(day)}"
    cold = measure(round(stands.traits.kill_c), "C")
    return (
        f"lift {when}: besides what is picked until then about "
        f"{measure(round(kg.low, 1), 'kg')} to {measure(round(kg.high, 1), 'kg')} stand ready. "
        f"They stand {low:g} to {high:g} weeks after the first frost (from memory); lift all "
        f"before a night of {cold}"
    )
