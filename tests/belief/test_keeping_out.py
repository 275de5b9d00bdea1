"""Covers: who is kept out by which, and that nobody is lost or made by shutting plantings off."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import TABLES, believe, scales

from lattermath.belief.keeping_out import covered, kept_out

MESH = TABLES.methods["row_cover"]


@pytest.mark.parametrize(
    ("organism", "cover", "middle"),
    [
        ("greenhouse_whitefly", "fine mesh", 0.80),  # table: mesh 0.2 to 0.35 mm, memory
        ("greenhouse_whitefly", "mesh", None),  # passes crop mesh
        ("cabbage_whitefly", "mesh", 0.30),  # table: ordinary crop mesh, pages disagree
        ("imported_cabbageworm", "mesh", 0.55),  # neave, abstract read
        ("striped_cucumber_beetle", "fleece", 0.85),  # table, common practice
        ("twospotted_spider_mite", "fine mesh", None),
    ],
)
def test_who_is_kept_out_by_which(organism: str, cover, middle: float | None) -> None:
    found = kept_out(MESH, organism, TABLES.crosswalk.targets[organism], cover)
    assert (found is None) == (middle is None)
    if found is not None:
        assert found[0][1] == pytest.approx(middle)


def test_adults_stay_where_they_are_turned_back() -> None:
    belief = believe([(45, scales("cucumbers", 20))])
    shut = covered(belief, [0], (0.6, 0.8, 0.95), np.full(belief.n_draws, 0.5))
    assert shut.setting.settle.sum(1) == pytest.approx(np.ones(len(belief.stands)))
    ratio = shut.setting.arrivals[:, :, 0].sum() / belief.setting.arrivals[:, :, 0].sum()
    assert ratio == pytest.approx(0.2, abs=1e-4)
    others = slice(1, None)
    assert np.array_equal(shut.setting.arrivals[..., others], belief.setting.arrivals[..., others])
    assert shut.setting.settle[1, 0] == pytest.approx(0.2 * belief.setting.settle[1, 0])


def test_what_comes_from_outside_is_less_under_a_cover() -> None:
    belief = believe([(45, scales("cucumbers", 0, 60)), (49, scales("cucumbers", 1, 60))])
    shut = covered(belief, [0], (0.6, 0.8, 0.95), np.full(belief.n_draws, 0.5))
    bare, kept = (b.ahead().sums[:, 0, -1].sum(1).mean() for b in (belief, shut))
    assert kept < bare
