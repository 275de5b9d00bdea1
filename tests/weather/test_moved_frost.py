"""Futures whose frosts come earlier or later, held against first frosts counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from lattermath.weather.futures import Futures
from lattermath.weather.moved_frost import with_frost_moved

LOWS = np.array(
    [
        [8.0, 6, 7, 5, 4, 3, -1, 2, -2, 1, 0.0, 3],
        [9.0, 8, 7, 6, 5, 4, 3, 2, 1, 1, 1, 1],
    ]
)


def runs(lows: np.ndarray) -> Futures:
    highs = lows + 10
    return Futures(
        date(2016, 9, 1), lows, highs, np.zeros_like(lows), None, None, (2014, 2015),
        "past years", "", np.zeros((3, 366)),
    )  # fmt: skip


def first_frosts(held: Futures) -> list[int | None]:
    return [
        next((n for n, low in enumerate(row) if low <= 0.0), None) for row in held.t_min.tolist()
    ]


@pytest.mark.parametrize("days", [-5, -3, -1, 1, 2])
def test_the_first_frost_moves_by_so_many_days(days: int) -> None:
    assert first_frosts(runs(LOWS)) == [6, None]
    moved = first_frosts(with_frost_moved(runs(LOWS), days))
    nights = [6, 8, 10]  # freezing nights of the first future; the next one after a delay counts
    later = next(n for n in nights if n >= 6 + days) if days > 0 else 6 + days
    assert moved == [later, None]


def test_an_earlier_frost_is_as_hard_and_leaves_the_other_nights() -> None:
    moved = with_frost_moved(runs(LOWS), -3)
    assert moved.t_min[0].tolist() == [8, 6, 7, -1, 4, -2, -1, 0, -2, 1, 0, 3]
    assert (moved.t_min[1] == LOWS[1]).all()


def test_today_is_measured_and_stays() -> None:
    moved = with_frost_moved(runs(LOWS), -6)
    assert moved.t_min[0, 0] == 8.0
    assert first_frosts(moved)[0] == 2  # of the second frost; the first would have come today


def test_no_night_is_warmer_than_its_day() -> None:
    held = runs(LOWS)
    cold = replace(held, t_max=LOWS + 0.1)
    later = with_frost_moved(cold, 2)
    assert (later.t_max >= later.t_min).all()
    assert with_frost_moved(held, 0) is held
