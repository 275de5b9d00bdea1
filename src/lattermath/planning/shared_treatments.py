"""What a treatment against one organism saves of another that lives on the same plantings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.treatment_effect import Effect
from lattermath.belief.treatment_kills import MOST_KILL, Application, reach_of
from lattermath.planning.common_draws import Priced, run_searched, searched
from lattermath.planning.course_task import Candidate, Step, Task, application, work_of

FloatArray = NDArray[np.float64]

LEAST_GAIN = 0.05  # portions; the gap that counts as none (design, joint search)
HOPE = 2.0  # standard errors of a gain on few draws; what stays below is not run on all
Saved = Mapping[tuple[str, int, int], float]  # by candidate, visit and place [portions]


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """What the insects of one cluster will cost from each visit on, under its course.

    at_stake : of the insects there at a visit if nothing more is done, by stage, mean over the
               draws, (n_visits, n_plantings, n_stages). [portions]
    damage   : of the whole course, mean over the draws. [portions]
    """

    task: Task
    steps: tuple[Step, ...]
    at_stake: FloatArray
    damage: float

    @property
    def cost(self) -> float:
        """Damage and work. [portions]"""
        return self.damage + work_of(self.task, self.steps)

    @classmethod
    def of(cls, task: Task, steps: Sequence[Step]) -> Prices:
        """The prices of a cluster under a course, on the draws that are searched."""
        belief, planned = task.belief, _planned(task, steps)
        priced = Priced.of(belief, task.stakes, planned, task.visits)
        run, value = priced.run, priced.values(task.visits)
        by_class = np.einsum("dvpc,dvpc->vpc", run.kept, value, dtype=np.float64) / len(value)
        stakes = task.stakes.some(searched(belief.n_draws))
        damage = float(stakes.lost(run.sums).sum(1).mean())
        stage = belief.life.layout.stage_of_class
        by_stage = by_class @ (stage[:, None] == np.arange(len(belief.life.stages)))
        return cls(task, tuple(steps), _within(by_stage, damage), damage)

    def saved(self, candidate: Candidate, effect: Effect) -> FloatArray:
        """Portions that a candidate saves of this organism, (n_visits, n_plantings).

        effect : of the candidate's method on it, taken at its typical figure.
        """
        life = self.task.belief.life
        reach = reach_of(effect, candidate.surfaces, candidate.coverage, life.figures)
        kill = effect.draws(life.stages, np.array([0.5]))[0] * reach
        return np.asarray(self.at_stake @ np.clip(kill, 0.0, MOST_KILL))


def _within(at_stake: FloatArray, damage: float) -> FloatArray:
    """The same, where together it is no more at any visit than the damage of the whole course.

    The value of an insect is of one more among few: its line of young, without crowding and without
    an end to what plants can lose. Of what breeds fast, all of them by that value come to many
    times what there is to lose.
    """
    together = at_stake.sum((1, 2), keepdims=True)
    most = np.minimum(1.0, damage / np.maximum(together, 1e-12))
    return np.asarray(at_stake * most, dtype=np.float64)


def damage_of(task: Task, steps: Sequence[Step], later: Sequence[Application] = ()) -> float:
    """Damage under a course, mean over the draws that are searched; later: done beside it, after
    its visits. [portions]"""
    return float(damages_of(task, steps, later).mean())


def damages_of(task: Task, steps: Sequence[Step], later: Sequence[Application] = ()) -> FloatArray:
    """Damage under a course in each draw that is searched, (at most 50,). [portions]"""
    stakes = task.stakes.some(searched(task.belief.n_draws))
    return np.asarray(stakes.lost(runs_in_few(task, steps, later)).sum(1), dtype=np.float64)


def runs_in_few(
    task: Task, steps: Sequence[Step], later: Sequence[Application] = ()
) -> NDArray[np.floating]:
    """Insects under a course in the draws that are searched, as `Stakes.lost` takes them."""
    planned = [*_planned(task, steps), *later]
    return run_searched(task.belief, planned, n_days=task.stakes.days).sums


def hopeful(gain: FloatArray) -> bool:
    """Whether a change may gain more than the least in the mean of all draws, by a few of them.

    gain : of the change in each draw that is searched, (at most 50,). [portions]
    """
    error = float(gain.std()) / float(np.sqrt(gain.size))
    return float(gain.mean()) + HOPE * error > LEAST_GAIN


def surely_above(gain: FloatArray, least: float) -> bool:
    """Whether a change as good as surely gains more than `least` in the mean of all draws, by a
    few of them.

    gain : of the change in each draw that is searched, (at most 50,). [portions]
    """
    error = float(gain.std()) / float(np.sqrt(gain.size))
    return float(gain.mean()) - HOPE * error > least


def _planned(task: Task, steps: Sequence[Step]) -> list[Application]:
    return [application(step, task.visits[step.visit], task.belief) for step in steps]


def bonus_for(
    task: Task, others: Sequence[tuple[Prices, Mapping[str, Effect]]]
) -> dict[tuple[str, int, int], float]:
    """What each candidate saves besides, of all other organisms on the same plantings.

    others : with the effects of the methods on each, by method.

    Nothing is treated before it is found: what lives unseen where it may not be treated for itself
    is no reason to treat there in another's name.
    """
    found: dict[tuple[str, int, int], float] = {}
    for prices, effects in others:
        where = prices.task.where
        places = {
            stand.key: n
            for n, stand in enumerate(prices.task.belief.stands)
            if where is None or n in where
        }
        shared = [
            (mine, places[stand.key])
            for mine, stand in enumerate(task.belief.stands)
            if stand.key in places
        ]
        for candidate in task.candidates:
            if candidate.method not in effects:
                continue
            saved = prices.saved(candidate, effects[candidate.method])
            for (mine, theirs), visit in ((p, v) for p in shared for v in range(len(task.visits))):
                key, more = (candidate.key, visit, mine), float(saved[visit, theirs])
                if more > 0.0:
                    found[key] = found.get(key, 0.0) + more
    return found


def promise(prices: Prices, bonus: Saved) -> float:
    """The most that one treatment more, or one less, seems to gain a cluster and its neighbours.

    Nobody asks the rulings here; it only orders what is searched again. [portions]
    """
    used = {(s.candidate.key, s.visit, place) for s in prices.steps for place in s.places}
    return max(
        (-net if key in used else net * (key in bonus) for net, key, _ in _nets(prices, bonus)),
        default=0.0,
    )


def additions(prices: Prices, bonus: Saved) -> list[Step]:
    """Single treatments that the course lacks, those first that seem to gain most together."""
    used = {(s.candidate.key, s.visit, place) for s in prices.steps for place in s.places}
    nets = [one for one in _nets(prices, bonus) if one[1] not in used and one[1] in bonus]
    nets.sort(key=lambda one: (-one[0], one[1]))
    return [Step(visit, candidate, (place,)) for _, (_, visit, place), candidate in nets]


def _nets(prices: Prices, bonus: Saved) -> Iterator[tuple[float, tuple[str, int, int], Candidate]]:
    """What each treatment seems worth beyond its work, to a cluster and its neighbours."""
    task = prices.task
    where = range(len(task.belief.stands)) if task.where is None else task.where
    for candidate in task.candidates:
        saved = prices.saved(candidate, candidate.effect)
        for place in sorted(where):
            if not task.belief.stands[place].treatable:
                continue
            work = candidate.minutes * task.belief.stands[place].area_m2 * task.minute_costs
            for visit in range(len(task.visits)):
                key = (candidate.key, visit, place)
                if key in task.taken:
                    continue
                net = float(saved[visit, place]) + bonus.get(key, 0.0) - work - candidate.hazard
                yield net, key, candidate
