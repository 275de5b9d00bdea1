"""What looks in their order leave to be known: seen on plants, caught on a card, or missed."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.insect_cluster import carried_on
from lattermath.desk.pest_parts import carried_from, seen_on
from lattermath.vocabulary.events import Event, Sighting

NOON = datetime(2026, 8, 1, 12, 0, tzinfo=UTC)
WHITEFLY = "greenhouse_whitefly"
FULL = Sighting("nasu", WHITEFLY, "card", "adult", "whole", 1, counts=(210,), days=7)
EMPTY = Sighting("nasu", WHITEFLY, "card", "adult", "whole", 1, counts=(0,), days=7)
NONE = Sighting("nasu", WHITEFLY, "count", looked_at=10, total=0)
SOME = Sighting("nasu", WHITEFLY, "count", looked_at=10, total=4)
NO_EGGS = Sighting("nasu", WHITEFLY, "count", "eggs", looked_at=10, total=0)
SHAKEN = Sighting("nasu", WHITEFLY, "shake", "adult", looked_at=5, total=0)


def facts_of(*looks: Sighting) -> Any:
    """The facts of a plot on which these looks were noted, a day apart."""
    events = tuple(
        Event(n, str(n), "sighting", 1, NOON.replace(day=n), "UTC", NOON, seen)
        for n, seen in enumerate(looks, 1)
    )
    return SimpleNamespace(events=events)


@pytest.mark.parametrize(
    ("looks", "seen", "carried"),
    [
        ((), False, False),
        ((FULL,), False, True),
        ((EMPTY,), False, False),
        ((SOME,), True, True),
        ((FULL, NONE), False, False),
        ((NONE, FULL), False, True),
        ((FULL, EMPTY), False, False),
        ((SOME, EMPTY), True, True),
        ((FULL, NO_EGGS), False, True),
        ((FULL, SHAKEN), False, True),
        ((FULL, SOME, NONE), False, False),
    ],
)
def test_a_card_with_some_is_carried_on_from_until_a_look_at_the_plants_clears_it(
    looks: tuple[Sighting, ...], *, seen: bool, carried: bool
) -> None:
    facts = facts_of(*looks)
    assert (seen_on(facts, WHITEFLY) == {"nasu"}) is seen
    assert (carried_from(facts, WHITEFLY) == {"nasu"}) is carried
    assert not carried_from(facts, "melon_aphid")


def test_only_one_s_own_plantings_are_put_after_clean_ones() -> None:
    cards = (FULL, Sighting("beside", WHITEFLY, "card", "adult", "whole", 1, counts=(9,), days=7))
    stands = (
        SimpleNamespace(key="nasu", treatable=True),
        SimpleNamespace(key="beside", treatable=False),
    )
    cluster: Any = SimpleNamespace(
        facts=facts_of(*cards), belief=SimpleNamespace(organism=WHITEFLY, stands=stands)
    )
    assert carried_on(cluster) == {"nasu"}
