"""Days made up about a usual course, for places with little or no record.

Temperature departures follow a first-order autoregression of maximum and minimum together; wet days
follow a chain of wet and dry, with gamma amounts.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

# Standardised departures (maximum, minimum), fitted to Brussels 1976-2005: z' = A z + B e. Derived
# (place.md A7, prototype run). Correlation of the two 0.77.
_A = np.array([[0.659, 0.100], [0.448, 0.406]])
_B = np.array([[0.674, 0.0], [0.284, 0.524]])
_SAME_DAY = 0.772
SD_MAX_K, SD_MIN_K = 4.00, 3.43  # spread of single days, Brussels 1976-2005 (derived, A7)
# Wet and dry seasons: the chain alone gives a season's rain an sd of 58 mm where Brussels has 88; a
# factor of this relative spread on each future makes up the rest (derived, A7).
SEASON_RAIN_CV = 0.24
WET_DAY_MM = 0.3
AMOUNT_SHAPE = 0.9  # gamma shape of a wet day's rain, July to October, Brussels (derived, A7)
WET_AFTER_WET = 0.35  # p11 - p01, Brussels, July to October (derived, A7)
COURSE_DAYS = 91  # judgement: what one or two waves of the year smooth over
MOST_WET = 0.8  # judgement: a wet spell that outlasts this is a season
LEAST_CHANCE = 0.02  # judgement: least of a day's spread that the day before does not decide
WET_AMOUNT_MM = 5.4  # mean rain of a wet day, July to October, Brussels (derived, A7)


@dataclass(frozen=True, slots=True, eq=False)
class Habit:
    """How weather holds from one day to the next; without figures as in Brussels.

    a, b     : of z' = A z + B e, z the standardised departures (maximum, minimum), (2, 2) each.
    same_day : correlation of the two on one day.
    wet_after_wet : how much likelier rain is after a wet day than after a dry one. [1]
    """

    a: Values = field(default_factory=_A.copy)
    b: Values = field(default_factory=_B.copy)
    same_day: float = _SAME_DAY
    wet_after_wet: float = WET_AFTER_WET

    @classmethod
    def of(cls, same_day: float, next_day: Values, wet_after_wet: float) -> Habit:
        """The habit that gives these correlations; what is NaN, or cannot be, stays as in Brussels.

        next_day : of today's departures (rows: maximum, minimum) with yesterday's, (2, 2).

        Source: Yule-Walker equations of a first-order autoregression (textbook).
        """
        wet = WET_AFTER_WET if np.isnan(wet_after_wet) else min(max(wet_after_wet, 0.0), MOST_WET)
        if np.isnan(same_day) or np.isnan(next_day).any():
            return cls(wet_after_wet=wet)
        today = np.array([[1.0, same_day], [same_day, 1.0]])
        a = next_day @ np.linalg.inv(today)
        rest = today - a @ today @ a.T
        if np.linalg.eigvalsh(rest).min() < LEAST_CHANCE or max(abs(np.linalg.eigvals(a))) >= 1.0:
            return cls(wet_after_wet=wet)
        return cls(a, np.linalg.cholesky(rest), same_day, wet)

    def slow(self) -> Values:
        """Spread of long means, squared, beside that of single days: minimum, maximum, (2,). [d]

        The spectrum at frequency 0 of the autoregression (textbook).
        """
        whole = np.linalg.inv(np.eye(2) - self.a) @ self.b
        return np.asarray((whole @ whole.T).diagonal()[::-1])

    def lacks(self) -> Values:
        """By how much seasons of Brussels differ more, squared and beside its own, (2,). [1]

        Habits from day to day leave out what makes whole seasons warm or cool, and a short record
        cannot tell it: it is taken to be no less than in Brussels.
        """
        return np.asarray(np.maximum(Habit().slow() / self.slow() - 1.0, 0.0))


@dataclass(frozen=True, slots=True)
class Spread:
    """Spread of single days about the usual course. [K]"""

    t_min: float = SD_MIN_K
    t_max: float = SD_MAX_K


def departures(
    n_futures: int,
    n_days: int,
    spread: Spread,
    rng: np.random.Generator,
    habit: Habit | None = None,
) -> tuple[Values, Values]:
    """Departures of minimum and maximum from their usual course, each (n_futures, n_days). [K]

    On each day they sum to nothing over the futures. A longer run begins with the same days as a
    shorter one from the same stream.

    Source: Richardson 1981, Water Resources Research 17:182-190 (citation only); constants derived
    from one temperate record. Holds for: temperate lowlands.
    """
    habit = habit or Habit()
    same = habit.same_day
    noise = rng.standard_normal((n_days, n_futures, 2))
    z = np.empty((n_days, n_futures, 2))
    state = noise[0].copy()
    state[:, 1] = same * noise[0, :, 0] + np.sqrt(1 - same**2) * noise[0, :, 1]
    z[0] = state
    for day in range(1, n_days):
        state = state @ habit.a.T + noise[day] @ habit.b.T
        z[day] = state
    z -= z.mean(axis=1, keepdims=True)
    return z[:, :, 1].T * spread.t_min, z[:, :, 0].T * spread.t_max


def course_error(made: Values) -> Values:
    """What a usual course fitted to one year of such days is off by, (n_futures, n_days).

    made : days about a known course, or their rain, in each future.

    The course takes the chance of its year for usual: its error is a running mean of three months
    of another future of the same days, less that of all.
    """
    other = np.roll(made, len(made) // 2, axis=0)
    sums = np.zeros((len(made), made.shape[1] + 1))
    np.cumsum(other, axis=1, out=sums[:, 1:])
    day = np.arange(made.shape[1])
    first = np.maximum(day - COURSE_DAYS // 2, 0)
    last = np.minimum(day + COURSE_DAYS // 2 + 1, made.shape[1])
    running = (sums[:, last] - sums[:, first]) / (last - first)
    return np.asarray(running - running.mean(axis=0))


def wet_chance(usual_mm: Values, amount_mm: float) -> Values:
    """Chance of a wet day where so much falls a day, and so much on a wet one. [1]"""
    return np.asarray(np.clip(usual_mm / amount_mm, 0.02, 0.65))


def rain_days(
    usual_mm: Values,
    n_futures: int,
    rng: np.random.Generator,
    amount_mm: float = WET_AMOUNT_MM,
    wet_after_wet: float = WET_AFTER_WET,
) -> Values:
    """Rain of each day, shape (n_futures, n_days), whose mean is the usual rain. [mm]

    usual_mm  : usual rain a day, shape (n_days,).
    amount_mm : mean rain of a wet day; the chance of one is usual_mm / amount_mm, between 0.02 and
                0.65, and the amount is then adjusted so that the mean stays.
    wet_after_wet : how much likelier rain is after a wet day than after a dry one. [1]
    """
    chance = wet_chance(usual_mm, amount_mm)
    mean = usual_mm / chance
    of_days, of_amounts, of_seasons = rng.spawn(3)
    season = of_seasons.gamma(SEASON_RAIN_CV**-2, SEASON_RAIN_CV**2, n_futures)
    season /= season.mean()
    uniform = of_days.random((usual_mm.size, n_futures))
    amount = of_amounts.gamma(AMOUNT_SHAPE, 1.0, (usual_mm.size, n_futures)) / AMOUNT_SHAPE
    wet = np.empty((usual_mm.size, n_futures), dtype=bool)
    wet[0] = uniform[0] < chance[0]
    for day in range(1, usual_mm.size):
        dry_chance = chance[day] * (1 - wet_after_wet)
        wet[day] = uniform[day] < dry_chance + wet[day - 1] * wet_after_wet
    # A day that counts as wet in the records has at least WET_DAY_MM; an amount below it would
    # cut wet spells in two.
    least = np.minimum(WET_DAY_MM, mean / 2)
    rain: Values = np.where(wet.T, least + amount.T * (mean - least) * season[:, None], 0.0)
    return rain
