"""A file that is no sound journal of ours is refused before it is opened, and not touched."""

from __future__ import annotations

import random
import sqlite3
from pathlib import Path

import pytest

from lattermath.record.journal import Journal
from lattermath.vocabulary.errors import JournalError
from lattermath.vocabulary.events import Visit


@pytest.fixture
def sound(path: Path, journal: Journal, write) -> bytes:
    for n in range(40):
        write(Visit(n, note="x" * 200))
    journal.close()
    return path.read_bytes()


def refusal(path: Path, content: bytes) -> str:
    """What is said of a file with that content; nothing may be changed or left beside it."""
    path.write_bytes(content)
    before = path.stat()
    with pytest.raises(JournalError) as refused:
        Journal.open(path, create=True)
    assert path.read_bytes() == content
    assert path.stat().st_mtime_ns == before.st_mtime_ns
    assert list(path.parent.iterdir()) == [path]
    (fault,) = refused.value.faults
    assert fault.where == str(path)
    assert fault.remedy
    return fault.what


def number(content: bytes, offset: int, value: int) -> bytes:
    return content[:offset] + value.to_bytes(4, "big") + content[offset + 4 :]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"dear diary", "no journal"),
        (b"SQLite format 3\x00", "cut short"),
        (b"SQLite format 3\x00" + bytes(83), "cut short"),
        (b"SQLite format 3\x00" + bytes(84), "another program"),
        (bytes(4096), "no journal"),
    ],
)
def test_what_is_no_journal_is_refused(path: Path, content: bytes, said: str) -> None:
    assert said in refusal(path, content)


def test_a_database_of_another_program_is_refused(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE entry (serial INTEGER)")
        connection.execute("PRAGMA user_version = 1")
    connection.close()
    content = other.read_bytes()
    other.unlink()
    assert "another program" in refusal(path, content)


def test_a_newer_journal_is_refused(path: Path, sound: bytes) -> None:
    assert "newer program" in refusal(path, number(sound, 60, 2))


def test_a_damaged_header_is_refused(path: Path, sound: bytes) -> None:
    assert "version is damaged" in refusal(path, number(sound, 60, 0))
    assert "header is damaged" in refusal(path, sound[:16] + b"\x0f\xff" + sound[18:])


def test_a_journal_cut_short_anywhere_is_refused(path: Path, sound: bytes) -> None:
    dice = random.Random(3)
    lengths = {dice.randrange(1, len(sound)) for _ in range(60)} | {len(sound) - 1, 4096, 8192}
    for length in sorted(lengths):
        assert refusal(path, sound[:length]) in (
            "the journal is cut short",
            "this file is no journal",
        )


def test_a_folder_in_its_place_is_refused(path: Path) -> None:
    path.mkdir()
    with pytest.raises(JournalError, match="cannot be read"):
        Journal.open(path)


def test_the_sound_file_itself_opens(path: Path, sound: bytes) -> None:
    path.write_bytes(sound)
    with Journal.open(path) as journal:
        assert journal.last_serial == 40
        assert journal.check() == ()
