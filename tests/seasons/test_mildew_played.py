"""Mildew in seasons played in nature: what is foretold a week ahead, beside what then was.

Nature's colonies on single leaves share no model with the belief (decisions 0020 and 0037). The
years are report years: none was used for choosing the size of the wandering.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from lattermath.desk.season_forecasts import Forecast, forecasts_on
from lattermath.desk.season_play import open_play, setting_dice
from lattermath.desk.season_setting import set_up

MILDEW = "cucurbit_powdery_mildew"
CROPS = (("cucumber_slicing", 4), ("summer_squash", 3), ("melon", 4), ("cucumber_pickling", 4))
YEARS, DAYS = (2010, 2013, 2016), ((8, 6), (8, 24))
LEAST_SEEN = 0.05  # per cent; less can nobody write down, and counts as none


@pytest.fixture(scope="module")
def foretold(tmp_path_factory: pytest.TempPathFactory) -> list[Forecast]:
    found: list[Forecast] = []
    for year in YEARS:
        folder = Path(tmp_path_factory.mktemp(f"mildew{year}"))
        play = open_play(set_up(folder, year, setting_dice(41, year), CROPS), (), 41,
                         diseases=(MILDEW,))  # fmt: skip
        for month, of_month in DAYS:
            day = date(year, month, of_month)
            play.visits_to(day, treat_until=day - timedelta(days=1))
            found += [one for one in forecasts_on(play, day) if one.of == MILDEW]
    return [one for one in found if one.group == "leaf" and one.ahead == 7]


def seen(percent: np.ndarray) -> np.ndarray:
    return np.where(percent < LEAST_SEEN, 0.0, percent)


def test_four_fifths_ranges_hold_about_four_fifths(foretold: list[Forecast]) -> None:
    """24 cases: fewer than 15 inside has a chance of 1 in 35 at 80 % and independence."""
    assert len(foretold) == len(YEARS) * len(DAYS) * len(CROPS)
    inside = 0
    for one in foretold:
        low, high = np.quantile(seen(one.draws), (0.1, 0.9))
        inside += bool(low <= seen(np.array(one.true)) <= high)
    assert inside >= 15


def test_looking_teaches_how_much_there_is(foretold: list[Forecast]) -> None:
    learnt, books = (
        np.mean([np.abs(np.log(0.1 + draws(one)) - np.log(0.1 + one.true)).mean()
                 for one in foretold])
        for draws in (lambda one: one.draws, lambda one: one.prior)
    )  # fmt: skip
    assert learnt < 0.4 * books


def test_ranges_tell_something(foretold: list[Forecast]) -> None:
    """Narrow beside the books: wide ranges hold anything."""
    wide = [
        np.mean([np.log(0.1 + getattr(one, name)).std() for one in foretold])
        for name in ("draws", "prior")
    ]
    assert wide[0] < 0.6 * wide[1]
