"""What plantings have to lose to the insects of a cluster: growth, and what is thrown away."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.spoiled_pickings import ON_THE_PLANT_D, in_draws
from lattermath.planning.stakes import Stakes
from lattermath.planning.thrown_away import Thrown, fit_after

if TYPE_CHECKING:
    from lattermath.belief.cluster_plantings import Stand
    from lattermath.belief.clusters import ClusterBelief
    from lattermath.knowledge.organisms import Habits
    from lattermath.knowledge.tables import Tables
    from lattermath.vocabulary.figure import Figure

FloatArray = NDArray[np.float64]


def stakes_of(
    tables: Tables,
    belief: ClusterBelief,
    bearing: Sequence[FloatArray],
    hurts: Mapping[str, float],
) -> Stakes:
    """What each planting has to lose.

    bearing : worth of what each coming day gives, by planting. [portions]
    hurts   : feeding days on a square centimetre that cost a twentieth of the yield, by planting.
              [d/cm2]
    """
    return Stakes.of(
        belief.stands, belief.life.figures.appetites, np.stack(bearing),
        [hurts[stand.key] for stand in belief.stands],
        belief.standing[:, belief.today :].transpose(0, 2, 1),
        _thrown(tables, belief, hurts),
    )  # fmt: skip


def left_of_young(
    tables: Tables, belief: ClusterBelief, young: Stand, hurts: float, run: NDArray[np.floating]
) -> FloatArray:
    """Share of clean plants' yield that is borne and fit to eat by coming day, (n_draws, n_left).

    young : the last planting of the belief.
    hurts : feeding days on a square centimetre that cost it a twentieth. [d/cm2]
    run   : insects as `Stakes.lost` takes them.
    """
    n_days = run.shape[2] - 1
    told = discarded(tables, belief.life.figures.habits, young.crop)
    thrown = None
    if told is not None:
        a_bite = hurts / in_draws(told[0], belief.n_draws)[:, None]
        thrown = Thrown(a_bite, (told[1],), np.ones((belief.n_draws, 1, n_days)))
    nothing, appetites = np.zeros((1, n_days)), belief.life.figures.appetites
    stakes = Stakes.of((young,), appetites, nothing, hurts, thrown=thrown)
    return stakes.kept_by_new(run[:, -1:], 0)


def _thrown(tables: Tables, belief: ClusterBelief, hurts: Mapping[str, float]) -> Thrown | None:
    """What is thrown away of every planting beside what never grows; None: nothing, or not known.

    The doubt of the table's figure goes in by draw, as it is told (`spoiled_produce`).
    """
    told = [discarded(tables, belief.life.figures.habits, s.crop) for s in belief.stands]
    if not any(told):
        return None
    n_draws, n_days = belief.n_draws, belief.standing.shape[1] - belief.today
    a_bite, fit = np.zeros((n_draws, len(told))), np.ones((n_draws, len(told), n_days))
    hangs = [1] * len(told)
    for place, (one, stand) in enumerate(zip(told, belief.stands, strict=True)):
        if one is None:
            continue
        figure, hangs[place] = one
        discards = in_draws(figure, n_draws)
        a_bite[:, place] = hurts[stand.key] / discards
        # Feeding of a day is of those found on its evening, as from today on (`Stakes`).
        fed = belief.past[:, place, 1:] @ belief.life.figures.appetites / stand.leaf_area_cm2
        fit[:, place] = fit_after(np.asarray(fed, np.float64), discards, hangs[place], n_days)
    return Thrown(a_bite, tuple(hangs), fit)


def discarded(tables: Tables, habits: Habits, crop: str) -> tuple[Figure, int] | None:
    """Feeding days at which a twentieth of a crop is thrown away, and how long a piece hangs.

    None where nothing is, or where the loss of yield stands for it already. [d/cm2, d]
    """
    row = tables.produce.get(crop)
    eaten = "" if row is None else row.words("eaten")
    spoils = habits.spoils(eaten) if eaten in ON_THE_PLANT_D else None
    if spoils is None or spoils.discards is None or spoils.counted:
        return None
    return spoils.discards, ON_THE_PLANT_D[eaten]
