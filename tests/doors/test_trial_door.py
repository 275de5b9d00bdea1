"""`lattermath trial`: a table and a sentence, JSON, and what is whole when it is broken off."""

from __future__ import annotations

import json

import pytest

from lattermath.desk import trial as desk_trial
from lattermath.desk.season_trial import Outcome
from lattermath.desk.trial import trial
from lattermath.desk.trial_plot import TrialPlot
from lattermath.desk.trial_report import report_of
from lattermath.doors.command import run

NAMES = ("nothing", "the plan")


def outcome(policy: str, seed: int, used: float) -> Outcome:
    return Outcome(policy, 2008 + seed, seed, 9, used, 0, 1, 0, 1, 0, 0, 0, 0, (), used, used)


@pytest.fixture
def seasons(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two policies; whoever asks for a third season stops the program, halfway through it."""

    def play_season(number: int, *given: object):  # type: ignore[no-untyped-def]
        if given[-1] is not None:
            assert isinstance(given[-1], TrialPlot)
            assert given[-1].organisms == ()
        for policy, used in zip(NAMES, (4.0, 6.0), strict=True):
            if number == 2 and policy == "the plan":
                raise KeyboardInterrupt
            yield outcome(policy, number, used + number)

    monkeypatch.setattr(desk_trial, "play_season", play_season)


@pytest.mark.usefixtures("seasons")
def test_a_table_a_drawing_and_where_the_plan_loses(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["trial", "--seasons", "2"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("2 seasons, weather of 2008 to 2009")
    assert "the plan to" in out
    assert out.rstrip().endswith("The plan loses nowhere.")


@pytest.mark.usefixtures("seasons")
def test_json_holds_means_intervals_and_every_season(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["trial", "--seasons", "2", "--ground-only", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["seasons"] == 2
    (beside,) = found["beside"]
    assert beside["policy"] == "nothing"
    assert beside["used"]["mean"] == 2.0
    assert len(found["outcomes"]) == 4


@pytest.mark.usefixtures("seasons")
def test_broken_off_it_says_what_is_whole(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["trial", "--seasons", "5"]) == 130
    assert capsys.readouterr().out.startswith("2 seasons")


@pytest.mark.usefixtures("seasons")
def test_progress_ends_whole_and_no_season_is_refused(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(desk_trial, "policies", lambda product: [None, None])
    told: list[tuple[str, float]] = []
    trial(2, progress=lambda words, share: told.append((words, share)))
    assert [share for _, share in told] == [0.25, 0.5, 0.75, 1.0]
    assert told[-1][0] == "season 2 of 2, 2009: the plan"
    assert run(["trial", "--seasons", "0"]) == 2
    assert "Write 1 to" in capsys.readouterr().err


def test_nothing_whole_is_said() -> None:
    assert report_of([], interrupted=True).seasons == 0
