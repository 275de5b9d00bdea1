"""How likely weighed pickings are, for what each draw says that the planting bore."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.crop_growth import Draws, SeasonWeather
from lattermath.belief.good_weeks import fruit_kg
from lattermath.vocabulary.events import Picking

FloatArray = NDArray[np.float64]

PICKING_SD = 0.5  # judgement: log-scale scatter of one weighed picking about its expectation
SHARED_SD = 0.2  # judgement: what all pickings of a planting have wrong together
LEAST_KG = 0.02  # below it kitchen scales tell nothing apart
LEAST_FRUIT = 0.1  # judgement: fruit that may hang at any time, whatever is expected
LONGEST_WAIT_DAYS = 7  # fruit left longer runs to seed or rots, so it is not in the picking
# The first picking written down: of ten, seven are of what ripened in the week before, the others
# of what had been ripe for weeks, by growers who began to write later; judgement. Few pick what is
# not ripe.
IN_ITS_WEEK, EARLIER_DAYS, UNRIPE = 0.7, 42.0, 0.02
FRUIT_SD = 0.2  # of one fruit's weight, as a share of it (judgement)
MOST_TRIES = 8  # after so many empty throws there is one fruit
SIZE_SD = 0.4  # judgement: kinds, and growers, differ in the size at which fruit is picked, log


@dataclass(frozen=True, slots=True, eq=False)
class Pickings:
    """What was carried home of each picking, and what each candidate draw expected of it.

    picked    : (n_pickings,). [kg]
    expected  : (n_pickings, n_candidates). [kg]
    by_season : what heat, cold and little light left of the yield of those days, as reckoned, by
                picking, (n_pickings,). [0 to 1]
    one       : what one fruit weighs; None where leaves, heads or roots are cut. [kg]
    """

    days: tuple[date, ...]
    picked: Draws
    expected: FloatArray
    by_season: Draws
    one: float | None

    def first(self, n: int) -> Pickings:
        """The first so many of them."""
        return replace(
            self,
            days=self.days[:n],
            picked=self.picked[:n],
            expected=self.expected[:n],
            by_season=self.by_season[:n],
        )

    def log_likelihood(self) -> Draws:
        """Log-probability of the pickings for each candidate, (n_candidates,).

        All pickings of a planting have `SHARED_SD` wrong together, taken out by quadrature.
        """
        nodes, weights = np.polynomial.hermite_e.hermegauss(5)
        off = np.exp(SHARED_SD * nodes)[:, None, None]
        each = self.each(off * self.expected).sum(1)
        share = weights[:, None] / weights.sum()
        return np.asarray(special.logsumexp(each, axis=0, b=share))

    def each(self, expected: FloatArray) -> FloatArray:
        """Log-probability of each picking where so much was to be picked, shape as `expected`.

        expected : (..., n_pickings, n_candidates). [kg]

        Fruit come whole and weeks are good and bad: their number is a negative binomial of spread
        `PICKING_SD`. What is cut and not counted scatters by that on the log scale.
        """
        picked = self.picked[:, None]
        if self.one is None:
            apart = np.log(picked + LEAST_KG) - np.log(expected + LEAST_KG)
            return np.asarray(-0.5 * (apart / PICKING_SD) ** 2)
        number, size = picked / self.one, 1 / PICKING_SD**2
        mean = np.maximum(expected / self.one, LEAST_FRUIT)
        return np.asarray(
            size * np.log(size / (size + mean)) + number * np.log(mean / (size + mean))
        )

    def of_any(self, expected: FloatArray) -> FloatArray:
        """Log-probability that a picking brings anything home, shape as `expected`."""
        if self.one is None:
            return np.zeros_like(expected)
        mean, size = np.maximum(expected / self.one, LEAST_FRUIT), 1 / PICKING_SD**2
        return np.asarray(np.log1p(-((size / (size + mean)) ** size)))

    def thrown(self, expected: FloatArray, rng: np.random.Generator) -> FloatArray:
        """Pickings that might have been weighed, of such as brought anything home. [kg]

        expected : (n_pickings, n_candidates); one throw each, of the same shape. [kg]
        """
        if self.one is None:
            scatter = np.exp(PICKING_SD * rng.standard_normal(expected.shape))
            return np.maximum((expected + LEAST_KG) * scatter - LEAST_KG, LEAST_KG / 2)
        one = self.one * np.exp(SIZE_SD * rng.standard_normal(expected.shape[-1]))
        mean, size = np.maximum(expected / one, LEAST_FRUIT), 1 / PICKING_SD**2
        fruit = np.zeros_like(expected)
        for _ in range(MOST_TRIES):
            again = rng.poisson(rng.gamma(size, mean / size))
            fruit = np.where(fruit > 0, fruit, again)
        fruit = np.maximum(fruit, 1.0)
        weigh = fruit + FRUIT_SD * np.sqrt(fruit) * rng.standard_normal(fruit.shape)
        return np.asarray(np.maximum(weigh, FRUIT_SD) * one)


def expected_of(
    weighed: Sequence[tuple[date, Picking, int]],
    kg: FloatArray,
    bears: Draws,
    crop: str,
    weather: SeasonWeather,
) -> Pickings:
    """The pickings beside what each candidate draw says was to be picked.

    weighed : (day, picking, serial of the entry), each with its weight.
    kg      : borne on each past day, (n_candidates, n_days). [kg]
    bears   : what the season leaves of the usual yield, (n_days,). [0 to 1]
    """
    sums, season = np.cumsum(kg, axis=1), np.cumsum(bears)
    by_day: dict[date, float] = {}  # what was carried home in two bags is one picking
    for day, picking, _ in weighed:
        by_day[day] = by_day.get(day, 0.0) + (picking.kg or 0.0)
    days, expected, left, last = sorted(by_day), [], [], None
    for day in days:
        column = weather.column(day)
        since = LONGEST_WAIT_DAYS if last is None else min(column - last, LONGEST_WAIT_DAYS)
        first = max(column - max(since, 1), 0)
        end = min(column, kg.shape[1] - 1)
        expected.append(sums[:, end] - sums[:, first])
        left.append(float(season[end] - season[first]) / max(end - first, 1))
        last = column
    picked = np.array([by_day[day] for day in days])
    return Pickings(tuple(days), picked, np.stack(expected), np.array(left), fruit_kg(crop))


def of_first_picking(age: FloatArray, column: int) -> Draws:
    """Log-probability that a planting is first picked on a day, for when it was ripe, (n,).

    age    : picking age on each morning, 0 on that of the first ripe, (n, n_days).
    column : of the day.
    """
    ripe = np.where((age >= 0).any(axis=1), (age >= 0).argmax(axis=1), np.inf)
    waited = column - ripe
    lately, long = IN_ITS_WEEK / LONGEST_WAIT_DAYS, (1 - IN_ITS_WEEK) / EARLIER_DAYS
    chance = np.where(waited <= LONGEST_WAIT_DAYS, lately, long)
    return np.asarray(np.log(np.where(waited < 0, UNRIPE * long, chance)))
