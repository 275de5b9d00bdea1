"""Populations by stage: fractional boxcar trains on several plantings, one run per draw.

A day goes: count, treat, lay, develop and die, arrive, lay, fly; half of its eggs are laid by those
of its morning and half by those of its evening. Everything is linear in the state
unless crowding is asked for. The days themselves are walked in `cohort_days`.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lattermath.science.cohort_days import march, march_back, wind
from lattermath.science.stage_layout import FloatArray, IntArray, Layout, opening_phase

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Cycle:
    """What the weather makes of an organism, day by day; the same on every planting.

    The first axis is n_draws, or 1 where all draws share one weather.

    pushes   : pushes of each part that day, (n_draws, n_days, n_parts).
    entry    : boxcar at which that day's newcomers of a part stand at its end, on the mean; -1 is
               the waiting class, (n_draws, n_days, n_parts).
    stride   : how many boxcars further those of one push get that day than those of the next,
               (n_draws, n_days, n_parts).
    survival : share of each part that lives through the day, (n_draws, n_days, n_parts). [1]
    laying   : eggs a day per adult of either sex at full rate, (n_draws, n_days). [1/d]
    flight   : share of the keenest fliers that change plant that day, (n_draws, n_days). [1]
    """

    layout: Layout
    pushes: NDArray[np.int16]
    entry: Single
    stride: Single
    survival: Single
    laying: Single
    flight: Single

    @property
    def n_days(self) -> int:
        """Days the cycle covers."""
        return int(self.pushes.shape[1])


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """Where the organism lives and what comes in. Days count as in the cycle.

    host          : suitability of each planting, 0 where it does not stand,
                    beside the best host's, (n_draws or 1, n_days, n_plantings). [1]
    arrivals      : adults a day from outside, (n_draws or 1, n_days, n_plantings). [1/d]
    settle        : where a flying insect settles, rows sum to 1, (n_plantings, n_plantings).
    shaken        : share of those that fly put up by work on each planting, as a multiple of the
                    day's flight, (n_days, n_plantings); (n_days,) is one for all. [1]
    settle_shaken : where those settle, rows sum to 1, (n_plantings, n_plantings).
    room          : immature insects at which laying is halved by crowding, (n_plantings,); empty
                    for no crowding.
    """

    host: Single
    arrivals: Single
    settle: FloatArray
    shaken: Single
    settle_shaken: FloatArray
    room: FloatArray = field(default_factory=lambda: np.zeros(0))

    def __post_init__(self) -> None:
        if self.shaken.ndim == 1:
            by_place = np.repeat(self.shaken[:, None], self.host.shape[-1], axis=1)
            object.__setattr__(self, "shaken", by_place)

    @property
    def busy(self) -> NDArray[np.bool_]:
        """Days on which work puts up any, (n_days,)."""
        return np.asarray(self.shaken.any(axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class Kills:
    """Treatments as shares left alive.

    event_of_day : row of `left` that applies on a day, -1 for none, (n_days,).
    left         : share left alive, (n_draws, n_events, n_plantings, n_stages). [0 to 1]
    """

    event_of_day: IntArray
    left: Single


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One run from `first_day`.

    sums  : insects by stage as found on each day before that day's treatment,
            (n_draws, n_plantings, n_days + 1, n_stages).
    kept  : states on the days asked for, before treatment, (n_draws, n_keep, n_plantings,
            n_classes).
    final : state after the last day, (n_draws, n_plantings, n_classes).
    """

    sums: Single
    kept: Single
    final: FloatArray


def wind_clock(layout: Layout, development: FloatArray) -> tuple[NDArray[np.int16], Single, Single]:
    """Pushes, entry places and strides of every day. (n_draws, n_days, n_parts) each

    development : share of each part passed that day, (n_draws, n_days, n_parts). [1/d]
    """
    rate = np.ascontiguousarray(development, dtype=np.float64)
    if rate.ndim != 3 or rate.shape[2] != layout.n_parts:
        raise ValueError(f"development must be (n_draws, n_days, {layout.n_parts})")
    if not np.all(np.isfinite(rate)) or np.any(rate < 0):
        raise ValueError("development must be finite and not negative")
    pushes = np.zeros(rate.shape, dtype=np.int16)
    entry, stride = (np.zeros(rate.shape, dtype=np.float32) for _ in range(2))
    wind(rate, layout.classes, layout.moved, opening_phase(layout), pushes, entry, stride)
    return pushes, entry, stride


def no_kills(n_days: int, n_plantings: int, n_stages: int) -> Kills:
    """A season without treatments."""
    return Kills(
        np.full(n_days, -1, dtype=np.int64),
        np.ones((1, 1, n_plantings, n_stages), dtype=np.float32),
    )


def run_cohorts(
    cycle: Cycle,
    setting: Setting,
    start: NDArray[np.floating],
    kills: Kills | None = None,
    *,
    first_day: int = 0,
    n_days: int | None = None,
    keep_days: Sequence[int] = (),
    threads: int = 1,
) -> Run:
    """Populations of all draws and plantings from `first_day` on.

    start     : state before the first day's treatment, (n_draws, n_plantings, n_classes).
    keep_days : days of the cycle, from `first_day` to the end, whose states are kept.

    Mass is conserved but for births, deaths, arrivals and the last class, which dies of age.
    Holds for: stages of a day and a third or more; who leaves a shorter one is moved at most to the
    end of the next part within a day.
    """
    length = cycle.n_days - first_day if n_days is None else n_days
    if first_day < 0 or length < 0 or first_day + length > cycle.n_days:
        raise ValueError(f"days {first_day} to {first_day + length} are outside the cycle")
    n_draws, n_plantings, _ = start.shape
    layout = cycle.layout
    kills = no_kills(cycle.n_days, n_plantings, layout.n_stages) if kills is None else kills
    keep_of_day = np.full(length + 1, -1, dtype=np.int64)
    keep_of_day[np.asarray(keep_days, dtype=np.int64) - first_day] = np.arange(len(keep_days))
    state = np.ascontiguousarray(start, dtype=np.float64).copy()
    sums = np.zeros((n_draws, n_plantings, length + 1, layout.n_stages), dtype=np.float32)
    kept = np.zeros((n_draws, len(keep_days), n_plantings, layout.n_classes), dtype=np.float32)

    busy, chain = setting.busy, _chain(layout)

    def some(part: slice) -> None:
        march(  # type: ignore[call-arg]
            state[part],
            *(_rows(rows, part) for rows in _daily(cycle)),
            _rows(setting.host, part),
            _rows(setting.arrivals, part),
            kills.event_of_day,
            _rows(kills.left, part),
            setting.settle,
            busy,
            setting.shaken,
            setting.settle_shaken,
            setting.room,
            *chain,
            first_day,
            keep_of_day,
            sums[part],
            kept[part],
        )

    _in_threads(some, n_draws, threads)
    return Run(sums, kept, state)


def value_of_insects(
    cycle: Cycle,
    setting: Setting,
    weight: FloatArray,
    keep_days: Sequence[int],
    n_draws: int,
    threads: int = 1,
    kills: Kills | None = None,
) -> Single:
    """What one insect of each class costs after each kept day, if nothing more is done.

    weight : cost of one insect of a stage for one day as counted, (n_plantings, n_stages), or by
             draw and day of the cycle, (n_draws or 1, n_plantings, n_days + 1, n_stages).
    kills  : what is done all the same; a kept day's value is of what that day's treatment leaves.

    Gives (n_draws, n_keep, n_plantings, n_classes): the sum over the days after the kept day, to
    the end of the cycle, of `weight` times the insects it and its young will be. The transpose of
    `run_cohorts`, exact without crowding; with `room` set it raises.
    """
    if setting.room.size:
        raise ValueError("the value of one insect has no meaning under crowding")
    layout = cycle.layout
    every_day = weight if weight.ndim == 4 else weight[None, :, None]
    last = max([_last_priced(every_day, cycle.n_days), *keep_days])
    keep_of_day = np.full(last + 1, -1, dtype=np.int64)
    keep_of_day[np.asarray(keep_days, dtype=np.int64)] = np.arange(len(keep_days))
    n_plantings, n_stages = every_day.shape[1], every_day.shape[3]
    kills = no_kills(cycle.n_days, n_plantings, n_stages) if kills is None else kills
    events = np.append(kills.event_of_day, -1)  # nothing is done after the last day
    shape = (len(every_day), n_plantings, cycle.n_days + 1, n_stages)
    by_day = np.ascontiguousarray(np.broadcast_to(every_day, shape), dtype=np.float64)
    kept = np.zeros((n_draws, len(keep_days), n_plantings, layout.n_classes), dtype=np.float32)

    busy, chain = setting.busy, _chain(layout)

    def some(part: slice) -> None:
        march_back(  # type: ignore[call-arg]
            _rows(by_day, part),
            *(_rows(rows, part) for rows in _daily(cycle)),
            _rows(setting.host, part),
            setting.settle,
            busy,
            setting.shaken,
            setting.settle_shaken,
            *chain,
            events,
            _rows(kills.left, part),
            keep_of_day,
            min(keep_days, default=last + 1),
            kept[part],
        )

    _in_threads(some, n_draws, threads)
    return kept


def _last_priced(weight: FloatArray, n_days: int) -> int:
    """The last day on which any insect costs anything; after it nothing has a value."""
    if weight.shape[2] == 1:
        return n_days
    priced = np.flatnonzero(weight.any((0, 1, 3)))
    return int(priced[-1]) if priced.size else 0


def _daily(cycle: Cycle) -> tuple[NDArray[np.generic], ...]:
    return cycle.pushes, cycle.entry, cycle.stride, cycle.survival, cycle.laying, cycle.flight


def _chain(layout: Layout) -> tuple[object, ...]:
    chain = (layout.first, layout.moved, layout.stage_of, layout.lays, layout.flies)
    return *chain, (layout.flies > 0).astype(np.float64), layout.first_flying


def _rows(rows: NDArray[np.generic], part: slice) -> NDArray[np.generic]:
    """The rows of some draws; a single row is shared by all."""
    return rows if rows.shape[0] == 1 else rows[part]


def _in_threads(some: Callable[[slice], None], n_draws: int, threads: int) -> None:
    """Split draws over threads; draws never meet, so any number of threads gives equal bits."""
    if threads <= 1 or n_draws < 2 * threads:
        some(slice(0, n_draws))
        return
    edges = np.linspace(0, n_draws, threads + 1).astype(int)
    *others, mine = [slice(a, b) for a, b in pairwise(edges)]
    rest = _standing_by(len(others)).map(some, others)
    some(mine)
    list(rest)


@cache
def _standing_by(threads: int) -> ThreadPoolExecutor:
    """Threads that wait for work: to begin them at each run takes as long as many a run."""
    return ThreadPoolExecutor(threads)


if hasattr(os, "register_at_fork"):  # a process split off has none of its parent's threads
    os.register_at_fork(after_in_child=_standing_by.cache_clear)
