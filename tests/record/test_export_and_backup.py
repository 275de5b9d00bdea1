from __future__ import annotations

import csv
import dataclasses
import io
import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from lattermath.record.backup import back_up
from lattermath.record.codec import from_plain, to_plain
from lattermath.record.export import ENTRY_COLUMNS, READING_COLUMNS, write_csv, write_json
from lattermath.record.journal import Entry, Journal
from lattermath.vocabulary.errors import JournalError
from lattermath.vocabulary.events import (
    KINDS,
    Picking,
    Sighting,
    Visit,
    WeatherTaken,
    Withdrawal,
)

NOW = datetime(2026, 7, 25, 17, 30, tzinfo=UTC)
DAY = date(2026, 7, 1)
ROWS = [
    (DAY, 12.5, 24.0, None, None, None, None, None, ("a", "b"), None, None),
    (DAY + timedelta(1), None, 25.5, 0.0, None, None, None, None, (), 0.4, DAY),
]


@pytest.fixture
def filled(journal: Journal, write) -> Journal:
    wrong = write(Picking("beans", 12.0))
    write(Picking("beans", 1.2), supersedes=wrong.id)
    gone = write(Visit(75, 'said "hm, no", and left\nat nine'))
    write(Withdrawal("never happened"), supersedes=gone.id)
    write(Sighting("eggplants", "whitefly", "count", counts=(0, 3, 1)))
    taken = WeatherTaken("s.csv", "diary", "ab", DAY, DAY + timedelta(1), 2)
    journal.append_weather(Entry(NOW, "Europe/London", taken), ROWS, NOW, write.new_id)
    journal.keep_plan("aa11", DAY, '{"visits": []}')
    return journal


def document(journal: Journal) -> dict:
    out = io.StringIO()
    write_json(journal, out)
    return json.loads(out.getvalue())


def test_the_json_document_holds_everything(filled: Journal) -> None:
    found = document(filled)
    assert found["schema_version"] == 1
    events = filled.events()
    for entry, event in zip(found["entries"], events, strict=True):
        assert (entry["serial"], entry["id"]) == (event.serial, event.id)
        assert datetime.fromisoformat(entry["happened_at"]) == event.happened_at
        assert datetime.fromisoformat(entry["local"]) == event.happened_at
        assert from_plain(KINDS[entry["kind"]], entry["payload"]) == event.payload
    assert [entry["stands"] for entry in found["entries"]] == [
        False,
        True,
        False,
        False,
        True,
        True,
    ]
    assert found["reading_columns"] == list(READING_COLUMNS)
    assert found["readings"] == [{"entry": 6, "rows": [to_plain(row) for row in ROWS]}]
    assert found["plans"] == [{"stamp": "aa11", "as_of": "2026-07-01", "text": '{"visits": []}'}]


def test_an_empty_journal_is_a_document_too(journal: Journal) -> None:
    assert document(journal)["entries"] == []


def test_the_csv_folder_holds_a_file_for_each_kind(filled: Journal, tmp_path: Path) -> None:
    written = write_csv(filled, tmp_path / "out")
    assert [path.name for path in written] == [
        "visit.csv",
        "sighting.csv",
        "picking.csv",
        "weather-taken.csv",
        "withdrawal.csv",
        "readings.csv",
    ]
    tables = {
        path.stem: list(csv.DictReader(io.StringIO(path.read_bytes().decode(), newline="")))
        for path in written
    }
    assert sum(len(table) for name, table in tables.items() if name != "readings") == 6
    wrong, right = tables["picking"]
    assert (wrong["kg"], wrong["stands"], right["stands"]) == ("12.0", "False", "True")
    assert right["supersedes"] == wrong["id"]
    assert tables["visit"][0]["note"] == 'said "hm, no", and left\nat nine'
    assert json.loads(tables["sighting"][0]["counts"]) == [0, 3, 1]
    assert tables["sighting"][0]["stands"] == "True"
    first, second = tables["readings"]
    assert (first["rain_mm"], second["rain_mm"], second["t_min_c"]) == ("", "0.0", "")
    assert (first["entry"], first["day"], first["marks"]) == ("6", "2026-07-01", "a | b")


@pytest.mark.parametrize("kind", KINDS)
def test_no_column_of_a_table_stands_for_two_things(kind: str) -> None:
    fields = {field.name for field in dataclasses.fields(KINDS[kind])}
    assert not fields & set(ENTRY_COLUMNS)


def test_a_folder_that_is_there_is_not_written_in(filled: Journal, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    with pytest.raises(JournalError, match="there already"):
        write_csv(filled, folder)
    assert list(folder.iterdir()) == []


def test_a_backup_is_the_whole_journal_and_can_be_written_on(
    filled: Journal, tmp_path: Path, write
) -> None:
    heard: list[tuple[int, int]] = []
    written = back_up(filled, tmp_path / "saved.journal", progress=lambda *n: heard.append(n))
    assert written == (tmp_path / "saved.journal",)
    assert heard[-1][0] == 0
    with Journal.open(written[0]) as copy:
        assert copy.check() == ()
        assert document(copy) == document(filled)
        entry = Entry(NOW, "UTC", Visit(5))
        assert copy.append([entry], NOW, write.new_id)[0].serial == filled.last_serial + 1
    assert sorted(path.name for path in tmp_path.iterdir() if "saved" in path.name) == [
        "saved.journal"
    ]


def test_a_backup_holds_what_stands_only_in_the_log_beside_the_file(
    filled: Journal, tmp_path: Path
) -> None:
    assert filled.path.with_name(filled.path.name + "-wal").stat().st_size > 0
    with Journal.open(back_up(filled, tmp_path / "b")[0]) as copy:
        assert copy.events() == filled.events()


def test_photos_go_along(filled: Journal, tmp_path: Path) -> None:
    photos = tmp_path / "photos"
    (photos / "2026").mkdir(parents=True)
    (photos / "2026" / "leaf.jpg").write_bytes(b"\xff\xd8leaf")
    written = back_up(filled, tmp_path / "b", photos)
    assert written == (tmp_path / "b", tmp_path / "b.photos")
    assert (written[1] / "2026" / "leaf.jpg").read_bytes() == b"\xff\xd8leaf"
    assert back_up(filled, tmp_path / "c", tmp_path / "no photos") == (tmp_path / "c",)


@pytest.mark.parametrize("there", ["b", "b.photos"])
def test_a_backup_overwrites_nothing(filled: Journal, tmp_path: Path, there: str) -> None:
    (tmp_path / there).write_text("mine")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(JournalError, match="name already"):
        back_up(filled, tmp_path / "b")
    assert (tmp_path / there).read_text() == "mine"
    assert sorted(tmp_path.iterdir()) == before


def test_a_backup_of_a_damaged_journal_is_refused(filled: Journal, tmp_path: Path) -> None:
    filled._connection.execute("DROP TRIGGER entry_no_update")
    before = sorted(tmp_path.iterdir())
    with pytest.raises(JournalError, match="guard"):
        back_up(filled, tmp_path / "b")
    assert sorted(tmp_path.iterdir()) == before


def test_a_backup_to_nowhere_leaves_nothing(filled: Journal, tmp_path: Path) -> None:
    with pytest.raises(JournalError, match="unable to open"):
        back_up(filled, tmp_path / "no folder" / "b")
