"""One wave of the year through few days: its level, swing and lag, as far as they can be told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.weather.calendar_days import YEAR_DAYS
from lattermath.weather.generated_days import SD_MAX_K, SD_MIN_K, Spread

Values = NDArray[np.float64]

WARMEST_NORTH = 204  # place of 23 July in a leap year; judgement: about a month after midsummer
# By how many days the warmest time is later than that, and how likely: sea air lags. Judgement.
LAGS, LAG_SD = np.arange(-14, 29, 7), 10.0
# Half the range of the year that is usual, and how far places differ from it. Judgement: ten and
# four kelvin in middle latitudes, falling towards the equator, where a year hardly swings.
USUAL_SWING_K, MIDDLE_LATITUDE, LEAST_SWING_K = 10.0, 35.0, 1.0
SWING_DIFFERS = 0.4
SWINGS_K = np.arange(0.5, 22.01, 0.5)  # judgement: up to deep inland
# Single days spread as in Brussels, less towards the equator, until a diary says otherwise; the
# usual counts for as much as so many days. Judgement.
LEAST_SPREAD, USUAL_COUNTS_DAYS = 0.4, 30
BENDS = 2  # of the curve about which a diary's days are taken to spread
NEXT_DAY = 0.75  # derived: correlation of a day with the next, Brussels (place.md A7)
SEASONS_SD_K = 1.0  # judgement: how far the days of one season lie from those of many years
SHAPE_SD_K = 1.0  # judgement: how far a year is from one wave, as a wave of half a year
HARDLY = 2.5  # standard errors from which on a told frost and the days do not fit


@dataclass(frozen=True, slots=True, eq=False)
class Days:
    """What was measured, or told by a forecast: extremes [C] by place in a leap year, (n_days,).

    day  : days since any one day, (n_days,).
    told : how many of them are forecast.
    """

    place: NDArray[np.intp]
    day: NDArray[np.intp]
    t_min: Values
    t_max: Values
    told: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Waves:
    """Waves that the days allow, as likely as each other: means of the year and half its range.

    low, high, swing : (n_waves,). [C, C, K]
    shape            : by place in a leap year, 1 on the warmest day, (n_waves, 366).
    fits             : False where the days contradict the frost that was told.
    """

    low: Values
    high: Values
    swing: Values
    shape: Values
    fits: bool

    def courses(self) -> tuple[Values, Values]:
        """Usual lows and highs of each by place in the year, (n_waves, 366) both. [C]"""
        swung = self.swing[:, None] * self.shape
        return self.low[:, None] + swung, self.high[:, None] + swung


def wave(southern: bool, lag: float = 0.0) -> Values:
    """One wave of the year by place in a leap year, 1 on the warmest day, (366,)."""
    warmest = WARMEST_NORTH + lag + (YEAR_DAYS / 2 if southern else 0)
    return np.asarray(np.cos(2 * np.pi * (np.arange(YEAR_DAYS) - warmest) / YEAR_DAYS))


def off_the_wave(n: int, place: int, rng: np.random.Generator) -> Values:
    """How far years are from one wave, nothing on this place of the year, (n, 366). [K]"""
    twice = 4 * np.pi * (np.arange(YEAR_DAYS) - place) / YEAR_DAYS
    along, across = SHAPE_SD_K * rng.standard_normal((2, n, 1))
    return np.asarray(along * (np.cos(twice) - 1) + across * np.sin(twice))


def usual_swing(latitude: float) -> float:
    """Half the range of the year that is usual so far from the equator. [K]"""
    share = min(abs(latitude) / MIDDLE_LATITUDE, 1.0)
    return max(USUAL_SWING_K * share, LEAST_SWING_K)


def spread_of(days: Days, latitude: float) -> Spread:
    """How far single days lie from their usual course here. [K]"""
    share = max(min(abs(latitude) / MIDDLE_LATITUDE, 1.0), LEAST_SPREAD)
    return Spread(
        *(
            _spread(days.day, values, share * usual)
            for values, usual in ((days.t_min, SD_MIN_K), (days.t_max, SD_MAX_K))
        )
    )


def _spread(day: NDArray[np.intp], values: Values, usual: float) -> float:
    """Standard deviation about the days' own slow course, beside the usual one. [K]"""
    free = len(day) - BENDS - 1
    if free < 1:
        return usual
    curve = np.polynomial.Polynomial.fit(day, values, BENDS)
    found = float(((values - curve(day)) ** 2).sum())
    return float(np.sqrt((found + USUAL_COUNTS_DAYS * usual**2) / (free + USUAL_COUNTS_DAYS)))


def allowed(
    days: Days,
    latitude: float,
    spread: Spread,
    n_waves: int,
    rng: np.random.Generator,
    level_of: Callable[[Values], float] | None = None,
) -> Waves:
    """Waves thrown from what these days and the latitude leave open.

    level_of : mean low of the year for a swing's wave [K], (366,), where something else tells it;
               else the days do.

    A day is like the day before it, so that many days in a row tell little more than some; all of
    one season are off together, and no year is quite a wave. Swing and lag are weighed on a grid,
    and the means of the year are normal beside them (generalised least squares, textbook).
    """
    if not len(days.place):
        raise ValueError("a wave goes through one day at least")
    usual = usual_swing(latitude)
    lows, highs = (_weights(days.day, sd) for sd in (spread.t_min, spread.t_max))
    lags = [int(lag) for lag in LAGS]
    grid = [(float(swing), lag) for swing in SWINGS_K for lag in lags]
    shapes = {lag: wave(latitude < 0, lag) for lag in lags}
    rows = np.empty((len(grid), 4))  # misfit, mean low, what the days alone say of it, mean high
    for n, (swing, lag) in enumerate(grid):
        swung = swing * shapes[lag]
        low_left, high_left = (t - swung[days.place] for t in (days.t_min, days.t_max))
        by_days, high = _mean(low_left, lows), _mean(high_left, highs)
        low = by_days if level_of is None else level_of(swung)
        odd = ((swing - usual) / (SWING_DIFFERS * usual)) ** 2 + (lag / LAG_SD) ** 2
        misfit = _square(low_left - low, lows) + _square(high_left - high, highs)
        rows[n] = misfit + odd, low, by_days, high
    return _thrown(rows, grid, shapes, (lows, highs), n_waves, rng, told=level_of is not None)


def _thrown(
    rows: Values,
    grid: list[tuple[float, int]],
    shapes: dict[int, Values],
    weights: tuple[Values, Values],
    n_waves: int,
    rng: np.random.Generator,
    *,
    told: bool,
) -> Waves:
    """Waves by their weights: each keeps its rank from one day's plan to the next."""
    error_low, error_high = (float(one.sum() ** -0.5) for one in weights)
    chance = np.exp((rows[:, 0].min() - rows[:, 0]) / 2)
    places = rng.permutation((np.arange(n_waves) + 0.5) / n_waves)
    thrown = np.searchsorted(np.cumsum(chance) / chance.sum(), places)
    thrown = np.minimum(thrown, len(grid) - 1)
    off_low, off_high = rng.standard_normal((2, n_waves))
    best = rows[rows[:, 0].argmin()]
    return Waves(
        rows[thrown, 1] + (0.0 if told else error_low * off_low),
        rows[thrown, 3] + error_high * off_high,
        np.array([grid[n][0] for n in thrown]),
        np.stack([shapes[grid[n][1]] for n in thrown]),
        bool(abs(best[2] - best[1]) < HARDLY * error_low),
    )


def _weights(day: NDArray[np.intp], sd: float) -> Values:
    """Inverse covariance of the days about the wave, (n_days, n_days)."""
    apart = np.abs(day[:, None] - day[None])
    off = SEASONS_SD_K**2 + SHAPE_SD_K**2 * np.cos(4 * np.pi * apart / YEAR_DAYS)
    return np.asarray(np.linalg.inv(sd**2 * NEXT_DAY**apart + off))


def _mean(left: Values, weights: Values) -> float:
    """Weighted mean."""
    return float(weights.sum(0) @ left / weights.sum())


def _square(left: Values, weights: Values) -> float:
    return float(left @ weights @ left)
