"""Treatments of leaves as they add up: colonies taken away, infections kept off, day by day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_disease_effect import LeafEffect
from lattermath.belief.treatment_effect import ROW_COVERAGE
from lattermath.science.leaf_disease import LeafWork, cover_over_days

FloatArray = NDArray[np.float64]

GROWTH = 0.02  # judgement: new leaf a day in late summer, as a share of the leaf there is
MOST_CURED = 0.98  # judgement: no treatment reaches every colony


@dataclass(frozen=True, slots=True)
class LeafApplication:
    """One treatment against the disease on one day. `reach` is the share of each surface wetted."""

    day: int
    effect: LeafEffect
    places: tuple[int, ...]
    reach: tuple[float, float]
    serial: int | None = None


def leaf_reach(effect: LeafEffect, surfaces: Sequence[str], coverage: float) -> tuple[float, float]:
    """Share of tops and undersides reached, relative to the coverage the figures mean."""
    if not effect.by_surface:
        return 1.0, 1.0
    part = coverage / ROW_COVERAGE
    whole = "whole" in surfaces
    return part * (whole or "top" in surfaces), part * (whole or "underside" in surfaces)


@dataclass(frozen=True, slots=True, eq=False)
class Covered:
    """What one treatment does, in every draw, by surface.

    cured : share of colonies collapsed, (n_draws, 2); back : share of the youngest infections
    undone; kept : share of infections kept off, from its day on, (n_days, n_draws, 2).
    """

    cured: FloatArray
    back: FloatArray | None
    kept: FloatArray


def covered(
    one: LeafApplication,
    quantiles: Mapping[str, FloatArray],
    rain: FloatArray,
    pace: Mapping[str, FloatArray],
) -> Covered:
    """One treatment in every draw, from its day to the last.

    quantiles : place of each method within its range, by draw. [0 to 1]
    """
    days = slice(one.day, rain.shape[-1])
    cured, cover = one.effect.draws(quantiles[one.effect.method])
    kept = cover_over_days(
        np.clip(cover * one.reach, 0, 1),
        one.effect.wear.left(one.effect.half_life_days, rain[..., days], one.day, pace),
        np.full(rain.shape[-1] - one.day, GROWTH),
    )
    return Covered(
        np.clip(cured * one.reach, 0, MOST_CURED),
        np.clip(cover * one.reach, 0, MOST_CURED) if one.effect.moves_in else None,
        kept.transpose(2, 0, 1),
    )


@dataclass(slots=True, eq=False)
class Work:
    """Treatments as they add up, by day, draw, planting and surface."""

    cure: FloatArray
    bare: FloatArray
    back: FloatArray | None

    @classmethod
    def on(cls, base: LeafWork) -> Work:
        """More on top of what is there."""
        back = None if base.back is None else base.back.copy()
        return cls(base.cure.copy(), 1 - base.cover, back)

    def add(self, day: int, places: Sequence[int], one: Covered) -> None:
        """One treatment more; several covers are independent shields."""
        stay, open_to = 1 - one.cured, 1 - one.kept
        for place in places:
            self.cure[day, :, place] = 1 - (1 - self.cure[day, :, place]) * stay
            self.bare[day:, :, place] *= open_to
            if one.back is not None:
                if self.back is None:
                    self.back = np.zeros_like(self.cure)
                self.back[day, :, place] = one.back

    def done(self) -> LeafWork:
        """The work as the model takes it."""
        return LeafWork(self.cure, 1 - self.bare, self.back)


def leaf_work(
    applications: Sequence[LeafApplication],
    quantiles: Mapping[str, FloatArray],
    rain: FloatArray,
    shape: tuple[int, int],
    pace: Mapping[str, FloatArray] | None = None,
) -> LeafWork:
    """Treatments as cure, cover and back-action by day.

    shape : (n_draws, n_plantings).
    """
    none = np.zeros((int(rain.shape[-1]), *shape, 2))
    work = Work.on(LeafWork(none, none))
    for one in applications:
        if 0 <= one.day < len(none):
            work.add(one.day, one.places, covered(one, quantiles, rain, pace or {}))
    return work.done()
