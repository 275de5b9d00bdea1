"""How much less than a course any course could cost: a second method, by cutting planes.

Each treatment multiplies what lives by the share it leaves. So without crowding, and with feeding
priced by the day, damage is a sum of products of such shares, which is convex in the logarithm of
each: it lies above its tangent at every course. The least of tangents plus work, over all choices
of treatments that the rulings allow by themselves and in pairs, is a bound; the choice that gives
it is run, its tangent added, and so on (outer approximation; Kelley 1960, Duran and Grossmann 1986,
from memory). What crowding takes is set at its most, as if nothing were done, and a loss that grows
ever more slowly is priced by its chord between what feeds where nothing and where everything is
done: both only lower the bound.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.treatment_kills import Application, days_of, kills_of
from lattermath.belief.whole_insects import with_frost
from lattermath.planning.common_draws import Priced, on_few
from lattermath.planning.course_task import Step, Task, application, work_of, work_on
from lattermath.planning.least_choice import Choice, kept_apart, least_choice
from lattermath.planning.near_courses import in_order
from lattermath.planning.shared_treatments import LEAST_GAIN, damage_of
from lattermath.planning.steps_allowed import allowed
from lattermath.science.stage_cohorts import Kills, Run, Setting, run_cohorts, value_of_insects

if TYPE_CHECKING:
    from lattermath.belief.clusters import ClusterBelief

FloatArray = NDArray[np.float64]
Course = tuple[Step, ...]

ROUNDS = 3  # judgement: tangents beside those of the course found and of nothing
NONE = 1e-9
MOST_KILL = 0.999  # so that a logarithm is there


@dataclass(frozen=True, slots=True)
class Bound:
    """What was reached, and what no allowed course can go below, on the draws that are searched.

    reached : damage, work and barred pickings of the course. [portions]
    least   : the bound. [portions]
    nothing : damage if nothing is done. [portions]
    best    : the cheapest course met, and what it costs.
    runs    : courses run.
    """

    reached: float
    least: float
    nothing: float
    best: tuple[Course, float]
    runs: int

    @property
    def gap(self) -> float:
        """By how much the course may miss the best, as a share of what could at most be saved.

        A twentieth of a portion is no gap (the design).
        """
        short = self.reached - self.least
        if short <= LEAST_GAIN:
            return 0.0
        return float(np.clip(short / max(self.nothing - self.least, NONE), 0, 1))


@dataclass(slots=True)
class Even:
    """The cluster without crowding, priced by the day: what is convex in the choices."""

    task: Task  # on the draws that are searched
    setting: Setting
    prices: FloatArray
    choices: list[Choice]
    days: tuple[int, ...]
    beside: float = 0.0  # what is lost beside the prices
    runs: int = 0
    met: dict[frozenset[int], tuple[float, FloatArray]] = field(default_factory=dict)

    @classmethod
    def of(cls, task: Task) -> Even:
        """A task so; its insects priced between where nothing and where everything is done."""
        few = on_few(task)
        priced = Priced.of(few.belief, few.stakes)
        choices = list(_every_choice(few))
        days = sorted({day for one in choices for day, _ in one.logs})
        even = cls(few, _uncrowded(few.belief, priced), priced.prices, choices, tuple(days))
        if choices:
            run, _ = even._run(frozenset(range(len(choices))))
            most = priced.run.sums
            told, beside = few.stakes.chords(
                most, np.minimum(run.sums[:, :, : most.shape[2]], most)
            )
            even.prices = np.zeros_like(priced.prices)
            even.prices[:, :, few.belief.today :][:, :, : told.shape[2]] = told
            even.beside, even.runs = float(beside.mean()), 1
        return even

    def tangent(self, chosen: frozenset[int]) -> tuple[float, FloatArray]:
        """Damage with these treatments, and by how much each changes it, (n_choices,)."""
        if chosen not in self.met:
            self.met[chosen] = self._tangent(chosen)
            self.runs += 1
        return self.met[chosen]

    def _run(self, chosen: frozenset[int]) -> tuple[Run, Kills]:
        belief = self.task.belief
        planned = [self._application(self.choices[n]) for n in sorted(chosen)]
        kills = kills_of(
            [*belief.applied, *planned], belief.unknowns.quantiles, belief.life.stages,
            belief.rain, len(belief.stands), belief.n_draws, belief.pace,
        )  # fmt: skip
        kills = with_frost(kills, belief.standing, belief.today)
        state = belief.state.astype(np.float64)
        last = belief.today + self.task.stakes.days
        run = run_cohorts(
            belief.cycle, self.setting, state, kills, first_day=belief.today,
            n_days=max([last, *self.days]) - belief.today, keep_days=self.days, threads=2,
        )  # fmt: skip
        return run, kills

    def _tangent(self, chosen: frozenset[int]) -> tuple[float, FloatArray]:
        belief, (run, kills) = self.task.belief, self._run(chosen)
        priced = self.prices[:, :, belief.today : belief.today + run.sums.shape[2]]
        cost = np.einsum("dpts,dpts->", run.sums[:, :, 1:], priced[:, :, 1:], dtype=np.float64)
        value = value_of_insects(
            belief.cycle, self.setting, self.prices, self.days, belief.n_draws, 2, kills
        )
        slopes = self._slopes(run.kept.astype(np.float64) * value, kills.event_of_day, kills.left)
        return self.beside + float(cost) / belief.n_draws, slopes

    def _slopes(
        self, worth: FloatArray, event_of_day: NDArray[np.int64], left: NDArray[np.float32]
    ) -> FloatArray:
        """worth : what lives times what one costs, before the treatment of each kept day,
        (n_draws, n_days, n_plantings, n_classes)."""
        stage_of = self.task.belief.life.layout.stage_of_class
        at = {day: n for n, day in enumerate(self.days)}
        n_stages = len(self.task.belief.life.stages)
        by_stage = worth @ (stage_of[:, None] == np.arange(n_stages))
        for day, n in at.items():
            if event_of_day[day] >= 0:
                by_stage[:, n] = by_stage[:, n] * left[:, event_of_day[day]]
        return np.array([
            sum(float((by_stage[:, at[day], one.place] * logs).sum(1).mean())
                for day, logs in one.logs)
            for one in self.choices
        ])  # fmt: skip

    def _application(self, one: Choice) -> Application:
        step = Step(one.visit, one.candidate, (one.place,))
        return application(step, self.task.visits[one.visit], self.task.belief)

    def steps(self, chosen: frozenset[int]) -> Course:
        """The choices as a course."""
        by: dict[tuple[int, str], list[int]] = {}
        for n in sorted(chosen):
            by.setdefault((self.choices[n].visit, self.choices[n].candidate.key), []).append(n)
        return in_order([
            Step(visit, self.choices[ns[0]].candidate, tuple(self.choices[n].place for n in ns))
            for (visit, _), ns in by.items()
        ])  # fmt: skip

    def chosen(self, course: Course) -> frozenset[int]:
        """The choices that a course makes."""
        made = {(s.visit, s.candidate.key, place) for s in course for place in s.places}
        return frozenset(
            n for n, one in enumerate(self.choices)
            if (one.visit, one.candidate.key, one.place) in made
        )  # fmt: skip


def bounded(task: Task, course: Course, rounds: int = ROUNDS) -> Bound:
    """What no allowed course can cost less than, and the cheapest met on the way.

    course : what another search found.
    """
    even = Even.of(task)
    nothing, reached = damage_of(task, ()), _cost(task, course)
    best, cheapest = (course, reached) if reached <= nothing else ((), nothing)
    if not even.choices:
        return Bound(reached, nothing, nothing, (best, cheapest), 0)
    cuts = dict.fromkeys([frozenset[int](), even.chosen(course)])
    pairs, least = list(kept_apart(even.task, even.choices)), 0.0
    for n in range(rounds + 1):
        tangents = [(chosen, *even.tangent(chosen)) for chosen in cuts]
        found, low = least_choice(even.task, even.choices, tangents, pairs)
        least = max(least, low)
        steps = even.steps(found)
        if allowed(task, steps) and (cost := _cost(task, steps)) < cheapest - NONE:
            best, cheapest = steps, cost
        if found in cuts or n == rounds:
            break
        cuts[found] = None
    return Bound(reached, min(least, cheapest), nothing, (best, cheapest), even.runs)


def _cost(task: Task, course: Course) -> float:
    return damage_of(task, course) + work_of(task, course) - task.saved_besides(course)


def _every_choice(task: Task) -> Sequence[Choice]:
    """Every treatment that the rulings allow by itself."""
    belief, found = task.belief, []
    where = range(len(belief.stands)) if task.where is None else sorted(task.where)
    for visit, day in enumerate(task.visits):
        for candidate in task.candidates:
            for place in where:
                step = Step(visit, candidate, (place,))
                if not belief.stands[place].treatable or not allowed(task, (step,)):
                    continue
                one = application(step, day, belief)
                quantiles = belief.unknowns.quantiles
                kills = days_of(one, quantiles, belief.life.stages, belief.rain, belief.pace)
                logs = tuple(
                    (when, np.log1p(-np.clip(kill, 0, MOST_KILL)))
                    for when, kill in kills if when < belief.cycle.n_days
                )  # fmt: skip
                own = work_on(task, candidate, (place,))
                cost = own - task.besides(candidate, visit, (place,))
                found.append(Choice(visit, candidate, place, logs, cost, task.lost_picks((step,))))
    return found


def _uncrowded(belief: ClusterBelief, nothing: Priced) -> Setting:
    """The same without crowding, its laying as low as where nothing is done."""
    setting = belief.setting
    if not setting.room.size:
        return setting
    young = nothing.run.sums[:, :, :, :-1].sum(3).transpose(0, 2, 1)  # (n_draws, n_days, n_p)
    share = setting.room / (setting.room + young)
    days = slice(belief.today, belief.today + share.shape[1])
    host = np.array(np.broadcast_to(setting.host, (len(share), *setting.host.shape[1:])))
    host[:, days] *= share[:, : host[:, days].shape[1]]
    return replace(setting, host=host.astype(np.float32), room=np.zeros(0))
