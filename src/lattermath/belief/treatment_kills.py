"""Treatments of a cluster, done or thought of, as shares left alive by day, planting and stage."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.life_figures import LifeFigures
from lattermath.belief.treatment_effect import ROW_COVERAGE, Effect
from lattermath.science.spray_kill import residual_kill
from lattermath.vocabulary.events import Surface

if TYPE_CHECKING:
    from lattermath.science.stage_cohorts import Kills

FloatArray = NDArray[np.float64]

DaysOfKill = list[tuple[int, FloatArray]]  # day, share killed (n_draws, n_stages)

LEAF_GROWTH = 0.03  # judgement: leaf that unfolds in a day in high summer, as a share of all
MOST_KILL = 0.99  # no treatment of a whole planting reaches everything


@dataclass(frozen=True, slots=True, eq=False)
class Application:
    """One treatment on one day. `reach` is the share of each stage that it gets at, (n_stages,)."""

    day: int
    effect: Effect
    places: tuple[int, ...]
    reach: FloatArray
    serial: int | None = None


def reach_of(
    effect: Effect, surfaces: Sequence[Surface], coverage: float, life: LifeFigures
) -> FloatArray:
    """Share of each stage reached, relative to the coverage the efficacy figures mean.

    A spray kills only on the surfaces named; hands, shears and water reach what they reach.
    """
    shares = [life.on_surfaces(stage) for stage in life.stages]
    if not effect.by_surface:
        return np.array([float(reach > 0) for _, _, reach in shares])
    wetted = [_wetted(share, set(surfaces)) for share in shares]
    return np.array(wetted) * coverage / ROW_COVERAGE


def _wetted(share: tuple[float, float, float], surfaces: Collection[Surface]) -> float:
    """Share of a stage on the surfaces sprayed, all that can be reached where both are."""
    below, above, reach = share
    if "whole" in surfaces or {"underside", "top"} <= set(surfaces):
        return reach
    return below * ("underside" in surfaces) + above * ("top" in surfaces)


def kills_of(
    applications: Sequence[Application],
    quantiles: Mapping[str, FloatArray],
    stages: Sequence[str],
    rain: FloatArray,
    n_plantings: int,
    n_draws: int,
    pace: Mapping[str, FloatArray] | None = None,
) -> Kills:
    """All treatments together; those of one day, and deposits still killing, multiply.

    quantiles : how good each method proves to be, by method, (n_draws,). [0 to 1]
    rain      : by day, (n_days,) or (n_futures, n_days), over which the deposit is averaged;
                the number of days is taken from it. [mm]
    pace      : how fast each driver of loss wears deposits down that day, (n_days,) each; a
                driver left out keeps to the half-life.
    """
    shape = (n_draws, n_plantings, len(stages))
    return KnownKills(quantiles, stages, rain, pace or {}, shape).of(applications)


def gathered(
    parts: Sequence[tuple[tuple[int, ...], DaysOfKill]],
    n_days: int,
    shape: tuple[int, int, int],
    days: range | None = None,
) -> Kills:
    """Places and days of kill of each treatment, joined; shape is (n_draws, n_plantings, n_stages).

    days : only these are wanted; None for all.
    """
    from lattermath.science.stage_cohorts import Kills

    wanted = range(n_days) if days is None else days
    by_day: dict[int, FloatArray] = {}
    for places, kills in parts:
        for day, kill in kills:
            if day in wanted:
                left = by_day.setdefault(day, np.ones(shape))
                left[:, list(places)] *= 1.0 - kill[:, None]
    found = sorted(by_day)
    event_of_day = np.full(n_days, -1, dtype=np.int64)
    event_of_day[found] = np.arange(len(found))
    if not found:
        return Kills(event_of_day, np.ones((1, 1, *shape[1:]), dtype=np.float32))
    return Kills(event_of_day, np.stack([by_day[d] for d in found], axis=1).astype(np.float32))


def days_of(
    one: Application,
    quantiles: Mapping[str, FloatArray],
    stages: Sequence[str],
    rain: FloatArray,
    pace: Mapping[str, FloatArray],
) -> DaysOfKill:
    """Days on which one treatment kills, with the share killed, (n_draws, n_stages)."""
    effect, first = one.effect, max(one.day, 0)
    kill = np.clip(effect.draws(stages, quantiles[effect.method]) * one.reach, 0, MOST_KILL)
    if effect.half_life_days is None or effect.kill_days < 1:
        at_once = [(one.day, kill * effect.wear.dries(rain[..., first : first + 1]))]
        return dying(at_once, effect.dies_after)
    days = slice(first, first + effect.kill_days)
    left = effect.wear.left(effect.half_life_days, rain[..., days], first, pace)
    # The efficacy figure is what a dry week did: spread over its days, it is not earned twice, and
    # what light, warmth and rain take besides is lost.
    usual = 0.5 ** (np.arange(effect.kill_days) / effect.half_life_days)
    per_day = 1 - (1 - kill) ** (1.0 / usual.sum())
    daily = residual_kill(per_day, left, LEAF_GROWTH if effect.by_surface else 0.0)
    kills = [(one.day + n, daily[..., n]) for n in range(len(left))]
    return dying(kills, effect.dies_after)


def dying(kills: DaysOfKill, after: tuple[int, int]) -> DaysOfKill:
    """What was touched on some days, on the days on which it dies: evenly over those of `after`.

    What comes to the leaf meanwhile dies with it, and what leaves its stage escapes; the days are
    few enough for both (judgement).
    """
    soon, late = after
    if late == 0:
        return kills
    share = 1.0 / (late - soon + 1)
    lives: dict[int, FloatArray] = {}
    for day, kill in kills:
        for then in range(day + soon, day + late + 1):
            lives[then] = lives.get(then, 1.0) * (1.0 - kill) ** share
    return [(day, 1.0 - left) for day, left in sorted(lives.items())]


@dataclass(slots=True)
class KnownKills:
    """Kills of many courses over the same days: what one treatment does is worked out once.

    quantiles, rain, pace : as for `kills_of`; shape is (n_draws, n_plantings, n_stages).
    """

    quantiles: Mapping[str, FloatArray]
    stages: Sequence[str]
    rain: FloatArray
    pace: Mapping[str, FloatArray]
    shape: tuple[int, int, int]
    # By effect, day and reach; the effect is held beside, so that no other takes its number.
    known: dict[tuple[int, int, bytes], tuple[Effect, DaysOfKill]] = field(default_factory=dict)

    def of(self, applications: Sequence[Application]) -> Kills:
        """Kills of all these on all days."""
        parts = [(one.places, self._days(one)) for one in applications]
        return gathered(parts, int(self.rain.shape[-1]), self.shape)

    def between(self, applications: Sequence[Application], first: int, last: int) -> Kills | None:
        """Kills on the days from `first` to before `last`; None where there are none."""
        lasting = [
            one
            for one in applications
            if one.day < last and one.day + one.effect.lasts_days > first
        ]
        if not lasting:
            return None
        parts = [(one.places, self._days(one)) for one in lasting]
        return gathered(parts, int(self.rain.shape[-1]), self.shape, range(first, last))

    def _days(self, one: Application) -> DaysOfKill:
        key = (id(one.effect), one.day, one.reach.tobytes())
        if key not in self.known:
            days = days_of(one, self.quantiles, self.stages, self.rain, self.pace)
            self.known[key] = one.effect, days
        return self.known[key][1]
