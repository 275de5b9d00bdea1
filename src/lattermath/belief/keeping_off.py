"""A particle film on the leaf: it kills nobody, and fewer adults settle and lay where it lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.deposit_wear import Wear, wear_of
from lattermath.belief.treatment_effect import ROW_COVERAGE, SPECIES
from lattermath.belief.treatment_kills import LEAF_GROWTH
from lattermath.knowledge.methods import Efficacy, Method

FloatArray = NDArray[np.float64]
Spread = tuple[float, float, float]

BARRIER = "barrier"  # word of a method's kind
ADULTS, NUMBERS = ("adult", "damage"), ("population", "nymph", "egg")  # stages of its rows
UNDER_GLASS = "glasshouse"
# Judgement: what a film did under glass it does by half outdoors at most times, and now and then
# not at all; the one field trial of a whitefly found nothing.
OUTDOORS = 0.5
LEAST_KEPT_OFF = 0.2  # judgement: what keeps off less is not worth spraying


@dataclass(frozen=True, slots=True)
class Film:
    """What a film of one method keeps off an organism, while it covers the leaf.

    landing, laying : low, typical and high share kept from settling, and of eggs not laid by those
        that do. [0 to 1]
    half_life_days  : of the deposit; wear: what wears it down.
    """

    landing: Spread
    laying: Spread
    half_life_days: float
    wear: Wear
    rests_on: tuple[str, ...]

    def left(self, rain: FloatArray, day: int) -> FloatArray:
        """Share of the leaf that it still covers, from the day of spraying on. [0 to 1]

        rain : by day, (n_days,) or (n_futures, n_days). [mm]
        """
        deposit = self.wear.left(self.half_life_days, rain[..., day:], day, {})
        return np.asarray(deposit * (1.0 + LEAF_GROWTH) ** -np.arange(len(deposit)))


def film_of(method: Method, organism: str, words: Sequence[str]) -> Film | None:
    """What a film keeps off; None where the method is none, or no figure of it matters.

    words : what efficacy rows call the organism, as in Crosswalk.targets.

    A row of adults tells how many fewer are on the plants: that is landing. A row of numbers after
    some weeks is of landing and laying together, and each is given its square root.
    """
    if BARRIER not in method.kind:
        return None
    rows = [row for row in method.against(words) if _concerns(row, organism)]
    rows = [row for row in rows if row.stage in (*ADULTS, *NUMBERS)]
    best = max(rows, key=lambda row: row.percent.value, default=None)
    if best is None or best.percent.value < 100 * LEAST_KEPT_OFF:
        return None
    low, middle, high = _outdoors(best)
    both = best.stage in NUMBERS
    share = [1 - np.sqrt(1 - s) if both else s for s in (low, middle, high)]
    each = (float(share[0]), float(share[1]), float(share[2]))
    half_life = method.half_life_days.value if method.half_life_days else 1.0
    address = f"table:{best.percent.address}"
    return Film(each, each if both else (0.0, 0.0, 0.0), half_life, wear_of(method), (address,))


def kept_off(
    belief: ClusterBelief,
    film: Film,
    places: Sequence[int],
    day: int,
    coverage: float,
    uniform: FloatArray,
) -> ClusterBelief:
    """The cluster with a film on some plantings from a day on; what is there already stays.

    day      : of spraying, counted as in the belief; past days are left as they were.
    coverage : share of the leaf that it was brought on. [0 to 1]
    uniform  : how good the film proves to be, (n_draws,). [0 to 1]

    Fewer fly in from outside and fewer eggs are laid, draw by draw; who comes from a neighbouring
    planting settles as before.
    """
    setting, shut = belief.setting, list(places)
    n_days = setting.arrivals.shape[1]
    covers = np.zeros(n_days)
    if day < n_days:
        left = film.left(belief.rain, day) * min(coverage / ROW_COVERAGE, 1.0)
        covers[day : day + len(left)] = left[: n_days - day]
    covers[: belief.today] = 0.0
    landing = np.interp(uniform, (0.1, 0.5, 0.9), film.landing)
    laying = np.interp(uniform, (0.1, 0.5, 0.9), film.laying)
    arrivals = np.broadcast_to(
        setting.arrivals, (belief.n_draws, *setting.arrivals.shape[1:])
    ).copy()
    comes = 1.0 - landing[:, None] * covers
    arrivals[:, :, shut] *= comes[:, :, None].astype(np.float32)
    host = np.broadcast_to(setting.host, (belief.n_draws, *setting.host.shape[1:])).copy()
    host[:, :, shut] *= (1.0 - laying[:, None] * covers)[:, :, None].astype(np.float32)
    return replace(belief, setting=replace(setting, arrivals=arrivals, host=host))


def _outdoors(row: Efficacy) -> Spread:
    low, high = (max(end, 0.0) / 100 for end in row.percent.span)
    middle = row.percent.value / 100
    origin = row.percent.origin
    if UNDER_GLASS in f"{row.target} {origin.note} {origin.locator}".lower():
        return 0.0, OUTDOORS * middle, high
    return low, middle, high


def _concerns(row: Efficacy, organism: str) -> bool:
    named = [key for words, key in SPECIES.items() if words in row.target.lower()]
    return not named or organism in named
