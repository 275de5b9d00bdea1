"""Nights of watered plantings: quick and whole agree, and each planting has its own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from lattermath.desk import leaf_nights
from lattermath.desk.demo import Shown
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.events import Watering

HERE = ZoneInfo("America/Denver")


@pytest.fixture(scope="module")
def facts(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> SeasonFacts:
    folder = make_demo(Path(tmp_path_factory.mktemp("shown")) / "plot").folder
    for day, hour, bed, way in (
        (14, 20, "a", "overhead"),
        (28, 20, "a", "overhead"),
        (29, 21, "a", "overhead"),
        (28, 20, "b", "foot"),
    ):
        log(folder, Watering(9.0, bed, way=way), datetime(2011, 7, day, hour, tzinfo=HERE))
    with open_journal(folder_at(folder)) as journal:
        return facts_of(folder_at(folder), journal, date(2011, 7, 30), None)


def test_past_reckoned_once_is_every_future_reckoned_whole(facts: SeasonFacts) -> None:
    quick, sun = leaf_nights.leaf_nights(facts), leaf_nights._sun(facts)
    given, n_days = quick.given["courgettes"], facts.t_min.shape[1]
    wet = leaf_nights.wet_by_watering(given, facts.first, n_days, sun)
    noon = sum(sun(facts.today)) / 2
    whole = leaf_nights._nights(facts, slice(0, n_days), facts.t_min.shape[0], wet, noon)
    for name in ("humid_h", "wet_h", "wet_mean_c"):
        np.testing.assert_array_equal(getattr(quick.on("courgettes"), name), getattr(whole, name))


def test_only_the_bed_that_was_watered_from_above_is_wetter(facts: SeasonFacts) -> None:
    nights = leaf_nights.leaf_nights(facts)
    assert set(nights.own) == {"courgettes"}  # all else was watered at the foot
    assert nights.on("cucumbers") is nights.weather
    more = nights.on("courgettes").wet_h[:, 0] - nights.weather.wet_h[:, 0]
    ends = [facts.day_index(date(2011, 7, day)) for day in (15, 29, 30)]
    assert (more >= 0).all() and (more[2, ends] > 3).all()
    # the thirteenth's night is untouched; leaves of the fourteenth are dry by the next noon
    untouched = np.delete(more[2], [*ends, ends[0] - 1])
    assert (untouched == 0).all()


def test_the_sun_of_the_plot_stands_highest_after_one_by_its_clock(facts: SeasonFacts) -> None:
    """101.7 degrees west in mountain daylight time: noon at 12:46 and the equation of time."""
    rise, fall = leaf_nights._sun(facts)(date(2011, 7, 28))
    assert (rise + fall) / 2 == pytest.approx(12 + (101.73 - 105) / 15 + 1 + 6.5 / 60, abs=0.05)
