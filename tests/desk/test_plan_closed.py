"""What treatments close, now and after the next visit, for tags and calendar. All is invented."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from lattermath.desk import clock
from lattermath.desk.demo import Shown
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan, plan_before
from lattermath.desk.start import start
from lattermath.sheets.calendar_items import calendar_items
from lattermath.vocabulary.events import Treatment, Withdrawal
from lattermath.vocabulary.plan import Closed

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
name = "Plot"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
country = "GB"

[[bed]]
name = "North"
length_m = 4
width_m = 1.2

[[bed]]
name = "South"
length_m = 4
width_m = 1.2

[[planting]]
name = "Courgettes"
crop = "courgette"
plants = 3
bed = "North"
set_out = 2026-06-01

[[planting]]
name = "Cucumbers"
crop = "cucumber"
plants = 3
bed = "North"
set_out = 2026-06-05

[[planting]]
name = "Chard"
crop = "chard"
plants = 6
bed = "South"
sown = 2026-05-20

[[week]]
first = 2026-07-20
highs_c = [24, 25, 24, 23, 24, 25, 24]
lows_c = [13, 14, 14, 13, 12, 13, 14]

[[shelf]]
key = "soap"
name = "Shelf soap"
active = "soap"
form = "spray"
country = "GB"
sold_to_amateurs = true
re_entry_hours = 12

[shelf.crops.courgette]
pre_harvest_days = 3
"""
SPRAYED = datetime(2026, 7, 24, 20, 0)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plot on the evening of Friday 24 July, just after the spraying."""
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 7, 24, 20, 0, tzinfo=UTC))
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path, datetime(2026, 7, 20, 6, 0, tzinfo=UTC))
    return tmp_path


def spray(folder: Path, planting: str = "courgettes", product: str | None = "soap") -> str:
    done = Treatment((planting,), "soap", product, litres=1.0)
    return log(folder, done, SPRAYED).id


def now_closed(folder: Path) -> dict[str, Closed]:
    return {one.planting: one for one in plan(folder).closed if not one.planned}


def test_three_days_for_pickers_twelve_hours_for_all_in_the_bed(folder: Path) -> None:
    """The label's own lines: 3 days to picking, 12 hours to entering. Worked by hand."""
    spray(folder)
    found = now_closed(folder)
    assert set(found) == {"courgettes", "cucumbers"}  # the chard stands in another bed
    own, beside = found["courgettes"], found["cucumbers"]
    assert f"{own.picking.safe_from:%d %b %H:%M}" == "27 Jul 20:00"
    assert f"{own.entering.safe_from:%d %b %H:%M}" == "25 Jul 08:00"
    assert f"{beside.picking.safe_from:%d %b %H:%M}" == "25 Jul 08:00"
    assert f"{beside.entering.safe_from:%d %b %H:%M}" == "25 Jul 08:00"
    assert not own.entering.clear_now and not beside.entering.clear_now
    assert [(use.product, f"{use.at:%H:%M}") for use in own.uses] == [("soap", "20:00")]


def test_the_bed_opens_before_the_crop(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spray(folder)
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 7, 25, 9, 0, tzinfo=UTC))
    found = now_closed(folder)
    assert set(found) == {"courgettes"} and found["courgettes"].entering.clear_now
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 7, 27, 19, 1, tzinfo=UTC))
    assert now_closed(folder) == {}


def test_what_no_label_tells_of_never_opens(folder: Path) -> None:
    spray(folder, "chard")
    found = now_closed(folder)
    assert found["chard"].picking.safe_from is None and not found["chard"].picking.clear_now


def test_a_treatment_taken_back_is_called_off_in_the_calendar(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry = spray(folder)
    first = plan(folder)
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 7, 24, 20, 30, tzinfo=UTC))
    log(folder, Withdrawal("slip"), None, entry)
    second = plan(folder)
    held = calendar_items(second, "metric", plan_before(folder, second))
    off = {item.uid for item in held if item.called_off}
    assert second.closed == () and len(off) == 4
    assert off == {item.uid for item in calendar_items(first, "metric") if not item.busy}


def test_the_next_visit_closes_what_it_treats(
    make_demo: Callable[[Path], Shown], tmp_path: Path
) -> None:
    """On the invented plot, on the evening that it is shown, soap is planned."""
    made = make_demo(tmp_path / "plot").plan
    treated = {t.planting: t for t in made.visits[0].tasks if t.kind == "treat" and t.product}
    planned = {one.planting: one for one in made.closed if one.planned}
    assert treated and set(treated) <= set(planned)
    for key, task in treated.items():
        assert task.ends is not None and planned[key].picking.safe_from is not None
        assert planned[key].uses[-1].at == task.ends < planned[key].picking.safe_from
