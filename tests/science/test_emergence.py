"""Seeds to sow, against simulation; the table read between its nodes, against its own rates."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lattermath.science.emergence import (
    NONE_CAME_UP,
    NOT_TESTED,
    ThermalLine,
    emergence_from_line,
    emergence_from_table,
    seeds_to_sow,
)

NODES = (10.0, 15.0, 20.0, 25.0)


@pytest.mark.parametrize(("wanted", "share"), [(4, 0.8), (1, 0.5), (12, 0.91), (20, 0.3)])
def test_seeds_to_sow_gives_the_chance_asked_for(wanted: int, share: float) -> None:
    """Sow by simulation: the answer reaches nine in ten, one seed fewer does not."""
    rng = np.random.default_rng(3)
    seeds = seeds_to_sow(wanted, share, 0.9)
    assert seeds is not None
    enough = (rng.random((40_000, seeds)) < share).sum(axis=1) >= wanted
    fewer = (rng.random((40_000, seeds - 1)) < share).sum(axis=1) >= wanted
    assert enough.mean() >= 0.9 - 0.005
    assert fewer.mean() < 0.9 + 0.005


def test_seeds_to_sow_at_the_edges() -> None:
    assert seeds_to_sow(0, 0.5) == 0
    assert seeds_to_sow(5, 1.0) == 5
    assert seeds_to_sow(5, 0.0) is None
    with pytest.raises(ValueError, match="chance"):
        seeds_to_sow(5, 0.5, 1.0)


def test_the_rate_and_not_the_time_is_drawn_straight() -> None:
    """Half-way between 12 and 6 days the rate is (1/12 + 1/6) / 2 = 1/8: 8 days, not 9."""
    found = emergence_from_table(17.5, NODES, (NONE_CAME_UP, 12.0, 6.0, 4.0))
    assert found.days == pytest.approx(8.0)


def test_none_and_not_tested_are_told_apart() -> None:
    assert emergence_from_table(8.0, NODES, (NONE_CAME_UP, 12.0, 6.0, NOT_TESTED)).days is None
    with pytest.raises(ValueError, match="not tested"):
        emergence_from_table(24.0, NODES, (NONE_CAME_UP, 12.0, 6.0, NOT_TESTED))


def test_no_seedling_in_the_stand_means_no_days() -> None:
    found = emergence_from_table(10.0, NODES, (NOT_TESTED, 12.0, 6.0, 4.0), (0.0, 60.0, 90.0, 95.0))
    assert found.days is None and found.stand_percent == 0.0


def test_a_missing_stand_is_not_zero() -> None:
    found = emergence_from_table(
        15.0, NODES, (20.0, 12.0, 6.0, 4.0), (math.nan, math.nan, 90.0, 95.0)
    )
    assert found.days == 12.0 and found.stand_percent is None


def test_the_line_refuses_where_it_was_found_not_to_hold() -> None:
    line = ThermalLine(10.4, 59.0)
    assert emergence_from_line(20.4, line).days == pytest.approx(5.9)
    assert emergence_from_line(10.0, line).days is None
    with pytest.raises(ValueError, match="holds from"):
        emergence_from_line(30.0, line)
