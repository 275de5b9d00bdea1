"""What a treatment against one organism saves of another that lives on the same plantings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.treatment_effect import Effect
from lattermath.belief.treatment_kills import MOST_KILL, kills_of, reach_of
from lattermath.planning.common_draws import cycle_of, searched, setting_of
from lattermath.planning.course_search import Candidate, Step, Task, application
from lattermath.science.stage_cohorts import run_cohorts, value_of_insects

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """Insects that one cluster will have at each visit under its course, and what each costs.

    there : (n_draws, n_visits, n_plantings, n_classes).
    worth : of one insect of a class if nothing more is done, same shape. [portions]
    """

    task: Task
    there: FloatArray
    worth: FloatArray
    draws: NDArray[np.int64]

    @classmethod
    def of(cls, task: Task, steps: Sequence[Step]) -> Prices:
        """The prices of a cluster under the course found for it, on the draws that are searched."""
        belief = task.belief
        some = searched(belief.n_draws)
        cycle, setting = cycle_of(belief.cycle, some), setting_of(belief.setting, some)
        quantiles = {m: q[some] for m, q in belief.unknowns.quantiles.items()}
        planned = [application(step, task.visits[step.visit], belief) for step in steps]
        kills = kills_of(
            [*belief.applied, *planned], quantiles, belief.life.stages, belief.rain,
            len(belief.stands), len(some), belief.pace,
        )  # fmt: skip
        run = run_cohorts(
            cycle, setting, belief.state[some].astype(np.float64), kills,
            first_day=belief.today, keep_days=task.visits,
        )  # fmt: skip
        worth = value_of_insects(cycle, setting, task.worth, task.visits, len(some))
        return cls(task, run.kept.astype(np.float64), worth.astype(np.float64), some)

    def saved(self, candidate: Candidate, effect: Effect) -> dict[tuple[int, str], float]:
        """Portions that a candidate saves of this organism, by visit and planting key.

        effect : of the candidate's method on this organism.
        """
        belief = self.task.belief
        life = belief.life
        reach = reach_of(effect, candidate.surfaces, candidate.coverage, life.figures)
        uniform = belief.unknowns.quantiles[candidate.method][self.draws]
        kill = np.clip(effect.draws(life.stages, uniform) * reach, 0.0, MOST_KILL)
        by_class = kill[:, None, None, life.layout.stage_of_class]
        saved = (self.there * by_class * self.worth).sum(3).mean(0)
        return {
            (visit, stand.key): float(saved[visit, place])
            for visit in range(len(self.task.visits))
            for place, stand in enumerate(belief.stands)
        }


def bonus_for(
    task: Task, others: Sequence[tuple[Prices, Mapping[str, Effect]]]
) -> dict[tuple[str, int, int], float]:
    """What each candidate saves besides, of all other organisms on the same plantings.

    others : with the effects of the methods on each, by method.
    """
    found: dict[tuple[str, int, int], float] = {}
    for prices, effects in others:
        for candidate in task.candidates:
            effect = effects.get(candidate.method)
            if effect is None or candidate.method not in prices.task.belief.unknowns.quantiles:
                continue
            saved = prices.saved(candidate, effect)
            for place, stand in enumerate(task.belief.stands):
                for visit in range(len(task.visits)):
                    more = saved.get((visit, stand.key), 0.0)
                    key = (candidate.key, visit, place)
                    if more > 0.0:
                        found[key] = found.get(key, 0.0) + more
    return found
