"""What a waiting period costs: crop that is ready while nobody may pick it, and is lost then."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.picking_fit import LONGEST_WAIT_DAYS
from lattermath.science.picking_rounds import eaten_share
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside, listed

FloatArray = NDArray[np.float64]

WEEK_DAYS = 7.0
LEAST_KG = 0.05  # judgement: less than a handful is not worth a word
MOST_DAYS_NAMED = 3  # judgement: of more than these, the last is named


@dataclass(frozen=True, slots=True, eq=False)
class Picks:
    """What one planting gives from today on, and the visits at which it would be picked.

    bearing : worth of what each day gives if nothing is lost, (n_left,). [portions]
    kg      : the same by weight, mean over the draws, (n_left,). [kg]
    picks   : columns of the coming visits, today 0, rising.
    barred  : those of them at which what was done already bars picking.
    waits   : days for which what is ready stays fit to eat on the plant.
    slows   : share of bearing that a plant loses while fruit past size hangs on it.
    last    : column of the last picking, 0 or below; None: none is known.

    The loss by a set of barred picks is that beside `barred`, in the mean: what feeding takes of
    the same crop is counted again, so it is rather too much than too little.
    """

    name: str
    bearing: FloatArray
    kg: FloatArray
    picks: tuple[int, ...]
    barred: frozenset[int]
    waits: float
    slows: float
    last: int | None
    _known: dict[frozenset[int], FloatArray] = field(default_factory=dict, init=False, repr=False)

    @property
    def bits(self) -> tuple[object, ...]:
        """Everything a loss is made of."""
        return (self.bearing, self.picks, self.barred, self.waits, self.slows, self.last)

    def lost(self, barred: frozenset[int]) -> float:
        """Worth of what these barred picks cost beside those barred already. [portions]"""
        return float(self._share_lost(barred) @ self.bearing)

    def lost_kg(self, barred: frozenset[int]) -> float:
        """The same by weight. [kg]"""
        return float(self._share_lost(barred) @ self.kg)

    def _share_lost(self, barred: frozenset[int]) -> FloatArray:
        """Share of each day's crop that is lost by them, (n_left,)."""
        if barred <= self.barred:
            return np.zeros(self.bearing.size)
        if barred not in self._known:
            self._known[barred] = self.eaten(self.barred) - self.eaten(self.barred | barred)
        return self._known[barred]

    def eaten(self, barred: Collection[int]) -> FloatArray:
        """Share of each day's crop that is had where these picks are barred, (n_left,)."""
        free = [pick for pick in self.picks if pick not in barred]
        fruiting = self.bearing[None, :] > 0
        share = eaten_share(fruiting, free, barred, self.waits, self.slows, self.last)
        return np.asarray(share[0])


def waits_days(traits: CropTraits) -> float:
    """How long what is ready stays fit to eat on the plant. [d]

    By the table where it passes size; what is stored for weeks may stand as many; all else is left
    out of a picking after a week (judgement).
    """
    if traits.hangs_days is not None:
        return traits.hangs_days
    return max(LONGEST_WAIT_DAYS, traits.store_weeks * WEEK_DAYS)


def lost_together(picks: Mapping[str, Picks], barred: Mapping[str, frozenset[int]]) -> float:
    """What bars on several plantings cost. [portions]"""
    return sum(picks[key].lost(bars) for key, bars in barred.items() if key in picks)


def joined(parts: Sequence[Mapping[str, frozenset[int]]]) -> dict[str, frozenset[int]]:
    """All bars of several treatments, by planting: what two bar is barred once."""
    found: dict[str, frozenset[int]] = {}
    for part in parts:
        for key, bars in part.items():
            found[key] = found.get(key, frozenset()) | bars
    return found


def barred_told(
    picks: Mapping[str, Picks], barred: Mapping[str, frozenset[int]], today: date, what: str
) -> list[Because]:
    """What gives where a waiting period covers visits: which pickings, and how much with them.

    what : what is used, as the sheet says it.
    """
    told = []
    for key, bars in barred.items():
        one = picks.get(key)
        if one is None or not bars:
            continue
        lost = one.lost_kg(bars)
        if lost < LEAST_KG:
            continue
        says = (
            f"{inside(one.name)} barred {_days(one, bars, today)} by {what}: the picking gives, "
            f"about {measure(round(lost, 1), 'kg')} with it"
        )
        told.append(Because(says, rests_on=("rule:phi_clock", "computed:bearing while barred")))
    return told


def _days(one: Picks, bars: frozenset[int], today: date) -> str:
    """The visits that are lost, the first few by name."""
    new = sorted(bars - one.barred)
    names = [said(date.fromordinal(today.toordinal() + column)) for column in new]
    if len(names) <= MOST_DAYS_NAMED:
        return listed(names)
    return f"at {len(names)} visits, {names[0]} to {names[-1]}"
