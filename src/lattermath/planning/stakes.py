"""What feeding can still cost the plantings of a cluster: later than it feeds, and never twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand
from lattermath.planning.thrown_away import Thrown

FloatArray = NDArray[np.float64]

LITTLE = 1e-9  # feeding below which the mean price is that of the first bite


@dataclass(frozen=True, slots=True, eq=False)
class Stakes:
    """What each planting has to lose, and how fast insects take it.

    Feeding until a day costs a share of what is picked on that day and later, 1 - exp(-bites):
    nothing of what is in the kitchen already, and never more than there is. What hangs while they
    feed may be spoiled besides, of what is left: both leave the product of their shares.

    Source: Johnson et al. 1992 (abstract read): 5 % of grade-A tomatoes lost at 70 immature
    whitefly-days a square centimetre, straight near 0. Other hosts and insects are a stand-in.

    bites    : what one insect of a stage takes in a day, of the logarithm of the yield,
               (n_plantings, n_stages). [1/d]
    bearing  : worth of what each day from today on gives if nothing is lost, where frost has left
               the planting alive, (n_plantings, n_days). [portions]
    standing : whether it has, (n_draws, n_plantings, n_days); None: throughout.
    left     : share of that which all else that lives there leaves, (n_draws, n_plantings, n_days):
               what another takes is not lost here too; None: all of it. [0 to 1]
    thrown   : what is thrown away of what is picked, beside what never grows; None: nothing.
    """

    bites: FloatArray
    bearing: FloatArray
    standing: NDArray[np.bool_] | None = None
    left: FloatArray | None = None
    thrown: Thrown | None = None

    @classmethod
    def of(
        cls,
        stands: Sequence[Stand],
        appetite: FloatArray,
        bearing: FloatArray,
        days_for_5_percent: float | Sequence[float],
        standing: NDArray[np.bool_] | None = None,
        thrown: Thrown | None = None,
    ) -> Stakes:
        """The stakes of some plantings.

        bearing            : mean over the draws, those in which frost has killed it among them.
        appetite           : of one insect by stage, where one feeding young eats 1, (n_stages,).
        days_for_5_percent : feeding days on a square centimetre of leaf that cost a twentieth of
                             the yield, one figure or one a planting. [d/cm2]
        standing           : whether frost has left each alive, (n_draws, n_plantings, n_days).
        thrown             : what is thrown away of what is picked, in the same draws.
        """
        leaf = np.array([stand.leaf_area_cm2 for stand in stands])
        rate = -np.log(0.95) / np.asarray(days_for_5_percent)
        bites = np.asarray((rate / leaf)[:, None] * appetite)
        bearing = np.asarray(bearing, np.float64)
        if standing is None or standing.all():
            return cls(bites, bearing, thrown=thrown)
        alive = standing.mean(0)
        there = np.where(alive > 0, bearing / np.maximum(alive, 1e-12), 0.0)
        return cls(bites, there, standing, thrown=thrown)

    def some(self, draws: NDArray[np.int64]) -> Stakes:
        """The same in some of the draws."""
        standing = None if self.standing is None else self.standing[draws]
        left = None if self.left is None else self.left[draws]
        thrown = None if self.thrown is None else self.thrown.some(draws)
        return replace(self, standing=standing, left=left, thrown=thrown)

    def beside(self, left: FloatArray | None) -> Stakes:
        """The same where all else that lives there leaves so much; what was left stays so."""
        if left is None:
            return self
        return replace(self, left=left if self.left is None else self.left * left)

    def kept(self, sums: NDArray[np.floating]) -> FloatArray:
        """Share of the yield that is there and fit to eat, (n_draws, n_plantings, n_days). [0 to 1]

        What fed before today counts too, as far as it spoiled what is still to be picked.
        sums : as for `lost`.
        """
        bitten = self._bitten(sums)
        return np.asarray(np.exp(-bitten) * self._fit(bitten.shape[2]))

    def kept_by_new(self, sums: NDArray[np.floating], place: int) -> FloatArray:
        """The same of clean plants in one planting's place, (n_draws, n_days). [0 to 1]

        On them nothing had fed before today.
        """
        return np.asarray(np.exp(-self._bitten(sums)[:, place]))

    def bears(self) -> FloatArray:
        """What each day gives if nothing is lost here, (n_draws or 1, n_plantings, n_days).
        [portions]"""
        bears = self.bearing[None] if self.standing is None else self.bearing * self.standing
        return np.asarray(bears if self.left is None else bears * self.left)

    @property
    def days(self) -> int:
        """Days from today after which nothing is picked any more, so that feeding costs nothing."""
        there = self.bearing if self.standing is None else self.bearing * self.standing.any(0)
        bears = np.flatnonzero(there.any(0))
        return int(bears[-1]) + 1 if bears.size else 0

    def lost(self, sums: NDArray[np.floating]) -> FloatArray:
        """What is lost by draw and planting, (n_draws, n_plantings). [portions]

        What was spoiled before today is lost whatever is done, and is not in it.
        sums : insects by stage as found each day, today first,
               (n_draws, n_plantings, n_days + 1, n_stages); days after the last picking may lack.
        """
        bitten = self._bitten(sums)
        return np.asarray((-np.expm1(-bitten) * self._bears(bitten)).sum(2))

    def prices(self, sums: NDArray[np.floating]) -> FloatArray:
        """What one insect of a stage, found on a day, costs on the mean of all that feed.

        sums : as for `lost`; the prices are those at which lifting all these insects would save
               exactly what they cost. (n_draws, n_plantings, n_days + 1, n_stages) [portions]

        Where many feed, each costs less than the first would: what they all take is taken once.
        """
        return self.chords(sums, np.zeros_like(sums))[0]

    def chords(
        self, most: NDArray[np.floating], least: NDArray[np.floating]
    ) -> tuple[FloatArray, FloatArray]:
        """Prices as above, and a sum beside them: together never above what is lost.

        most, least : insects as for `lost` between which those of a course lie, day by day.

        What is lost rises ever more slowly with the bites, so that it lies above the straight line
        between both ends, (n_draws, n_plantings, n_days + 1, n_stages) and (n_draws,). [portions]
        """
        bitten, few = self._bitten(most), self._bitten(least)
        apart = bitten - few
        rise = np.exp(-few) - np.exp(-bitten)
        share = np.where(apart > LITTLE, rise / np.maximum(apart, LITTLE), np.exp(-few))
        bears = self._bears(bitten)
        beside = ((-np.expm1(-few) - share * few) * bears).sum((1, 2))
        worth = share * bears
        still = np.cumsum(worth[:, :, ::-1], axis=2)[:, :, ::-1]
        if self.thrown is not None:
            still = still + self.thrown.priced(worth)
        never = np.zeros((*still.shape[:2], 1))  # today's count is of before anything was done
        prices = np.concatenate([never, still], axis=2)[..., None] * self.bites[:, None]
        return prices, np.asarray(beside)

    def _bears(self, bitten: FloatArray) -> FloatArray:
        """What is picked if nothing is lost, (n_draws or 1, n_plantings, n_days)."""
        days = bitten.shape[2]
        bears = self.bears()[:, :, :days]
        if len(bears) not in (1, len(bitten)):
            raise ValueError("insects and frost are not of the same draws")
        return np.asarray(bears * self._fit(days))

    def _fit(self, days: int) -> FloatArray | float:
        """Share of each day's picking that nothing spoiled before today, as `bears`. [0 to 1]"""
        return 1.0 if self.thrown is None else self.thrown.fit[:, :, :days]

    def _bitten(self, sums: NDArray[np.floating]) -> FloatArray:
        """Bites of all insects until each day, with those that spoil what is picked then,
        (n_draws, n_plantings, n_days)."""
        daily = np.einsum("dpts,ps->dpt", sums[:, :, 1:], self.bites, dtype=np.float64)
        grown = np.cumsum(daily, axis=2)
        return np.asarray(grown if self.thrown is None else grown + self.thrown.by(daily))
