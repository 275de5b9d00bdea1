"""Clean is looked at and found free, or hardly likely to have any; the rest is looked at."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from lattermath.desk.clean_hosts import hosts_of
from lattermath.knowledge.tables import load_tables
from lattermath.planning.other_means import Hosts, other_means
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plot import Planting, Visiting

NOON = datetime(2026, 8, 1, 12, 0, tzinfo=UTC)
WHITEFLY = "greenhouse_whitefly"
PLANTS = {
    "melon": Planting("melon", "Melon", "melon", 4),
    "nasu": Planting("nasu", "Nasu", "aubergine", 4),
}
NONE = Sighting("melon", WHITEFLY, "count", looked_at=10, total=0)
CARD = Sighting("melon", WHITEFLY, "card", "adult", "whole", 1, counts=(210,), days=7)
SOME = Sighting("melon", WHITEFLY, "count", looked_at=10, total=178)
SHAKE = Sighting("melon", WHITEFLY, "shake", "adult", looked_at=5, total=0)
ADULTS = Sighting("melon", WHITEFLY, "count", "adult", looked_at=10, total=0)


def hosts(*looks: tuple[int, Sighting], living: float = 90.0, today: int = 9) -> Hosts:
    """Own hosts on 9 Aug after looks on days of August, with as many living on each in all draws.

    Nasu is where it was seen.
    """
    first = Event(
        serial=1, id="one", kind="sighting", version=1, happened_at=NOON, zone="UTC",
        recorded_at=NOON, payload=CARD,
    )  # fmt: skip
    events = tuple(
        replace(first, serial=n, happened_at=NOON.replace(day=day), payload=seen)
        for n, (day, seen) in enumerate(looks)
    )
    plot = SimpleNamespace(planting=PLANTS.get)
    facts: Any = SimpleNamespace(
        plot=plot, events=events, tables=load_tables(), today=NOON.replace(day=today).date()
    )
    stands = tuple(SimpleNamespace(key=key) for key in PLANTS)
    past = np.full((20, len(PLANTS), 3, 2), living / 2)
    belief: Any = SimpleNamespace(organism=WHITEFLY, stands=stands, past=past)
    return hosts_of(facts, belief, {"nasu"})


@pytest.mark.parametrize(
    ("looks", "why"),
    [
        ((), "not looked at yet"),
        (((2, NONE),), "last looked at on 2 Aug"),
        (((8, CARD),), "a card caught some"),
        (((8, NONE), (9, CARD)), "a card caught some"),
        (((8, SHAKE),), "last looked at on 8 Aug"),
        (((8, ADULTS),), "last looked at on 8 Aug"),
        (((6, SOME), (8, NONE)), "some found on 6 Aug, none on 8 Aug"),
    ],
)
def test_what_nobody_knows_to_be_free_is_to_be_looked_at_first(
    looks: tuple[tuple[int, Sighting], ...], why: str
) -> None:
    found = hosts(*looks)
    assert not found.clean
    assert found.unsure == (("Melon", why),)
    (mesh,) = [one.says for one in _told(found) if one.says.startswith("fine mesh")]
    assert "clean now" not in mesh
    assert f"look first, and lay it where none is found: Melon ({why})" in mesh
    assert "Melon must be open in flower" in mesh


def test_a_fresh_look_at_all_stages_or_a_belief_in_none_makes_clean() -> None:
    for found in (hosts((8, NONE)), hosts((7, CARD), (8, NONE)), hosts(living=0.5)):
        assert found.clean == ("Melon",) and not found.unsure
        assert any("that are clean now: Melon;" in one.says for one in _told(found))


def test_what_bore_some_is_cleared_by_a_belief_in_none_or_by_time() -> None:
    """One look without any, two days after 178 were counted there, made a planting clean."""
    lately, long_ago = ((6, SOME), (8, NONE)), ((1, SOME), (16, NONE))
    assert hosts(*lately).unsure and not hosts(*lately).clean
    assert hosts(*lately, living=0.5).clean == ("Melon",)
    assert hosts(*long_ago, today=17).clean == ("Melon",)


def _told(found: Hosts) -> tuple[Any, ...]:
    tables = load_tables()
    return other_means(
        tables.methods,
        tables.crosswalk.targets[WHITEFLY],
        Visiting(days=("tue",), arrive=time(18), minutes=60),
        found,
        frozenset(),
    )
