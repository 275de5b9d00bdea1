"""The day of a plan is the plot's own, wherever on earth it lies; whole days count."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from lattermath.desk import clock
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.vocabulary.errors import InputError, PlotFileError
from lattermath.vocabulary.events import Treatment

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
name = "Far Plot"
latitude = -36.9
longitude = 174.8
time_zone = "Pacific/Auckland"
usual_first_frost = "06-15"
country = "NZ"

[[planting]]
name = "Courgettes"
crop = "courgette"
plants = 3
set_out = 2026-11-01

[[week]]
first = 2026-11-20
highs_c = [21, 22, 22, 23, 22, 21]
lows_c = [13, 14, 14, 13, 12, 13]

[[shelf]]
key = "soap"
name = "Soap"
active = "soap"
form = "spray"
country = "NZ"
sold_to_amateurs = true
re_entry_hours = 4

[shelf.crops.courgette]
pre_harvest_days = 3
"""
MORNING = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)  # Thursday 26 November, 07:00, in Auckland


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: MORNING)
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path, datetime(2026, 11, 20, 6, 0, tzinfo=UTC))
    return tmp_path


def cleared(folder: Path, on: date | None = None) -> datetime:
    (clearance,) = plan(folder, on).picking
    assert not clearance.clear_now and clearance.safe_from is not None
    return clearance.safe_from.replace(tzinfo=None)


def test_a_label_mended_this_morning_moves_the_clearance(folder: Path) -> None:
    log(folder, Treatment(("courgettes",), "", "soap"), datetime(2026, 11, 25, 20, 0))
    assert cleared(folder) == datetime(2026, 11, 28, 20, 0)
    text = PLOT.replace("pre_harvest_days = 3", "pre_harvest_days = 10")
    (folder / "plot.toml").write_text(text, "utf-8")
    start(folder)
    assert cleared(folder) == datetime(2026, 12, 5, 20, 0)


def test_the_plan_is_of_the_plots_own_day(folder: Path) -> None:
    assert plan(folder).as_of.date() == date(2026, 11, 26)


def test_a_treatment_of_the_same_evening_counts(folder: Path) -> None:
    log(folder, Treatment(("courgettes",), "", "soap"), datetime(2026, 11, 24, 20, 1))
    assert cleared(folder, date(2026, 11, 24)) == datetime(2026, 11, 27, 20, 1)


def test_nothing_is_said_years_ahead(folder: Path) -> None:
    with pytest.raises(InputError, match="so far ahead"):
        plan(folder, date(2300, 1, 1))


def test_the_mark_some_editors_put_first_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "plot.toml").write_bytes(b"\xef\xbb\xbf" + PLOT.encode())
    assert start(tmp_path).events


def test_a_file_that_is_no_text_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "plot.toml").write_bytes("name = 'Café'".encode("latin-1"))
    with pytest.raises(PlotFileError, match="UTF-8"):
        start(tmp_path)
