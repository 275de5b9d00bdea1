"""What insects soil of the coming pickings of their plantings, with their course and without."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.spoiled_pickings import ON_THE_PLANT_D, soiled_and_thrown
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.organisms import Spoils
from lattermath.planning.course_task import Found
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.span import Span
from lattermath.vocabulary.spoiled import Spoiled

FloatArray = NDArray[np.float64]

COMING_DAYS = 28  # judgement: as far ahead as its numbers are worth telling
OF_PICKED = "share of what is picked"


def spoiled_of(
    facts: SeasonFacts, belief: ClusterBelief, stakes: Stakes, found: Found
) -> tuple[Spoiled, ...]:
    """Every own planting that is picked in the coming weeks and of which the table says something.

    stakes : what each planting gives, by day.
    found  : the course, beside what would live there if nothing at all were done.
    """
    return tuple(_spoiled(facts, belief, stakes, found))


def _spoiled(
    facts: SeasonFacts, belief: ClusterBelief, stakes: Stakes, found: Found
) -> Iterator[Spoiled]:
    for place, stand in enumerate(belief.stands):
        row = facts.tables.produce.get(stand.crop)
        eaten = "" if row is None else row.words("eaten")
        spoils = belief.life.figures.habits.spoils(eaten) if eaten in ON_THE_PLANT_D else None
        picked = _picked(belief, stakes, place)
        if spoils is None or not stand.treatable or not picked.any():
            continue
        with_it, left = (
            soiled_and_thrown(_fed(belief, place, run, picked.shape[1]), picked, eaten, spoils)
            for run in (found.with_it, found.without)
        )
        last = facts.today + timedelta(days=picked.shape[1] - 1)
        yield Spoiled(
            stand.key, last, spoils.by, spoils.remedy,
            _span(with_it[0]), _span(with_it[1]), _span(left[0]), _span(left[1]),
            spoils.counted, _rests_on(stand.crop, spoils),
        )  # fmt: skip


def _picked(belief: ClusterBelief, stakes: Stakes, place: int) -> FloatArray:
    """Worth of what each of the coming days gives, 0 where frost has killed the planting."""
    bearing = stakes.bearing[place, :COMING_DAYS]
    alive = belief.standing[:, belief.today :, place][:, : len(bearing)]
    return np.asarray(bearing * alive, dtype=np.float64)


def _fed(belief: ClusterBelief, place: int, run: NDArray[np.floating], n_days: int) -> FloatArray:
    """Feeding days on a square centimetre of leaf, day by day, (n_draws, n_past + n_days)."""
    stand = belief.stands[place]
    appetite = belief.life.figures.appetites
    counts = (belief.past[:, place, :-1] @ appetite, run[:, place, :n_days] @ appetite)
    return np.concatenate(counts, axis=1) / stand.leaf_area_cm2


def _span(share: FloatArray) -> Span:
    low, middle, high = (float(q) for q in np.quantile(share, [0.1, 0.5, 0.9]))
    return Span(low, middle, high, OF_PICKED)


def _rests_on(crop: str, spoils: Spoils) -> tuple[str, ...]:
    figures = (spoils.soils, spoils.discards)
    cells = (f"table:{figure.address}" for figure in figures if figure is not None)
    return (*cells, f"table:produce/{crop}/eaten")
