"""What a plant yields each day: rising to a peak, wearing out with age, ended by frost."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Draws = NDArray[np.float64]  # (n_draws,)
DrawDays = NDArray[np.float64]  # (n_draws, n_days)
Days = NDArray[np.float64]  # (n_futures, n_days)

# Derived: fitted to the peak weeks of twelve crops of the table (rms 14 %, bias -2 %).
START_SHARE = 0.2  # of the peak, at first pick
END_SHARE = 0.1  # of the peak, when picking is given up
FALL_POWER = 1.5  # 1 is a straight fall, 2 a parabola
LEAST_PEAK_DAYS = 0.5  # a crop cut once still takes a day to cut
DAMAGE_AT_KILL = 0.5  # judgement: share lost to a night that only just does not kill


def picked_share(age: DrawDays, peak: Draws, end: Draws) -> DrawDays:
    """Share of the season's yield picked by each picking age, 0 before first pick, 1 at the end.

    age  : days since first pick, negative before it, (n_draws, n_days + 1). [d]
    peak : age at which yield is highest, (n_draws,). [d]
    end  : age at which picking is given up, (n_draws,). [d]

    The integral, in closed form, of a straight rise from first pick to peak and a fall with
    power 1.5 from peak to end.
    Holds for: crops picked over; a crop cut once is a narrow curve.
    Source: shape judgement, fitted to peak weeks of the crop table.
    """
    top = np.maximum(peak, LEAST_PEAK_DAYS)[:, None]
    stop = np.maximum(end[:, None], top + LEAST_PEAK_DAYS)
    rising = np.clip(age, 0.0, top)
    left = 1.0 - np.clip((age - top) / (stop - top), 0.0, 1.0)
    rise = START_SHARE * rising + (1 - START_SHARE) * rising**2 / (2 * top)
    fall = _fall(left, stop - top)
    whole = (1 + START_SHARE) / 2 * top + _fall(np.zeros_like(top), stop - top)
    share: DrawDays = (rise + fall) / whole
    return share


def daily_yield(age: DrawDays, peak: Draws, end: Draws, season_kg: Draws) -> DrawDays:
    """Yield of each day before losses, (n_draws, n_days). [kg, of whatever season_kg counts]

    age       : picking age on each morning, (n_draws, n_days + 1). [d]
    season_kg : yield over the whole picking span, (n_draws,). [kg]
    """
    a_day: DrawDays = np.diff(picked_share(age, peak, end), axis=1)
    return season_kg[:, None] * a_day


def worn_share(age: Draws, peak: Draws, end: Draws) -> Draws:
    """What plants of that picking age yield beside their best day, 1 until the peak, (n_draws,).

    age, peak, end : as for `picked_share`, one age a draw. [d]

    A plant on the way up is not worn; after the peak it falls as its yield does.
    """
    top = np.maximum(peak, LEAST_PEAK_DAYS)
    stop = np.maximum(end, top + LEAST_PEAK_DAYS)
    left = 1.0 - np.clip((age - top) / (stop - top), 0.0, 1.0)
    return np.asarray(np.where(left > 0, END_SHARE + (1 - END_SHARE) * left**FALL_POWER, 0.0))


def standing_after_frost(t_min: Days, kill_c: float, damage_c: float) -> Days:
    """Share of the crop still bearing on each day, 1 to 0, (n_futures, n_days).

    A night at or below `kill_c` ends it from that day; a night between the two takes up to half,
    the more the nearer it comes to killing. What is lost stays lost.
    Source: kill and damage temperatures from the crop table; the shares are judgement.
    """
    depth = np.clip((damage_c - t_min) / max(damage_c - kill_c, 0.1), 0.0, 1.0)
    kept = np.where(t_min <= kill_c, 0.0, 1.0 - DAMAGE_AT_KILL * depth**2)
    return np.asarray(np.cumprod(kept, axis=1), dtype=np.float64)


def first_frost(t_min: Days, threshold_c: float, from_column: int = 0) -> NDArray[np.intp]:
    """Column of the first night at or below the threshold; n_days where there is none."""
    cold = t_min[:, from_column:] <= threshold_c
    first = np.where(cold.any(axis=1), cold.argmax(axis=1) + from_column, t_min.shape[1])
    return np.asarray(first, dtype=np.intp)


def _fall(left: NDArray[np.float64], span: NDArray[np.float64]) -> NDArray[np.float64]:
    """Area under the falling part from the peak to where `left` of its span remains."""
    power = FALL_POWER + 1
    bent = (1 - END_SHARE) / power * (1 - left**2 * np.sqrt(left))  # 2.5, without logarithms
    return span * (END_SHARE * (1 - left) + bent)
