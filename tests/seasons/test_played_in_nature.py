"""Seasons played in nature, where the truth is known: the belief finds it from what was logged.

Nature shares no model with the belief (decision 0020). The years are those that `bench/calibration`
calls report years: none was used for mending the belief.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.season_play import Play, open_play, setting_dice
from lattermath.desk.season_setting import set_up

Season = tuple[np.ndarray, np.ndarray, np.ndarray]
WHITEFLY = "greenhouse_whitefly"
CROPS = (("eggplant", 4), ("cucumber_slicing", 4), ("tomato_indeterminate", 6), ("melon", 4))
YEARS = range(2008, 2018, 2)


def played(folder: Path, year: int, treats: bool = False) -> Play:
    setting = set_up(folder, year, setting_dice(77, year), CROPS)
    play = open_play(setting, (WHITEFLY,), 77, treats=treats)
    play.visits_to(date(year, 7, 20), treat_until=date(year, 7, 20))
    return play


@pytest.fixture(scope="module")
def played_out(tmp_path_factory: pytest.TempPathFactory) -> list[Season]:
    """Numbers of all stages on each planting: learnt, by the books alone, and true."""
    found = []
    for year in YEARS:
        play = played(Path(tmp_path_factory.mktemp(f"played{year}")), year)
        facts = play.facts(date(year, 7, 20))
        learnt = believe_insects(facts, WHITEFLY)
        books = believe_insects(facts, WHITEFLY, learns=False)
        assert learnt is not None and books is not None
        places = [play.nature.place(stand.key) for stand in learnt.stands]
        there = play.nature.truth(WHITEFLY).sum(1)[places]
        found.append((_today(learnt), _today(books), there))
    return found


def _today(belief: ClusterBelief) -> np.ndarray:
    return np.asarray(belief.past[:, :, -1].sum(-1))


def test_where_there_are_many_many_are_believed(played_out: list[Season]) -> None:
    learnt, books = (
        np.concatenate([np.log1p(np.median(one[n], axis=0)) for one in played_out]) for n in (0, 1)
    )
    true = np.concatenate([np.log1p(there) for _, _, there in played_out])
    # A truth that is one draw of these beliefs goes with their medians at 0.72 to 0.88 (80 %).
    assert np.corrcoef(learnt, true)[0, 1] > 0.7
    assert np.abs(learnt - true).mean() < 0.7 * np.abs(books - true).mean()


def test_four_fifths_ranges_hold_about_four_fifths(played_out: list[Season]) -> None:
    """20 plantings: fewer than 13 inside has a chance of 1 in 31 at 80 % and independence."""
    inside = 0
    for believed, _, true in played_out:
        low, high = np.quantile(believed, (0.1, 0.9), axis=0)
        inside += int(((low <= true) & (true <= high)).sum())
    assert inside >= 13


def test_looking_narrows_what_the_tables_alone_would_say(played_out: list[Season]) -> None:
    wide = [np.mean([np.log1p(one[n]).std(0).mean() for one in played_out]) for n in (0, 1)]
    assert wide[0] < 0.7 * wide[1]


def test_the_grower_misses_visits_and_writes_down_only_what_was_seen(tmp_path: Path) -> None:
    play = played(tmp_path, 2011, treats=True)
    facts = play.facts(date(2011, 7, 20))
    planned = sum(day.weekday() in (1, 3, 5)
                  for day in (play.setting.sky.day(n) for n in range(158, 200)))  # fmt: skip
    assert 5 < len(play.kept) <= planned
    days = {event.day for event in facts.events if event.kind in ("sighting", "picking")}
    assert days <= set(play.kept)
