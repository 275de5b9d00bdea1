"""What works for the grower is asked about as no trouble; what is clear is kept of several."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk import log_visit
from lattermath.desk.look import Looked, look
from lattermath.desk.look_parts import look_parts
from lattermath.desk.look_words import as_data, told
from lattermath.desk.start import start
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.sheets.page_instead import on_a_page
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting

DAY = date(2024, 8, 4)
PLOT = """
format = 1
[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
[[planting]]
name = "Cucumbers"
crop = "cucumber"
plants = 6
set_out = 2024-06-05
[[planting]]
name = "Kale"
crop = "kale"
plants = 6
set_out = 2024-06-05
"""


@pytest.fixture
def plot(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)
    return tmp_path


def looked(plot: Path, *seen: str, denied: tuple[str, ...] = ()) -> Looked:
    return look(plot, "Cucumbers", seen, denied, DAY)


@pytest.mark.parametrize(
    ("words", "enemy"),
    [
        ("yellow and black hoverflies", "hoverflies"),
        ("hover flies", "hoverflies"),
        ("striped hoverfly", "hoverflies"),
        ("red and black ladybirds", "ladybirds"),
        ("a lacewing", "lacewings"),
        ("two small ladybird larvae", "ladybird_larvae"),
    ],
)
def test_who_works_for_the_grower_is_told_and_never_asked_about(
    plot: Path, words: str, enemy: str
) -> None:
    one = looked(plot, words)
    lines = "\n".join(told(one))
    assert one.seen == () and as_data(one)["enemies"] == [enemy]
    assert "natural enemies" in lines and "May be behind it" not in lines
    assert "Not taken in" not in lines and "Not read" not in lines
    (note,) = look_parts(one).notes
    assert "lattermath" in note and "lattermath" not in on_a_page(note)


@pytest.mark.parametrize("words", ["yellow and black hoverflies", "red ladybirds"])
def test_the_log_takes_a_described_enemy_as_that_enemy(plot: Path, words: str) -> None:
    log_visit.log(plot, Sighting("cucumbers", words, "first seen"), datetime(2024, 8, 3, 19, 0))
    with open_journal(folder_at(plot)) as journal:
        last = list(journal.events())[-1].payload
    assert isinstance(last, Sighting) and last.what in ("hoverflies", "ladybirds")


def test_an_enemy_beside_a_pest_takes_nothing_from_the_pest(plot: Path) -> None:
    one = looked(plot, "aphids and hoverflies")
    assert one.seen == ("soft_insect_clusters",) and one.said.enemies == ("hoverflies",)
    assert one.said.unread == ()


def test_a_sign_that_only_names_an_enemy_stays_a_sign(plot: Path) -> None:
    eggs = looked(plot, "ladybird eggs")
    assert len(eggs.seen) == 1 and eggs.said.enemies == ()
    assert looked(plot, "aphid mummies").seen == ("soft_insect_clusters",)


def test_what_is_clear_is_kept_and_the_rest_is_asked_about(plot: Path) -> None:
    one = look(plot, "Kale", ("brown spots", "sticky leaves", "xyzzy"), ("white powder",), DAY)
    alone = look(plot, "Kale", ("sticky leaves",), ("white powder",), DAY)
    assert one.seen == alone.seen == ("honeydew_sticky",)
    assert one.not_seen == alone.not_seen != ()
    assert one.found.told.probabilities == pytest.approx(alone.found.told.probabilities)
    spots, strange = one.said.asked
    assert spots.value == "brown spots" and "say which" in spots.remedy
    assert strange.value == "xyzzy" and "not known" in strange.what
    lines = [line for line in told(one) if line.startswith("Not taken in")]
    assert len(lines) == 2 and "brown spots" in lines[0]
    assert [one["value"] for one in as_data(one)["asked"]] == ["brown spots", "xyzzy"]
    assert look_parts(one).asked == one.said.asked


def test_where_nothing_is_clear_all_of_it_is_asked_about_at_once(plot: Path) -> None:
    with pytest.raises(InputError) as refused:
        look(plot, "Kale", ("brown spots", "xyzzy"), (), DAY)
    assert [fault.value for fault in refused.value.faults] == ["brown spots", "xyzzy"]


def test_an_unclear_word_denied_does_not_undo_what_was_seen(plot: Path) -> None:
    one = look(plot, "Kale", ("sticky leaves",), ("xyzzy",), DAY)
    assert one.seen == ("honeydew_sticky",) and one.not_seen == ()
    (fault,) = one.said.asked
    assert fault.where == "--not" and fault.value == "xyzzy"
