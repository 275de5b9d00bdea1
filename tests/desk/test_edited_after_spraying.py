"""Edits of the plot file after a spray: other names, lowered label lines. They clear nothing early.

All is invented. Soap of 7 days was used on the courgettes on Monday evening, 1 August 2016.
"""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk import clock
from lattermath.desk.keepers import check
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.shelf_rulings import shelf_rulings
from lattermath.desk.taking_back import take_back
from lattermath.doors.command import run
from lattermath.record.journal import Journal
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import PlotRow, Pulling, Treatment
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

SOAP = """
[[planting]]
name = "Radish"
crop = "radish"
bed = "North"
plants = 40
sown = 2016-07-10

[[shelf]]
key = "soap"
name = "Shelf soap"
active = "soap"
re_entry_hours = 40
[shelf.crops.courgette]
pre_harvest_days = 7
retreat_days = 7
season_max = 3
"""
PLOT = HOLLOW.format(
    place=NORTH, visiting='days = ["tue", "sat"]', courgettes=3, more=SOAP, week=MILD
)
SPRAYED = datetime.fromisoformat("2016-08-01T19:00:00+01:00")
TUESDAY = date(2016, 8, 2)
CLEAR = datetime.fromisoformat("2016-08-08T19:00:00+01:00")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: datetime.fromisoformat("2016-08-02T08:00:00+00:00"))
    folder = begun(tmp_path, PLOT)
    log(folder, Treatment(("courgettes",), "soap", "soap"), SPRAYED)
    return folder


def edited(folder: Path, *changes: tuple[str, str]) -> Plan:
    text = (folder / "plot.toml").read_text("utf-8")
    for was, now in changes:
        assert was in text
        text = text.replace(was, now)
    (folder / "plot.toml").write_text(text, "utf-8")
    return plan(folder, TUESDAY)


def picking(made: Plan) -> dict[str, tuple[bool, datetime | None]]:
    return {one.planting: (one.clear_now, one.safe_from) for one in made.picking}


RENAMED = ('name = "Courgettes"', 'name = "Green courgettes"')


def test_another_name_clears_nothing(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert picking(plan(folder, TUESDAY))["courgettes"] == (False, CLEAR)
    made = edited(folder, RENAMED)
    assert picking(made)["green-courgettes"] == (False, CLEAR)
    assert not [
        t
        for v in made.visits
        for t in v.tasks
        if t.kind == "pick" and t.planting == "green-courgettes" and v.date < CLEAR.date()
    ]
    told = [w for w in made.warnings if "no longer in plot.toml" in w]
    assert len(told) == 1 and 'give that planting key = "courgettes"' in told[0]
    shown = " ".join(text_sheet(made, "Hollow").split())
    assert "MIND" in shown.upper() and "Courgettes, sprayed on Mon 1 Aug" in shown
    kept = dict(shelf_rulings(folder, TUESDAY).picking)
    assert not kept["Green courgettes"].clear_now
    assert run(["check", "--plot", str(folder)]) == 1
    assert "no longer in plot.toml" in "".join(capsys.readouterr())


def test_check_reads_the_file_before_any_plan(folder: Path) -> None:
    assert check(folder).faults == ()
    text = (folder / "plot.toml").read_text("utf-8").replace(*RENAMED)
    (folder / "plot.toml").write_text(text, "utf-8")
    assert [fault.value for fault in check(folder).faults] == ["courgettes"]


def test_its_old_key_settles_it(folder: Path) -> None:
    edited(folder, RENAMED)
    made = edited(folder, (RENAMED[1], f'{RENAMED[1]}\nkey = "courgettes"'))
    assert picking(made)["courgettes"] == (False, CLEAR)
    assert not [w for w in made.warnings if "no longer" in w]
    assert check(folder).faults == ()


def test_a_planting_that_was_pulled_is_not_missed(folder: Path) -> None:
    log(folder, Pulling("courgettes"), datetime.fromisoformat("2016-08-02T07:00:00+01:00"))
    text = (folder / "plot.toml").read_text("utf-8")
    start, end = (
        text.index('[[planting]]\nname = "Courgettes"'),
        text.index('[[planting]]\nname = "Radish"'),
    )
    (folder / "plot.toml").write_text(text[:start] + text[end:], "utf-8")
    assert check(folder).faults == ()
    assert not [w for w in plan(folder, TUESDAY).warnings if "no longer" in w]


def test_a_bed_under_another_name_stays_closed(folder: Path) -> None:
    """Re-entry until Wednesday 11:00; the planner and the audit agree, and a sheet is shown."""
    made = edited(folder, ('name = "North"', 'name = "Top"'), ('bed = "North"', 'bed = "Top"'))
    assert picking(made)["courgettes"] == (False, CLEAR)
    clear, until = picking(made)["radish"]
    assert (clear, until) == (False, datetime.fromisoformat("2016-08-03T11:00:00+01:00"))


def test_bed_and_planting_under_other_names(folder: Path) -> None:
    made = edited(
        folder, RENAMED, ('name = "North"', 'name = "Top"'), ('bed = "North"', 'bed = "Top"')
    )
    assert picking(made)["green-courgettes"] == (False, CLEAR)
    assert not picking(made)["radish"][0]


LOWERED = ("pre_harvest_days = 7", "pre_harvest_days = 0")


def test_a_lowered_label_line_clears_nothing(folder: Path) -> None:
    made = edited(folder, LOWERED, ("re_entry_hours = 40", "re_entry_hours = 4"))
    assert picking(made)["courgettes"] == (False, CLEAR)
    assert picking(made)["radish"] == (False, datetime.fromisoformat("2016-08-03T11:00:00+01:00"))
    (bar,) = [b for one in made.picking if one.planting == "courgettes" for b in one.barred_by]
    assert "Its label was changed since" in bar.says


@pytest.mark.parametrize("days", [0, 14])
def test_the_label_is_named_as_what_changed(
    folder: Path, monkeypatch: pytest.MonkeyPatch, days: int
) -> None:
    """Two hours later: that the hours have passed is no reason where a label was changed."""
    plan(folder)
    monkeypatch.setattr(clock, "now", lambda: datetime.fromisoformat("2016-08-02T10:00:00+00:00"))
    edited(folder, ("pre_harvest_days = 7", f"pre_harvest_days = {days}"))
    made = plan(folder)
    assert made.since is not None
    causes = {b.says for one in made.since.changes for b in one.because}
    assert not [says for says in causes if "hours have passed" in says]
    if days:
        ours = [one for one in made.since.changes if one.planting == "courgettes"]
        assert [
            b for one in ours for b in one.because if "label of Shelf soap was changed" in b.says
        ]


def test_a_slip_of_the_pen_can_be_taken_back(folder: Path) -> None:
    edited(folder, LOWERED)
    with Journal.open(folder / "lattermath.journal") as journal:
        rows = [e for e in journal.events() if isinstance(e.payload, PlotRow)]
    first, second = (e for e in rows if e.payload.section == "shelf")
    with pytest.raises(InputError):
        take_back(folder, str(second.serial))
    take_back(folder, str(first.serial))
    clear, until = picking(plan(folder, TUESDAY))["courgettes"]
    assert (clear, until) == (False, datetime.fromisoformat("2016-08-03T11:00:00+01:00"))
