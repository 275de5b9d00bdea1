"""How full of root a cup is, how long the plant stays ready, and what waiting costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

REFERENCE_CUP_ML = 200.0  # common practice: the cup that the nursery days of the table assume
VOLUME_EXPONENT = 0.33  # judgement: days to fill grow with about the cube root of the volume
EARLY_LOSS_CAP = 0.40  # judgement (rules): over-age costs earliness, hardly the whole yield


@dataclass(frozen=True, slots=True)
class CupHeat:
    """Degree-days from sowing at which a lot is ready, full, past ready, and coiled. [C d]"""

    ready: float
    full: float
    closes: float
    coils: float


@dataclass(frozen=True, slots=True)
class OverAge:
    """What each week past the ready window costs."""

    delay_days_a_week: float
    early_loss_a_week: float
    degree_days_a_week: float  # heat that makes one week in the nursery the table assumes


class CupState(NamedTuple):
    """State of a lot: share of the cup rooted (0..1), days of delay, share of early yield lost."""

    fill: Values
    coiled: NDArray[np.bool_]
    delay_days: Values
    early_loss: Values


def cup_heat(ready_low: float, ready_high: float, coils: float, cup_ml: float) -> CupHeat:
    """Heat from sowing to ready, full and coiled in a cup of `cup_ml`. [C d]

    ready_low, ready_high, coils : the same in the reference cup of 200 ml. [C d]

    The cup is full half-way through the window in which plants are usually set out; both ends
    and the coiling move with volume**0.33.
    Holds for: single plants, fed and watered, cups of 50 to 1000 ml.
    Source: trade fact for cucumber (14 days at 25 C, coiled at 18); volume scaling is judgement.
    """
    if cup_ml <= 0:
        raise ValueError(f"a cup holds more than {cup_ml:g} ml")
    if not 0 < ready_low <= ready_high <= coils:
        raise ValueError("ready, past ready and coiled must come in that order")
    scale = (cup_ml / REFERENCE_CUP_ML) ** VOLUME_EXPONENT
    full = (ready_low + ready_high) / 2
    return CupHeat(ready_low * scale, full * scale, ready_high * scale, coils * scale)


def cup_state(degree_days: Values, heat: CupHeat, cost: OverAge) -> CupState:
    """Fill of the cup (share), and what a plant of that heat has lost by waiting.

    degree_days : heat since sowing, any shape. [C d]

    Over-age is charged as days of delay and a small loss of early yield, never as a flat loss:
    trials found that with food and water it costs earliness and hardly the season's total.
    Source: the trials T1 to T5 of checks A10 (abstracts read); the rates are judgement.
    """
    reached = np.asarray(degree_days, dtype=float)
    weeks = np.maximum(reached - heat.closes, 0.0) / cost.degree_days_a_week
    return CupState(
        fill=np.clip(reached / heat.full, 0.0, 1.0),
        coiled=reached >= heat.coils,
        delay_days=weeks * cost.delay_days_a_week,
        early_loss=np.minimum(weeks * cost.early_loss_a_week, EARLY_LOSS_CAP),
    )


def nursery_degree_days(mean_c: Values, base_c: float, upper_c: float) -> Values:
    """Degree-days of each nursery day from its mean, flat above `upper_c`. [C d]

    The nursery totals of the tables were made from daily means, so they are summed that way.
    """
    return np.clip(mean_c, base_c, upper_c) - base_c


def nursery_days(degree_days: float, mean_c: float, base_c: float, upper_c: float) -> float | None:
    """Days to gather that heat at one steady mean; None where it is too cold to grow. [d]"""
    a_day = min(max(mean_c, base_c), upper_c) - base_c
    return degree_days / a_day if a_day > 0 else None
