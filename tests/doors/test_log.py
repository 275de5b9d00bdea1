from __future__ import annotations

import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from lattermath.doors import asking
from lattermath.doors.command import run
from lattermath.vocabulary.errors import InputError
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
        "count Aubergines whitefly '7 of 10' --stage eggs",
        Sighting("aubergines", "whitefly", "some", "eggs", "underside", 10, total=7),
    ),
    (
        "count Aubergines whitefly many --leaves 10",
        Sighting("aubergines", "whitefly", "count", "", "underside", 10, level="many"),
    ),
    (
        "severity beans rust few --leaves 10",
        Sighting("beans", "rust", "severity", "", "top", 10, level="few"),
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
        "card Aubergines whitefly 14,9 --days 7",
        Sighting("aubergines", "whitefly", "card", "adult", "whole", 2, (14, 9), days=7),
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
    ("sown chard 8 cups --lot spare", Sowing("chard", 8, lot="spare")),
    ("sown chard 8 'bed C' --planting leaf", Sowing("chard", 8, None, "leaf", "bed-c")),
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
    assert capsys.readouterr().out == "Logged as entry 17.\n"
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
        "sown chard 8 --lot a --planting b",
        "sown chard 8 cups --planting b",
        "sown chard 8 'no such bed'",
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
        "what": "there is no such planting",
        "where": "planting",
        "value": "nobody",
        "remedy": "There are: aubergines, beans.",
    }


@pytest.mark.parametrize(
    ("typed", "kg"),
    [
        ("2lbs", 0.90718474),  # a pound is 0.45359237 kg by definition
        ("2 lb", 0.90718474),
        ("2 pounds", 0.90718474),
        ("8 oz", 0.226796185),  # 28.349523125 g by definition
        ("1,5 kg", 1.5),
        ("1.5kilos", 1.5),
        ("800 grams", 0.8),
        (".5", 0.5),
    ],
)
def test_weights_as_people_type_them(journal: Any, typed: str, kg: float) -> None:
    assert run(["log", "picked", "beans", typed]) == 0
    assert run(["log", "picked", "beans", *typed.split(), "--items", "3"]) == 0
    quoted, loose = (entry[1] for entry in journal.entries)
    assert quoted.kg == pytest.approx(kg) and loose.kg == pytest.approx(kg)
    assert loose.items == 3


@pytest.mark.parametrize(
    ("typed", "litres"),
    [
        ("10 liters", 10.0),
        ("10 litres", 10.0),
        ("10l", 10.0),
        ("2 cans", 18.0),  # a can of this plot holds 9 litres
        ("1 can", 9.0),
        ("2,5 cans", 22.5),
        ("500 ml", 0.5),
        ("2 gallons", 7.570823568),  # 3.785411784 l by definition
    ],
)
def test_volumes_as_people_type_them(journal: Any, typed: str, litres: float) -> None:
    assert run(["log", "watered", "bed C", *typed.split()]) == 0
    assert journal.entries[0][1].litres == pytest.approx(litres)


@pytest.mark.parametrize("typed", ["15", "15%", "15 %", "15,0", "15 percent"])
def test_shares_as_people_type_them(journal: Any, typed: str) -> None:
    assert run(["log", "severity", "beans", "rust", typed]) == 0
    assert journal.entries[0][1].percent == 15


@pytest.mark.parametrize(
    ("line", "where", "shown"),
    [
        ("picked beans abc", "weight", "2.1, 800g or 4 lb"),
        ("picked beans '2 pints'", "weight", "kg, g, lb, oz"),
        ("picked beans 1,500g", "weight", "1.500 or 1500"),
        ("watered 'bed C' 3 pints", "water", "cans"),
        ("treated beans soap --litres '2 cans'", "water", "0.4gal"),
        ("severity beans rust lots", "percent", "15%"),
        ("count beans aphids 3,x", "counts", "12,0,3"),
        ("visit --minutes x", "lattermath log visit, --minutes", "12"),
        ("shake beans whitefly lots", "lattermath log shake, level", "few"),
        ("count beans aphids", "lattermath log count", "--help"),
        ("visit --minuts 3", "lattermath log visit", "--minutes"),
        ("cuont beans aphids 3", "lattermath log", "count"),
        ("count next door aphids 3", "lattermath log count", "quotes"),
        ("none beans aphids --leaves ten", "lattermath log none, --leaves", "12"),
    ],
)
def test_what_cannot_be_read_is_refused_in_the_one_shape(
    journal: Any, line: str, where: str, shown: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(words(line)) == 2
    told = capsys.readouterr().err
    assert told.startswith(f"{where}: ") and "(found: " in told and shown in told
    assert told.count("\n") == 1 and not journal.entries
    assert run([*words(line), "--json"]) == 2
    assert set(json.loads(capsys.readouterr().err)) == {"what", "where", "value", "remedy"}


def test_a_picking_is_answered_with_its_caution(
    journal: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    run(words("picked beans 1"))
    assert capsys.readouterr().out.endswith("\nBeans: too early.\n")
    run(words("picked beans 1 --json"))
    assert json.loads(capsys.readouterr().out)["says"][-1] == "Beans: too early."


def test_the_known_words_are_listed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["log", "words", "--plot", str(tmp_path)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    for word in ("courgette", "whitefly", "powdery mildew", "water jet"):
        assert word in out


@pytest.mark.parametrize("said", ("few", "heavy", "3.5"))
def test_a_card_is_not_offered_the_class_that_it_refuses(said: str) -> None:
    with pytest.raises(InputError) as refused:
        asking.caught(said)
    assert not re.search("none|few|many|heavy|leaf", refused.value.faults[0].remedy)
    assert asking.caught("14, 9") == (14, 9)
