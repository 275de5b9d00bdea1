"""How much a treatment did, beside plants that had none."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, stdtrit

FloatArray = NDArray[np.float64]

NOT_KNOWN = math.nan
SURE = 0.95  # share of such intervals that hold the truth
NONE_SEEN = -math.log((1 - SURE) / 2)  # most that none counted still allows, Poisson


@dataclass(frozen=True, slots=True)
class Efficacy:
    """What a treatment did, in per cent; below 0 where it did harm.

    percent      : NaN where it cannot be estimated. [%]
    low_percent, high_percent : interval of 95 in 100; None without repeated counts. [%]
    """

    percent: float
    low_percent: float | None = None
    high_percent: float | None = None


@dataclass(frozen=True, slots=True)
class MeanSeen:
    """The mean of one look with what is known of its spread.

    mean         : counts a unit.
    n_units      : units looked at.
    log_variance : of the logarithm of the mean; nothing is asked of it where the mean is 0.
    """

    mean: float
    n_units: int
    log_variance: float


def abbott(treated: float, untreated: float) -> float:
    """Efficacy from survivors where both started alike. [%]

    treated, untreated : insects alive afterwards, per like unit.

        100 (1 - Ta / Ca)

    NaN where nothing lives on untreated plants: nothing can be told then. Never clipped.
    Source: Abbott 1925, J. Econ. Entomol. 18:265 (formula recalled).
    """
    return 100 * (1 - treated / untreated) if untreated > 0 else NOT_KNOWN


def schneider_orelli(treated_dead: float, untreated_dead: float) -> float:
    """Efficacy from mortality in per cent where both started alike. [%]

    treated_dead, untreated_dead : mortality. [%]

        100 (mT - mC) / (100 - mC)

    NaN where all untreated died. Source: Schneider-Orelli 1947 (recalled).
    """
    if untreated_dead >= 100:
        return NOT_KNOWN
    return 100 * (treated_dead - untreated_dead) / (100 - untreated_dead)


def henderson_tilton(
    treated_before: float, treated_after: float, untreated_before: float, untreated_after: float
) -> float:
    """Efficacy from counts before and after where the start was uneven. [%]

    treated_before, treated_after, untreated_before, untreated_after : counts per like unit.

        100 (1 - Ta Cb / (Tb Ca))

    NaN where untreated plants had none before or after, or treated plants none before.
    Source: Henderson and Tilton 1955, J. Econ. Entomol. 48:157 (formula recalled).
    """
    beside = treated_before * untreated_after
    if beside <= 0 or untreated_before <= 0:
        return NOT_KNOWN
    return 100 * (1 - treated_after * untreated_before / beside)


def sun_shepard(treated_fall: float, untreated_change: float) -> float:
    """Efficacy from per cent changes where the start was uneven. [%]

    treated_fall     : fall of the treated counts. [%]
    untreated_change : change of the untreated counts, above 0 where they rose. [%]

        100 (mT + dC) / (100 + dC)

    NaN where no untreated were left. Source: Sun and Shepard 1947, J. Econ. Entomol. 40:710
    (recalled).
    """
    if untreated_change <= -100:
        return NOT_KNOWN
    return 100 * (treated_fall + untreated_change) / (100 + untreated_change)


def by_mortality(tb: float, ta: float, cb: float, ca: float) -> float:
    """Schneider-Orelli's efficacy of the counts that Henderson and Tilton take, same order. [%]"""
    if min(tb, cb) <= 0:
        return NOT_KNOWN
    return schneider_orelli(100 * (1 - ta / tb), 100 * (1 - ca / cb))


def by_change(tb: float, ta: float, cb: float, ca: float) -> float:
    """Sun and Shepard's efficacy of the counts that Henderson and Tilton take, same order. [%]"""
    if min(tb, cb) <= 0:
        return NOT_KNOWN
    return sun_shepard(100 * (tb - ta) / tb, 100 * (ca - cb) / cb)


def survivors_compared(treated_after: ArrayLike, untreated_after: ArrayLike) -> Efficacy:
    """Abbott's efficacy of counts on several units, with its interval. [%]

    treated_after, untreated_after : counts, shape (n_units,) each; one number has no interval.
    """
    ta, ca = _counts(treated_after), _counts(untreated_after)
    return _with_interval(abbott(_mean(ta), _mean(ca)), (ta,), (ca,), paired=False)


def changes_compared(
    treated_before: ArrayLike,
    treated_after: ArrayLike,
    untreated_before: ArrayLike,
    untreated_after: ArrayLike,
    paired: bool = False,
    formula: Callable[[float, float, float, float], float] = henderson_tilton,
) -> Efficacy:
    """Efficacy of counts before and after on several units, with its interval. [%]

    treated_before, treated_after, untreated_before, untreated_after : counts, (n_units,) each.
    paired  : the same units in the same order before and after; without it the counts before and
        after count as independent, which widens the interval where units differ.
    formula : of the four means, in the order above.
    """
    tb, ta = _counts(treated_before), _counts(treated_after)
    cb, ca = _counts(untreated_before), _counts(untreated_after)
    if paired and (len(tb) != len(ta) or len(cb) != len(ca)):
        raise ValueError("paired counts need as many units before as after")
    percent = formula(_mean(tb), _mean(ta), _mean(cb), _mean(ca))
    return _with_interval(percent, (ta, tb), (ca, cb), paired)


def means_compared(treated: Sequence[MeanSeen], untreated: Sequence[MeanSeen]) -> Efficacy:
    """Abbott's efficacy of looks after, or Henderson and Tilton's with looks before, and interval.

    treated, untreated : the look after; or after and before. Looks at a single unit have none.

    Raises ValueError for another number of looks, or not the same of both.
    """
    if len(treated) != len(untreated) or len(treated) not in (1, 2):
        raise ValueError("the look after is wanted of both, or the looks after and before")
    (ta, *tb), (ca, *cb) = treated, untreated
    if tb and cb:
        percent = henderson_tilton(tb[0].mean, ta.mean, cb[0].mean, ca.mean)
    else:
        percent = abbott(ta.mean, ca.mean)
    every = [*treated, *untreated]
    if math.isnan(percent) or any(one.n_units < 2 for one in every):
        return Efficacy(percent)
    start = tb[0].mean / cb[0].mean if tb and cb else 1.0
    ratio = (ta.mean or NONE_SEEN / ta.n_units) / (start * ca.mean)
    parts = [(one.log_variance, float(one.n_units - 1)) for one in every if one.mean > 0]
    return _interval(percent, ratio, parts, some_left=ta.mean > 0)


def probit_kill(dose: ArrayLike, half_kill_dose: float, slope: float) -> FloatArray:
    """Share killed by a dose. [0 to 1]

    dose, half_kill_dose : in one unit, above 0.
    slope                : probits for a tenfold dose.

    Source: Finney's probit line (textbook).
    """
    strength = np.asarray(dose, dtype=np.float64) / half_kill_dose
    return np.asarray(ndtr(slope * np.log10(strength)), dtype=np.float64)


def _counts(given: ArrayLike) -> FloatArray:
    counts = np.atleast_1d(np.asarray(given, dtype=np.float64))
    if counts.ndim != 1 or counts.size == 0 or np.isnan(counts).any() or np.any(counts < 0):
        raise ValueError("counts must be known, one or more, and not below 0")
    return counts


def _mean(counts: FloatArray) -> float:
    return float(counts.mean())


Sample = tuple[FloatArray, ...]  # after; or after and before


def _with_interval(percent: float, treated: Sample, untreated: Sample, paired: bool) -> Efficacy:
    """Interval of the log ratio by the delta method, with Student's t and Satterthwaite's degrees.

    Where no treated insect was left, the ratio is below what that still allows: at most 3.7 were
    missed (Poisson). Judgement; the spread of the other counts widens it further.
    """
    every = [*treated, *untreated]
    if math.isnan(percent) or any(len(counts) < 2 for counts in every):
        return Efficacy(percent)
    left = treated[0].sum() > 0
    ratio = 1 - percent / 100 if left else _ratio_missed(treated, untreated)
    known = treated if left else treated[1:]
    parts = [part for sample in (known, untreated) for part in _parts(sample, paired)]
    return _interval(percent, ratio, parts, some_left=bool(left))


def _interval(
    percent: float, ratio: float, parts: Sequence[tuple[float, float]], *, some_left: bool
) -> Efficacy:
    """The interval of a log ratio from the variances of its log means and their freedoms."""
    spread = sum(part for part, _ in parts)
    half = 0.0
    if spread > 0:
        freedom = 1 / sum((part / spread) ** 2 / free for part, free in parts)
        half = float(stdtrit(freedom, (1 + SURE) / 2)) * math.sqrt(spread)
    low = 100 * (1 - ratio * math.exp(min(half, 700.0)))
    return Efficacy(percent, low, 100 * (1 - ratio * math.exp(-half)) if some_left else 100.0)


def _ratio_missed(treated: Sample, untreated: Sample) -> float:
    """The ratio as large as it may be where none was counted on treated units."""
    missed = NONE_SEEN / len(treated[0])
    before = treated[1].mean() / untreated[1].mean() if len(treated) > 1 else 1.0
    return float(missed / (before * untreated[0].mean()))


def _parts(sample: Sample, paired: bool) -> list[tuple[float, int]]:
    """Variances of the log means, with their degrees of freedom; one where units are paired."""
    if paired and len(sample) == 2:
        after, before = sample
        change = after / after.mean() - before / before.mean()
        return [(float(change.var(ddof=1)) / len(change), len(change) - 1)]
    return [
        (float((counts / counts.mean()).var(ddof=1)) / len(counts), len(counts) - 1)
        for counts in sample
    ]
