"""A look at whole plants, held to plants on which single insects were thrown one by one."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import stands

from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.life_history import life_of
from lattermath.desk.what_was_seen import looked_over
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting

TABLES = load_tables()
HOME = stands()[0]
THERE = 400  # insects of the counted stage on the whole planting


@pytest.mark.parametrize(
    ("organism", "stage"),
    [("imported_cabbageworm", "larva3"), ("flea_beetles", "adult"), ("squash_bug", "nymph3")],
)
@pytest.mark.parametrize("looked", [1, 3])
def test_a_count_is_the_share_of_the_plants_looked_over(
    organism: str, stage: str, looked: int
) -> None:
    """Every insect thrown on one plant of all; those of the first few plants are what is met."""
    plants = int(HOME.plants)
    rng = np.random.default_rng(looked)
    met = [np.count_nonzero(rng.integers(plants, size=THERE) < looked) for _ in range(400)]
    figures = life_of(TABLES, organism).figures
    there = np.array([[float(THERE) if s == stage else 0.0 for s in figures.stages]])

    def expected(number: int) -> float:
        said = Sighting(HOME.key, organism, "count", looked_at=number, total=3)
        seen = read_sighting(looked_over(said, TABLES), 30, 0, [HOME], figures)
        assert seen is not None
        return float(seen.expected(there, np.ones(1))[0])

    eyes = expected(plants) / THERE  # what all the plants would show
    assert expected(looked) / eyes == pytest.approx(np.mean(met), rel=0.05)


@pytest.mark.parametrize(("stage", "met"), [("", "larva"), ("eggs", "egg")])
def test_what_sits_at_the_stem_base_is_met_by_a_count_that_names_no_side(stage, met) -> None:
    """Eggs sit on no underside: a count of four was held to be next to impossible. Grubs in the
    stem are met by their sawdust."""
    figures = life_of(TABLES, "squash_vine_borer").figures
    there = np.array([[40.0 if s == met else 0.0 for s in figures.stages]])
    look = Sighting(HOME.key, "squash_vine_borer", "count", stage, looked_at=4, total=4)
    seen = read_sighting(
        looked_over(look, TABLES),
        *(30, 0, [HOME], figures),
    )
    assert seen is not None
    assert float(seen.expected(there, np.ones(1))[0]) > 1.0
