"""Severities as they are said, with the error that the belief gives them."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import logit
from tests.belief.test_leaf_disease import effect

from lattermath.belief.leaf_disease_sightings import LeafSeen, said_law
from lattermath.knowledge.tables import load_tables
from lattermath.planning.leaf_beside import severity_of, shows_from


def seen(percent: float | None = None, level=None, leaves: int = 20) -> LeafSeen:
    return LeafSeen(0, 0, 0, percent, level, leaves, 1)


def test_a_severity_errs_as_looks_thrown_by_the_belief_do() -> None:
    one = severity_of(seen(10.0))
    assert one is not None
    rng = np.random.default_rng(3)
    _, middle, spread = said_law(np.array(0.10), 20)
    thrown = rng.normal(middle, spread, 20_000)
    assert one.variance == pytest.approx(thrown.var(), rel=0.05)
    assert logit(one.share) == pytest.approx(thrown.mean(), abs=0.05)


def test_a_class_is_less_sure_than_a_figure_in_it() -> None:
    of_class, of_figure = severity_of(seen(level="few")), severity_of(seen(0.5))
    assert of_class is not None and of_figure is not None
    assert 0.0005 < of_class.share < 0.05
    assert of_class.variance > 1.5 * of_figure.variance


def test_none_on_more_leaves_leaves_less_room() -> None:
    few, many = severity_of(seen(0.0, leaves=5)), severity_of(seen(level="none", leaves=50))
    assert few is not None and many is not None
    assert few.share == many.share == 0
    assert few.most == pytest.approx(10 * many.most)


def test_that_it_was_seen_says_no_share() -> None:
    assert severity_of(seen()) is None


def test_a_shield_shows_after_a_latent_period_and_an_eraser_at_once() -> None:
    mildew = load_tables().diseases["cucurbit_powdery_mildew"]
    assert shows_from(mildew, effect("sulfur")) == 5  # the table's latent period
    assert shows_from(mildew, effect("potassium_bicarbonate")) == 2
