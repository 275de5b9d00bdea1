"""Whether the newest picking is one that was to be expected, and what may explain it if not.

Two questions: is it what the planting's earlier pickings led one to expect, and are all pickings
together what the tables did? Each is answered by a predictive tail. What may explain it is weighed
as for insects: the same model with one thing changed at a time, each weighed by how usual it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.picking_fit import SHARED_SD, Pickings
from lattermath.belief.sighting_check import AT_ODDS, Check, normalized
from lattermath.belief.tempering import effective

FloatArray = NDArray[np.float64]

LEAST_EFFECTIVE = 60.0  # judgement: draws that must count, lest the prediction be too narrow
NEW_DAYS = 7  # judgement: after a week a picking is not spoken of as new any more
POUND_KG = 0.45359237
# How usual each is beforehand, beside chance alone; judgement.
USUAL = {
    "chance": 1.0,
    "missed": 1.0,
    "somebody": 0.5,
    "weighed": 0.3,
    "season": 1.0,
    "ails": 0.7,
    "left before": 1.0,
    "other yield": 1.0,
}
# Of what was to be expected, each equally likely within its explanation; judgement.
SIZES: dict[str, tuple[float, ...]] = {
    "missed": (1 / 3, 2 / 3),
    "somebody": (1 / 4, 1 / 2),
    "weighed": (POUND_KG, 1 / POUND_KG),
    "ails": (1 / 4, 1 / 2, 3 / 4),
    "left before": (1.5, 2.5),
    "other yield": (1 / 2, 2.0),
}
OF_FRUIT = ("missed", "left before")
LEAST_BY_SEASON = 0.85  # judgement: where the season takes less than this it explains nothing


@dataclass(frozen=True, slots=True)
class PickingOdds:
    """Pickings at odds with what was expected.

    day    : of the newest.
    kg     : of it, or of all pickings where `whole`.
    check  : what was to be expected. [kg]
    ranked : what may explain it and its share among what was weighed, the likeliest first.
    """

    day: date
    kg: float
    whole: bool
    check: Check
    ranked: tuple[tuple[str, float], ...]


def picking_odds(
    pickings: Pickings, log_weight: FloatArray, today: date, rng: np.random.Generator
) -> PickingOdds | None:
    """The newest picking, or all together, where they are not what was to be expected.

    log_weight : of the candidates before any picking, (n_candidates,).

    None where all agrees or the newest is no longer new. Two questions are asked where there are
    several pickings, and each is answered at half of the chance at which one would be.
    """
    n, day = len(pickings.days), pickings.days[-1]
    if (today - day).days > NEW_DAYS:
        return None
    off = np.exp(SHARED_SD * rng.standard_normal(len(log_weight)))
    there, known = off * pickings.expected, pickings.first(n - 1)
    any_home, thrown = pickings.of_any(there), pickings.thrown(there, rng)
    log = _told(log_weight + known.each(there[:-1]).sum(0))
    asked = [(False, thrown[-1], log + any_home[-1], float(pickings.picked[-1]))]
    if n > 1:
        each = log_weight + any_home.sum(0)
        asked.append((True, thrown.sum(0), _told(each), float(pickings.picked.sum())))
    checks = [
        (whole, kg, picking_checked(kg, might, normalized(w))) for whole, might, w, kg in asked
    ]
    whole, kg, check = min(checks, key=lambda one: (one[2].tail, not one[0]))
    if check.tail >= AT_ODDS / len(asked):
        return None
    which = slice(0 if whole else n - 1, n)
    return PickingOdds(
        day, kg, whole, check, _ranked(pickings, log_weight if whole else log, off, which)
    )


def picking_checked(kg: float, might: FloatArray, weights: FloatArray) -> Check:
    """A weight beside those that might have been brought home, (n_candidates,) both. [kg]

    weights : of the candidates, the chance to bring anything home counted in, since who brings
              nothing home writes nothing; they sum to 1.
    """
    order = np.argsort(might)
    there, up_to = might[order], np.cumsum(weights[order])
    ends = np.minimum(np.searchsorted(up_to, np.array([0.05, 0.95])), len(there) - 1)
    low, high = there[ends].tolist()
    under, at_most = float(weights[might < kg].sum()), float(weights[might <= kg].sum())
    return Check.of(under, min(at_most, 1.0), low, high)


def _told(log: FloatArray) -> FloatArray:
    """Log weights softened until enough draws count."""
    heat = 1.0
    while effective(heat * log) < min(LEAST_EFFECTIVE, len(log) / 2):
        heat *= 0.8
    return heat * log


def _ranked(
    pickings: Pickings, log: FloatArray, off: FloatArray, which: slice
) -> tuple[tuple[str, float], ...]:
    """What may explain the pickings in question, by how well each would give them."""
    asked = replace(pickings, picked=np.asarray(pickings.picked[which]))
    even: FloatArray = off * pickings.expected[which]
    weights = normalized(log)

    def fit(times: FloatArray) -> float:
        each = asked.each(even * times[:, None]).sum(0)
        return float(np.log(weights @ np.exp(each - each.max())) + each.max())

    logs = {
        key: float(np.log(USUAL[key]) + np.logaddexp.reduce([fit(one) for one in many]))
        - float(np.log(len(many)))
        for key, many in _changes(pickings, which).items()
    }
    shares = normalized(np.array(list(logs.values())))
    ranked = zip(logs, shares.tolist(), strict=True)
    return tuple(sorted(ranked, key=lambda one: -one[1]))


def _changes(pickings: Pickings, which: slice) -> dict[str, Sequence[FloatArray]]:
    """What each explanation multiplies the expected pickings by, one case each."""
    plain = np.ones(len(pickings.days[which]))
    found: dict[str, Sequence[FloatArray]] = {"chance": [plain]}
    for key, sizes in SIZES.items():
        if pickings.one is not None or key not in OF_FRUIT:
            found[key] = [plain * size for size in sizes]
    season: FloatArray = np.maximum(pickings.by_season, 0.1)[which]
    if season.min() < LEAST_BY_SEASON:
        found["season"] = [season, 1 / season]
    return found
