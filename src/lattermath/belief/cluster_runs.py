"""How a cluster is run from its first day: weather and unknowns into cycle, setting and start."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand, settling_when_shaken
from lattermath.belief.cluster_unknowns import Unknowns
from lattermath.belief.life_days import LifeDays
from lattermath.belief.life_history import LifeHistory
from lattermath.science.ground_frost import leaf_minimum
from lattermath.science.stage_cohorts import Cycle, Kills, Run, Setting, run_cohorts
from lattermath.science.stage_layout import spread_evenly

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

NEVER = -1  # brings nothing
SETTLE_IN_DAYS = 60  # days after which a growing population has its stable ages


@dataclass(frozen=True, slots=True, eq=False)
class ClusterSky:
    """Weather by day from day 0; the days before `today` are alike in all futures.

    t_min, t_max, rain : (n_futures, n_days). [C], [mm]
    laying             : share of the females that still lay, by day, (n_days,). [0 to 1]
    arriving           : adults that fly in beside those of their season, by day, (n_days,). [1]
    worked             : share of the plants of each planting that work shakes, by day,
                         (n_days, n_plantings); None: nobody works there. [0 to 1]
    future_of_draw     : (n_draws,).
    """

    t_min: FloatArray
    t_max: FloatArray
    rain: FloatArray
    future_of_draw: NDArray[np.int64]
    today: int
    laying: FloatArray | None = None
    arriving: FloatArray | None = None
    pace: Mapping[str, FloatArray] = field(default_factory=dict)
    worked: FloatArray | None = None

    def pace_from(self, first: int, end: int | None = None) -> dict[str, FloatArray]:
        """The paces of the days from `first` to before `end`."""
        return {driver: speed[first:end] for driver, speed in self.pace.items()}

    def still_lay(self, first: int, end: int | None) -> FloatArray:
        """Share of the females that lay, on the days from `first` to before `end`."""
        return np.ones(1) if self.laying is None else self.laying[first:end]

    def season(self, first: int) -> FloatArray | None:
        """What of their season flies in, on the days from `first` on."""
        return None if self.arriving is None else self.arriving[first:]

    def work_from(self, first: int) -> FloatArray | None:
        """What work shakes, on the days from `first` on."""
        return None if self.worked is None else self.worked[first:]


def cycle_of(life: LifeHistory, days: LifeDays, unknowns: Unknowns, laying: FloatArray) -> Cycle:
    """What weather and unknowns make of the organism; adults cross from planting to planting.

    laying : share of the females that still lay, (n_days,). [0 to 1]
    """
    cycle = life.cycle_in(days, unknowns.field, unknowns.adults, laying)
    # what flies and settles at home has not flown, so that fewer flights are fewer crossings
    flight = cycle.flight * _crossing(life, unknowns)[:, None]
    return replace(cycle, flight=flight.astype(np.float32))


def _crossing(life: LifeHistory, unknowns: Unknowns) -> FloatArray:
    """Crossings beside those of an unbroken crop, (n_draws,): no more move than there are. [1]"""
    return np.minimum(unknowns.crosses, 1.0 / max(life.figures.moves))


def setting_of(
    stands: Sequence[Stand],
    unknowns: Unknowns,
    settle: FloatArray,
    life: LifeHistory,
    first: int,
    n_days: int,
    cycle: Cycle,
    season: FloatArray | None = None,
    worked: FloatArray | None = None,
) -> Setting:
    """Hosts, arrivals and settling of these plantings over the days from `first`.

    Adults come from outside as the season lets them fly: fewer on cool days, none in the cold. So
    do those that work puts up go to other beds, which bare paths hold back as they do all others.

    season : adults that fly in beside those of their season, (n_days,); None for all alike. [1]
    worked : share of the plants of each planting that work shakes, (n_days, n_plantings); None
             for none. [0 to 1]
    """
    days = np.arange(n_days)[:, None] + first
    stands_there = days >= np.array([stand.started for stand in stands])
    host = stands_there * (unknowns.suits * unknowns.laying[:, None])[:, None]
    all_fly = _crossing(life, unknowns) * life.figures.moves[0]
    flying = (cycle.flight[:, :n_days] / all_fly[:, None])[..., None]
    coming = flying if season is None else flying * season[:n_days, None]
    arrivals = unknowns.arrivals[:, None] * stands_there * coming
    return Setting(
        host.astype(np.float32),
        arrivals.astype(np.float32),
        settle,
        _put_up(life, worked, n_days, len(stands)),
        settling_when_shaken(settle, life.figures.to_neighbour),
        np.array([stand.room for stand in stands]),
    )


def _put_up(
    life: LifeHistory, worked: FloatArray | None, n_days: int, n_plantings: int
) -> NDArray[np.float32]:
    """Share of the adults that work puts up, as a multiple of the day's flight of new adults."""
    shaken = np.zeros((n_days, n_plantings), dtype=np.float32)
    if worked is not None and life.figures.put_up > 0:
        shaken[:, : worked.shape[1]] = worked[:n_days] * life.figures.put_up / life.figures.moves[0]
    return shaken


def coldest_ahead(low: FloatArray, high: FloatArray, today: int) -> FloatArray:
    """Lowest temperature of leaves in the open so far, by day, (n_futures, n_days). [C]

    low, high : daily extremes, (n_futures, n_days). [C]
    today     : day before which nothing is killed: what stands has lived through what was.
    """
    leaves = leaf_minimum(low, high)
    leaves[:, :today] = np.inf
    return np.asarray(np.minimum.accumulate(leaves, axis=1))


def standing_in(stands: Sequence[Stand], coldest: FloatArray) -> NDArray[np.bool_]:
    """Whether frost has left each planting alive, (n_futures, n_days, n_plantings)."""
    return np.asarray(coldest[..., None] > np.array([stand.killed_at_c for stand in stands]))


def on_living_hosts(setting: Setting, standing: NDArray[np.bool_]) -> Setting:
    """The setting with no laying and no arrivals on plantings that frost has killed."""
    return replace(
        setting,
        host=(setting.host * standing).astype(np.float32),
        arrivals=(setting.arrivals * standing).astype(np.float32),
    )


def enters(stands: Sequence[Stand], first: int) -> IntArray:
    """Day from `first` on which each planting brings its insects, (n_plantings,).

    The first for those that stood there; the day of setting out for plants that came later with
    what sat on them; `NEVER` for what was sown in place later, which only wings can reach.
    """
    later = [stand.started - first if stand.set_out else NEVER for stand in stands]
    return np.array(
        [0 if s.started <= first else day for s, day in zip(stands, later, strict=True)],
        dtype=np.int64,
    )


def run_from_start(
    cycle: Cycle,
    setting: Setting,
    brought: FloatArray,
    enters: IntArray,
    kills: Kills,
    n_days: int,
) -> Run:
    """Run from the first day; no states are kept but the last.

    brought : insects by class that each planting brings, (n_draws, n_plantings, n_classes).
    enters  : the day on which it does, (n_plantings,).
    """
    return run_on(cycle, setting, np.zeros_like(brought), brought, enters, kills, (0, n_days))


def run_on(
    cycle: Cycle,
    setting: Setting,
    state: FloatArray,
    brought: FloatArray,
    enters: IntArray,
    kills: Kills,
    span: tuple[int, int],
) -> Run:
    """Run from one day to another, with what the plantings bring that enter on the way.

    state : insects by class on the first of these days, shaped as `brought`.
    """
    first, last = span
    days = sorted({first, *(int(day) for day in enters if first < day <= last)})
    sums = []
    for begin, end in pairwise([*days, last]):
        state = state + brought * (enters == begin)[:, None]
        run = run_cohorts(
            cycle, setting, state, kills, first_day=begin, n_days=end - begin, threads=2
        )
        state = run.final
        sums.append(run.sums[:, :, : end - begin])
    return replace(run, sums=np.concatenate([*sums, run.sums[:, :, -1:]], axis=2))


def stable_ages(life: LifeHistory, low: float, high: float) -> FloatArray:
    """Shares by class of a population that has grown for a while in the usual weather."""
    shape = (1, SETTLE_IN_DAYS)
    cycle = life.cycle(np.full(shape, low), np.full(shape, high))
    alone = Setting(
        np.ones((1, SETTLE_IN_DAYS, 1), dtype=np.float32),
        np.zeros((1, SETTLE_IN_DAYS, 1), dtype=np.float32),
        np.eye(1),
        np.zeros(SETTLE_IN_DAYS, dtype=np.float32),
        np.eye(1),
    )
    seed = spread_evenly(life.layout, [1.0] * len(life.stages))[None, None]
    ages = run_cohorts(cycle, alone, seed).final[0, 0]
    return np.asarray(ages / ages.sum())


def lately_come(life: LifeHistory) -> FloatArray:
    """Shares by class of adults that lately came: of all ages, and no young, (n_classes,)."""
    return spread_evenly(life.layout, [0.0] * (len(life.stages) - 1) + [1.0])
