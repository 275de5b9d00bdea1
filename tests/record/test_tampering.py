"""What was changed behind the program's back is found by check, or was never read."""

from __future__ import annotations

import random
import sqlite3
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from lattermath.record.journal import Entry, Journal
from lattermath.record.schema import GUARDED, guards
from lattermath.vocabulary.errors import JournalError
from lattermath.vocabulary.events import Picking, Visit, WeatherTaken

NOW = datetime(2026, 7, 25, 17, 30, tzinfo=UTC)
DAY = date(2026, 7, 1)


@pytest.fixture
def filled(path: Path, journal: Journal, write) -> Path:
    for n in range(12):
        write(Picking("beans", kg=0.25 + n, items=n))
    rows = [
        (DAY + timedelta(n), 11.5 + n, 24.0, None, None, None, None, None, ("m",), None, None)
        for n in range(30)
    ]
    taken = WeatherTaken("station.csv", "diary", "ab", DAY, rows[-1][0], 30)
    journal.append_weather(Entry(NOW, "UTC", taken), rows, NOW, write.new_id)
    journal.keep_plan("aa11", DAY, '{"visits": ["water the beans"]}')
    write(Visit(75, "last of all"))
    journal.close()
    return path


def tamper(path: Path, *statements: str) -> None:
    """Change rows as somebody would who knows how to lift the guards and put them back."""
    connection = sqlite3.connect(path)
    with connection:
        for name in guards():
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            assert connection.execute(statement).rowcount > 0
        for text in guards().values():
            connection.execute(text)
    connection.close()


def found(path: Path) -> str:
    with Journal.open(path) as journal:
        return "\n".join(f"{fault.what}: {fault.value}" for fault in journal.check())


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("UPDATE entry SET payload = replace(payload, '3.25', '0.25') WHERE serial = 4", "entry 4"),
        ("UPDATE entry SET payload = 'no JSON' WHERE serial = 4", "entry 4"),
        ("UPDATE entry SET happened_at = '2026-07-20T17:31:00+00:00' WHERE serial = 5", "entry 5"),
        ("UPDATE entry SET recorded_at = happened_at WHERE serial = 14", "not fit"),
        ("UPDATE entry SET zone = 'UTC' WHERE serial = 6", "entry 6"),
        ("UPDATE entry SET kind = 'visit' WHERE serial = 6", "entry 6"),
        ("UPDATE entry SET id = 'other' WHERE serial = 6", "entry 6"),
        ("UPDATE entry SET digest = 'ab' WHERE serial = 6", "entry 6"),
        ("DELETE FROM entry WHERE serial = 7", "a serial is missing: 7"),
        ("DELETE FROM entry WHERE serial = 14", "not the one that was written last: entry 13"),
        ("UPDATE reading SET t_min = 11.6 WHERE day = '2026-07-01'", "readings are not those"),
        ("UPDATE reading SET rain = 0.0 WHERE day = '2026-07-02'", "readings are not those"),
        ("UPDATE reading SET marks = '' WHERE day = '2026-07-02'", "readings are not those"),
        ("DELETE FROM reading WHERE day = '2026-07-03'", "readings are not those"),
        ("UPDATE plan SET text = replace(text, 'beans', 'weeds')", "a kept plan was changed"),
    ],
)
def test_a_changed_row_is_found(filled: Path, statement: str, said: str) -> None:
    assert found(filled) == ""
    changed_alone = "recorded_at = happened_at" in statement
    if changed_alone:
        statement = statement.replace("happened_at W", "'2026-07-25T00:00:00+00:00' W")
    tamper(filled, statement)
    assert said in found(filled)


def test_a_tail_that_a_kept_plan_has_read_is_missed(path: Path, journal: Journal, write) -> None:
    for n in range(6):
        write(Picking("beans", kg=0.25 + n))
    journal.keep_plan("aa11", DAY, '{"stamp": {"serial": 5}, "visits": []}')
    journal.keep_plan("bb22", DAY, '{"stamp": {"serial": "none"}}')
    journal.close()
    assert found(path) == ""
    to_five = (
        "DELETE FROM entry WHERE serial > 5",
        "UPDATE head SET serial = 5, digest = (SELECT digest FROM entry WHERE serial = 5)",
    )
    tamper(path, *to_five)
    assert found(path) == ""  # written after the last plan: nothing in the file remembers it
    tamper(path, *(statement.replace("5", "3") for statement in to_five))
    assert "a kept plan was made from: plan of 2026-07-01 read up to entry 5" in found(path)


def test_a_missing_guard_is_found(filled: Path) -> None:
    connection = sqlite3.connect(filled)
    for table in GUARDED:
        connection.execute(f"DROP TRIGGER {table}_no_delete")
    connection.close()
    assert found(filled).count("a guard against changes was taken away") == 3


def test_a_flipped_byte_of_what_was_written_is_found(filled: Path) -> None:
    content = filled.read_bytes()
    for words in (b"last of all", b"water the beans", b'"kg":3.25', b"station.csv"):
        at = content.index(words)
        filled.write_bytes(content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :])
        assert found(filled) != ""
    filled.write_bytes(content)
    assert found(filled) == ""


def test_any_flipped_bit_is_refused_or_found_or_changes_nothing(filled: Path) -> None:
    """Wherever the bit lies: what is then read back is never something else in silence."""
    content = filled.read_bytes()
    true = read_all(filled)
    dice = random.Random(11)
    noticed = 0
    for _ in range(600):
        at, bit = dice.randrange(len(content)), 1 << dice.randrange(8)
        filled.write_bytes(content[:at] + bytes([content[at] ^ bit]) + content[at + 1 :])
        for beside in ("-wal", "-shm"):
            filled.with_name(filled.name + beside).unlink(missing_ok=True)
        try:
            noticed_now = found(filled) != ""
        except JournalError:
            noticed_now = True
        noticed += noticed_now
        if not noticed_now:
            assert read_all(filled) == true, f"bit {bit} of byte {at}"
    assert noticed > 20


def read_all(path: Path) -> tuple[object, ...]:
    with Journal.open(path) as journal:
        plans = [journal.plan(kept.stamp) for kept in journal.plans()]
        return journal.events(), journal.readings(13), journal.plans(), plans
