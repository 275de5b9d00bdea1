"""A cluster up to today: run for any unknowns, weighed against what was seen, learnt by days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import settling
from lattermath.belief.cluster_runs import (
    ClusterSky,
    cycle_of,
    enters,
    lately_come,
    run_from_start,
    setting_of,
    stable_ages,
)
from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.cluster_unknowns import Dice, Names, Unknowns
from lattermath.belief.level_drift import filtered
from lattermath.belief.life_history import LONE_FLIGHT, LifeHistory
from lattermath.belief.tempering import Sampled, learn_more, unlearnt
from lattermath.belief.treatment_kills import Application, kills_of
from lattermath.science.stage_cohorts import Run

if TYPE_CHECKING:
    from lattermath.belief.life_days import LifeDays

FloatArray = NDArray[np.float64]

N_PARTICLES = 512  # decision 0003


@dataclass(frozen=True, slots=True, eq=False)
class Past:
    """The cluster up to today, ready to be run for any unknowns."""

    life: LifeHistory
    names: Names
    first: int
    days: LifeDays
    rain: FloatArray
    seen: tuple[Seen, ...]
    applied: tuple[Application, ...]
    settle: FloatArray
    stable: FloatArray
    lately_come: FloatArray
    laying: FloatArray
    season: FloatArray | None
    worked: FloatArray | None
    pace: Mapping[str, FloatArray]

    @classmethod
    def of(
        cls,
        life: LifeHistory,
        names: Names,
        sky: ClusterSky,
        first: int,
        seen: Sequence[Seen],
        applied: tuple[Application, ...],
    ) -> Past:
        """The past of a sky up to its today; what was seen and done by day from `first`."""
        days = slice(first, sky.today + 1)
        low, high = sky.t_min[:1, days], sky.t_max[:1, days]
        settle = settling(names.stands, LONE_FLIGHT * life.figures.flight_m)
        return cls(
            life,
            names,
            first,
            life.days(low, high),
            sky.rain[0, days],
            tuple(seen),
            applied,
            settle,
            usual_ages(life, sky, first, first + min((one.day for one in seen), default=0)),
            lately_come(life),
            sky.still_lay(first, sky.today + 1),
            sky.season(first),
            sky.work_from(first),
            sky.pace_from(first, sky.today + 1),
        )

    def up_to(self, day: int) -> Past:
        """The same on the morning of a day from `first`, with what was seen up to its evening."""
        end = day + 1
        return replace(
            self,
            days=self.days.before(end),
            rain=self.rain[:end],
            seen=tuple(one for one in self.seen if one.day <= day),
            applied=tuple(one for one in self.applied if one.day < day),
            laying=self.laying[:end],
            pace={driver: speed[:end] for driver, speed in self.pace.items()},
        )

    def brought(self, unknowns: Unknowns) -> FloatArray:
        """Insects that each planting brings by class, (n_draws, n_plantings, n_classes)."""
        plants = np.array([stand.plants for stand in self.names.stands])
        count = (unknowns.level * plants)[..., None]
        settled = unknowns.settled[..., None]
        return np.asarray(count * (settled * self.stable + (1 - settled) * self.lately_come))

    def run(self, unknowns: Unknowns) -> Run:
        """Run these unknowns up to today."""
        n_days = self.days.passed.shape[1] - 1
        kills = kills_of(
            self.applied,
            unknowns.quantiles,
            self.life.stages,
            self.rain,
            len(self.names.stands),
            len(unknowns.field),
            self.pace,
        )
        cycle = cycle_of(self.life, self.days, unknowns, self.laying)
        setting = setting_of(
            self.names.stands, unknowns, self.settle, self.life, self.first, n_days + 1, cycle,
            self.season, self.worked,
        )  # fmt: skip
        enter = enters(self.names.stands, self.first)
        return run_from_start(cycle, setting, self.brought(unknowns), enter, kills, n_days)

    def log_likelihood(self, z: FloatArray) -> FloatArray:
        """Of what was seen before the last day of looks, and of what was seen on it.

        (n_particles, 2).
        """
        unknowns = self.names.meaning(z, self.life.figures.field_survival)
        sums, generation_days = self.run(unknowns).sums, self.life.generation_days
        gains = filtered(self.seen, sums, unknowns.detection, generation_days).gains
        days = [one.day for one in self.seen]
        before = len(days) - days.count(max(days))
        return np.column_stack([gains[:, :before].sum(1), gains[:, before:].sum(1)])


def usual_ages(life: LifeHistory, sky: ClusterSky, first: int, looked: int) -> FloatArray:
    """Shares by class of what has grown for a while in the weather before the first look."""
    days = slice(first, max(looked, first + 1))
    low, high = sky.t_min[0, days], sky.t_max[0, days]
    return stable_ages(life, float(low.mean()), float(high.mean()))


class Keeper(Protocol):
    """Where particles are kept by the day of the last look that they know of, a day of the sky."""

    def held(self, day: int) -> Sampled | None:
        """What was kept for that day on the same evidence; None for nothing."""

    def keep(self, day: int, learnt: Sampled) -> None:
        """Keep these."""


def learnt_of(past: Past, dice: Dice, keeper: Keeper | None) -> Sampled:
    """Particles that know of every look, learnt day by day as the looks were made.

    So one look more is learnt from what was known before it (iterated batch importance sampling,
    Chopin 2002, memory), and what comes out hangs on the record alone, not on what is kept.
    """
    days = sorted({one.day for one in past.seen if one.share.any()})
    name = f"cluster|{past.names.organism}|"
    for known in range(len(days), -1, -1):
        held = keeper.held(past.first + days[known - 1]) if keeper and known else None
        if held is not None:
            break
    learnt = held or unlearnt(past.names.throw(dice, N_PARTICLES))
    for day in days[known:]:
        moves = dice(f"{name}moves|{past.first + day}")
        learnt = learn_more(learnt, past.up_to(day).log_likelihood, moves, past.names.layout)
        if keeper:
            keeper.keep(past.first + day, learnt)
    return learnt
