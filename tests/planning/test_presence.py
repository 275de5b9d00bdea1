"""Where insects sit, how it came to that, and when eggs hatch, held against the other kernels."""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, TABLES, believe, scales, stands

from lattermath.belief.life_answers import duration
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.planning.presence import (
    DAYS_BEHIND,
    hatch,
    insects_so_far,
    where_insects_sit,
)
from lattermath.vocabulary.plot import Planting

TODAY = date(2026, 7, 20)


@pytest.mark.parametrize("mean", [16.0, 20.0, 24.0, 28.0])
def test_an_egg_hatches_when_the_kernel_of_stages_says(mean: float) -> None:
    """`compute development` reckons by degree-days of the day, this by the rate over the sine."""
    days = duration(LIFE, "egg", mean - 4, mean + 4).days
    assert days is not None
    steady = np.full((5, 80), mean)
    found = hatch(LIFE, steady - 4, steady + 4, TODAY)
    assert found is not None
    assert found.early == found.middle == found.late  # one weather, one day
    assert abs((found.middle - TODAY).days - ceil(days)) <= 1


def test_futures_that_differ_give_a_range_in_their_order() -> None:
    means = np.linspace(16.0, 28.0, 11)[:, None] + np.zeros((11, 80))
    found = hatch(LIFE, means - 4, means + 4, TODAY)
    warm, cold = (hatch(LIFE, np.full((1, 80), m - 4), np.full((1, 80), m + 4), TODAY)
                  for m in (28.0, 16.0))  # fmt: skip
    assert found is not None and warm is not None and cold is not None
    assert warm.middle <= found.early < found.middle < found.late <= cold.middle


def test_eggs_that_the_season_does_not_hatch_have_no_day() -> None:
    cold = np.full((3, 60), 4.0)
    assert hatch(LIFE, cold - 3, cold + 3, TODAY) is None


def test_an_insect_that_bears_its_young_alive_has_no_eggs_to_hatch() -> None:
    aphid = LifeHistory(
        read_life(
            TABLES.organisms["melon_aphid"],
            TABLES.constants["defaults"].figures,
            TABLES.habits["melon_aphid"],
        )
    )
    warm = np.full((3, 60), 24.0)
    assert hatch(aphid, warm - 4, warm + 4, TODAY) is None


def test_what_is_said_of_each_planting_is_what_is_believed_of_it() -> None:
    belief = believe([(45, scales("aubergines", 60)), (45, scales("cucumbers", 0))])
    found = where_insects_sit(belief, {"aubergines"})
    assert [one.planting for one in found] == [stand.key for stand in belief.stands]
    assert [one.planting for one in found if one.seen] == ["aubergines"]
    levels = {one.planting: one.level for one in found}
    assert levels["aubergines"].median > levels["cucumbers"].median
    assert all(one.level.low <= one.level.median <= one.level.high for one in found)


def test_leaving_adults_go_to_the_nearer_of_two_hosts_first() -> None:
    homes = stands(
        Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"),
        Planting("near", "Near", "cucumber_slicing", 4, "b"),
        Planting("far", "Far", "cucumber_slicing", 4, "f"),
    )
    belief = believe([(45, scales("cucumbers", 60))], homes=homes)
    here = next(one for one in where_insects_sit(belief, set()) if one.planting == "cucumbers")
    assert here.goes_to[:1] == ("near",)
    assert "cucumbers" not in here.goes_to


def test_the_days_behind_end_today_with_what_is_there_now() -> None:
    belief = believe([(45, scales("aubergines", 60))])
    found = insects_so_far(belief, TODAY)
    leaves = sum(stand.all_leaves for stand in belief.stands)
    now = belief.past[:, :, -1].astype(float)
    assert found[0].days[-1] == TODAY
    assert found[0].days[0] >= TODAY - timedelta(days=DAYS_BEHIND - 1)
    today = sum(float(np.median(now[..., n].sum(1))) for n in (0,)) / leaves
    assert found[0].name == "eggs"
    assert found[0].median[-1] == pytest.approx(today)
