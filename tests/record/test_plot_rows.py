from __future__ import annotations

import re
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from lattermath.record.plot_file import PlotFile, read_plot_file
from lattermath.record.plot_rows import differences, rows_of
from lattermath.record.read_back import days_typed, plot_as_of
from lattermath.vocabulary.events import PlotRow, Pulling, SettingOut

TEXT = Path(__file__).with_name("full_plot.toml").read_text("utf-8")
AT = datetime(2026, 7, 25, 12, tzinfo=UTC)


@pytest.fixture
def read(crop_of):
    def reader(text: str, today: date = date(2026, 7, 25)) -> PlotFile:
        return read_plot_file(text, today=today, crop_of=crop_of)

    return reader


@pytest.fixture
def started(read, write):
    for row in rows_of(read(TEXT)):
        write(row, at=AT)
    return write


def addresses(rows: tuple[PlotRow, ...]) -> list[str]:
    return [f"{'-' if row.row is None else ''}{row.section}/{row.key}" for row in rows]


def test_an_unchanged_file_makes_no_entries(journal, started, read) -> None:
    assert differences(journal.events(), read(TEXT)) == ()
    assert differences(journal.events(), read(TEXT, date(2026, 9, 30))) == ()
    commented = "# a note to myself\n" + TEXT.replace("minutes = 60", "minutes = 60  # an hour")
    assert differences(journal.events(), read(commented)) == ()


def test_all_of_it_is_new_to_an_empty_journal(journal, read) -> None:
    file = read(TEXT)
    assert differences(journal.events(), file) == rows_of(file)


@pytest.mark.parametrize(
    ("old", "new", "changed"),
    [
        ('vigour = "tired"', 'vigour = "worn"', ["planting/beans-on-poles"]),
        ("pre_harvest_days = 1", "pre_harvest_days = 3", ["shelf/example-soap"]),
        ("pre_harvest_days = 1", "", ["shelf/example-soap"]),
        ("minutes = 60", "minutes = 45", ["visiting/plot"]),
        ('["station.csv"]', '["other.csv"]', ["weather/other.csv", "-weather/station.csv"]),
        ("altitude_m = 20", "", ["place/plot", "not known/place.altitude_m"]),
        (
            'name = "young"',
            'name = "younger"',
            ["lot/younger", "-lot/young"],
        ),
        ("highs_c = [26, 27]", "highs_c = [26, 28]", ["week/2026-07-21"]),
        ("bloom_near = true", "", ["-around/plot"]),
    ],
)
def test_an_edit_makes_the_entries_it_changes_and_no_others(
    journal, started, read, old: str, new: str, changed: list[str]
) -> None:
    assert TEXT.count(old) == 1
    edited = read(TEXT.replace(old, new))
    rows = differences(journal.events(), edited)
    assert addresses(rows) == changed
    for row in rows:
        started(row, at=AT)
    assert differences(journal.events(), edited) == ()
    assert addresses(differences(journal.events(), read(TEXT))) != []


def test_an_edit_and_back_again_ends_where_it_began(journal, started, read) -> None:
    before = plot_as_of(journal.events(), date(2026, 7, 25))
    for text in (TEXT.replace("plants = 16", "plants = 9"), TEXT):
        for row in differences(journal.events(), read(text)):
            started(row, at=AT)
    assert plot_as_of(journal.events(), date(2026, 7, 25)) == before


def test_work_logged_since_is_no_difference_of_the_file(journal, started, read) -> None:
    started(Pulling("beans-on-poles", 3))
    started(SettingOut("gap", "zucchini", 2, "north-bed", "young"))
    assert differences(journal.events(), read(TEXT)) == ()


def test_next_week_does_not_unsay_this_week(journal, started, read) -> None:
    edited = read(TEXT.replace("first = 2026-07-20", "first = 2026-07-27"))
    rows = differences(journal.events(), edited)
    assert addresses(rows) == ["week/2026-07-27", "week/2026-07-28"]
    for row in rows:
        started(row, at=AT)
    days = [row.day.day for row, _ in days_typed(journal.events(), date(2026, 8, 1))]
    assert days == [20, 21, 27, 28]


def test_a_row_that_can_no_longer_be_read_is_written_anew(journal, started, read) -> None:
    started(PlotRow("water", "plot", {"buckets": 3}), at=AT)
    assert addresses(differences(journal.events(), read(TEXT))) == ["water/plot"]


def test_every_section_of_the_file_reaches_the_plot(journal, started) -> None:
    plot = plot_as_of(journal.events(), date(2026, 7, 25))
    assert (plot.name, plot.holder, plot.place.name) == ("Plot 14", "A. Holder", "Millfield")
    assert [p.key for p in plot.plantings] == ["beans-on-poles", "next-door"]
    assert [p.key for p in plot.standing()] == ["beans-on-poles"]
    for part in (plot.beds, plot.lots, plot.shelf, plot.household.wants, plot.tin.packets):
        assert len(part) >= 1
    assert plot.visiting.minutes == 60
    assert plot.water.can_litres == 8
    assert plot.rules.organic_only
    assert plot.rough == ()
    assert re.fullmatch(r"[a-z0-9-]+", plot.plantings[0].key)
