"""The choice of treatments that is cheapest by some tangents: a small mixed-integer program."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from lattermath.planning.course_task import Candidate, Step, Task
from lattermath.planning.quiet_solver import without_its_words
from lattermath.planning.steps_allowed import allowed

FloatArray = NDArray[np.float64]
Tangent = tuple[frozenset[int], float, FloatArray]

MOST_NODES = 50  # judgement: of one program; counted, so that it is repeatable
FAR_APART_DAYS = 10  # judgement: uses farther apart than this are not asked about


@dataclass(frozen=True, slots=True)
class Choice:
    """One treatment of one place that may be chosen, and the logarithms of what it leaves by day.

    logs : day of the cycle and log share left, (n_draws, n_stages).
    cost : work beside what is once a visit, less what it saves besides. [portions]
    bars : what the pickings cost that it bars alone. [portions]
    """

    visit: int
    candidate: Candidate
    place: int
    logs: tuple[tuple[int, FloatArray], ...]
    cost: float
    bars: float


class _Rows:
    """Constraints as they come: coefficients by column, and the most that they sum to."""

    def __init__(self) -> None:
        self.at: list[tuple[int, int, float]] = []
        self.most: list[float] = []

    def add(self, row: Sequence[tuple[int, float]], most: float) -> None:
        self.at += [(len(self.most), column, value) for column, value in row]
        self.most.append(most)


def least_choice(
    task: Task,
    choices: Sequence[Choice],
    tangents: Sequence[Tangent],
    pairs: Sequence[tuple[int, int]],
) -> tuple[frozenset[int], float]:
    """The choices whose work and highest tangent are least together, and how low it can be.

    pairs : of choices that exclude each other (`kept_apart`).

    Columns: one a choice, one a mixing (candidate and visit), one a place for barred pickings, and
    the damage. [portions]
    """
    mixes = list(dict.fromkeys((one.candidate.key, one.visit) for one in choices))
    places = sorted({one.place for one in choices})
    n, n_mix = len(choices), len(mixes)
    mix_at = {mix: n + k for k, mix in enumerate(mixes)}
    bar_at = {place: n + n_mix + k for k, place in enumerate(places)}
    damage = n + n_mix + len(places)
    cost = np.zeros(damage + 1)
    cost[:n] = [one.cost for one in choices]
    cost[n + n_mix :] = 1.0
    rows = _Rows()
    for k, one in enumerate(choices):
        mix = mix_at[one.candidate.key, one.visit]
        cost[mix] = one.candidate.minutes_once * task.minute_costs
        rows.add([(k, 1.0), (mix, -1.0)], 0.0)
        if one.bars > 0:
            rows.add([(k, one.bars), (bar_at[one.place], -1.0)], 0.0)
    for pair in pairs:
        rows.add([(k, 1.0) for k in pair], 1.0)
    for most, ks in _uses(choices):
        rows.add([(k, 1.0) for k in ks], most)
    for chosen, height, slopes in tangents:
        line = [(k, float(slope)) for k, slope in enumerate(slopes) if slope]
        offset = height - float(slopes[sorted(chosen)].sum())
        rows.add([*line, (damage, -1.0)], -offset)
    whole = np.zeros(damage + 1, dtype=np.int64)
    whole[: n + n_mix] = 1
    upper = np.full(damage + 1, np.inf)
    upper[: n + n_mix] = 1
    found, bound = _solved(cost, whole, upper, rows)
    return frozenset(int(k) for k in np.flatnonzero(found[:n] > 0.5)), bound


def _solved(
    cost: FloatArray, whole: NDArray[np.int64], upper: FloatArray, rows: _Rows
) -> tuple[FloatArray, float]:
    """The cheapest values within the rows, and a cost that none is below; unsolved: nothing, 0."""
    # loaded where it is asked for: a plan from kept courses has no use for it
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    told = np.array(rows.at)
    at = told[:, 0].astype(int), told[:, 1].astype(int)
    table = coo_array((told[:, 2], at), shape=(len(rows.most), len(cost)))
    with without_its_words():
        solved = milp(
            cost,
            integrality=whole,
            bounds=Bounds(0, upper),
            constraints=LinearConstraint(table.tocsr(), -np.inf, np.array(rows.most)),
            options={"node_limit": MOST_NODES, "mip_rel_gap": 1e-3},
        )
    if solved.x is None:
        return np.zeros(len(cost)), 0.0
    return np.asarray(solved.x), float(solved.mip_dual_bound)


def _met(task: Task, choices: Sequence[Choice]) -> Iterator[tuple[int, int]]:
    """Two products on one planting in one evening that do not go together."""
    by: dict[tuple[int, int], list[int]] = {}
    for n, choice in enumerate(choices):
        if choice.candidate.product is not None:
            by.setdefault((choice.visit, choice.place), []).append(n)
    for pair in (pair for met in by.values() for pair in combinations(met, 2)):
        steps = [Step(c.visit, c.candidate, (c.place,)) for c in map(choices.__getitem__, pair)]
        if not allowed(task, steps):
            yield pair


def _uses(choices: Sequence[Choice]) -> Iterator[tuple[float, list[int]]]:
    """How often each thing may be done on each place by our own rule, where that binds."""
    by: dict[tuple[str, int], list[int]] = {}
    for n, one in enumerate(choices):
        by.setdefault((one.candidate.key, one.place), []).append(n)
    for same in by.values():
        most = choices[same[0]].candidate.most_uses
        if most < len(same):
            yield float(most), same


def kept_apart(task: Task, choices: Sequence[Choice]) -> Iterator[tuple[int, int]]:
    """Pairs on one place that the rulings or our spacing keep apart: uses of one thing, and two
    products of one evening."""
    yield from _met(task, choices)
    by: dict[tuple[str, int], list[int]] = {}
    for n, choice in enumerate(choices):
        by.setdefault((choice.candidate.key, choice.place), []).append(n)
    for same in by.values():
        for one, other in combinations(same, 2):
            first, second = choices[one], choices[other]
            days = task.visits[second.visit] - task.visits[first.visit]
            if days < first.candidate.least_gap_days:
                yield one, other
            if first.candidate.product is None or days > FAR_APART_DAYS:
                continue
            steps = [Step(c.visit, c.candidate, (c.place,)) for c in (first, second)]
            if not allowed(task, steps):
                yield one, other
