"""The draws that a search looks at, evenly taken from all, the same for every course."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_unknowns import Unknowns
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.treatment_kills import Application, KnownKills
from lattermath.belief.whole_insects import frosty_days, with_frost
from lattermath.planning.stakes import Stakes
from lattermath.science.stage_cohorts import (
    Cycle,
    Kills,
    Run,
    Setting,
    no_kills,
    run_cohorts,
    value_of_insects,
)

if TYPE_CHECKING:
    from lattermath.planning.course_task import Task

FloatArray = NDArray[np.float64]
Scalar = TypeVar("Scalar", bound=np.generic)

SEARCH_DRAWS = 50  # judgement: draws the search looks at; the best are re-run on all of them


def searched(n_draws: int) -> NDArray[np.int64]:
    """Places of the draws that are searched, (at most 50,)."""
    return np.linspace(0, n_draws - 1, min(SEARCH_DRAWS, n_draws)).astype(np.int64)


def cycle_of(cycle: Cycle, draws: NDArray[np.int64]) -> Cycle:
    """The cycle of some draws."""

    def some(rows: NDArray[Scalar]) -> NDArray[Scalar]:
        return np.ascontiguousarray(rows[draws]) if len(rows) > 1 else rows

    return Cycle(
        cycle.layout,
        some(cycle.pushes),
        some(cycle.entry),
        some(cycle.stride),
        some(cycle.survival),
        some(cycle.laying),
        some(cycle.flight),
    )


def setting_of(setting: Setting, draws: NDArray[np.int64]) -> Setting:
    """The setting of some draws, without crowding."""
    arrivals = setting.arrivals if len(setting.arrivals) == 1 else setting.arrivals[draws]
    host = setting.host if len(setting.host) == 1 else setting.host[draws]
    return Setting(host, arrivals, setting.settle, setting.shaken, setting.settle_shaken)


def thinned(belief: ClusterBelief) -> ClusterBelief:
    """The cluster with the draws that are searched only."""
    some = searched(belief.n_draws)
    own, setting = belief.unknowns, belief.setting
    unknowns = Unknowns(
        own.suits[some],
        own.level[some],
        own.settled[some],
        own.arrivals[some],
        own.field[some],
        own.detection[some],
        own.adults[some],
        own.laying[some],
        own.crosses[some],
        {method: quantile[some] for method, quantile in own.quantiles.items()},
    )
    return replace(
        belief,
        cycle=cycle_of(belief.cycle, some),
        setting=replace(setting_of(setting, some), room=setting.room),
        state=belief.state[some],
        past=belief.past[some],
        coming=belief.coming[some],
        standing=belief.standing[some],
        coldest=belief.coldest[some],
        unknowns=unknowns,
    )


def on_few(task: Task) -> Task:
    """The same task on the draws that are searched only."""
    some = searched(task.belief.n_draws)
    return replace(task, belief=thinned(task.belief), stakes=task.stakes.some(some))


def run_searched(
    belief: ClusterBelief,
    planned: Sequence[Application] = (),
    keep_days: Sequence[int] = (),
    n_days: int | None = None,
) -> Run:
    """The draws that are searched, from today on, under some applications, crowding counted.

    n_days : days to run, where what comes later costs nothing; None for all.
    """
    few = _few(belief, SEARCH_DRAWS)
    kills = few.kills.of([*belief.applied, *planned])
    if few.frosty:
        kills = with_frost(kills, few.standing, belief.today)
    return run_cohorts(
        few.cycle, few.setting, few.state, kills,
        first_day=belief.today, n_days=n_days, keep_days=tuple(keep_days), threads=2,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class _Few:
    """What is the same for every course of a cluster, on the draws that are searched.

    frosty : does frost take a planting's insects on any day in any of these draws?
    """

    cycle: Cycle
    setting: Setting
    state: FloatArray
    kills: KnownKills
    standing: NDArray[np.bool_]
    frosty: bool


@lru_cache(maxsize=4)  # a search asks for one cluster many times, or for a few in turn
def _few(belief: ClusterBelief, _draws: int) -> _Few:
    some = searched(belief.n_draws)
    quantiles = {m: q[some] for m, q in belief.unknowns.quantiles.items()}
    shape = (len(some), len(belief.stands), len(belief.life.stages))
    standing = belief.standing[some]
    return _Few(
        cycle_of(belief.cycle, some),
        replace(setting_of(belief.setting, some), room=belief.setting.room),
        belief.state[some].astype(np.float64),
        KnownKills(quantiles, belief.life.stages, belief.rain, belief.pace, shape),
        standing,
        bool(frosty_days(standing, belief.today)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Priced:
    """What insects cost, reckoned from a run in which they all feed.

    run    : the draws that are searched, from today on.
    prices : of one insect of a stage on a day of the cycle,
             (n_draws, n_plantings, n_cycle_days + 1, n_stages). [portions]
    """

    belief: ClusterBelief
    run: Run
    prices: FloatArray

    @classmethod
    def of(
        cls,
        belief: ClusterBelief,
        stakes: Stakes,
        planned: Sequence[Application] = (),
        keep_days: Sequence[int] = (),
    ) -> Priced:
        """The prices under some applications; the states of `keep_days` are kept in the run.

        stakes : of the draws of the belief.
        """
        last = max([belief.today + stakes.days, *keep_days])
        run = run_searched(belief, planned, keep_days, last - belief.today)
        told = stakes.some(searched(belief.n_draws)).prices(run.sums)
        prices = np.zeros((*told.shape[:2], belief.cycle.n_days + 1, told.shape[3]))
        prices[:, :, belief.today : last + 1] = told
        return cls(belief, run, prices)

    def spent(self, sums: NDArray[np.floating], first: int) -> float:
        """What insects cost over some days, mean over the draws. [portions]

        sums : as of a run from `first`; its first day is not counted, it was before.
        """
        days = slice(first + 1, first + sums.shape[2])
        costs = np.einsum("dpts,dpts->", sums[:, :, 1:], self.prices[:, :, days], dtype=np.float64)
        return float(costs) / len(sums)

    def values(self, visits: Sequence[int]) -> FloatArray:
        """What one insect of each class costs from a visit on if nothing more is done.

        (n_draws, n_visits, n_plantings, n_classes) [portions]; crowding is not counted. What is
        gone on with after the last of them is (`going_on`).
        """
        some = searched(self.belief.n_draws)
        cycle, setting = cycle_of(self.belief.cycle, some), setting_of(self.belief.setting, some)
        frost = with_frost(
            self._kills_after(max(visits)), self.belief.standing[some], self.belief.today
        )
        values = value_of_insects(cycle, setting, self.prices, visits, len(some), kills=frost)
        for n, day in enumerate(visits):
            if frost.event_of_day[day] >= 0:  # it takes what is there before that day's treatment
                left = frost.left[:, frost.event_of_day[day]]
                values[:, n] *= left[..., cycle.layout.stage_of_class]
        return values.astype(np.float64)

    def _kills_after(self, day: int) -> Kills:
        """What is done after a day."""
        later = [one for one in self.belief.applied if one.day > day]
        if later:
            return _few(self.belief, SEARCH_DRAWS).kills.of(later)
        return no_kills(self.belief.cycle.n_days, *self.prices.shape[1::2])
