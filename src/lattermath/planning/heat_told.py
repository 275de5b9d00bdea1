"""Warmth as degree-days: what an organism or a crop had of it, what is to come, what it brings."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.life_history import LifeHistory
from lattermath.planning.water_told import TENTHS, until
from lattermath.science.degree_days import degree_days
from lattermath.science.development import day_temperatures
from lattermath.vocabulary.season_series import (
    Begins,
    Comes,
    HeatCourse,
    HeatMark,
    Strip,
    Trace,
)

FloatArray = NDArray[np.float64]

LEAST_AHEAD, MOST_AHEAD = 14, 60  # judgement: days shown; no further than the last mark asks
MOST_BEHIND = 90  # judgement: what was seen earlier says nothing of what lives today
SUM = "degree-days"
UNIT = "C d"
INSECTS_BY = "single-sine, horizontal"
CROPS_BY = "clipped average"
GROWING = ("growing", "in flower")  # stages before the first picking


def insect_heat(
    life: LifeHistory, since: date, today: date, t_min: FloatArray, t_max: FloatArray, first: date
) -> HeatCourse | None:
    """Degree-days of one insect since it was first seen; None where that is today or too long ago.

    What is laid (or born) today hatches, and is grown, by the stage model of the populations; what
    that takes is the table's heat, or, where rates measured in laboratories rule, the middle of
    what the futures bring by then.
    t_min, t_max : daily extremes from `first` on, (n_futures, n_days), the past alike in all. [C]
    """
    begin, now = (since - first).days, (today - first).days
    if not 0 <= begin < now or now - begin > MOST_BEHIND:
        return None
    figures = life.figures
    daily = degree_days(
        t_min[:, begin:], t_max[:, begin:], figures.lower, figures.upper, cutoff="horizontal"
    )
    sums = _by_morning(daily)
    at = now - begin
    done = np.cumsum(life.pace(day_temperatures(t_min[:, now:], t_max[:, now:])).mean(-1), axis=1)
    eggs = sum(s for stage, s in figures.shares.items() if stage.startswith("egg"))
    shares: tuple[tuple[Comes, float], ...] = (("hatch", eggs), ("grown", 1.0))
    marks = tuple(
        HeatMark(
            what,
            round(_needs(life, share, sums[:, at:], _days_to(done / share), float(sums[0, at])), 1),
            until(today, _days_to(done / share)),
        )
        for what, share in shares
        if share > 0
    )
    return _course(
        life.figures.organism,
        (since, "first seen"),
        (figures.lower, figures.upper, INSECTS_BY),
        (sums, at, today),
        marks,
    )


def crop_heat(belief: CropBelief, today: date, first: date) -> HeatCourse | None:
    """Degree-days of a planting since its start, and the first picking they bring; None where it
    bears already, or is not dated.

    The range of what is needed is that of the tables; of what comes, that of the weather.
    """
    planting, traits, now = belief.planting, belief.traits, belief.today
    started = planting.started
    if started is None or not (first <= started < today) or belief.stage not in GROWING:
        return None
    begin = (started - first).days
    sums = belief.climate.sums[:, begin:] - belief.climate.sums[:, begin : begin + 1]
    picks = belief.first_pick_column() - now
    begins: Begins = "set out" if planting.set_out is not None else "sown"
    needs = round(float(np.median(_at_day(sums[:, now - begin :], picks))), 1)
    return _course(
        planting.key,
        (started, begins),
        (traits.base_c, traits.upper_c, _crops_by(traits)),
        (sums, now - begin, today),
        (HeatMark("first pick", needs, until(today, picks)),),
    )


def _crops_by(traits: CropTraits) -> str:
    """How the heat of a crop is added up, and what no day may go beyond. [C d]"""
    if traits.best_c is None:
        return CROPS_BY
    return f"{CROPS_BY}, at most {traits.most_a_day:.1f} a day"


def _by_morning(daily: FloatArray) -> FloatArray:
    """(n, n_days) gives (n, n_days + 1), nothing on the first morning."""
    return np.concatenate([np.zeros((daily.shape[0], 1)), np.cumsum(daily, axis=1)], axis=1)


def _days_to(done: FloatArray) -> FloatArray:
    """Days until development that begins this morning is finished; inf: not within the days."""
    return np.where(done[:, -1] >= 1.0, (done < 1.0).sum(axis=1) + 1.0, np.inf)


def _needs(
    life: LifeHistory, share: float, ahead: FloatArray, days: FloatArray, so_far: float
) -> float:
    """The sum by which it is there. [C d since the course's start]"""
    if not life.figures.measured:
        return so_far + share * life.figures.total_dd
    return float(np.median(_at_day(ahead, days)))


def _at_day(ahead: FloatArray, days: FloatArray) -> FloatArray:
    """The sum by a morning of each row; of the last morning where it never comes."""
    column = np.where(np.isfinite(days), days, ahead.shape[1] - 1)
    column = np.clip(column, 0, ahead.shape[1] - 1).astype(np.intp)
    return np.asarray(ahead[np.arange(ahead.shape[0]), column])


def _course(
    of: str,
    began: tuple[date, Begins],
    base: tuple[float, float, str],
    run: tuple[FloatArray, int, date],
    marks: tuple[HeatMark, ...],
) -> HeatCourse:
    sums, at, today = run
    ends = [mark.when.late or mark.when.middle or mark.when.early for mark in marks]
    furthest = max([(day - today).days for day in ends if day is not None], default=MOST_AHEAD)
    days = min(max(furthest + 2, LEAST_AHEAD), MOST_AHEAD, sums.shape[1] - 1 - at)
    low, middle, high = np.quantile(sums[:, : at + days + 1], TENTHS, axis=0)
    ahead = tuple(today + timedelta(days=n) for n in range(days + 1))
    behind = tuple(began[0] + timedelta(days=n) for n in range(at + 1))
    lows, middles, highs = (_list(row) for row in (low, middle, high))
    base_c, upper_c, method = base
    return HeatCourse(
        of=of,
        since=began[0],
        begins=began[1],
        base_c=base_c,
        upper_c=upper_c,
        method=method,
        so_far=Trace(SUM, behind, middles[: at + 1], lows[: at + 1], highs[: at + 1], UNIT),
        ahead=Strip(SUM, ahead, middles[at:], lows[at:], highs[at:], (), UNIT),
        marks=marks,
    )


def _list(row: FloatArray) -> tuple[float, ...]:
    return tuple(round(float(v), 1) for v in row)
