"""Thrips are counted in flowers, and a flower is no leaf: worked with a pencil."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import stands

from lattermath.belief.cluster_sightings import is_tapped, read_sighting, units_of
from lattermath.belief.coming_look import coming_look
from lattermath.belief.life_history import life_of
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting

TABLES = load_tables()
THRIPS = life_of(TABLES, "western_flower_thrips").figures


def peppers(*, flowers: bool):
    """Four plants of sixty leaves, long grown."""
    return replace(stands()[0], key="p", plants=4, leaves=60, flowers=flowers)


def there(**said) -> float:
    """Share of the adults on all four plants that was there to be seen."""
    seen = read_sighting(
        Sighting("p", THRIPS.organism, "count", "adult", **said), 200, 1,
        [peppers(flowers=True)], THRIPS,
    )  # fmt: skip
    assert seen is not None
    return float(seen.share.max())


def test_three_flowers_hold_as_many_as_thirty_leaves() -> None:
    """Half of what can be seen sits in flowers, one to ten leaves: 3 of 24 flowers' worth."""
    one_leaf = THRIPS.on_surfaces("adult")[2] * 0.8
    assert there(counts=(3, 5, 1), surface="flowers") == pytest.approx(one_leaf * 3 / 24)
    units, spread = units_of(THRIPS, peppers(flowers=True), 200, tapped=True)
    assert units == 24 and spread > units_of(THRIPS, peppers(flowers=True), 200, tapped=False)[1]


def test_plants_without_flowers_are_not_asked_for_them() -> None:
    assert not is_tapped(THRIPS, peppers(flowers=False))


@pytest.mark.parametrize(
    "said", [{"counts": (25, 31, 18)}, {"level": "many", "looked_at": 3},
             {"total": 0, "looked_at": 3}]
)  # fmt: skip
def test_a_count_of_leaves_stays_one_of_leaves(said: dict[str, object]) -> None:
    """Three undersides of 240 leaves, on plants in flower, whatever way it is told.

    Entries without a surface, and those of before flowers could be said, are of leaves too: their
    echo told the grower "on 3 leaves", who could have put it right.
    """
    below, _, within_reach = THRIPS.on_surfaces("adult")
    assert there(**said) == pytest.approx(below * 0.8 * 3 / 240)
    assert there(**said, surface="flowers") == pytest.approx(within_reach * 0.8 * 3 / 24)


def test_a_look_that_is_to_come_is_of_what_the_sheet_asks_for() -> None:
    """Ten flowers of 24 leaves' worth; eggs sit in leaves, and none in flowers that are not."""
    on = np.ones((1, len(THRIPS.stages)))

    def looked(stand, stage: str = "adult") -> float:
        look = coming_look(THRIPS, [stand], 0, 200, on, np.ones(1), 10, stage=stage)
        return float(look.seen.share.max())

    below, _, within_reach = THRIPS.on_surfaces("adult")
    assert looked(peppers(flowers=True)) == pytest.approx(within_reach * 0.8 * 10 / 24)
    assert looked(peppers(flowers=False)) == pytest.approx(below * 0.8 * 10 / 240)
    assert looked(peppers(flowers=True), "eggs") < 10 / 240


def test_what_does_not_gather_in_flowers_is_counted_by_the_leaf() -> None:
    whitefly = life_of(TABLES, "greenhouse_whitefly").figures
    assert not is_tapped(whitefly, peppers(flowers=True))


def test_peppers_in_flower_are_better_than_their_leaves() -> None:
    """The pest table's note: flowers with pollen are far better than the leaf figure, 0.3."""
    terms = THRIPS.host("sweet_pepper", TABLES.crosswalk)
    assert terms is not None and terms.said == pytest.approx(0.3)
    assert terms.laying > 2 * terms.said
    leaf = THRIPS.host("cabbage", TABLES.crosswalk)
    assert leaf is not None and np.isclose(leaf.laying, leaf.said)
