"""What was seen is said by its name in the tables, never by an id."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.look import look
from lattermath.desk.look_words import told
from lattermath.desk.start import start
from lattermath.knowledge.tables import load_tables
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
