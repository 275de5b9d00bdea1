"""What a grower said in words of their own is not asked about once it is logged by its name."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from types import SimpleNamespace
from typing import Any

from lattermath.desk.named_since import sick_by_planting
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Planting, Plot

TABLES = load_tables()
KALE = Planting("kale", "Kale", "kale", 8)
PLOT = Plot("p", "holder", Place("here", 50.8, 4.4, "Europe/Brussels"), plantings=(KALE,))
FLY_UP = Sighting("kale", "white specks fly up when I shake the kale", "first seen")
NAMED = Sighting("kale", "cabbage_whitefly", "count", "scales", total=40, looked_at=10)


@dataclass
class Entry:
    """An entry as far as it is read here."""

    serial: int
    day: date
    payload: object


def words_left(*seen: Sighting) -> list[str]:
    events = tuple(Entry(n, date(2026, 7, 1 + n), one) for n, one in enumerate(seen))
    facts: Any = SimpleNamespace(events=events, tables=TABLES, plot=PLOT)
    return [one.what for one in sick_by_planting(facts).get("kale", ())]


def test_white_specks_that_fly_are_answered_once_whitefly_is_counted() -> None:
    assert words_left(FLY_UP) == [FLY_UP.what]
    assert words_left(FLY_UP, NAMED) == [] == words_left(NAMED, FLY_UP)


def test_another_insect_or_another_sign_answers_nothing() -> None:
    other = replace(NAMED, what="cabbage_aphid", stage="")
    assert words_left(FLY_UP, other) == [FLY_UP.what]
    down = Sighting("kale", "brown spots with rings", "first seen")
    assert words_left(down, NAMED) == [down.what]
