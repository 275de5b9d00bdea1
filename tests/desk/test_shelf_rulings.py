"""The shelf rules as the plan does, but for what only the hours of an evening can say."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from lattermath.desk.log_visit import log
from lattermath.desk.shelf_rulings import CLAUSES, Shelf, Use, shelf_rulings
from lattermath.desk.start import start
from lattermath.planning import (
    hour_limits,
    label_limits,
    limit_clauses,
    physical_limits,
    rotation,
    wet_limits,
)
from lattermath.vocabulary.events import Treatment

DAY = date(2024, 8, 4)
PLOT = """
format = 1
[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
country = "invented"
[[planting]]
name = "Beans"
crop = "climbing bean"
plants = 20
set_out = 2024-05-28
in_bloom = false
[[planting]]
name = "Kale"
crop = "kale"
plants = 6
set_out = 2024-06-05
in_bloom = false
[[neighbour]]
name = "Theirs"
crop = "climbing bean"
plants = 5
distance_m = 12
side = "north"
in_bloom = false
[[shelf]]
key = "soap"
name = "Shelf soap (invented)"
active = "soap"
country = "invented"
sold_to_amateurs = true
re_entry_hours = { value = 4, words = "keep out until dry" }
max_temperature_c = 30
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
[shelf.crops."climbing bean"]
pre_harvest_days = 1
retreat_days = 5
season_max = 2
rate_ml_per_l = 20
max_l_per_m2 = 0.3
[[shelf]]
key = "salt"
name = "Half copied (invented)"
active = "potassium_bicarbonate"
country = "invented"
sold_to_amateurs = true
re_entry_hours = 4
[shelf.crops."climbing bean"]
pre_harvest_days = 1
[garden]
bloom_near = false
"""


@pytest.fixture
def plot(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path, datetime(2024, 7, 1, 9, 0))
    return tmp_path


def use_of(shelf: Shelf, product: str, planting: str) -> Use:
    held = next(one for one in shelf.products if one.label.key == product)
    return next(use for use in held.uses if use.planting == planting)


def treated(plot: Path, day: date) -> None:
    log(plot, Treatment(("beans",), "soap", "soap"), datetime(day.year, day.month, day.day, 19, 0))


def test_no_clause_of_the_plan_is_forgotten_but_those_of_the_hours() -> None:
    of_the_hours = {
        limit_clauses.pre_harvest,  # shown as the bars on picking
        hour_limits.evening_window,
        hour_limits.heat,
        wet_limits.rain,
        hour_limits.wind,
        wet_limits.wet_leaves,
        hour_limits.no_forecast,
        physical_limits.physical,  # of what comes in no pack
        rotation.rotation,  # asks how long a generation takes in the coming weather
    }
    assert set(CLAUSES) | of_the_hours == set(label_limits.CLAUSES)
    assert not set(CLAUSES) & of_the_hours


def test_a_day_before_the_plot_was_written_down_is_ruled_on_too(tmp_path: Path) -> None:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)  # written down today, long after the day that is asked about
    assert use_of(shelf_rulings(tmp_path, DAY), "soap", "beans").ruling.allowed


def test_what_nothing_bars_is_open_and_a_crop_not_listed_is_not(plot: Path) -> None:
    shelf = shelf_rulings(plot, DAY)
    beans, kale = (use_of(shelf, "soap", key) for key in ("beans", "kale"))
    assert beans.ruling.allowed, beans.ruling.bars
    assert beans.listed
    assert not kale.ruling.allowed
    assert not kale.listed
    assert {use.planting for one in shelf.products for use in one.uses} == {"beans", "kale"}


def test_a_line_that_was_not_copied_bars_and_never_lapses(plot: Path) -> None:
    use = use_of(shelf_rulings(plot, DAY), "salt", "beans")
    assert not use.ruling.allowed
    assert use.ruling.ask_again is None
    assert any("not copied" in bar.says for bar in use.ruling.bars)


@pytest.mark.parametrize(("days_on", "allowed"), [(1, False), (4, False), (5, True), (9, True)])
def test_the_days_between_two_treatments_are_kept_to_the_day(
    plot: Path, days_on: int, allowed: bool
) -> None:
    """The label says 5 days: on the fifth day it is open, and before that its day is named."""
    first = date(2024, 7, 20)
    treated(plot, first)
    use = use_of(shelf_rulings(plot, first + timedelta(days=days_on)), "soap", "beans")
    assert use.ruling.allowed == allowed
    if not allowed:
        again = use.ruling.ask_again
        assert again is not None and again.date() == first + timedelta(days=5)


def test_the_most_treatments_of_the_label_end_it(plot: Path) -> None:
    treated(plot, date(2024, 7, 10))
    treated(plot, date(2024, 7, 20))
    use = use_of(shelf_rulings(plot, DAY), "soap", "beans")
    assert [bar.says for bar in use.ruling.bars] == [
        "treatment 3 of at most 2 with Shelf soap (invented)"
    ]


def test_picking_is_barred_from_the_treatment_on_and_nothing_later_is_read(plot: Path) -> None:
    treated(plot, DAY)
    names = {name: clear.clear_now for name, clear in shelf_rulings(plot, DAY).picking}
    assert names == {"Beans": True, "Kale": True}  # asked for 18:30, and treated at 19:00
    after = dict(shelf_rulings(plot, DAY + timedelta(days=1)).picking)
    assert not after["Beans"].clear_now
    safe = after["Beans"].safe_from
    assert safe is not None and (safe.date(), safe.hour) == (DAY + timedelta(days=1), 19)
    before = dict(shelf_rulings(plot, DAY - timedelta(days=1)).picking)
    assert before["Beans"].clear_now
    assert use_of(shelf_rulings(plot, DAY - timedelta(days=1)), "soap", "beans").ruling.allowed
