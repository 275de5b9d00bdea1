"""What a grower writes down is taken as it was said, or asked about: lists, firsts, blackfly."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk import since_last
from lattermath.desk.stand_ins import named_as
from lattermath.desk.start import start
from lattermath.desk.what_was_seen import settled
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors.command import run
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
PLOT = """
format = 1
[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
""" + "".join(
    f'[[planting]]\nname = "{name}"\ncrop = "{crop}"\nplants = 12\nset_out = 2024-06-05\n'
    for name, crop in (
        ("Beans", "runner bean"), ("Beet", "beetroot"), ("Spinach", "spinach"), ("Chard", "chard"),
        ("Cabbages", "cabbage"), ("Tomatoes", "tomato"), ("Aubergines", "eggplant"),
    )
)  # fmt: skip


@pytest.fixture
def plot(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)
    return tmp_path


def logged(folder: Path, *words: str) -> Sighting:
    """The entry that a command wrote."""
    assert run(["log", *words, "--plot", str(folder)]) == 0
    with open_journal(folder_at(folder)) as journal:
        seen = journal.events()[-1].payload
    assert isinstance(seen, Sighting)
    return seen


def refused(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["log", *words, "--plot", str(folder)]) != 0
    return capsys.readouterr().err


@pytest.mark.parametrize(
    ("numbers", "leaves", "looked_at", "counts", "total"),
    [
        ("12,3", "2", 2, (12, 3), None),  # a list of that length stays a list
        ("15", "10", 10, (), 15),  # one number is the sum
        ("4", "1", 1, (), 4),
        ("12,0,3", "", 3, (12, 0, 3), None),
    ],
)
def test_a_list_is_of_its_own_leaves_and_one_number_is_their_sum(
    plot: Path,
    numbers: str,
    leaves: str,
    looked_at: int,
    counts: tuple[int, ...],
    total: int | None,
) -> None:
    of = ["--leaves", leaves] if leaves else []
    seen = logged(plot, "count", "tomatoes", "whitefly", numbers, *of)
    assert (seen.looked_at, seen.counts, seen.total) == (looked_at, counts, total)


def test_a_list_of_another_length_is_asked_about(
    plot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two numbers of ten leaves may be two leaves, or two that had any: nobody can say."""
    says = refused(plot, capsys, "count", "tomatoes", "whitefly", "12,3", "--leaves", "10")
    assert "2 numbers for 10 leaves" in says and "12,3" in says
    assert "their sum, 15" in says and "leave --leaves out" in says
    by_plant = ("count", "cabbages", "caterpillars", "1,0,2", "--plants", "8")
    assert "3 numbers for 8 plants" in refused(plot, capsys, *by_plant)


def test_a_refusal_names_what_was_typed(plot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("card", "tomatoes", "aphids", "5", "--days", "7"),
                  ("severity", "tomatoes", "aphids", "5")):  # fmt: skip
        says = refused(plot, capsys, *words)
        assert "found: aphids" in says and "melon" not in says


@pytest.mark.parametrize(
    "words", ["first flea beetle", "the first flea beetles", "First seen flea beetle"]
)
def test_the_first_of_a_thing_is_that_thing(plot: Path, words: str) -> None:
    seen, plain = (logged(plot, "seen", "tomatoes", said) for said in (words, "flea beetle"))
    assert seen.what == plain.what and seen.measure == "first seen"


def test_first_stays_where_it_belongs_to_the_words(plot: Path) -> None:
    assert logged(plot, "seen", "tomatoes", "first leaves yellow").what == "first leaves yellow"


@pytest.mark.parametrize("word", ["blackfly", "black fly", "Blackflies", "black aphids"])
@pytest.mark.parametrize("planting", ["beans", "beet", "spinach", "chard"])
def test_blackfly_is_the_black_bean_aphid_where_it_lives(
    plot: Path, planting: str, word: str
) -> None:
    """Beans, beet, spinach and chard are its summer hosts; memory."""
    seen = logged(plot, "count", planting, word, "12,0,3")
    assert seen.what == "aphid" and named_as(seen, TABLES.crosswalk) == "black bean aphid"


@pytest.mark.parametrize(("planting", "word"), [("tomatoes", "blackfly"), ("beans", "greenfly"),
                                                ("beans", "aphids")])  # fmt: skip
def test_elsewhere_and_of_other_words_aphids_are_aphids(
    plot: Path, planting: str, word: str
) -> None:
    assert named_as(logged(plot, "count", planting, word, "12,0,3"), TABLES.crosswalk) == ""


@pytest.mark.parametrize(
    ("planting", "reaches"), [("beans", True), ("beet", True), ("cabbages", False)]
)
def test_what_keeps_to_its_kin_is_no_reason_for_work_on_others(
    planting: str, *, reaches: bool
) -> None:
    """Blackfly of beans was once told as the reason for jets on cabbages."""
    crops = {"beans": "runner_bean", "beet": "beet", "cabbages": "cabbage"}
    plantings = tuple(Planting(key, key, crop, 9) for key, crop in crops.items())
    held: Any = SimpleNamespace(plantings=plantings)
    seen = settled(Sighting("beans", "blackfly", "count", looked_at=1, counts=(9,)), held, TABLES)
    event: Any = SimpleNamespace(payload=seen, day=date(2024, 7, 1))
    facts: Any = SimpleNamespace(plot=held, tables=TABLES)
    assert since_last._reaches(event, planting, facts) is reaches
