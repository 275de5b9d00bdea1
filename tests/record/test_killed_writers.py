"""A writer killed at any instant loses nothing it was told is safe, and leaves no half entry."""

from __future__ import annotations

import itertools
import json
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from lattermath.record.journal import Journal
from lattermath.vocabulary.events import Visit, WeatherTaken

SCRIPT = Path(__file__).with_name("writer_process.py")
ROUNDS = 400


def run(*arguments: object) -> subprocess.Popen[str]:
    command = [sys.executable, str(SCRIPT), *map(str, arguments)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


@pytest.mark.skipif(sys.platform == "win32", reason="needs fork and SIGKILL")
def test_hundreds_of_killed_writers_lose_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    process = run("rounds", tmp_path, ROUNDS, 17)
    lines, _ = process.communicate(timeout=120)
    assert process.returncode == 0
    rounds = [json.loads(line) for line in lines.splitlines()]
    assert len(rounds) == ROUNDS
    assert all(each["killed"] for each in rounds)  # none ended by itself, on a fault of its own

    told: dict[str, list[tuple[int, str]]] = {}
    for each in rounds:
        told.setdefault(each["journal"], []).extend(map(tuple, each["told"]))
    assert sum(map(len, told.values())) > 3 * ROUNDS  # the kills fell among real work
    for name, acknowledged in told.items():
        if (tmp_path / name).exists():
            assert_whole(tmp_path / name, acknowledged)
        else:
            assert acknowledged == []


def assert_whole(path: Path, acknowledged: list[tuple[int, str]]) -> None:
    with Journal.open(path) as journal:
        events = journal.events()
        assert journal.check() == ()
        assert [event.serial for event in events] == list(range(1, len(events) + 1))
        assert set(acknowledged) <= {(event.serial, event.id) for event in events}
        # at most the one batch that was being told about when the writer died is not in the list
        batches: Counter[tuple[str, str]] = Counter()
        sizes: dict[tuple[str, str], int] = {}
        for event in events:
            if isinstance(event.payload, WeatherTaken):
                assert len(journal.readings(event.serial)) == event.payload.days
            elif isinstance(event.payload, Visit):
                number, batch, _, _, size = event.payload.note.split()
                batches[number, batch] += 1
                sizes[number, batch] = int(size)
        assert batches == sizes


def test_two_writers_at_once_make_one_chain(tmp_path: Path) -> None:
    path = tmp_path / "plot.journal"
    count = 150
    writers = [run("write", path, count, name) for name in ("left", "right", "third")]
    told = [[int(line) for line in writer.communicate(timeout=60)[0].split()] for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0, 0]
    assert sorted(serial for serials in told for serial in serials) == list(range(1, 3 * count + 1))
    assert all(serials == sorted(serials) for serials in told)
    with Journal.open(path) as journal:
        assert journal.check() == ()
        names = [event.payload.note for event in journal.events()]
        assert Counter(names) == {"left": count, "right": count, "third": count}
        assert any(a != b for a, b in itertools.pairwise(names))


def test_a_writer_that_waits_too_long_is_told_so(path: Path, journal: Journal, write) -> None:
    with Journal.open(path) as other:
        other._connection.execute("PRAGMA busy_timeout = 10")
        journal._connection.execute("BEGIN IMMEDIATE")
        with pytest.raises(Exception, match="another command is writing"):
            other.keep_plan("aa", write.now, "{}")
        journal._connection.execute("ROLLBACK")
        assert other.keep_plan("aa", write.now, "{}")
