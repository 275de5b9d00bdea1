"""How a look is best done: every leaf counted, stopped on the way, or only some or none told.

A look whose count decides between two things is a test of few against many. Four ways to do it are
weighed alike (decision 0052): all ten leaves counted; stopped at the total of many, or at none on
the first few; Wald's stop lines, closed at the tenth leaf; and leaves that have any counted instead
of insects. Each has its chance of ending with many in every draw, so the costs of what is then done
give its worth, and the leaves turned and insects counted its minutes. No way is credited with more
than ten counted leaves tell: what it saves is minutes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.coming_look import ComingLook
from lattermath.belief.count_likelihood import LOOK_SD, clumping
from lattermath.planning.ten_leaves import LEAVES
from lattermath.science.closed_counts import (
    ClosedCount,
    Ends,
    closed_at,
    closed_infested,
    closed_lines,
    count_ends,
    infested_ends,
)
from lattermath.science.counting import leaves_for_precision, precision_of
from lattermath.science.sequential_counts import stop_lines
from lattermath.science.value_of_looking import worth_of_sample

FloatArray = NDArray[np.float64]
Kind = Literal["all", "stopped", "lines", "some"]

# Judgement: getting there and writing down, a leaf turned and searched, an insect counted. [min]
MINUTES_THERE, MINUTES_A_LEAF, MINUTES_AN_INSECT = 2.0, 0.12, 0.02
# Judgement: the test parts half the number at which the grower turns from twice it, each wrong in
# one case in ten as far as the lines are concerned.
APART, NOMINAL = 2.0, 0.1
MEANS = 12  # at which ways are followed; between them the ends are read off
COUNTS_ON = 370  # judgement: then one gives up
PRECISE = 0.25  # usual in scouting: a standard error of a quarter of the mean
LEAST_KEPT = 0.8  # judgement: a way that decides less of it than that is no way to decide it
MOST_WORSE = 0.1  # judgement: of wrong calls beyond those of ten leaves counted out
LEAST_GAIN = 0.25  # judgement: for less than that nobody learns another way to look. [min]


@dataclass(frozen=True, slots=True)
class Way:
    """One way to do a look, and what it really does.

    few, many               : stops after leaf 1, 2 ..., as of `ClosedCount`.
    few_wrong, many_wrong   : chance to end with many at half the number, with few at twice it.
    few_leaves, many_leaves : leaves turned there on average; counted out, all of them.
    worth, takes            : of what is decided by it, and the look itself. [min]
    """

    kind: Kind
    few: tuple[int, ...]
    many: tuple[int, ...]
    few_wrong: float
    many_wrong: float
    few_leaves: float
    many_leaves: float
    worth: float
    takes: float

    @property
    def gains(self) -> float:
        """What it is worth beyond its own minutes. [min]"""
        return self.worth - self.takes


def ways_to_look(
    look: ComingLook, turns_at: int, none_on: int | None, costs: FloatArray, minute_cost: float
) -> tuple[Way, ...]:
    """The ways to do a look at ten leaves, the best first.

    turns_at    : total on ten from which something else is done.
    none_on     : leaves after which, none found, it hardly comes to that.
    costs       : of each choice in each draw, (n_draws, n_choices). [portions]
    minute_cost : of the grower's work. [portions/min]
    """
    means = look.expected / LEAVES
    at = turns_at / LEAVES
    ways: list[Way] = []
    for kind, closed in _closed(turns_at, none_on):
        ends = _ends(kind, closed, means)
        worth = worth_of_sample(costs, np.stack([1 - ends.many, ends.many], axis=1)).worth
        tells = worth / minute_cost
        half, twice = (_ends(kind, closed, np.array([m])) for m in (at / APART, at * APART))
        few, many = (LEAVES if kind == "all" else float(e.leaves[0]) for e in (half, twice))
        ways.append(
            Way(
                kind,
                closed.few,
                closed.many,
                float(half.many[0]),
                1.0 - float(twice.many[0]),
                few,
                many,
                min(tells, ways[0].worth) if ways else tells,  # the law of clumping is a round one
                _minutes(kind, ends, means),
            )
        )
    return _the_best(ways)


def _the_best(ways: list[Way]) -> tuple[Way, ...]:
    """One of each kind, the best first; the simpler stays where another gains next to nothing.

    What calls few or many wrong much oftener than counting out is never shown to anybody, whatever
    it is worth in the draws: where hardly any draw has many, missing them costs next to nothing.
    """
    least = LEAST_KEPT * max(way.worth for way in ways)
    best: dict[Kind, Way] = {}
    for way in (way for way in ways if _as_sure(way, ways[0])):
        held = best.get(way.kind)
        if held is None or _better(way, held, least, 0.0):
            best[way.kind] = way
    told = list(best.values())
    first = told[0]
    for way in told[1:]:
        if _better(way, first, least, LEAST_GAIN):
            first = way
    return (first, *(way for way in told if way is not first))


def _as_sure(way: Way, counted: Way) -> bool:
    """Whether a way calls neither few nor many wrong much oftener than ten leaves counted out."""
    return (
        way.few_wrong <= counted.few_wrong + MOST_WORSE
        and way.many_wrong <= counted.many_wrong + MOST_WORSE
    )


def _better(way: Way, held: Way, least: float, by: float) -> bool:
    """Whether a way gains more than another by so much; who decides too little never does."""
    if (way.worth >= least) != (held.worth >= least):
        return way.worth >= least
    return way.gains > held.gains + by


def _closed(turns_at: int, none_on: int | None) -> Iterator[tuple[Kind, ClosedCount]]:
    """Every way with its stops; what is simplest comes first."""
    counted = closed_at(turns_at, LEAVES)
    yield "all", counted
    yield "stopped", closed_at(turns_at, LEAVES, none_on)
    at = turns_at / LEAVES
    lines = stop_lines(at / APART, at * APART, float(clumping(at)), NOMINAL, NOMINAL)
    wald = closed_lines(lines, turns_at, LEAVES)
    if wald != counted:  # so few that the lines never end it before the tenth leaf
        yield "lines", wald
    for leaves in range(1, LEAVES + 1):
        yield "some", closed_infested(leaves, LEAVES)


def _ends(kind: Kind, closed: ClosedCount, means: FloatArray) -> Ends:
    """How a way ends at each mean; followed at a few of them, and read off between."""
    grid = means
    if len(means) > MEANS:
        ends = np.log(np.maximum([means.min(), means.max()], 1e-3))
        grid = np.exp(np.linspace(ends[0], ends[1], MEANS))
    follow = infested_ends if kind == "some" else count_ends
    told = follow(closed, grid, clumping(grid), LOOK_SD)
    if grid is means:
        return told
    x, at = np.log(grid), np.log(np.maximum(means, grid[0]))
    leaves, counted = (np.interp(at, x, one) for one in (told.leaves, told.counted))
    odds = np.log(np.clip(told.many, 1e-9, None) / np.clip(1 - told.many, 1e-9, None))
    many = 1 / (1 + np.exp(-np.interp(at, x, odds)))  # straight by log odds: chances bend
    return Ends(np.asarray(many), leaves, counted)


def _minutes(kind: Kind, ends: Ends, means: FloatArray) -> float:
    """What a way takes on average: leaves turned, and insects counted where they are."""
    if kind == "all":
        counted = float(np.minimum(means * LEAVES, COUNTS_ON).mean())
        return MINUTES_THERE + MINUTES_A_LEAF * LEAVES + MINUTES_AN_INSECT * counted
    counted = 0.0 if kind == "some" else float(ends.counted.mean())
    return MINUTES_THERE + MINUTES_A_LEAF * float(ends.leaves.mean()) + MINUTES_AN_INSECT * counted


def precision_at(mean: float) -> tuple[float, float]:
    """Standard error / mean of ten leaves, and the leaves that a quarter of it would take.

    mean : seen a leaf. Green's fixed precision, with the clumping of that mean.
    """
    k = float(clumping(mean))
    return precision_of(LEAVES, mean, k), leaves_for_precision(mean, PRECISE, k)


def enough(leaves: int) -> int:
    """Total on so many leaves at which more leaves hardly tell the mean better.

    Green's stop at the precision of the look itself: what leaves differ by is then no more than
    what one look has wrong in common, which no further leaf takes away.
    """
    low, high = 1, 10
    while precision_of(leaves, high / leaves, float(clumping(high / leaves))) > LOOK_SD:
        low, high = high, high * 2
    while high - low > 1:
        middle = (low + high) // 2
        over = precision_of(leaves, middle / leaves, float(clumping(middle / leaves))) > LOOK_SD
        low, high = (middle, high) if over else (low, middle)
    return high
