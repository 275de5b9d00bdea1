from __future__ import annotations

import random
import sqlite3
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from lattermath.record import schema
from lattermath.record.ids import uuid7
from lattermath.record.journal import Entry, Journal
from lattermath.vocabulary.events import Event, Payload

ZONE = "Europe/London"
START = datetime(2026, 7, 25, 17, 30, tzinfo=UTC)


@pytest.fixture(scope="module", autouse=True)
def waits_for_the_disk(durable: Callable[[Path], sqlite3.Connection]) -> Iterator[None]:
    """Here a journal is opened as the program opens it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(schema, "connect", durable)
        yield


class Writer:
    """A journal with a clock that goes on by a minute at each entry, and seeded ids."""

    def __init__(self, journal: Journal) -> None:
        self.journal = journal
        self.now = START
        self._dice = random.Random(4)
        self._count = 0

    def new_id(self) -> str:
        self._count += 1
        return uuid7(1_790_000_000_000 + self._count, self._dice.randbytes(10))

    def __call__(
        self,
        payload: Payload,
        at: datetime | None = None,
        supersedes: str | None = None,
        **more: Any,
    ) -> Event:
        self.now += timedelta(minutes=1)
        entry = Entry(at or self.now, ZONE, payload, supersedes, **more)
        return self.journal.append([entry], self.now, self.new_id)[0]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "plot.journal"


@pytest.fixture
def journal(path: Path) -> Iterator[Journal]:
    with Journal.open(path, create=True) as opened:
        yield opened


@pytest.fixture
def write(journal: Journal) -> Writer:
    return Writer(journal)


CROPS = {
    "courgette": "zucchini",
    "zucchini": "zucchini",
    "cucumber": "cucumber",
    "tomato": "tomato",
    "pole bean": "pole_bean",
    "bush bean": "bush_bean",
    "eggplant": "eggplant",
    "chard": "chard",
}


@pytest.fixture
def crop_of() -> Callable[[str], str | None]:
    return CROPS.get
