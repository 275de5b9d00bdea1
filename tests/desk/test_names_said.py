"""What was seen is said by its name in the tables, never by an id."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.look import look
from lattermath.desk.look_words import told
from lattermath.desk.start import start
from lattermath.knowledge.tables import load_tables
from lattermath.sheets.page_instead import on_a_page
from lattermath.vocabulary.events import Sighting

TABLES = load_tables()
PLOT = """
format = 1
[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
[[planting]]
name = "Basil"
crop = "basil"
plants = 6
set_out = 2024-06-05
[[planting]]
name = "Mint"
crop = "chard"
plants = 6
set_out = 2024-06-05
"""


@pytest.fixture
def plot(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)
    return tmp_path


def test_everything_that_can_be_seen_is_logged_back_by_its_name(plot: Path) -> None:
    named = {**TABLES.organisms, **TABLES.diseases, **TABLES.enemies}
    for minute, (key, row) in enumerate(named.items()):
        at = datetime(2024, 8, 1, 10 + minute // 60, minute % 60)
        event = log(plot, Sighting("basil", key, "first seen"), at)
        (says, *_) = echo(plot, event)
        assert f"{row.name} seen on basil" in says and "_" not in says


def test_a_look_writes_down_a_disease_by_its_name_and_reads_it_back(plot: Path) -> None:
    lines = "\n".join(told(look(plot, "Basil", ("grey down under leaves",), (), date(2024, 8, 4))))
    assert 'log seen basil "downy mildew of basil"' in lines and "_" not in lines
    assert TABLES.crosswalk.seen_as("downy mildew of basil") == "basil_downy_mildew"


def test_a_correction_says_what_it_stands_for_and_asks_where_place_and_kind_are_others(
    plot: Path,
) -> None:
    """A slip in the number of an entry would else take another one away without a word."""
    noted = log(plot, Sighting("basil", "strange bumps", "first seen"), datetime(2024, 8, 1, 10))
    look = Sighting("mint", "aphids", "count", looked_at=10, counts=(0,) * 10)
    (says, *more) = echo(plot, slip := log(plot, look, supersedes=str(noted.serial)))
    assert f"Logged as entry {slip.serial}" in says
    assert (
        more[0]
        == f"Instead of entry {noted.serial}: strange bumps seen on basil, 2024-08-01 10:00."
    )
    assert more[1].startswith(f"Was entry {noted.serial} meant?")
    assert f"lattermath log withdraw {slip.serial}." in more[1]
    assert on_a_page(more[1]).count("lattermath") == 0
    for meant in (replace(look, planting="basil"), replace(look, what="thrips")):
        right = log(plot, meant, supersedes=str(slip.serial))  # one of the two is the same
        said = echo(plot, right)
        assert said[1].startswith(f"Instead of entry {slip.serial}: no aphids on 10 leaves of mint")
        assert not any("meant?" in line for line in said)
        slip = log(plot, look, datetime(2024, 8, 2, 10))
