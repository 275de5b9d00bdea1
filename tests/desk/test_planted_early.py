"""What goes into ground inside a plant-back interval is kept, and said in the log and on sheets."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk import clock
from lattermath.desk.log_names import plot_now, sown_in
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.planted_early import after_planting
from lattermath.desk.start import start
from lattermath.vocabulary.events import Payload, Pulling, SettingOut, Sowing, Treatment

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
name = "Hollow"
latitude = -41.3
longitude = 173.2
time_zone = "Pacific/Auckland"
usual_first_frost = "05-15"

[[bed]]
key = "a"
name = "Bed A"
length_m = 3.0
width_m = 1.0

[[bed]]
key = "b"
name = "Bed B"
length_m = 3.0
width_m = 1.0

[[planting]]
key = "kale"
name = "Kale"
crop = "kale"
bed = "a"
plants = 4
set_out = 2026-10-01

[[shelf]]
name = "Brew"
key = "brew"
active = "spinosad"
re_entry_hours = 4

[shelf.crops.kale]
pre_harvest_days = 3
plant_back_days = 30

[[week]]
first = 2026-11-20
highs_c = [20, 21, 19, 20, 22, 20, 19, 20, 21]
lows_c = [10, 11, 9, 10, 12, 10, 9, 11, 10]
"""
SPRAYED = datetime(2026, 11, 20, 19, 40)
BARRED = "treated Fri 20 Nov with Brew, plant from Sun 20 Dec 19:40 (label)"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path, datetime.fromisoformat("2026-11-20T12:00:00+13:00"))
    log(tmp_path, Treatment(("kale",), "", "brew"), SPRAYED)
    return tmp_path


def said(folder: Path, payload: Payload, day: int) -> tuple[str, ...]:
    event = log(folder, payload, datetime(2026, 11, day, 19, 0))
    return after_planting(folder, event)


@pytest.mark.parametrize(
    "what", [Sowing("bean_bush", 20, None, "new", "a"), SettingOut("new", "lettuce_leaf", 6, "a")]
)
def test_what_goes_into_barred_ground_is_kept_and_said_by_label_and_day(
    folder: Path, what: Payload
) -> None:
    [words] = said(folder, what, 27)
    assert words.startswith(f"CAUTION: nothing was to go into Bed A yet: {BARRED}.")
    assert words.endswith("The entry is kept.") and plot_now(folder).planting("new").bed == "a"
    minds = plan(folder, date(2026, 11, 28)).warnings
    [mind] = [one for one in minds if BARRED in one]
    assert mind.startswith("new went in on Fri 27 Nov, before its bed was free for it:")
    log(folder, Pulling("new"), datetime(2026, 11, 28, 8, 0))
    assert not [one for one in plan(folder, date(2026, 11, 28)).warnings if BARRED in one]


def test_the_bed_beside_cups_and_what_went_in_before_the_spray_are_free(folder: Path) -> None:
    assert not said(folder, Sowing("bean_bush", 20, None, "beside", "b"), 27)
    assert not said(folder, Sowing("bean_bush", 20, "cups of beans"), 27)
    log(folder, Sowing("bean_bush", 20, None, "before", "a"), SPRAYED.replace(hour=18))
    assert not [one for one in plan(folder, date(2026, 11, 28)).warnings if "went in on" in one]


def test_a_line_that_was_not_copied_closes_the_ground_too(folder: Path) -> None:
    toml = folder / "plot.toml"
    toml.write_text(toml.read_text("utf-8").replace("plant_back_days = 30\n", ""), "utf-8")
    other = folder.parent / "other"
    other.mkdir()
    (other / "plot.toml").write_text(toml.read_text("utf-8"), "utf-8")
    start(other, datetime.fromisoformat("2026-11-20T12:00:00+13:00"))
    log(other, Treatment(("kale",), "", "brew"), SPRAYED)
    [words] = said(other, Sowing("bean_bush", 20, None, "new", "a"), 27)
    assert "treated Fri 20 Nov with Brew, whose plant-back line is not copied" in words


def test_what_is_sown_is_named_by_the_plots_own_day(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half past eight in the evening in Greenwich is the morning after in New Zealand."""
    monkeypatch.setattr(clock, "now", lambda: datetime.fromisoformat("2026-11-27T20:30:00+00:00"))
    assert sown_in(plot_now(folder), "bean_bush", "Bed B").planting == "bean bush 28 Nov"
