"""Writers that can be killed: run by the tests as a process of their own.

`rounds FOLDER COUNT SEED` forks one writer after another on one journal (and now and then on a
new one), kills each with SIGKILL a random moment after it has told a random number of batches, and
prints what every writer was told is safe. `write JOURNAL COUNT NAME` appends COUNT entries.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from lattermath.record.ids import id_maker
from lattermath.record.journal import Entry, Journal
from lattermath.vocabulary.events import Visit, WeatherTaken

DAY = date(2026, 7, 1)
LONGEST_S = 0.005
MOST_BATCHES = 9


def write_until_killed(journal_path: Path, round_number: int, told: int) -> None:
    """Append batches and weather for ever; tell each serial and id down the pipe once safe."""
    new_id = id_maker(lambda: datetime.now(UTC), os.urandom)
    dice = random.Random(round_number)
    with Journal.open(journal_path, create=True) as journal:
        batch = 0
        while True:
            batch += 1
            now, size = datetime.now(UTC), dice.randint(1, 4)
            if dice.random() < 0.2:
                events = [take_weather(journal, f"{round_number}-{batch}", now, new_id)]
            else:
                notes = [f"{round_number} {batch} {k} of {size}" for k in range(1, size + 1)]
                entries = [Entry(now, "UTC", Visit(k, note)) for k, note in enumerate(notes)]
                events = list(journal.append(entries, now, new_id))
            line = json.dumps([[event.serial, event.id] for event in events])
            os.write(told, line.encode() + b"\n")


def take_weather(journal: Journal, file: str, now: datetime, new_id):
    rows = [
        (DAY + timedelta(n), 10.0 + n / 7, 20.0, None, None, None, None, None, (), None, None)
        for n in range(120)
    ]
    taken = WeatherTaken(file, "diary", file, rows[0][0], rows[-1][0], len(rows))
    return journal.append_weather(Entry(now, "UTC", taken), rows, now, new_id)


def kill_rounds(folder: Path, count: int, seed: int) -> None:
    dice = random.Random(seed)
    for number in range(count):
        # every fifth round begins a journal of its own, so that its making is killed too
        name = f"new-{number}.journal" if number % 5 == 4 else "one.journal"
        hear, tell = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(hear)
            try:
                write_until_killed(folder / name, number, tell)
            finally:
                os._exit(1)
        os.close(tell)
        with os.fdopen(hear, "rb") as pipe:
            wanted = 0 if name != "one.journal" else dice.randint(0, MOST_BATCHES)
            lines = [pipe.readline() for _ in range(wanted)]
            time.sleep(dice.uniform(0, LONGEST_S))
            os.kill(child, signal.SIGKILL)
            lines += pipe.read().splitlines()
        _, status = os.waitpid(child, 0)
        told = [pair for line in lines for pair in json.loads(line)]
        killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
        say(json.dumps({"journal": name, "told": told, "killed": killed}))


def say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def write_some(journal_path: Path, count: int, name: str) -> None:
    new_id = id_maker(lambda: datetime.now(UTC), os.urandom)
    with Journal.open(journal_path, create=True) as journal:
        for number in range(count):
            now = datetime.now(UTC)
            entry = Entry(now, "UTC", Visit(number, name))
            say(str(journal.append([entry], now, new_id)[0].serial))


if __name__ == "__main__":
    what, path, amount, extra = sys.argv[1:]
    if what == "rounds":
        kill_rounds(Path(path), int(amount), int(extra))
    else:
        write_some(Path(path), int(amount), extra)
