"""What the even life of a cluster leaves out: on each planting the numbers wander.

The cohorts of a draw follow one survival and one laying for the whole season. On a plot, enemies,
rain, flights and the quality of the leaves differ from week to week and from bed to bed, so that
the logarithm of a planting's numbers wanders about that course. The wandering is not sampled but
filtered: for each particle and planting a normal law of it is carried from look to look, and each
look's likelihood is its mean over that law (assumed-density filtering by Gauss-Hermite nodes).
Old looks then count for less by themselves. Decision 0020 says how its size was found.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol, TypeAlias, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.belief.cluster_sightings import Seen

FloatArray = NDArray[np.float64]


class AtPlace(Protocol):
    """A look at one planting on one day."""

    @property
    def day(self) -> int:
        """Day of the belief."""

    @property
    def place(self) -> int:
        """Place of the planting."""

    @property
    def serial(self) -> int:
        """Number of its entry."""


Look = TypeVar("Look", bound=AtPlace)
Fit: TypeAlias = Callable[[Look, FloatArray], FloatArray]
Law: TypeAlias = tuple[FloatArray, FloatArray, FloatArray]  # log-probability, mean, variance

# What goes otherwise than the even course says comes with every brood: insects that breed faster
# wander faster. Log level, gained in one generation; tuned on seasons played in nature (decisions
# 0061, 0062), of kinds of which a generation takes 12, 17 and 33 days. No slower ones were played.
GENERATION_SD, SLOWEST_DAYS = 0.55, 33.0
# Now and then a planting gains or loses many at once, for which nobody wrote down a cause: enemies
# that found it, a cloudburst, a flight. Judgement: once in two months, by a factor of three or so.
LEAP_SD, LEAPS_A_DAY = 1.0, 1 / 60
STEP_DAYS = 3  # days ahead between shocks
LEAVES_SD = 0.4  # judgement: plants have more or fewer leaves than is taken, log scale
# Insects come in families: a small number on a planting is what few founders left, or none. A
# founder came about so long ago, outdoors three eggs in ten become adults (the table's middle), and
# a quarter of the last brood is there at one time.
# All judgement, the first sized on seasons played in nature (decision 0056).
FOUNDED_DAYS, LIVES, AT_ONE_TIME = 26.0, 0.3, 0.25
LEAST_FAMILY = 5.0
LEAST_NUMBER = 1e-3
STAGES_SD = 0.45  # of one stage beside the others, log scale; tuned likewise
# A whole cluster may grow faster or slower than its even course says, for some weeks on end: what
# enemies have gathered and what the books' rates are off. Log growth of a generation; tuned too.
TREND_SD, TREND_DAYS = 0.77, 21.0
PULLED_BACK_DAYS = 42.0  # judgement: no planting wanders off for ever; time constant
NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(7)
LOG_WEIGHTS = np.log(_WEIGHTS / _WEIGHTS.sum())
LEAST_VARIANCE = 1e-4


@dataclass(frozen=True, slots=True, eq=False)
class Wandered:
    """How far each planting has wandered at its last look: log scale, or logit of a severity.

    gains          : log-likelihood of each look after those before it, (n_draws, n_looks).
    mean, variance : of the wandering, (n_draws, n_plantings).
    last           : day of the last look at each planting, (n_plantings,).
    """

    gains: FloatArray
    mean: FloatArray
    variance: FloatArray
    last: NDArray[np.int64]

    @property
    def log_likelihood(self) -> FloatArray:
        """Of everything seen, (n_draws,)."""
        return np.asarray(self.gains.sum(1))


def _brood_days(generation_days: float) -> float:
    """Days over which the errors of one brood are spread: the slowest are taken alike. [d]"""
    return min(generation_days, SLOWEST_DAYS)


class Walk(NamedTuple):
    """How a level wanders: steps that add up, pulled back, and now and then a leap.

    a_day : variance gained in a day. back : time constant of the pull back, inf for none. [d]
    leap  : variance of a leap. leaps_a_day : chance of one in a day.
    """

    a_day: float
    back: float = np.inf
    leap: float = 0.0
    leaps_a_day: float = 0.0

    def leapt(self, days: ArrayLike) -> FloatArray:
        """Chance of a leap in so many days, shape as `days`. [0 to 1]"""
        return np.asarray(-np.expm1(-self.leaps_a_day * np.asarray(days, dtype=np.float64)))


def walk_of(generation_days: float) -> Walk:
    """How numbers on a planting wander, of a kind with so many days from brood to brood."""
    a_day = GENERATION_SD**2 / _brood_days(generation_days)
    return Walk(a_day, PULLED_BACK_DAYS, LEAP_SD**2, LEAPS_A_DAY)


def filtered(
    seen: Sequence[Seen],
    sums: NDArray[np.float32],
    detection: FloatArray,
    generation_days: float,
) -> Wandered:
    """Carry the wandering from look to look.

    sums            : by the even course, (n_draws, n_plantings, n_days, n_stages). [insects]
    detection       : how well this grower sees, (n_draws,).
    generation_days : from one brood to the next. [d]
    """

    def fit(one: Seen, away: FloatArray) -> FloatArray:
        even = one.expected(sums[:, one.place, one.day].astype(np.float64), detection)
        return one.of_expected(even[:, None] * np.exp(away))

    return carried(seen, sums.shape[:2], walk_of(generation_days), fit)


def wandered_on(
    mean: FloatArray, variance: FloatArray, days: ArrayLike, walk: Walk
) -> tuple[FloatArray, FloatArray]:
    """Mean and variance of a walk some days on, but for leaps; arrays alike, or by planting on the
    last axis."""
    gone = np.asarray(days, dtype=np.float64)
    if not np.isfinite(walk.back):
        return mean, np.asarray(variance + walk.a_day * gone)
    keep = np.exp(-gone / walk.back)
    return np.asarray(mean * keep), np.asarray(
        variance * keep**2 + walk.a_day * walk.back / 2 * (1 - keep**2)
    )


def carried(seen: Sequence[Look], shape: tuple[int, int], walk: Walk, fit: Fit[Look]) -> Wandered:
    """A normal law of how far each planting has wandered, carried from look to look.

    Each look is met with and without a leap since the one before it at that planting; the two laws
    that follow are then taken as one normal law of their mean and variance.

    shape : (n_draws, n_plantings).
    fit   : log-likelihood of a look with its planting so far away, (n_draws, n_nodes) both.
    """
    n_draws, n_places = shape
    mean, variance = np.zeros((n_draws, n_places)), np.zeros((n_draws, n_places))
    last, gains = np.zeros(n_places, dtype=np.int64), np.zeros((n_draws, len(seen)))
    looked: set[int] = set()
    for look, one in enumerate(sorted(seen, key=lambda s: (s.day, s.serial))):
        p, gap = one.place, one.day - last[one.place]
        before = wandered_on(mean[:, p], variance[:, p], gap, walk)
        chance = float(walk.leapt(gap)) if p in looked else 0.0
        met = _met(one, *before, fit)
        if chance > 0:
            leapt = _met(one, before[0], before[1] + walk.leap, fit)
            met = _either(met, leapt, chance)
        gains[:, look], mean[:, p], variance[:, p] = met
        last[p] = one.day
        looked.add(p)
    return Wandered(gains, mean, variance, last)


def _met(one: Look, mean: FloatArray, variance: FloatArray, fit: Fit[Look]) -> Law:
    """Log-probability of a look, and the normal law after it, by Gauss-Hermite nodes."""
    away = mean[:, None] + np.sqrt(variance)[:, None] * NODES
    log_weight = LOG_WEIGHTS + fit(one, away)
    most = log_weight.max(1)
    weight = np.exp(log_weight - most[:, None])
    whole = weight.sum(1)
    weight /= whole[:, None]
    after = (weight * away).sum(1)
    spread = (weight * (away - after[:, None]) ** 2).sum(1)
    return most + np.log(whole), after, np.maximum(spread, LEAST_VARIANCE)


def _either(plain: Law, leapt: Law, chance: float) -> Law:
    """The same where it is one or the other, the second with this chance beforehand."""
    log_plain, log_leapt = plain[0] + np.log1p(-chance), leapt[0] + np.log(chance)
    gain = np.logaddexp(log_plain, log_leapt)
    share = np.exp(log_leapt - gain)
    mean = (1 - share) * plain[1] + share * leapt[1]
    apart = share * (1 - share) * (leapt[1] - plain[1]) ** 2
    return gain, mean, (1 - share) * plain[2] + share * leapt[2] + apart


@dataclass(frozen=True, slots=True, eq=False)
class Drift:
    """What the even course is multiplied by, in every draw.

    today  : this morning, (n_draws, n_plantings, n_stages).
    coming : on every third day from today, (n_draws, n_shocks, n_plantings), mean 1.
    leaves : leaves that a planting has beside those it is taken to have, (n_draws, n_plantings).
    """

    today: FloatArray
    coming: FloatArray
    leaves: FloatArray

    def of_past(self, n_days: int) -> FloatArray:
        """The same on the days up to today, (n_draws, n_plantings, n_days, n_stages).

        A wandering that begins at none and ends as it did lies, in the mean, on the straight line.
        """
        passed = np.arange(n_days) / max(n_days - 1, 1)
        return np.asarray(np.exp(np.log(self.today)[:, :, None] * passed[:, None]))


def throw_drift(
    wandered: Wandered,
    today: int,
    n_ahead: int,
    n_stages: int,
    keys: Sequence[str],
    throw: Callable[[str], np.random.Generator],
    generation_days: float,
    even: FloatArray | None = None,
    family: float = LEAST_FAMILY,
    told: FloatArray | None = None,
    leaves_sd: float = LEAVES_SD,
) -> Drift:
    """Throw the wandering of today and of the days to come, a stream for each planting.

    today           : day of the cycle. n_ahead : days after it.
    generation_days : from one brood to the next. [d]
    even            : by the even course, (n_draws, n_plantings); None: very many. [insects]
    family          : of them that come of one founder; see `family_of`.
    told            : what looks have told, as founders; see `told_by_looks`. None: nothing.
    leaves_sd       : of its leaves beside those it is taken to have, log scale; 0 where insects
                      are counted by the plant, since plants are known.
    """
    n_draws, walk = len(wandered.mean), walk_of(generation_days)
    gone = today - wandered.last
    since = np.where(wandered.last > 0, gone, 0)  # before the first look any level was likely
    away, variance = wandered_on(wandered.mean, wandered.variance, gone, walk)
    own = np.stack([throw(f"wander|{key}").standard_normal(n_draws) for key in keys], axis=1)
    leaves = np.stack([throw(f"leaves|{key}").standard_normal(n_draws) for key in keys], axis=1)
    stages = throw("stages").standard_normal((n_draws, 1, n_stages))
    rare = [
        _leaps(throw(f"leap|{key}"), walk, n, (n_draws,))
        for key, n in zip(keys, since, strict=True)
    ]
    more = leaves_sd * leaves
    level = away + np.sqrt(variance) * own + more + np.stack(rare, axis=1)
    n_shocks = n_ahead // STEP_DAYS
    steps = [throw(f"coming|{key}").standard_normal((n_draws, n_shocks)) for key in keys]
    sudden = [_leaps(throw(f"leaps|{key}"), walk, STEP_DAYS, (n_draws, n_shocks)) for key in keys]
    trend = throw("trend").standard_normal((n_draws, 1))
    coming = _coming(np.stack(steps, axis=2), np.stack(sudden, axis=2), trend, generation_days)
    factor = np.exp(level)
    if even is not None:
        founded = even * factor / family + (0.0 if told is None else told)
        factor = factor * _families(founded, keys, throw)
    return Drift(factor[..., None] * np.exp(STAGES_SD * stages), coming, np.exp(more))


def told_by_looks(wandered: Wandered, today: int, generation_days: float) -> FloatArray:
    """What looks have told of each planting's level by now, (n_draws, n_plantings).

    As the precision of the wandering today beyond that of one never looked at: what was counted is
    there, whoever founded it, and this many founders more would leave chance as much to do. It is
    0 where nobody looked, and goes as the level wanders on.

    generation_days : from one brood to the next. [d]
    """
    walk, gone = walk_of(generation_days), today - wandered.last
    _, known = wandered_on(wandered.mean, wandered.variance, gone, walk)
    none = np.zeros_like(known)
    _, free = wandered_on(none, none, np.full(len(gone), today), walk)
    sure = np.maximum(known, LEAST_VARIANCE), np.maximum(free, LEAST_VARIANCE)
    return np.maximum(1 / sure[0] - 1 / sure[1], 0.0)


def family_of(eggs: float, generation_days: float) -> float:
    """Insects on a planting that come of one founder, her daughters and theirs.

    eggs            : of one mother in her life, on the best host.
    generation_days : from one brood to the next, in the usual warmth of summer. [d]
    """
    broods = max(FOUNDED_DAYS / generation_days, 1.0)
    return float(max(AT_ONE_TIME * (LIVES * eggs) ** broods, LEAST_FAMILY))


def _leaps(
    stream: np.random.Generator, walk: Walk, days: float, shape: tuple[int, ...]
) -> FloatArray:
    """Leaps of so many days, mostly none; log scale."""
    comes = stream.random(shape) < walk.leapt(days)
    return np.where(comes, np.sqrt(walk.leap) * stream.standard_normal(shape), 0.0)


def _families(
    number: FloatArray, keys: Sequence[str], throw: Callable[[str], np.random.Generator]
) -> FloatArray:
    """What chance makes of an expected number of families, as a factor of mean 1, same shape.

    Gamma: its variance is that of so many families, each there or not (compound Poisson).
    """
    shape = np.maximum(number, LEAST_NUMBER)
    thrown = [throw(f"families|{key}").gamma(shape[:, n]) for n, key in enumerate(keys)]
    return np.maximum(np.stack(thrown, axis=1) / shape, LEAST_NUMBER)


def _coming(
    steps: FloatArray, leaps: FloatArray, trend: FloatArray, generation_days: float
) -> FloatArray:
    """What each shock multiplies by: a walk pulled back, and a growth error that fades; mean 1.

    steps : standard normal, (n_draws, n_shocks, n_plantings). trend : the same, (n_draws, 1).
    leaps : of the walk, mostly none, as `steps`; log scale.
    """
    n_draws, n_shocks, n_places = steps.shape
    law, stays = walk_of(generation_days), np.exp(-STEP_DAYS / PULLED_BACK_DAYS)
    settled = law.a_day * PULLED_BACK_DAYS / 2  # variance of a walk gone on for ever
    sd = np.sqrt(settled * (1 - stays**2))
    walk = np.zeros((n_draws, n_shocks + 1, n_places))
    for n in range(n_shocks):
        walk[:, n + 1] = stays * walk[:, n] + sd * steps[:, n] + leaps[:, n]
    shocks = np.arange(n_shocks + 1)
    ends = STEP_DAYS * shocks
    error = TREND_SD / _brood_days(generation_days) * TREND_DAYS * (1 - np.exp(-ends / TREND_DAYS))
    walked = settled * (1 - stays ** (2 * shocks))
    chance, left = law.leapt(STEP_DAYS), law.leap * stays ** (2 * shocks[:-1])
    leapt = np.concatenate([[0.0], np.log1p(chance * np.expm1(left / 2)).cumsum()])
    log = walk + (trend * error - (error**2 + walked) / 2 - leapt)[..., None]
    return np.asarray(np.exp(np.diff(log, axis=1)))
