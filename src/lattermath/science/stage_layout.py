"""How the life of an organism is laid out in classes, and the clock that moves them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

MOST_CLASSES = 64
PLACING = 1.0 / 6.0  # mean of x (1 - x) for x spread evenly from 0 to 1: the variance of placing


@dataclass(frozen=True, slots=True)
class Part:
    """One delay of a life: a stage, or a piece of one (young adults, laying adults).

    name    : stage it is counted under.
    classes : boxcars of the delay, the waiting class not counted.
    cv      : coefficient of variation of the time spent in it. [1]
    lays    : eggs laid, relative to the full rate, by insects of this part. [1]
    flies   : flight of this part, relative to the day's full share; 0 for parts that stay. [1]
    by_age  : eggs laid in each boxcar, relative to the part's; their mean is 1. Empty: alike. [1]
    """

    name: str
    classes: int
    cv: float
    lays: float = 0.0
    flies: float = 0.0
    by_age: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Classes of one organism, in order of life. Arrays by part are (n_parts,).

    Who waits for the first push of a part lays as in its first boxcar: the two together last one
    boxcar on the mean, so that a life's eggs are as many however they lie in it.

    stages       : names counted and reported, (n_stages,).
    stage_of     : index of the stage of each part.
    classes      : boxcars of each part, without its waiting class.
    moved        : fraction moved at each push, F.
    first        : first class of each part and the total at the end, (n_parts + 1,).
    lays         : relative laying of each class, (n_classes,).
    flies        : relative flight of each part.
    """

    stages: tuple[str, ...]
    stage_of: IntArray
    classes: IntArray
    moved: FloatArray
    first: IntArray
    lays: FloatArray
    flies: FloatArray

    @property
    def n_parts(self) -> int:
        """Number of delays in the chain."""
        return len(self.classes)

    @property
    def n_classes(self) -> int:
        """Number of classes of the state, waiting classes included."""
        return int(self.first[-1])

    @property
    def n_stages(self) -> int:
        """Number of stages that are reported."""
        return len(self.stages)

    @property
    def first_flying(self) -> int:
        """First part that flies, or the number of parts where none does."""
        return int(np.flatnonzero(np.append(self.flies, 1.0) > 0)[0])

    @property
    def stage_of_class(self) -> IntArray:
        """Stage index of every class, shape (n_classes,)."""
        return np.repeat(self.stage_of, np.diff(self.first))

    def by_stage(self, state: NDArray[np.floating]) -> FloatArray:
        """Sum a state (..., n_classes) to stages (..., n_stages)."""
        member = np.eye(self.n_stages)[self.stage_of_class]
        return np.asarray(state, dtype=np.float64) @ member


def push_fraction(classes: int, cv: float) -> float:
    """Fraction moved at each push, so that a delay of `classes` boxcars has the given cv. [1]

        F = 1 - N cv^2 + 1 / (6 N)

    A boxcar train moved by fraction F whenever F / N of the delay has passed has a variance of
    (1 - F) / N. Newcomers find the train part-way to its next push and are placed between two
    boxcars so that their mean is right; that placing adds 1/6 of a squared boxcar, which is taken
    off again here.

    Source: fractional boxcar train (Goudriaan 1986, form from memory); the placing is our own.
    Checked: tests/science/test_stage_cohorts.py, against the gamma distribution.
    """
    if classes < 1:
        raise ValueError("a delay needs at least one class")
    fraction = 1.0 - classes * cv**2 + PLACING / classes
    if fraction <= 0:
        raise ValueError(f"{classes} classes are too many for a cv of {cv:g}: use fewer")
    return min(fraction, 1.0)


def boxcars_for(cv: float, pushes: float = np.inf) -> int:
    """Boxcars that give a smooth delay of the given cv: about half moves at each push.

    pushes : more than so many in the delay serve nothing, and more is moved at each.

    Judgement: fewer make a delay arrive in lumps of more than a day, more cost time for nothing.
    """
    half = int(np.clip(round(0.5 / cv**2), 2, 36))
    fine = (n for n in range(half, 2, -1) if n / push_fraction(n, cv) <= pushes)
    return next(fine, 2)


def lay_out(parts: Sequence[Part]) -> Layout:
    """Classes for a chain of delays; each part has one waiting class before its boxcars.

    Raises ValueError for an empty chain, for more than 64 classes, when a part that does not fly
    follows one that does, or where laying by age has not one figure for each boxcar.
    """
    if not parts:
        raise ValueError("a life needs at least one part")
    stages = tuple(dict.fromkeys(part.name for part in parts))
    widths = [part.classes + 1 for part in parts]
    first = np.concatenate([[0], np.cumsum(widths)]).astype(np.int64)
    if first[-1] > MOST_CLASSES:
        raise ValueError(f"{first[-1]} classes; an organism has at most {MOST_CLASSES}")
    if any(part.by_age and len(part.by_age) != part.classes for part in parts):
        raise ValueError("laying by age wants one figure for each boxcar")
    flying = [part.flies > 0 for part in parts]
    if flying != sorted(flying):
        raise ValueError("once adult, always adult: parts that fly come last")
    return Layout(
        stages,
        np.array([stages.index(part.name) for part in parts], dtype=np.int64),
        np.array([part.classes for part in parts], dtype=np.int64),
        np.array([push_fraction(part.classes, part.cv) for part in parts]),
        first,
        np.concatenate([_laying_of(part) for part in parts]),
        np.array([part.flies for part in parts], dtype=np.float64),
    )


def _laying_of(part: Part) -> FloatArray:
    """Relative laying of the classes of a part, the waiting class first."""
    boxes = np.array(part.by_age or [1.0] * part.classes)
    return np.asarray(part.lays * np.append(boxes[0], boxes))


def whole_life_classes(shares: Sequence[float], boxcars: int) -> list[int]:
    """Boxcars for each share of a life, about `boxcars` in all and never fewer than two."""
    return [max(2, round(boxcars * share)) for share in shares]


def opening_phase(layout: Layout) -> FloatArray:
    """Part of a push already passed when the clocks start, in boxcars, shape (n_parts,).

    Each clock starts ahead of the one before it by the phase at which placing adds just the
    variance that `push_fraction` takes off, so that like parts in step keep their spread too.
    """
    ahead = (2 - layout.moved - np.sqrt((2 - layout.moved) ** 2 - 4 * PLACING)) / 2
    return np.asarray(np.cumsum(ahead) % layout.moved)


def just_entered(layout: Layout, stage: str, count: float) -> FloatArray:
    """State of insects that enter a stage as the clocks start, shape (n_classes,)."""
    part = int(np.flatnonzero(layout.stage_of == layout.stages.index(stage))[0])
    state = np.zeros(layout.n_classes)
    start = int(layout.first[part])
    waiting = float(opening_phase(layout)[part])  # owed to them, so that nobody gains a part push
    state[start], state[start + 1] = count * waiting, count * (1 - waiting)
    return state


def spread_evenly(layout: Layout, counts: Sequence[float]) -> FloatArray:
    """State with each stage's insects spread evenly over its boxcars. (n_classes,)

    counts : insects of each stage, shape (n_stages,).
    """
    state = np.zeros(layout.n_classes)
    for stage, count in enumerate(counts):
        parts = np.flatnonzero(layout.stage_of == stage)
        boxes = np.concatenate(
            [np.arange(layout.first[part] + 1, layout.first[part + 1]) for part in parts]
        )
        state[boxes] = count / len(boxes)
    return state
