"""How short counts end, against looks thrown leaf by leaf from a gamma of gammas."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from lattermath.science.closed_counts import (
    ClosedCount,
    chance_of_any,
    closed_at,
    closed_infested,
    closed_lines,
    count_ends,
    infested_ends,
    look_factors,
)
from lattermath.science.sequential_counts import stop_lines

LOOKS, SD = 40_000, 0.4


def thrown(mean: float, k: float, sd: float, seed: int) -> NDArray[np.int64]:
    """Looks at ten leaves: an error of the look, a gamma a leaf, chance on it. (n_looks, 10)"""
    rng = np.random.default_rng(seed)
    look = rng.gamma(1 / sd**2, sd**2, (LOOKS, 1)) if sd else 1.0
    return rng.poisson(mean * look * rng.gamma(k, 1 / k, (LOOKS, 10)))


def walked(closed: ClosedCount, counts: NDArray[np.int64]) -> tuple[float, float]:
    """Share that ends with many, and leaves looked at, by walking each look along its lines."""
    totals = counts.cumsum(1)
    few, many = totals <= np.array(closed.few), totals >= np.array(closed.many)
    last = (few | many).argmax(1)
    ended_many = many[np.arange(len(last)), last]
    return float(ended_many.mean()), float(last.mean() + 1)


WAYS = {
    "all ten": closed_at(20, 10),
    "none on three": closed_at(20, 10, 3),
    "lines": closed_lines(stop_lines(1.0, 4.0, 0.6, 0.1, 0.1), 20, 10),
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("mean", "k"), [(0.3, 0.07), (1.0, 0.13), (2.0, 0.5), (4.0, 2.0)])
@pytest.mark.parametrize("sd", [0.0, SD])
def test_counts_end_as_thrown_looks_do(way: str, mean: float, k: float, sd: float) -> None:
    closed = WAYS[way]
    ends = count_ends(closed, [mean], [k], sd)
    share, leaves = walked(closed, thrown(mean, k, sd, 7))
    assert ends.many[0] == pytest.approx(share, abs=0.012)
    assert ends.leaves[0] == pytest.approx(leaves, abs=0.08)


@pytest.mark.parametrize(("mean", "k"), [(0.3, 0.07), (2.0, 0.5), (13.0, 0.46)])
@pytest.mark.parametrize("turns_at", [1, 4, 8])
def test_leaves_with_some_end_as_thrown_looks_do(mean: float, k: float, turns_at: int) -> None:
    closed = closed_infested(turns_at, 10)
    ends = infested_ends(closed, [mean], [k], SD)
    share, leaves = walked(closed, (thrown(mean, k, SD, 8) > 0).astype(np.int64))
    assert ends.many[0] == pytest.approx(share, abs=0.012)
    assert ends.leaves[0] == pytest.approx(leaves, abs=0.08)


def test_stopping_at_the_total_of_many_never_changes_the_answer() -> None:
    """Ten leaves counted out and stopped on the way end alike, look by look."""
    counts = thrown(2.0, 0.5, SD, 9)
    assert walked(closed_at(20, 10), counts)[0] == float((counts.sum(1) >= 20).mean())
    some = (counts > 0).astype(np.int64)
    assert walked(closed_infested(4, 10), some)[0] == float((some.sum(1) >= 4).mean())


def test_ten_leaves_without_an_error_of_the_look_are_a_negative_binomial() -> None:
    ends = count_ends(closed_at(20, 10), [2.0], [0.5], 0.0)
    assert ends.many[0] == pytest.approx(stats.nbinom.sf(19, 5.0, 5.0 / 25.0), abs=1e-9)


def test_what_a_look_has_wrong_keeps_its_mean_and_its_spread() -> None:
    factors, weights = look_factors(SD)
    assert weights.sum() == pytest.approx(1.0) and (factors > 0).all()
    mean = weights @ factors
    assert mean == pytest.approx(1.0)
    assert weights @ (factors - mean) ** 2 == pytest.approx(SD**2)


def test_a_leaf_has_any_as_often_as_another_library_says() -> None:
    assert chance_of_any(13.0, 0.46) == pytest.approx(stats.nbinom.sf(0, 0.46, 0.46 / 13.46))


def test_lines_that_leave_it_open_are_refused() -> None:
    with pytest.raises(ValueError, match="last leaf"):
        ClosedCount((-1, 3), (9, 9))
    with pytest.raises(ValueError, match="below many"):
        ClosedCount((5, 8), (5, 9))
    with pytest.raises(ValueError, match="above it"):
        count_ends(closed_at(3, 2), [1.0], [0.0], 0.0)
