from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from lattermath.doors.command import run
from lattermath.vocabulary.events import (
    Care,
    Payload,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
    Visit,
    Watering,
    Withdrawal,
)

CASES: list[tuple[str, Payload]] = [
    (
        "count Aubergines whitefly 12,0,3 --stage scales",
        Sighting("aubergines", "whitefly", "count", "scales", "underside", 3, (12, 0, 3)),
    ),
    (
        "count Aubergines whitefly 15 --leaves 10",
        Sighting("aubergines", "whitefly", "count", "", "underside", 10, total=15),
    ),
    (
        "none beans aphids --leaves 10",
        Sighting("beans", "aphids", "count", "", "underside", 10, total=0),
    ),
    (
        "shake Aubergines whitefly many",
        Sighting("aubergines", "whitefly", "shake", "adult", "whole", 1, level="many"),
    ),
    (
        "severity beans rust 12.5 --surface underside",
        Sighting("beans", "rust", "severity", "", "underside", percent=12.5),
    ),
    ("seen beans aphids", Sighting("beans", "aphids", "first seen", "", "whole")),
    (
        "treated Aubergines,beans soap --litres 1.5 --surfaces underside --coverage 0.9",
        Treatment(("aubergines", "beans"), "", "soft-soap", "", 1.5, ("underside",), 0.9),
    ),
    ("treated beans --method water_jet", Treatment(("beans",), "water_jet")),
    ("picked beans 2.1", Picking("beans", 2.1)),
    ("picked beans 800g", Picking("beans", 0.8)),
    ("picked beans --items 5", Picking("beans", None, 5)),
    ("watered 'bed C' 20", Watering(20, bed="bed-c")),
    ("watered beans 5", Watering(5, planting="beans")),
    ("watered 'bed C' 2cans", Watering(18, bed="bed-c")),
    ("sown chard 8 --lot cups-2", Sowing("chard", 8, lot="cups-2")),
    (
        "sown radish 40 --planting radish --bed 'bed C'",
        Sowing("radish", 40, None, "radish", "bed-c"),
    ),
    ("set-out new cucumber 4 --bed 'bed C'", SettingOut("new", "cucumber", 4, "bed-c")),
    ("pulled beans --plants 2 --to bag", Pulling("beans", 2, "bagged off the plot")),
    ("care beans 'tie in'", Care("beans", "tie in")),
    ("done t-3c2 --how not-done", TaskDone("t-3c2", "not done")),
    ("visit --minutes 70", Visit(70)),
]


def words(line: str) -> list[str]:
    import shlex

    return ["log", *shlex.split(line)]


@pytest.mark.parametrize(("line", "payload"), CASES, ids=[line for line, _ in CASES])
def test_words_of_the_work_become_one_entry(journal: Any, line: str, payload: Payload) -> None:
    assert run(words(line)) == 0
    assert journal.entries == [(Path(), payload, None, None)]


def test_a_treatment_is_answered_with_what_it_closes(
    journal: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    run(words("treated beans soap"))
    assert capsys.readouterr().out.endswith("\nBeans: closed.\n")


def test_pounds_and_gallons(journal: Any) -> None:
    run(words("picked beans 2 --units us"))
    run(words("watered 'bed C' 1gal"))
    weight, volume = (entry[1] for entry in journal.entries)
    assert weight.kg == pytest.approx(0.90718474)  # 2 lb, exact by definition
    assert volume.litres == pytest.approx(3.785411784)


def test_hour_and_folder_are_handed_on(journal: Any) -> None:
    run([*words("visit --at '2016-07-29 19:05'"), "--plot", "my-plot"])
    assert journal.entries == [(Path("my-plot"), Visit(), datetime(2016, 7, 29, 19, 5), None)]


def test_a_correction_supersedes(journal: Any) -> None:
    assert run(words("correct 17 count beans aphids 3,0 --stage adult")) == 0
    _, payload, _, supersedes = journal.entries[0]
    assert payload == Sighting("beans", "aphids", "count", "adult", "underside", 2, (3, 0))
    assert supersedes == "17"


def test_a_withdrawal_supersedes_and_the_next_entry_does_not(journal: Any) -> None:
    assert run(words("withdraw 17 --why 'wrong bed'")) == 0
    assert run(words("visit")) == 0
    assert [(p, s) for _, p, _, s in journal.entries] == [
        (Withdrawal("wrong bed"), "17"),
        (Visit(), None),
    ]


def test_the_answer_names_the_entry(journal: Any, capsys: pytest.CaptureFixture[str]) -> None:
    run(words("visit"))
    assert capsys.readouterr().out == "Logged as entry 17: sighting, 2016-07-29 19:05.\n"
    run(words("visit --json"))
    assert json.loads(capsys.readouterr().out)["serial"] == 17


@pytest.mark.parametrize(
    "line",
    [
        "count beans aphids 3,x",
        "count beans aphids -3",
        "count beans aphids 3,-2",
        "count nobody aphids 3",
        "count 'bed C' aphids 3",
        "severity beans rust 101",
        "treated beans soap --coverage 70",
        "picked beans 0",
        "watered 'bed C' 2buckets",
        "none beans aphids --leaves 0",
        "none beans aphids",
        "shake beans aphids lots",
        "picked beans",
        "picked beans 3stone",
        "sown chard 8",
        "sown chard 0 --lot a",
        "treated beans soap --surfaces roots",
        "visit --at yesterday",
        "correct 17 cuont beans aphids 3",
        "correct 17",
        "cuont beans aphids 3",
    ],
)
def test_wrong_words_log_nothing(
    journal: Any, line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    status = run(words(line))
    told = capsys.readouterr()
    assert (status, journal.entries, told.out) == (2, [], "")
    assert told.err.strip()


def test_one_error_shape(journal: Any, capsys: pytest.CaptureFixture[str]) -> None:
    run(words("count nobody aphids 3 --json"))
    assert json.loads(capsys.readouterr().err) == {
        "what": "no such name",
        "where": "plot.toml",
        "value": "nobody",
        "remedy": "Nearest: beans.",
    }
