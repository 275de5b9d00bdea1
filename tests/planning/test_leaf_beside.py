"""Severities as they are said, with the error that the belief gives them."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from scipy.special import logit
from tests.belief.test_leaf_disease import effect

from lattermath.belief.leaf_disease_sightings import LeafSeen, said_law
from lattermath.knowledge.tables import load_tables
from lattermath.planning.leaf_beside import LeafLooked, comparing, severity_of, shows_from
from lattermath.planning.treated_beside import beside_untreated


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


def test_the_newest_looks_that_can_be_compared_tell(crop: str = "cucumber") -> None:
    """100 (1 - Ta Cb / (Tb Ca)) of y / (1 - y): 5 % to 40 % beside 5 % to 2 %, though a look in
    between had 4 % beside 20 %."""
    sprayed, mildew = date(2026, 7, 25), load_tables().diseases["cucurbit_powdery_mildew"]
    read = [("one", 0, 5.0), ("two", 0, 5.0), ("one", 7, 4.0), ("two", 7, 20.0), ("one", 12, 40.0),
            ("two", 12, 2.0)]  # fmt: skip
    looks = []
    for serial, (planting, days, percent) in enumerate(read):
        severity = severity_of(seen(percent))
        assert severity is not None
        day = sprayed + timedelta(days=days)
        looks.append(LeafLooked(day, planting, crop, ("top",), severity, 20, serial))
    by = comparing(mildew, effect("potassium_bicarbonate"))
    both = beside_untreated(looks, [(sprayed, "one")], sprayed, {"one"}, by)
    assert both is not None and [w.serial for w in both.looks] == [0, 4, 1, 5]
    assert both.found.percent == pytest.approx(100 * (1 - (40 / 60) / (2 / 98)), rel=0.01)
    after = beside_untreated(looks[2:], [(sprayed, "one")], sprayed, {"one"}, by)
    assert after is not None and [w.serial for w in after.looks] == [4, 5]
