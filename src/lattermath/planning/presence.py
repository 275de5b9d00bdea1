"""Where an organism sits today, where it may go, how it came to this, and when its eggs hatch."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import neighbours_at_risk
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.leaf_disease import LeafBelief
from lattermath.belief.life_history import LifeHistory
from lattermath.planning.course_outcome import stage_groups
from lattermath.planning.courses import SELDOM, counted_today, over_all
from lattermath.planning.leaf_disease_told import WORST_LEAF
from lattermath.science.development import day_temperatures
from lattermath.science.leaf_disease import TOP, UNDERSIDE
from lattermath.vocabulary.plan import Presence, Span
from lattermath.vocabulary.season_series import DaySpan, Trace

FloatArray = NDArray[np.float64]

DAYS_BEHIND = 28  # judgement: about a generation, and as far back as a grower remembers
OF_THE_LEAF = "% of the leaf"


def where_insects_sit(belief: ClusterBelief, seen: Collection[str]) -> tuple[Presence, ...]:
    """What a grower would count today on each planting, and where adults that leave it settle.

    seen : plantings on which it was seen and has not been missed since.
    """
    number, word, unit = counted_today(belief)
    stands = belief.stands
    return tuple(
        Presence(
            stand.key,
            stand.key in seen,
            _span(number[:, place], f"{word} a {unit}"),
            tuple(stands[n].key for n in neighbours_at_risk(belief.settle, place, SELDOM)),
        )
        for place, stand in enumerate(stands)
    )


def where_leaves_are_ill(belief: LeafBelief, seen: Collection[str]) -> tuple[Presence, ...]:
    """How much of the leaf is taken on the worse side, and which other hosts stand on the plot.

    How far spores go is not reckoned: every other host may get it.
    """
    keys = [stand.key for stand in belief.stands]
    return tuple(
        Presence(
            key,
            key in seen,
            _span(100 * belief.state[:, place].max(-1), OF_THE_LEAF),
            tuple(other for other in keys if other != key),
        )
        for place, key in enumerate(keys)
    )


def insects_so_far(belief: ClusterBelief, today: date) -> tuple[Trace, ...]:
    """Each stage over the cluster on the days behind us, in the unit of the strips."""
    units, unit = over_all(belief)
    past = belief.past[:, :, -DAYS_BEHIND:].astype(np.float64)
    return tuple(
        _trace(name, today, past[..., members].sum((1, 3)) / units, unit)
        for name, members in stage_groups(belief.life.stages).items()
    )


def leaves_so_far(belief: LeafBelief, today: date) -> tuple[Trace, ...]:
    """How much of the leaf was taken on the worst planting, by side, on the days behind us."""
    worst = int(np.median(belief.state.max(-1), axis=0).argmax())
    past = 100 * belief.past[:, worst, -DAYS_BEHIND:]
    return (
        _trace("tops", today, past[..., TOP], WORST_LEAF),
        _trace("undersides", today, past[..., UNDERSIDE], WORST_LEAF),
    )


def hatch(life: LifeHistory, t_min: FloatArray, t_max: FloatArray, today: date) -> DaySpan | None:
    """By when an egg laid today has hatched; None where it lays none, or few would by the end.

    On the best host, at the middle figure of its development: the range is that of the weather.
    t_min, t_max : daily extremes from today on, (n_futures, n_days). [C]
    """
    share = sum(s for stage, s in life.figures.shares.items() if stage.startswith("egg"))
    if share <= 0:
        return None
    done = np.cumsum(life.pace(day_temperatures(t_min, t_max)).mean(-1) / share, axis=1)
    days = np.where(done[:, -1] >= 1.0, (done < 1.0).sum(axis=1) + 1.0, np.inf)
    early, middle, late = np.quantile(days, [0.1, 0.5, 0.9], method="higher")
    if not np.isfinite(late):
        return None
    first, usual, last = (today + timedelta(days=int(n)) for n in (early, middle, late))
    return DaySpan(first, usual, last)


def _span(number: FloatArray, unit: str) -> Span:
    low, middle, high = (float(q) for q in np.quantile(number, [0.1, 0.5, 0.9]))
    return Span(low, middle, high, unit)


def _trace(name: str, today: date, past: FloatArray, unit: str) -> Trace:
    """By draw and day, the last of them today, (n_draws, n_days). [unit]"""
    low, middle, high = np.quantile(past, [0.1, 0.5, 0.9], axis=0)
    n_days = past.shape[1]
    return Trace(
        name,
        tuple(today - timedelta(days=n_days - 1 - n) for n in range(n_days)),
        tuple(middle.tolist()),
        tuple(low.tolist()),
        tuple(high.tolist()),
        unit,
    )
