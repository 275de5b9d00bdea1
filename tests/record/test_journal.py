from __future__ import annotations

import dataclasses
import json
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from lattermath.record.chain import readings_digest
from lattermath.record.journal import Entry, Journal
from lattermath.vocabulary.errors import JournalError
from lattermath.vocabulary.events import (
    Picking,
    Sighting,
    Treatment,
    Visit,
    WeatherTaken,
    Withdrawal,
)

NOW = datetime(2026, 7, 25, 17, 30, tzinfo=UTC)
DAY = date(2026, 7, 1)
ROWS = [
    (DAY, 12.5, 24.0, None, 61.0, -0.0, 21.3, 4.4, (), None, None),
    (DAY + timedelta(1), None, 1 / 3, 0.0, None, None, None, None, ("gap", "a\tb"), 0.4, DAY),
    (DAY + timedelta(2), 1e-300, -40.0, 12.0, None, None, None, None, (), None, None),
]
TAKEN = WeatherTaken("station.csv", "diary", "ab12", DAY, DAY + timedelta(2), 3)


def test_an_entry_reads_back_with_serial_and_id(journal: Journal, write) -> None:
    payload = Sighting("eggplants", "whitefly", "count", counts=(0, 3, 1), looked_at=3)
    first, second = write(Visit(75)), write(payload)
    assert (first.serial, second.serial) == (1, 2)
    assert journal.events() == (first, second)
    assert journal.events(after=1) == (second,)
    assert journal.find(second.id) == second
    assert journal.find("none such") is None
    assert journal.last_serial == 2
    assert second.payload == payload


def test_entries_last_beyond_the_process(path: Path, journal: Journal, write) -> None:
    written = [write(Visit(n)) for n in range(5)]
    journal.close()
    with Journal.open(path) as again:
        assert list(again.events()) == written
        assert again.check() == ()


def test_times_come_back_in_utc_and_belong_to_the_local_day(write) -> None:
    late = datetime(2026, 8, 9, 0, 20, tzinfo=timezone(timedelta(hours=1)))
    event = write(Visit(30), at=late)
    assert event.happened_at == late
    assert event.happened_at.utcoffset() == timedelta(0)
    assert event.day == date(2026, 8, 9)
    assert event.happened_at.date() == date(2026, 8, 8)


@pytest.mark.parametrize("which", ["happened_at", "recorded_at"])
def test_a_time_without_zone_is_refused(journal: Journal, write, which: str) -> None:
    naive = NOW.replace(tzinfo=None)
    happened, recorded = (naive, NOW) if which == "happened_at" else (NOW, naive)
    with pytest.raises(JournalError, match=which):
        journal.append([Entry(happened, "Europe/London", Visit())], recorded, write.new_id)
    assert journal.last_serial == 0


def test_a_batch_is_written_whole_or_not_at_all(journal: Journal, write) -> None:
    good, bad = Visit(10), Visit(20, note=None)  # type: ignore[arg-type]
    entries = [Entry(NOW, "Europe/London", payload) for payload in (good, bad)]
    with pytest.raises(JournalError, match="visit cannot be written down"):
        journal.append(entries, NOW, write.new_id)
    assert journal.events() == ()
    assert write(Visit(1)).serial == 1


@pytest.mark.parametrize(
    "payload",
    [
        Picking("beans", kg=float("nan")),
        Picking("beans", items=1.5),  # type: ignore[arg-type]
        Treatment(["beans"], "soap"),  # type: ignore[arg-type]
        Sighting("beans", "aphid", "guess"),  # type: ignore[arg-type]
    ],
)
def test_what_would_not_read_back_the_same_is_refused(write, payload) -> None:
    with pytest.raises(JournalError, match="cannot be written down"):
        write(payload)


def test_an_unknown_zone_is_refused(journal: Journal, write) -> None:
    with pytest.raises(JournalError, match="No time zone found"):
        journal.append([Entry(NOW, "Europe/Millfield", Visit())], NOW, write.new_id)


def test_the_same_entry_twice_is_one_entry(journal: Journal, write) -> None:
    first = write(Picking("beans", 1.2), at=NOW, id="018f-given")
    again = write(Picking("beans", 1.2), at=NOW, id="018f-given")
    assert again == first
    assert journal.last_serial == 1


@pytest.mark.parametrize(
    "other", [Picking("beans", 1.3), Picking("peas", 1.2), Visit(3)], ids=["kg", "planting", "kind"]
)
def test_the_same_id_with_other_content_is_refused(journal: Journal, write, other) -> None:
    write(Picking("beans", 1.2), at=NOW, id="018f-given")
    with pytest.raises(JournalError, match="says otherwise"):
        write(other, at=NOW, id="018f-given")
    with pytest.raises(JournalError, match="says otherwise"):
        write(Picking("beans", 1.2), at=NOW + timedelta(1), id="018f-given")
    assert journal.last_serial == 1


def test_a_correction_names_a_standing_entry_of_its_kind(journal: Journal, write) -> None:
    first = write(Picking("beans", 12.0))
    second = write(Picking("beans", 1.2), supersedes=first.id)
    assert second.supersedes == first.id
    for payload, target, said in (
        (Picking("beans", 1.3), first.id, f"Correct entry {second.serial}"),
        (Withdrawal(), first.id, "corrected or withdrawn already"),
        (Visit(3), second.id, "one of its own kind"),
        (Picking("beans", 1.3), "none such", "not in the journal"),
    ):
        with pytest.raises(JournalError, match=said):
            write(payload, supersedes=target)
    gone = write(Withdrawal("not mine"), supersedes=second.id)
    for payload in (Withdrawal(), Picking("beans", 1.3)):
        with pytest.raises(JournalError, match="write that down anew") as refused:
            write(payload, supersedes=gone.id)
        assert "Withdraw it" not in str(refused.value)  # it cannot be
    assert journal.check() == ()


def test_nothing_is_changed_or_erased(journal: Journal, write) -> None:
    write(Visit(75))
    for act in (
        "UPDATE entry SET payload = '{}'",
        "DELETE FROM entry",
        "INSERT OR REPLACE INTO entry SELECT 1, 'x', kind, version, happened_at, zone,"
        " recorded_at, payload, supersedes, digest FROM entry",
    ):
        with pytest.raises(Exception, match="only grows"):
            journal._connection.execute(act)
    assert journal.check() == ()


def test_the_store_is_opened_to_be_durable(journal: Journal) -> None:
    wanted = {
        "journal_mode": "wal",
        "synchronous": 2,
        "fullfsync": 1,
        "checkpoint_fullfsync": 1,
        "foreign_keys": 1,
        "busy_timeout": 5000,
        "application_id": 0x4C415454,
        "user_version": 1,
    }
    for pragma, value in wanted.items():
        assert journal._connection.execute(f"PRAGMA {pragma}").fetchone() == (value,)


def test_readings_come_back_bit_for_bit(journal: Journal, write) -> None:
    event = journal.append_weather(Entry(NOW, "UTC", TAKEN), ROWS[::-1], NOW, write.new_id)
    assert journal.readings(event.serial) == ROWS
    assert event.payload == dataclasses.replace(TAKEN, readings_digest=readings_digest(ROWS))
    assert journal.readings(99) == []
    assert journal.check() == ()


def test_the_same_readings_are_taken_in_once_while_they_stand(journal: Journal, write) -> None:
    entry = Entry(NOW, "UTC", TAKEN)
    first = journal.append_weather(entry, ROWS, NOW, write.new_id)
    assert journal.append_weather(entry, ROWS, NOW, write.new_id) == first
    other = journal.append_weather(
        entry, [ROWS[0], ROWS[2], (DAY + timedelta(1), *ROWS[0][1:])], NOW, write.new_id
    )
    assert other.serial == 2
    write(Withdrawal(), supersedes=first.id)
    assert journal.append_weather(entry, ROWS, NOW, write.new_id).serial == 4


@pytest.mark.parametrize(
    ("taken", "rows", "said"),
    [
        (TAKEN, ROWS[:2], "not those of the readings"),
        (TAKEN, [*ROWS, ROWS[0]], "each day once"),
        (TAKEN, [], "at least one day"),
        (TAKEN, [(DAY, float("nan"), *ROWS[0][2:]), *ROWS[1:]], "never a number that is none"),
        (dataclasses.replace(TAKEN, readings_digest="00"), ROWS, "digest is not that"),
        (Visit(), ROWS, "weather entry"),
    ],
)
def test_readings_that_their_entry_does_not_describe_are_refused(
    journal: Journal, write, taken, rows, said
) -> None:
    with pytest.raises(JournalError, match=said):
        journal.append_weather(Entry(NOW, "UTC", taken), rows, NOW, write.new_id)
    assert journal.last_serial == 0


def test_a_plan_is_kept_beside_the_entries(journal: Journal) -> None:
    text = json.dumps({"visits": []})
    assert journal.keep_plan("aa11", date(2026, 8, 1), text)
    assert not journal.keep_plan("aa11", date(2026, 8, 1), text)
    assert journal.keep_plan("ab22", NOW, text + " ")
    with pytest.raises(JournalError, match="another plan"):
        journal.keep_plan("aa11", date(2026, 8, 1), text + " ")
    assert [(plan.stamp, plan.as_of) for plan in journal.plans()] == [
        ("aa11", "2026-08-01"),
        ("ab22", "2026-07-25T17:30:00+00:00"),
    ]
    assert journal.plan("aa11") == journal.plan("aa") == text
    assert journal.plan("a") is journal.plan("zz") is journal.plan("") is None
    assert journal.last_serial == 0
    assert journal.check() == ()


def test_a_missing_journal_is_not_made_by_the_way(tmp_path: Path) -> None:
    with pytest.raises(JournalError, match="there is no journal here"):
        Journal.open(tmp_path / "none.journal")
    with pytest.raises(JournalError, match="cannot be made here"):
        Journal.open(tmp_path / "no folder" / "plot.journal", create=True)
    assert list(tmp_path.iterdir()) == []


def test_logging_loads_nothing_heavy() -> None:
    code = (
        "import sys, lattermath.record.journal, lattermath.record.read_back;"
        "print([m for m in ('numpy', 'pydantic', 'tomllib', 'numba') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
