"""What `weather` says of a file as people have them: gaps, slips, wrong years, and twice."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from lattermath.desk import clock
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import LattermathError
from lattermath.vocabulary.events import WeatherTaken

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
latitude = 52.2
longitude = 0.1
time_zone = "Europe/London"
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 7, 25, 9, 0, tzinfo=UTC))
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)
    return tmp_path


def told(folder: Path, *rows: str, **asked: object) -> str:
    (folder / "d.csv").write_text("\n".join(rows), "utf-8")
    return "\n".join(take(folder, "d.csv", **asked).says)  # type: ignore[arg-type]


HEAD = "date,tmin_c,tmax_c"
GOOD = ("2026-07-01,12,22", "2026-07-02,13,23")


def test_gaps_are_counted(folder: Path) -> None:
    said = told(folder, HEAD, *GOOD, "2026-07-05,11,20", "2026-07-06,,20")
    assert "3 days of 6 without a low or a high" in said  # the 3rd, the 4th and the 6th
    assert "without a low" not in told(folder, HEAD, *GOOD)


def test_a_bad_cell_is_set_aside_and_said(folder: Path) -> None:
    said = told(folder, HEAD, *GOOD, "2026-07-03,13,x23", "2026-07-4x,13,23")
    assert "2 cells were set aside" in said and "line 5" in said and "Took in 3 days" in said


def test_a_file_of_bad_cells_is_refused(folder: Path) -> None:
    with pytest.raises(LattermathError, match="no number"):
        told(folder, HEAD, "2026-07-01,a,b", "2026-07-02,c,d", "2026-07-03,13,23")


def test_days_to_come_are_no_readings(folder: Path) -> None:
    said = told(folder, HEAD, *GOOD, "2030-07-02,13,23")
    assert "1 day from 2030-07-02 on: set aside" in said and "Took in 2 days" in said
    said = told(folder, HEAD, "2026-07-26,13,23", "2030-07-02,13,23", forecast=True)
    assert "1 day from 2030-07-02 on" in said and "Took in 1 day " in said
    with pytest.raises(LattermathError, match="no day of this file has come"):
        told(folder, HEAD, "2030-07-02,13,23")


def test_the_same_file_twice_is_written_once(folder: Path) -> None:
    told(folder, HEAD, *GOOD)
    assert "taken in before, on 2026-07-25" in told(folder, HEAD, *GOOD)
    assert "Took in" in told(folder, HEAD, "2026-07-01,10,20")
    with open_journal(folder_at(folder)) as journal:
        taken = [e for e in journal.events() if isinstance(e.payload, WeatherTaken)]
    assert len(taken) == 2


def test_a_fahrenheit_value_is_said_as_written(folder: Path) -> None:
    said = told(
        folder, "date,tmin_f,tmax_f", "2026-07-01,60,210", "2026-07-02,60,80", "2026-07-03,61,81"
    )
    assert "210 °F" in said and "98.9" not in said


def test_a_diary_without_lows_is_remarked(folder: Path) -> None:
    assert "no column of lows" in told(folder, "date,tmax_c", "2026-07-01,22")


@pytest.mark.parametrize(("form", "fits"), [("diary", True), ("ghcn-daily", False)])
def test_a_form_may_be_named_shortly(folder: Path, form: str, fits: bool) -> None:
    if fits:
        assert "Took in 2 days" in told(folder, HEAD, *GOOD, form=form)
    else:
        with pytest.raises(LattermathError, match="not of that form"):
            told(folder, HEAD, *GOOD, form=form)


def test_units_said_twice_must_agree(folder: Path) -> None:
    rows = ("# units: C, mm", "date,tmin,tmax", *GOOD)
    with pytest.raises(LattermathError, match="says otherwise"):
        told(folder, *rows, units="us")
    assert "°C" in told(folder, *rows, units="metric")


def test_a_folder_is_named_in_its_refusal(folder: Path) -> None:
    with pytest.raises(LattermathError, match=r"this is a folder \(found: \.\)"):
        take(folder, ".")


def test_a_typical_year_is_told_as_usual_months_and_not_written_down(folder: Path) -> None:
    """What it says can be pasted into plot.toml, and a plan then rests on those months."""
    head = "LOCATION,Exampleton,XX,GBR,TMY3,999990,51.76,-1.26,0.0,63.0\n" + "X\n" * 6
    rows = "".join(
        f"2009,{month},{day},{hour},60,?9,{(month if hour < 13 else month + 8) - 0.04},11,86"
        + ",0" * 12
        + ",2.1"
        + ",0" * 11
        + ",0.1,1\n"
        for month in range(1, 13)
        for day in range(1, 29)
        for hour in range(1, 25)
    )
    text = head + "DATA PERIODS,1,1,Data,Sunday,1/1,12/31\n" + rows
    (folder / "year.epw").write_text(text, "utf-8")
    taken = take(folder, "year.epw")
    assert taken.event is None
    with open_journal(folder_at(folder)) as journal:
        assert not [e for e in journal.events() if isinstance(e.payload, WeatherTaken)]
    said = taken.says[taken.says.index("[normals]") :]
    assert said[1] == f"highs_c = [{', '.join(f'{month + 8:.1f}' for month in range(1, 13))}]"
    assert said[3].startswith("# rain_mm = [67, ")  # 28 days of 24 hours of 0.1 mm
    week = "\n[[week]]\nfirst = 2026-07-24\nhighs_c = [24]\nlows_c = [13]\n"
    crop = "\n[[planting]]\ncrop = 'courgette'\nset_out = 2026-06-01\n"
    (folder / "plot.toml").write_text("\n".join([PLOT, *said, week, crop]), "utf-8")
    made = plan(folder)
    assert made.visits and made.stamp.weather
