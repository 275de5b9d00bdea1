"""What insects spoil of what hangs while they feed, so that it is thrown away when it is picked.

Apart from what never grows: a head that has caterpillars in it has grown, and is not eaten.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.science.insect_damage import lately

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Thrown:
    """How much of a picking is thrown away for what fed while it was on the plant.

    a_bite : what one bite that takes so much of the logarithm of the yield takes of that of the
             pickings which hang then, (n_draws, n_plantings); 0: no more than of the yield. [1]
    hangs  : days before its picking in which a piece can be spoiled, (n_plantings,). [d]
    fit    : share of each coming day's picking that what fed before today has left fit to eat,
             (n_draws, n_plantings, n_days). [0 to 1]
    """

    a_bite: FloatArray
    hangs: tuple[int, ...]
    fit: FloatArray

    def some(self, draws: NDArray[np.int64]) -> Thrown:
        """The same in some of the draws."""
        return replace(self, a_bite=self.a_bite[draws], fit=self.fit[draws])

    def by(self, daily: FloatArray) -> FloatArray:
        """What is spoiled of each day's picking by the days before it, as a logarithm.

        daily : bites on each coming day, (n_draws, n_plantings, n_days); of the same shape.
        """
        found = np.zeros_like(daily)
        for place in self._places():
            fed = lately(daily[:, place], self.hangs[place])
            found[:, place] = self.a_bite[:, place, None] * fed
        return found

    def priced(self, worth: FloatArray) -> FloatArray:
        """What a bite on each day costs of the pickings that hang then, of the same shape.

        worth : what a bite that tells on a day's picking costs of it, (n_draws, n_plantings,
                n_days). [portions]
        """
        found = np.zeros_like(worth)
        for place in self._places():
            coming = lately(worth[:, place, ::-1], self.hangs[place])[:, ::-1]
            found[:, place] = self.a_bite[:, place, None] * coming
        return found

    def _places(self) -> NDArray[np.int64]:
        return np.flatnonzero(self.a_bite.any(axis=0))


def fit_after(fed: FloatArray, discards: FloatArray, hangs: int, n_days: int) -> FloatArray:
    """Share of each coming day's picking that past feeding has left fit, (n_draws, n_days).

    fed      : feeding days on a square centimetre of leaf by day, up to today,
               (n_draws, n_past). [d/cm2]
    discards : those at which a twentieth is thrown away, (n_draws,). [d/cm2]
    """
    fed = fed[:, -hangs:]  # what lies further back hangs no more
    whole = np.concatenate([fed, np.zeros((len(fed), n_days))], axis=1)
    recent = lately(whole, hangs)[:, fed.shape[1] :]
    return np.asarray(np.exp(np.log(0.95) * recent / discards[:, None]))
