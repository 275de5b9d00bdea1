"""What any further treatments could leave of a leaf disease at the very least.

    arrived >= room x (1 - exp(-x)) / x  of the days without them, times what still presses

A treatment takes away and keeps off; it never adds. So what is on the leaf, hidden or seen, is
never more with treatments than without, and the room and the share (1 - exp(-x)) / x of the days
without any more of them are the least there can be. With both fixed, severity is a sum of products
of the shares that treatments leave, and damage, squared above what is tolerated, is such that each
treatment saves the less the more there are beside it: what one saves alone is the most it can save
anywhere after the same beginning.

Source: derived here, of the model of `leaf_disease`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from lattermath.science.leaf_disease import LATENT_CLASSES, LeafPace, contagion
from lattermath.science.leaf_least_days import carry, least_damage
from lattermath.science.leaf_loss import LeafLoss

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class More:
    """Some treatments that may come, each on a day of its own.

    days   : counted from today, (n_more,). [d]
    cured  : share of colonies each collapses, (n_more, n_draws, 2). [0 to 1]
    undone : share of the youngest infections it undoes, alike. [0 to 1]
    bares  : what its cover leaves open, (n_more, n_days, n_draws, 2). [0 to 1]
    """

    days: NDArray[np.int64]
    cured: FloatArray
    undone: FloatArray
    bares: FloatArray

    def some(self, which: NDArray[np.int64]) -> More:
        """Only these of them."""
        return More(self.days[which], self.cured[which], self.undone[which], self.bares[which])


@dataclass(frozen=True, eq=False)
class LeafDays:
    """One planting before its days: what it is, what drives it, and what severity costs.

    start  : share of leaf with colonies this morning, (n_draws, 2). [0 to 1]
    hidden : share infected and not yet to be seen, (n_draws, 2, 3). [0 to 1]
    pace   : how fast the disease goes, on all plantings.
    place  : which of them this is.
    loss   : yield lost by severity.
    yields : portions that come on each day, (n_days,); the run ends with them.
    left   : share of them that all else leaves, (n_draws, n_days); None: all of it. [0 to 1]
    """

    start: FloatArray
    hidden: FloatArray
    pace: LeafPace
    place: int
    loss: LeafLoss
    yields: FloatArray
    left: FloatArray | None = None

    @cached_property
    def priced(self) -> FloatArray:
        """What severity 1 above what is tolerated, squared, costs by day, (n_draws, n_days)."""
        price = self.yields * self.loss.worst / (1.0 - self.loss.tolerated) ** 2
        left = np.ones((len(self.start), 1)) if self.left is None else self.left
        return np.ascontiguousarray(left * price)

    @cached_property
    def kind(self) -> tuple[FloatArray, FloatArray, FloatArray, float]:
        """Contagion, crossing and arrivals by draw, and how well it takes the disease."""
        pace = self.pace
        arriving = np.ascontiguousarray(pace.arriving[:, self.place])
        spread = np.ascontiguousarray(contagion(pace.rate, pace.latent))
        return spread, np.ascontiguousarray(pace.crossing), arriving, float(pace.suits[self.place])

    @cached_property
    def weather(self) -> tuple[FloatArray, FloatArray]:
        """Response and share of a latent class that moves on, (n_draws, n_days) each."""
        pace, n_days = self.pace, len(self.yields)
        response = pace.response if pace.response.ndim == 3 else pace.response[:, None]
        here = response[:, self.place if response.shape[1] > 1 else 0, :n_days]
        ripening = here if pace.ripening is None else pace.ripening[:, :n_days]
        ripe = np.minimum(ripening * LATENT_CLASSES / pace.latent[:, None], 1.0)
        return np.ascontiguousarray(here), np.ascontiguousarray(ripe)


@dataclass(frozen=True, slots=True, eq=False)
class Done:
    """Treatments of one planting by day, (n_days, n_draws, 2) each. [0 to 1]

    cure : share of colonies collapsed. [0 to 1]
    back : share of the youngest infections undone inside the leaf. [0 to 1]
    bare : share of infections that no cover keeps off. [0 to 1]
    """

    cure: FloatArray
    back: FloatArray
    bare: FloatArray

    def joined(self, more: More) -> Done:
        """All of these besides, the youngest infections undone by each in turn."""
        cure, back, bare = 1 - self.cure, 1 - self.back, self.bare.copy()
        for n, day in enumerate(more.days):
            cure[day] *= 1 - more.cured[n]
            back[day] *= 1 - more.undone[n]
            bare[day:] *= more.bares[n, day:]
        return Done(1 - cure, 1 - back, bare)

    def until(self, day: int) -> Done:
        """Nothing taken away after a day; what is on the leaf stays there."""
        stops = (np.arange(len(self.cure)) <= day)[:, None, None]
        return Done(self.cure * stops, self.back * stops, self.bare)


@dataclass(frozen=True, slots=True, eq=False)
class Least:
    """The days under some treatments, and what any more of them could leave at the least.

    days   : the planting before its days.
    done   : what is done.
    first  : the first day on which more may come. [d]
    damage : under these and no more, in portions, mean over the draws.
    gain   : least new infection per unit of pressure, (n_draws, n_days, 2). [d]
    seen   : severities each morning, (n_draws, n_days + 1, 2). [0 to 1]
    hidden : latent infections each morning, (n_draws, n_days + 1, 2, 3). [0 to 1]
    """

    days: LeafDays
    done: Done
    first: int
    damage: float
    gain: FloatArray
    seen: FloatArray
    hidden: FloatArray

    @classmethod
    def of(cls, days: LeafDays, done: Done, first: int) -> Least:
        """Run it; what may come more comes on day `first` or later."""
        shape = (len(days.start), len(days.yields) + 1, 2)
        seen, hidden = np.empty(shape), np.empty((*shape, LATENT_CLASSES))
        seen[:, 0], hidden[:, 0] = days.start, days.hidden
        gain = np.empty((shape[0], shape[1] - 1, 2))
        _carry(days, done, 0, seen, hidden, gain)
        severity = (seen[:, 1:, 0] + seen[:, 1:, 1]) / 2
        over = np.maximum(severity - days.loss.tolerated, 0.0)
        damage = float((over**2 * days.priced).sum(1).mean())
        if done.cure[first + 1 :].any() or done.back[first + 1 :].any():
            # What is cured later may have caught more by then: the least room is that without.
            _carry(days, done.until(first), first, seen.copy(), hidden.copy(), gain)
        return cls(days, done, first, damage, gain, seen, hidden)

    def with_each(self, more: More) -> FloatArray:
        """Least damage with none of these more and with each, mean of the draws, (n_more + 1,)."""
        return self._least(more, self.done, self.gain)

    def with_all(self, more: More) -> float:
        """Least damage with all of these together. [portions]"""
        whole, bare = self.done.joined(more), np.ones_like(self.done.bare)
        for n, day in enumerate(more.days):
            bare[day:] *= more.bares[n, day:]
        gain = self.gain * bare.transpose(1, 0, 2)
        return float(self._least(more.some(np.zeros(0, dtype=np.int64)), whole, gain)[0])

    def _least(self, more: More, done: Done, gain: FloatArray) -> FloatArray:
        days, out = self.days, np.zeros(len(more.days) + 1)
        growth = np.ascontiguousarray(days.pace.growth[: len(days.yields)])
        least_damage(
            self.first, more.days, more.cured, more.undone, more.bares, *days.kind,
            days.weather[1], done.cure, done.back, growth, gain, self.seen, self.hidden,
            days.priced, float(days.loss.tolerated), out,
        )  # fmt: skip
        return out


def _carry(
    days: LeafDays, done: Done, first: int, seen: FloatArray, hidden: FloatArray, gain: FloatArray
) -> None:
    n_days = len(days.yields)
    growth = np.ascontiguousarray(days.pace.growth[:n_days])
    spared = np.zeros(n_days) if days.pace.spared is None else days.pace.spared[:n_days]
    carry(
        first, *days.kind, *days.weather, done.cure, done.bare, done.back, growth,
        np.ascontiguousarray(spared), seen, hidden, gain,
    )  # fmt: skip
