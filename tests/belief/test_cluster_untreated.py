"""Insects left alone: where a spray takes a share of every stage and none fly in, so many more."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, METHODS, dice, effect, scales, sky, stands

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.cluster_untreated import grown_without
from lattermath.belief.clusters import ClusterBelief, believe_cluster
from lattermath.belief.treatment_kills import Application
from lattermath.vocabulary.plot import Planting

ALL = range(len(LIFE.stages))
EVERY_STAGE = replace(
    effect("soap"), kill=dict.fromkeys(LIFE.stages, (0.5, 0.6, 0.7)), half_life_days=None,
    kill_days=0, by_surface=False,
)  # fmt: skip


def lone(reach: float) -> tuple[ClusterBelief, Application]:
    """Few insects on one planting, far from everything, sprayed on day 44 and counted after it."""
    roomy: tuple[Stand, ...] = stands(Planting("aubergines", "Aubergines", "eggplant", 5, "b"))
    spray = Application(44, EVERY_STAGE, (0,), np.full(len(LIFE.stages), reach))
    read = [read_sighting(scales("aubergines", n), day, day, roomy, LIFE.figures)
            for day, n in ((40, 6), (48, 5))]  # fmt: skip
    seen = [one for one in read if one is not None]
    belief = believe_cluster(LIFE, roomy, sky(), seen, [spray], METHODS, dice, outside=0.0)
    return belief, belief.applied[0]


@pytest.mark.parametrize("reach", [1.0, 0.5])
def test_without_it_there_would_be_as_many_more_as_it_left(reach: float) -> None:
    belief, spray = lone(reach)
    start, end = (day - belief.first_day for day in (40, 48))
    grown = grown_without(belief, spray, 0, ALL, range(start, end + 1))
    total = belief.past[:, 0].sum(-1).astype(float)
    left = 1 - reach * EVERY_STAGE.draws(LIFE.stages, belief.unknowns.quantiles["soap"])[:, 0]
    has = total[:, start] > 1e-3
    by_hand = (total[:, end] / total[:, start] / left)[has]
    # what is crowded a little lays a little less, so that twice as many are not quite twice
    np.testing.assert_allclose(grown, by_hand, rtol=0.03)
    assert np.median(grown / (total[:, end] / total[:, start])[has]) > 1.2


def test_a_spray_that_reached_none_changed_nothing() -> None:
    belief, spray = lone(0.0)
    start, end = (day - belief.first_day for day in (40, 48))
    grown = grown_without(belief, spray, 0, ALL, range(start, end + 1))
    total = belief.past[:, 0].sum(-1).astype(float)
    has = total[:, start] > 1e-3
    np.testing.assert_allclose(grown, (total[:, end] / total[:, start])[has], rtol=1e-5)
