"""What several that live on the same plantings cost together: what one took, nobody takes again.

Each leaves a share of what a planting would give, day by day and draw by draw. Two leave the
product of their shares, as in what the plants are reckoned to give (`pest_parts.cares_of`), so that
all of them together never take more than there is. Draws are of the same futures throughout.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Left = Mapping[str, FloatArray]  # share of a planting's yield left, (n_draws, n_days), by planting


@dataclass(frozen=True, slots=True, eq=False)
class Takes:
    """One organism or disease on its plantings, under all that is done.

    keys  : of the plantings, in its own order.
    left  : share of the yield that it leaves, (n_draws, n_plantings, n_days). [0 to 1]
    bears : what each day from today on gives if nothing is lost to what is weighed with it,
            (n_draws or 1, n_plantings, n_days). [portions]
    work  : minutes and hazard of its own course. [portions]
    """

    keys: tuple[str, ...]
    left: FloatArray
    bears: FloatArray
    work: float

    def some(self, draws: NDArray[np.int64]) -> Takes:
        """The same in some of the draws."""
        bears = self.bears if len(self.bears) == 1 else self.bears[draws]
        return Takes(self.keys, self.left[draws], bears, self.work)


def left_by(takers: Iterable[Takes], before: Left | None = None) -> dict[str, FloatArray]:
    """Share that all of these leave of each planting, beside what `before` has left already."""
    found = dict(before or {})
    for one in takers:
        for place, key in enumerate(one.keys):
            mine = one.left[:, place]
            found[key] = found[key] * mine if key in found else mine
    return found


def costs_together(takers: Sequence[Takes], rest: Left | None = None) -> FloatArray:
    """Damage and work of all of these in each draw, (n_draws,). [portions]

    rest : what all others leave; what these take is taken of that.
    """
    left = dict(rest or {})
    total: FloatArray | float = 0.0
    for one in takers:
        total = total + _lost(one, left) + one.work
        left = left_by([one], left)
    return np.asarray(total, dtype=np.float64)


def _lost(one: Takes, left: Left) -> FloatArray:
    """What one takes of what is left, (n_draws,). [portions]"""
    lost = (1.0 - one.left) * one.bears
    for place, key in enumerate(one.keys):
        if key in left:
            lost[:, place] *= left[key]
    return np.asarray(lost.sum((1, 2)))


def left_in(left: Left, keys: Sequence[str], n_days: int) -> FloatArray | None:
    """The same on plantings in their own order, (n_draws, n_plantings, n_days); None: all of it."""
    here = [left[key] for key in keys if key in left]
    if not here:
        return None
    whole = np.ones((len(here[0]), n_days))
    return np.stack([left[key][:, :n_days] if key in left else whole for key in keys], axis=1)


def mark_of(left: Left) -> str:
    """What tells one such share from another, to the last bit."""
    total = hashlib.sha256()
    for key, share in sorted(left.items()):
        total.update(f"{key} {share.shape}".encode())
        total.update(np.ascontiguousarray(share).tobytes())
    return total.hexdigest()


def over_all_days(share: FloatArray, n_days: int) -> FloatArray:
    """A share by day, its last day's held on to the end, (n_draws, n_plantings, n_days)."""
    missing = n_days - share.shape[2]
    if missing <= 0:
        return share[:, :, :n_days]
    if not share.shape[2]:
        return np.ones((*share.shape[:2], n_days))
    return np.concatenate([share, np.repeat(share[:, :, -1:], missing, axis=2)], axis=2)
