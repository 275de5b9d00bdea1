"""What is said of what no week of the table shows: lifted after its days, or in none for sure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.after_season import Stands
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.swelling import TUBERS
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.span import Span

LEAST_KG = 0.2  # judgement: less that waits in the ground is not worth a line
NO_ROW_KG = 0.05  # a table to a tenth shows less as nothing
BEGUN = 0.1  # judgement: share of a planting's mean from which it has begun to bear


def later_kg(stands: Stands | None) -> Span | None:
    """How much stands ready then; None where hardly anything would, even at best. [kg]"""
    if stands is None:
        return None
    low, middle, high = (round(float(q), 2) for q in np.percentile(stands.kg, (10, 50, 90)))
    return Span(low, middle, high, "kg") if high >= LEAST_KG else None


def later_says(stands: Stands | None, season: GrowingSeason, many: str = "") -> str:
    """From when to lift it, how much stands then, and how long; empty for any other crop.

    many : what follows where another crop stands now, by name: it is not that which is lifted.
    """
    kg = later_kg(stands)
    if stands is None or kg is None:
        return ""
    weather, (low, high) = season.weather, stands.stands
    ends = weather.n_days - 1
    day = weather.day(min(stands.ready, ends))
    when = f"from about {said(day)} on" if stands.ready <= ends else f"after {said(day)}"
    cold = f"a night of {measure(round(stands.traits.kill_c), 'C')}"
    if stands.traits.crop in TUBERS:  # what kills the leaves does not reach them (memory)
        cold = "the ground freezes"
    what, they = (f"{many} ", capital(many)) if many else ("", "They")
    return (
        f"lift {what}{when}: besides what is picked until then about "
        f"{measure(round(kg.low, 1), 'kg')} to {measure(round(kg.high, 1), 'kg')} stand ready. "
        f"{they} stand {low:g} to {high:g} weeks after the first frost (from memory); lift all "
        f"before {cold}"
    )


def scattered_says(
    weekly: NDArray[np.float64], expected: NDArray[np.float64], mondays: Sequence[date]
) -> str:
    """From when and how much comes of what may come in any of many weeks, and in none for sure.

    weekly   : as chance may bring them, (n_draws, n_weeks). [kg]
    expected : the same as the verdict on the planting has it, before chance. [kg]

    "" where a week of the table shows it, or hardly anything would come in all.
    """
    low, high = np.percentile(expected.sum(axis=1), (10, 90))
    mean = expected.mean(axis=0).cumsum()
    if high < LEAST_KG or np.percentile(weekly, 90, axis=0).max(initial=0.0) >= NO_ROW_KG:
        return ""
    first = mondays[int(np.argmax(mean >= BEGUN * mean[-1]))]
    ends = (measure(round(float(end), 1), "kg") for end in (low, high))
    return f"from about {said(first)} on {' to '.join(ends)} in all, in no one week for sure"
