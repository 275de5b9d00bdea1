"""Durations, cohorts and growth of one organism, as asked for one at a time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.life_figures import BEND_C, HostTerms
from lattermath.belief.life_history import LifeHistory
from lattermath.science.development import (
    daily_heat,
    day_of_share,
    day_temperatures,
    days_needed,
)
from lattermath.vocabulary.errors import Fault, InputError

if TYPE_CHECKING:
    from lattermath.science.stage_cohorts import Setting

FloatArray = NDArray[np.float64]

WHOLE = ("egg_to_adult", "egg_adult", "birth_to_adult")
NINE_IN_TEN = 1.2816  # standard normal deviate of the 90th percentile


@dataclass(frozen=True, slots=True)
class Duration:
    """Days a stage takes; None where there is no development."""

    days: float | None
    low: float | None
    high: float | None
    rate_per_day: float


@dataclass(frozen=True, slots=True, eq=False)
class Cohort:
    """One cohort day by day, and the days by which a share of its young has become adult.

    The adult days are those of development alone, as if none died.
    """

    stages: Mapping[str, FloatArray]
    total: FloatArray
    adult_day_10: float | None
    adult_day_50: float | None
    adult_day_90: float | None


def stage_share(life: LifeHistory, stage: str) -> float:
    """Share of the development from egg to adult that a stage, or a group of stages, takes.

    A group word (`nymph`, `larva`) takes all stages that begin with it.
    """
    shares, word = life.figures.shares, stage.replace("-", "_").replace(" ", "_")
    if word in WHOLE:
        return 1.0
    found = [share for name, share in shares.items() if name == word]
    found = found or [share for name, share in shares.items() if name.startswith(word)]
    if not found:
        known = ", ".join((*shares, "egg-to-adult"))
        raise InputError(
            Fault("no such stage with a duration", "stage", stage, f"One of: {known}.")
        )
    return sum(found)


def duration(
    life: LifeHistory, stage: str, t_min: float, t_max: float, host: HostTerms | None = None
) -> Duration:
    """Days in a stage at a steady daily range of temperature.

    The range spans the rival regressions where the table has them, else nine in ten hosts.
    """
    f = life.figures
    share = stage_share(life, stage)
    if f.measured:
        pace = float(life.pace(day_temperatures(t_min, t_max)).mean())
    else:
        pace = float(daily_heat(t_min, t_max, f.lower, f.upper, BEND_C)) / f.total_dd
    if pace <= 0:
        return Duration(None, None, None, 0.0)
    days = share / pace * (host.pace if host else 1.0)
    spread = float(np.exp(NINE_IN_TEN * f.host_cv))
    low, high = days / spread, days * spread
    if f.regressions:
        lines = [
            share * float(days_needed(daily_heat(t_min, t_max, base, f.upper, BEND_C) / dd))
            for base, dd in f.regressions
        ]
        days = min(max(days, min(lines)), max(lines))  # no host outside what was ever measured
        low, high = (min(lines), max(lines)) if host is None else (low, high)
    return Duration(days, low, high if np.isfinite(high) else None, 1 / days)


def cohort(
    life: LifeHistory,
    t_min: Sequence[float],
    t_max: Sequence[float],
    start: Mapping[str, float],
    *,
    mortality: bool,
    reproduction: bool,
    host: HostTerms | None = None,
    treatments: Sequence[tuple[int, Mapping[str, float]]] = (),
) -> Cohort:
    """Follow insects that enter their stages on day 0, on one plant, without comings or goings.

    t_min, t_max : daily extremes of days 0, 1 ... [C]
    start        : insects by stage.
    mortality    : deaths by temperature, frost and age; without it nobody dies.
    treatments   : (day, share killed by stage); acts before that day's development.
    """
    from lattermath.science.stage_cohorts import Kills, run_cohorts

    first = _entered(life, start)
    low, high = np.atleast_2d(np.asarray(t_min, float)), np.atleast_2d(np.asarray(t_max, float))
    n_days = low.shape[1]
    events, left = _events(life, treatments, n_days)
    cycle = life.cycle(low, high, mortality=mortality, reproduction=reproduction, ageing=mortality)
    run = run_cohorts(cycle, _alone(n_days, host), first, Kills(events, left))
    sums = run.sums[0, 0].astype(np.float64)
    young = _entered(life, {s: n for s, n in start.items() if s != life.figures.adult})
    plain = life.cycle(low, high, mortality=False, reproduction=False, ageing=False)
    grown = run_cohorts(plain, _alone(n_days, host), young).sums[0, 0, :, -1]
    share = grown.astype(np.float64) / max(young.sum(), 1e-30)
    return Cohort(
        {stage: sums[:, n] for n, stage in enumerate(life.stages)},
        sums.sum(1),
        *(day_of_share(share, part) for part in (0.1, 0.5, 0.9)),
    )


def _entered(life: LifeHistory, start: Mapping[str, float]) -> FloatArray:
    from lattermath.science.stage_layout import just_entered

    state = np.zeros((1, 1, life.layout.n_classes))
    for stage, count in start.items():
        if stage not in life.stages:
            known = ", ".join(life.stages)
            raise InputError(Fault("no such stage", "start", stage, f"One of: {known}."))
        state[0, 0] += just_entered(life.layout, stage, count)
    return state


def _events(
    life: LifeHistory, treatments: Sequence[tuple[int, Mapping[str, float]]], n_days: int
) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Days and shares left alive; two treatments of one day multiply."""
    event_of_day = np.full(n_days, -1, dtype=np.int64)
    days = sorted({day for day, _ in treatments if 0 <= day < n_days})
    left = np.ones((1, max(len(days), 1), 1, len(life.stages)), dtype=np.float32)
    event_of_day[days] = np.arange(len(days))
    for day, kill in treatments:
        for stage, share in kill.items():
            if stage not in life.stages:
                known = ", ".join(life.stages)
                raise InputError(Fault("no such stage", "kill", stage, f"One of: {known}."))
            if 0 <= day < n_days:
                left[0, days.index(day), 0, life.stages.index(stage)] *= 1 - share
    return event_of_day, left


def _alone(n_days: int, host: HostTerms | None) -> Setting:
    """One plant of one host, without neighbours."""
    from lattermath.science.stage_cohorts import Setting

    return Setting(
        np.full((1, n_days, 1), host.laying if host else 1.0, dtype=np.float32),
        np.zeros((1, n_days, 1), dtype=np.float32),
        np.eye(1),
        np.zeros(n_days, dtype=np.float32),
        np.eye(1),
    )
