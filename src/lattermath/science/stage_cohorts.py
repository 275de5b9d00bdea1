"""Populations by stage: fractional boxcar trains on several plantings, one run per draw.

The only module with compiled code. A day goes: count, treat, lay, develop and die, arrive, fly.
Everything is linear in the state unless crowding is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numba import njit
from numpy.typing import NDArray

from lattermath.science.stage_layout import FloatArray, IntArray, Layout, opening_phase

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Cycle:
    """What the weather makes of an organism, day by day; the same on every planting.

    The first axis is n_draws, or 1 where all draws share one weather.

    pushes   : pushes of each part that day, (n_draws, n_days, n_parts).
    entry    : boxcar at which that day's newcomers of a part stand at its end; -1 is the waiting
               class, (n_draws, n_days, n_parts).
    survival : share of each part that lives through the day, (n_draws, n_days, n_parts). [1]
    laying   : eggs a day per adult of either sex at full rate, (n_draws, n_days). [1/d]
    flight   : share of the keenest fliers that change plant that day, (n_draws, n_days). [1]
    """

    layout: Layout
    pushes: NDArray[np.int16]
    entry: Single
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
                    (n_days, n_plantings). [0 to 1]
    arrivals      : adults a day from outside, (n_draws or 1, n_days, n_plantings). [1/d]
    settle        : where a flying insect settles, rows sum to 1, (n_plantings, n_plantings).
    shaken        : share of flying insects put up by work on the plants, (n_days,). [0 to 1]
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


def wind_clock(layout: Layout, development: FloatArray) -> tuple[NDArray[np.int16], Single]:
    """Pushes and entry places of every day, from development. (n_draws, n_days, n_parts) each

    development : share of each part passed that day, (n_draws, n_days, n_parts). [1/d]
    """
    rate = np.ascontiguousarray(development, dtype=np.float64)
    if rate.ndim != 3 or rate.shape[2] != layout.n_parts:
        raise ValueError(f"development must be (n_draws, n_days, {layout.n_parts})")
    if not np.all(np.isfinite(rate)) or np.any(rate < 0):
        raise ValueError("development must be finite and not negative")
    pushes = np.zeros(rate.shape, dtype=np.int16)
    entry = np.zeros(rate.shape, dtype=np.float32)
    _wind(rate, layout.classes, layout.moved, opening_phase(layout), pushes, entry)
    return pushes, entry


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
    Holds for: stages of two days or more; shorter ones are moved at most to the end of the next
    part within a day.
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

    def march(part: slice) -> None:
        _march(  # type: ignore[call-arg]
            state[part],
            *(_rows(rows, part) for rows in _daily(cycle)),
            setting.host,
            _rows(setting.arrivals, part),
            kills.event_of_day,
            _rows(kills.left, part),
            setting.settle,
            setting.shaken,
            setting.settle_shaken,
            setting.room,
            *_chain(layout),
            first_day,
            keep_of_day,
            sums[part],
            kept[part],
        )

    _in_threads(march, n_draws, threads)
    return Run(sums, kept, state)


def value_of_insects(
    cycle: Cycle,
    setting: Setting,
    weight: FloatArray,
    keep_days: Sequence[int],
    n_draws: int,
    threads: int = 1,
) -> Single:
    """What one insect of each class costs after each kept day, if nothing more is done.

    weight : cost of one insect of a stage for one day as counted, (n_plantings, n_stages).

    Gives (n_draws, n_keep, n_plantings, n_classes): the sum over the days after the kept day, to
    the end of the cycle, of `weight` times the insects it and its young will be. The transpose of
    `run_cohorts` without treatments, exact without crowding; with `room` set it raises.
    """
    if setting.room.size:
        raise ValueError("the value of one insect has no meaning under crowding")
    layout, n_plantings = cycle.layout, weight.shape[0]
    keep_of_day = np.full(cycle.n_days + 1, -1, dtype=np.int64)
    keep_of_day[np.asarray(keep_days, dtype=np.int64)] = np.arange(len(keep_days))
    by_class = np.ascontiguousarray(weight[:, layout.stage_of_class], dtype=np.float64)
    kept = np.zeros((n_draws, len(keep_days), n_plantings, layout.n_classes), dtype=np.float32)

    def march(part: slice) -> None:
        _march_back(  # type: ignore[call-arg]
            by_class,
            *(_rows(rows, part) for rows in _daily(cycle)),
            setting.host,
            setting.settle,
            setting.shaken,
            setting.settle_shaken,
            *_chain(layout),
            keep_of_day,
            kept[part],
        )

    _in_threads(march, n_draws, threads)
    return kept


def _daily(cycle: Cycle) -> tuple[NDArray[np.generic], ...]:
    return cycle.pushes, cycle.entry, cycle.survival, cycle.laying, cycle.flight


def _chain(layout: Layout) -> tuple[object, ...]:
    chain = (layout.first, layout.moved, layout.stage_of, layout.lays, layout.flies)
    return *chain, (layout.flies > 0).astype(np.float64), layout.first_flying


def _rows(rows: NDArray[np.generic], part: slice) -> NDArray[np.generic]:
    """The rows of some draws; a single row is shared by all."""
    return rows if rows.shape[0] == 1 else rows[part]


def _in_threads(march: Callable[[slice], None], n_draws: int, threads: int) -> None:
    """Split draws over threads; draws never meet, so any number of threads gives equal bits."""
    if threads <= 1 or n_draws < 2 * threads:
        march(slice(0, n_draws))
        return
    edges = np.linspace(0, n_draws, threads + 1).astype(int)
    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(march, [slice(a, b) for a, b in pairwise(edges)]))


@njit(cache=True, nogil=True)
def _wind(development, classes, moved, opening, pushes, entry):  # type: ignore[no-untyped-def]
    """Turn each clock by its development; see `stage_layout.push_fraction` for the placing."""
    n_draws, n_days, n_parts = development.shape
    for i in range(n_draws):
        phase = opening.copy()
        for day in range(n_days):
            left_of_day = 0.5  # eggs are laid, and adults arrive, about the middle of the day
            for s in range(n_parts):
                forward = development[i, day, s] * classes[s]
                n = int(np.floor((phase[s] + forward) / moved[s] + 1e-9))
                rest = max(phase[s] + forward - n * moved[s], 0.0)
                pushes[i, day, s] = n
                entry[i, day, s] = left_of_day * forward - rest
                left_of_day = 0.5
                if n > 0:
                    mean_push = ((n + 1) / 2 * moved[s] - phase[s]) / forward
                    left_of_day = min(max(1.0 - mean_push, 0.0), 1.0)
                phase[s] = rest


@njit(cache=True, nogil=True)
def _place(one, count, place, start, end):  # type: ignore[no-untyped-def]
    """Put newcomers between two classes so that their mean place is right."""
    spot = min(max(place + 1.0, 0.0), end - start - 1.0)
    low = min(int(spot), end - start - 2)
    share = spot - low
    one[start + low] += count * (1.0 - share)
    one[start + low + 1] += count * share


@njit(cache=True, nogil=True)
def _develop(one, pushes, entry, survival, first, moved):  # type: ignore[no-untyped-def]
    """Deaths and development of one planting in one day; the last part first."""
    n_parts = moved.shape[0]
    for s in range(n_parts - 1, -1, -1):
        start, end, f = first[s], first[s + 1], moved[s]
        alive = survival[s]
        for c in range(start, end):
            one[c] *= alive
        gone = 0.0
        for _ in range(pushes[s]):
            gone += f * one[end - 1]
            for c in range(end - 1, start, -1):
                one[c] += f * (one[c - 1] - one[c])
            one[start] *= 1.0 - f
        if s + 1 < n_parts and gone > 0.0:
            _place(one, gone, entry[s + 1], end, first[s + 2])


@njit(cache=True, nogil=True)
def _fly(state, share, settle, first, wings, first_flying, rising):  # type: ignore[no-untyped-def]
    """Lift a share of the flying parts off every planting and settle them again."""
    n_plantings = state.shape[0]
    for s in range(first_flying, wings.shape[0]):
        lift = share * wings[s]
        for c in range(first[s], first[s + 1]):
            for p in range(n_plantings):
                rising[p] = lift * state[p, c]
                state[p, c] -= rising[p]
            for p in range(n_plantings):
                for q in range(n_plantings):
                    state[q, c] += rising[p] * settle[p, q]


@njit(cache=True, nogil=True)
def _lay(one, rate, first, lays):  # type: ignore[no-untyped-def]
    """Eggs laid in a day on one planting."""
    eggs = 0.0
    for s in range(lays.shape[0]):
        if lays[s] > 0.0:
            layers = 0.0
            for c in range(first[s], first[s + 1]):
                layers += one[c]
            eggs += lays[s] * layers
    return eggs * rate


@njit(cache=True, nogil=True)
def _count(one, first, stage_of, sums):  # type: ignore[no-untyped-def]
    """Sum one planting by stage."""
    for s in range(stage_of.shape[0]):
        total = 0.0
        for c in range(first[s], first[s + 1]):
            total += one[c]
        sums[stage_of[s]] += total


@njit(cache=True, nogil=True)
def _treat(one, left, first, stage_of):  # type: ignore[no-untyped-def]
    """Keep the share left alive of each stage."""
    for s in range(stage_of.shape[0]):
        share = left[stage_of[s]]
        for c in range(first[s], first[s + 1]):
            one[c] *= share


@njit(cache=True, nogil=True)
def _crowding(one, first, first_flying, room):  # type: ignore[no-untyped-def]
    """Share of laying left by crowding: one half at `room` immature insects."""
    immature = 0.0
    for c in range(first[first_flying]):
        immature += one[c]
    return room / (room + immature)


@njit(cache=True, nogil=True)
def _march(  # type: ignore[no-untyped-def]
    state, pushes, entry, survival, laying, flight, host, arrivals, event_of_day, left,
    settle, shaken, settle_shaken, room, first, moved, stage_of, lays, wings, all_wings,
    first_flying, first_day, keep_of_day, sums, kept,
):  # fmt: skip
    """All days of some draws, in place."""
    n_draws, n_plantings, _ = state.shape
    last, rising = moved.shape[0] - 1, np.zeros(n_plantings)
    for i in range(n_draws):
        w, a = i if pushes.shape[0] > 1 else 0, i if arrivals.shape[0] > 1 else 0
        v, k = i if survival.shape[0] > 1 else 0, i if left.shape[0] > 1 else 0
        for step in range(keep_of_day.shape[0]):
            day = first_day + step
            for p in range(n_plantings):
                _count(state[i, p], first, stage_of, sums[i, p, step])
                if keep_of_day[step] >= 0:
                    kept[i, keep_of_day[step], p] = state[i, p]
            if step == keep_of_day.shape[0] - 1:
                break
            event = event_of_day[day]
            for p in range(n_plantings):
                one = state[i, p]
                if event >= 0:
                    _treat(one, left[k, event, p], first, stage_of)
                eggs = _lay(one, laying[w, day] * host[day, p], first, lays)
                if room.shape[0] > 0:
                    eggs *= _crowding(one, first, first_flying, room[p])
                _develop(one, pushes[w, day], entry[w, day], survival[v, day], first, moved)
                _place(one, eggs, entry[w, day, 0], first[0], first[1])
                _place(one, arrivals[a, day, p], 0.0, first[last], first[last + 1])
            _fly(state[i], flight[w, day], settle, first, wings, first_flying, rising)
            if shaken[day] > 0.0:
                _fly(state[i], shaken[day], settle_shaken, first, all_wings, first_flying, rising)


@njit(cache=True, nogil=True)
def _placed_value(one, place, start, end):  # type: ignore[no-untyped-def]
    """Value of a newcomer: `_place` turned round."""
    spot = min(max(place + 1.0, 0.0), end - start - 1.0)
    low = min(int(spot), end - start - 2)
    share = spot - low
    return one[start + low] * (1.0 - share) + one[start + low + 1] * share


@njit(cache=True, nogil=True)
def _develop_back(one, pushes, entry, survival, first, moved):  # type: ignore[no-untyped-def]
    """`_develop` turned round: the first part first."""
    n_parts = moved.shape[0]
    for s in range(n_parts):
        start, end, f = first[s], first[s + 1], moved[s]
        beyond = 0.0
        if s + 1 < n_parts:
            beyond = _placed_value(one, entry[s + 1], end, first[s + 2])
        for _ in range(pushes[s]):
            for c in range(start, end - 1):
                one[c] += f * (one[c + 1] - one[c])
            one[end - 1] += f * (beyond - one[end - 1])
        for c in range(start, end):
            one[c] *= survival[s]


@njit(cache=True, nogil=True)
def _fly_back(value, share, settle, first, wings, first_flying, landing):  # type: ignore[no-untyped-def]
    """`_fly` turned round."""
    n_plantings = value.shape[0]
    for s in range(first_flying, wings.shape[0]):
        lift = share * wings[s]
        for c in range(first[s], first[s + 1]):
            for p in range(n_plantings):
                landing[p] = 0.0
                for q in range(n_plantings):
                    landing[p] += settle[p, q] * value[q, c]
            for p in range(n_plantings):
                value[p, c] += lift * (landing[p] - value[p, c])


@njit(cache=True, nogil=True)
def _march_back(  # type: ignore[no-untyped-def]
    weight, pushes, entry, survival, laying, flight, host, settle, shaken, settle_shaken,
    first, moved, stage_of, lays, wings, all_wings, first_flying, keep_of_day, kept,
):  # fmt: skip
    """All days of some draws, from the last to the first."""
    n_draws, _, n_plantings, _ = kept.shape
    landing = np.zeros(n_plantings)
    for i in range(n_draws):
        w, v = i if pushes.shape[0] > 1 else 0, i if survival.shape[0] > 1 else 0
        value = np.zeros_like(weight)
        for day in range(keep_of_day.shape[0] - 1, -1, -1):
            if day < keep_of_day.shape[0] - 1:
                if shaken[day] > 0.0:
                    _fly_back(
                        value, shaken[day], settle_shaken, first, all_wings, first_flying, landing
                    )
                _fly_back(value, flight[w, day], settle, first, wings, first_flying, landing)
                for p in range(n_plantings):
                    one = value[p]
                    egg = _placed_value(one, entry[w, day, 0], first[0], first[1])
                    _develop_back(
                        one, pushes[w, day], entry[w, day], survival[v, day], first, moved
                    )
                    for s in range(stage_of.shape[0]):
                        gain = lays[s] * laying[w, day] * host[day, p] * egg
                        for c in range(first[s], first[s + 1]):
                            one[c] += gain
            if keep_of_day[day] >= 0:
                kept[i, keep_of_day[day]] = value
            value += weight
