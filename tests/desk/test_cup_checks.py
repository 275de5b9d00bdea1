"""A look at cups, from the door to the lot: what came up is what there is, till it is undone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.desk.test_log_checks import EVENING, NOW, PLOT

from lattermath.desk import clock
from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.start import start
from lattermath.doors.command import run
from lattermath.doors.web.api_entries import Cups
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.log_forms import BY_KEY, Asked
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import CupCheck, Withdrawal

ID = "019cdb6d-0000-7000-8000-000000000001"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: NOW)
    tmp_path.joinpath("plot.toml").write_text(PLOT, encoding="utf-8")
    start(tmp_path, datetime(2026, 7, 20, 8, 0, tzinfo=UTC))
    return tmp_path


def plants(folder: Path) -> Mapping[str, int]:
    return {lot.key: lot.plants for lot in plot_now(folder).lots}


def test_what_came_up_is_what_there_is_until_more_come_or_it_is_taken_back(folder: Path) -> None:
    assert plants(folder)["lot-1"] == 5
    log(folder, CupCheck("lot-1", 3, 5, "few"), EVENING)
    assert plants(folder)["lot-1"] == 3
    later = log(folder, CupCheck("lot-1", 4, 5), EVENING.replace(day=28))
    assert plants(folder)["lot-1"] == 4
    log(folder, Withdrawal("miscounted"), supersedes=str(later.serial))
    lot = next(one for one in plot_now(folder).lots if one.key == "lot-1")
    assert lot.plants == 3 and [one.roots for one in lot.looks] == ["few"]
    log(folder, CupCheck("lot-2", 1, 2), EVENING)
    assert plants(folder)["lot-2"] == 4  # two of four cups say nothing certain of the others


def test_the_words_of_the_work_become_the_entry(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--plot", str(folder), "--at", "2026-07-25 19:00"]
    line = ["log", "cups", "Spare cucumbers", "--up", "4", "--roots", "coiled"]
    assert run([*line, *at]) == 0
    assert "Spare cucumbers in cups: 4 of 5 came up, roots coiled" in capsys.readouterr().out
    for wrong in (["--up", "9", "--of", "3"], [], ["--roots", "lots"]):
        assert run(["log", "cups", "Spare cucumbers", *wrong, *at]) == 2
        assert capsys.readouterr().err


def test_form_and_program_say_the_same(folder: Path) -> None:
    plot = plot_now(folder)
    asked, same = Asked(plot, "metric", {}), CupCheck("lot-2", 3, 4, "filling")
    told = [("lot", "lot-2"), ("up", "3"), ("roots", "filling")]
    assert BY_KEY["cups"].read(Filled(told), asked) == same
    assert [one.name for one in BY_KEY["cups"].blanks(asked)] == ["lot", "up", "of", "roots"]
    sent = {"kind": "cups", "id": ID, "lot": "Spare courgettes", "up": 3, "roots": "filling"}
    assert Cups.model_validate(sent).payload(plot) == same
    with pytest.raises(InputError):
        BY_KEY["cups"].read(Filled([("lot", "lot-2"), ("roots", "lots")]), asked)
