"""What is probably true today of one organism on the plantings that its adults connect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_past import Keeper, Past, learnt_of
from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_runs import (
    ClusterSky,
    coldest_ahead,
    cycle_of,
    enters,
    on_living_hosts,
    run_from_start,
    setting_of,
    standing_in,
)
from lattermath.belief.cluster_sightings import Seen
from lattermath.belief.cluster_unknowns import Dice, Names, Unknowns
from lattermath.belief.level_drift import (
    LEAVES_SD,
    STEP_DAYS,
    family_of,
    filtered,
    throw_drift,
    told_by_looks,
)
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_kills import Application, kills_of
from lattermath.belief.whole_insects import (
    at_shocks,
    whole_to_come,
    whole_today,
    with_frost,
    with_shocks,
)
from lattermath.science.stage_cohorts import Cycle, Kills, Run, Setting, run_cohorts

if TYPE_CHECKING:
    from lattermath.belief.tempering import Sampled

FloatArray = NDArray[np.float64]

LOOK_BACK_DAYS = 28  # judgement: about a generation before the first sighting


@dataclass(frozen=True, slots=True, eq=False)
class ClusterBelief:
    """One organism in every draw, from its first day to the end of the futures.

    Days of cycle, setting and sums count from `first_day`; `today` is counted so too.

    state    : insects by class this morning, (n_draws, n_plantings, n_classes).
    past     : insects by stage and day up to today, (n_draws, n_plantings, today + 1, n_stages).
    settle   : where adults that leave a planting settle, rows sum to 1.
    evidence : log of the probability of all sightings; weighs rival identities.
    steps    : tempering steps that the sightings took.
    coming   : what chance will multiply the numbers by, every third day from today,
               (n_draws, n_shocks, n_plantings, n_stages); 0 where frost has killed the planting.
    standing : whether frost has left each planting alive, (n_draws, n_days, n_plantings).
    coldest  : lowest temperature of leaves in the open from today on, (n_draws, n_days). [C]
    season   : adults that fly in beside those of their season, by day, (n_days,). [1]
    brought  : insects that each planting brings by class, (n_draws, n_plantings, n_classes).
    leafy    : leaves that it has beside those it is taken to have, (n_draws, n_plantings).
    """

    life: LifeHistory
    stands: tuple[Stand, ...]
    first_day: int
    today: int
    cycle: Cycle
    setting: Setting
    rain: FloatArray
    state: NDArray[np.float32]
    past: NDArray[np.float32]
    unknowns: Unknowns
    settle: FloatArray
    applied: tuple[Application, ...]
    evidence: float
    steps: int
    serials: tuple[int, ...]
    coming: NDArray[np.float32]
    standing: NDArray[np.bool_]
    coldest: FloatArray
    pace: Mapping[str, FloatArray] = field(default_factory=dict)
    season: FloatArray | None = None
    brought: FloatArray | None = None
    leafy: FloatArray | None = None

    @property
    def organism(self) -> str:
        """Organism id."""
        return self.life.figures.organism

    @property
    def n_draws(self) -> int:
        """Number of draws."""
        return int(self.state.shape[0])

    def per_leaf(self) -> FloatArray:
        """Insects a leaf today, by stage, (n_draws, n_plantings, n_stages).

        Where a planting has more leaves than is taken, more insects live on it, not more on a leaf.
        """
        today = self.first_day + self.today
        leaves = np.array([stand.leaves_on(today) for stand in self.stands])
        there = leaves[None] if self.leafy is None else leaves * self.leafy
        return np.asarray(self.past[:, :, -1] / there[..., None], dtype=np.float64)

    def per_plant(self) -> FloatArray:
        """Insects a plant today, by stage, (n_draws, n_plantings, n_stages)."""
        plants = np.array([stand.plants for stand in self.stands])
        return np.asarray(self.past[:, :, -1] / plants[:, None], dtype=np.float64)

    def kills(
        self, planned: Sequence[Application] = (), quantiles: Unknowns | None = None
    ) -> Kills:
        """Past treatments that still kill, and those planned, by day of the cycle."""
        known = self.unknowns if quantiles is None else quantiles
        return kills_of(
            [*self.applied, *planned],
            known.quantiles,
            self.life.stages,
            self.rain,
            len(self.stands),
            self.n_draws,
            self.pace,
        )

    def ahead(
        self,
        planned: Sequence[Application] = (),
        threads: int = 1,
        *,
        by_chance: bool = True,
        n_days: int | None = None,
    ) -> Run:
        """Run from this morning to the end of the futures with these treatments.

        by_chance : with what chance does to each planting week by week, which is the same whatever
                    is planned. Without it the means are the same, and courses are told apart with
                    less noise. What frost kills takes its insects with it either way.
        n_days    : days to run; None to the end.
        """
        kills = self.kills(planned)
        if by_chance:
            kills = with_shocks(kills, self.coming, self.today)
        else:
            kills = with_frost(kills, self.standing, self.today)
        return run_cohorts(
            self.cycle,
            self.setting,
            self.state,
            kills,
            first_day=self.today,
            n_days=n_days,
            threads=threads,
        )


def believe_cluster(
    life: LifeHistory,
    stands: Sequence[Stand],
    sky: ClusterSky,
    seen: Sequence[Seen],
    applied: Sequence[Application],
    methods: Sequence[str],
    dice: Dice,
    keeper: Keeper | None = None,
    outside: float = 1.0,
    look_back: int = LOOK_BACK_DAYS,
) -> ClusterBelief:
    """Weigh everything seen and done against the model, and run the draws up to this morning.

    seen, applied : with days of the sky; applications of methods not in `methods` are added to it.
    methods       : methods that may be used later, whose efficacy each draw fixes now.
    keeper        : what the sampling gave before on the same evidence; None: nothing is kept.
    outside       : adults that fly in, beside the usual; far fewer where it is not at home.
    look_back     : days before the first sighting from which on it is reckoned. [d]
    """
    if not seen:
        raise ValueError("a cluster is believed from its first sighting on")
    first = max(0, min(one.day for one in seen) - look_back)
    done = tuple(replace(one, day=one.day - first) for one in applied if one.day >= first)
    names = Names(
        life.figures.organism,
        tuple(stands),
        tuple(sorted({*methods, *(one.effect.method for one in done)})),
        life.figures.habits.start_per_plant,
        outside * life.figures.habits.arrivals_per_plant_day,
    )
    told = [replace(one, day=one.day - first) for one in seen]
    past = Past.of(life, names, sky, first, told, done)
    found = learnt_of(past, dice, keeper)
    return _forward(past, found, sky, first, dice)


def _forward(past: Past, found: Sampled, sky: ClusterSky, first: int, dice: Dice) -> ClusterBelief:
    """Pair the particles with the futures and bring them to this morning."""
    n_draws, life, stands = len(sky.future_of_draw), past.life, past.names.stands
    chosen = np.linspace(0, len(found.unknowns) - 1, n_draws).round().astype(int)
    unknowns = past.names.meaning(found.unknowns[chosen], life.figures.field_survival)
    weather = slice(first, None)
    days = life.days(sky.t_min[:, weather], sky.t_max[:, weather]).of_draws(sky.future_of_draw)
    low, high = (t[sky.future_of_draw, weather] for t in (sky.t_min, sky.t_max))
    cycle = cycle_of(life, days, unknowns, sky.still_lay(first, None))
    today = sky.today - first
    coldest = coldest_ahead(low, high, today)
    standing = standing_in(stands, coldest)
    setting = setting_of(
        stands, unknowns, past.settle, life, first, low.shape[1], cycle, past.season, past.worked
    )
    setting = on_living_hosts(setting, standing)
    rain, pace = sky.rain[:, weather], sky.pace_from(first)
    kills = kills_of(
        past.applied, unknowns.quantiles, life.stages, rain, len(stands), n_draws, pace
    )
    brought = past.brought(unknowns)
    run = run_from_start(cycle, setting, brought, enters(stands, first), kills, today)
    there, state, coming, leafy = _by_chance(past, unknowns, run, cycle, setting, kills, dice)
    return ClusterBelief(
        life,
        stands,
        first,
        today,
        cycle,
        setting,
        rain,
        state.astype(np.float32),
        there,
        unknowns,
        past.settle,
        past.applied,
        found.evidence,
        found.steps,
        tuple(sorted({one.serial for one in past.seen})),
        coming * at_shocks(standing, today, coming.shape[1])[..., None],
        standing,
        coldest,
        pace,
        past.season,
        brought,
        leafy,
    )


def _by_chance(
    past: Past,
    unknowns: Unknowns,
    run: Run,
    cycle: Cycle,
    setting: Setting,
    kills: Kills,
    dice: Dice,
) -> tuple[NDArray[np.float32], FloatArray, NDArray[np.float32], FloatArray]:
    """What chance has made of the even course by today, and will make of it.

    Gives insects by stage and day up to today, by class this morning, and what the numbers are
    multiplied by every third day from today, and its leaves; see `ClusterBelief`.
    """
    life, today = past.life, run.sums.shape[2] - 1
    keys = [stand.key for stand in past.names.stands]
    stage_of = life.layout.stage_of_class

    def throw(what: str) -> np.random.Generator:
        return dice(f"cluster|{past.names.organism}|{what}")

    even = run.sums[:, :, today].astype(np.float64)
    wandered = filtered(past.seen, run.sums, unknowns.detection, life.generation_days)
    by_plant = life.figures.habits.counted_by_plant
    drift = throw_drift(
        wandered,
        today,
        cycle.n_days - today,
        len(life.stages),
        keys,
        throw,
        life.generation_days,
        even.sum(-1),
        family_of(life.figures.best_eggs, life.generation_days),
        told_by_looks(wandered, today, life.generation_days),
        0.0 if by_plant else LEAVES_SD,
    )
    drift = replace(drift, today=drift.today * whole_today(even * drift.today, keys, throw))
    there = (run.sums * drift.of_past(today + 1)).astype(np.float32)
    state = run.final * drift.today[..., stage_of]

    def march(state: FloatArray, since: int, n_days: int) -> tuple[FloatArray, FloatArray]:
        ran = run_cohorts(
            cycle, setting, state, kills, first_day=today + since, n_days=n_days, threads=2
        )
        return ran.final, ran.sums[:, :, -1].astype(np.float64)

    stays = life.stays(STEP_DAYS)
    female = life.figures.female
    coming = whole_to_come(drift.coming, state, stays, march, stage_of, keys, throw, female)
    return there, state, coming, drift.leaves
