"""What looks in their order leave to be known: seen on plants, caught on a card, or missed."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.insect_cluster import carried_on
from lattermath.desk.insect_work import _since_eggs
from lattermath.desk.pest_parts import carried_from, eggs_missed, last_cards, seen_on
from lattermath.knowledge.tables import load_tables
from lattermath.planning.look_reasons import look_reasons
from lattermath.planning.stage_now import StageNow
from lattermath.planning.watch import Watch
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

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
    return SimpleNamespace(events=events, tables=load_tables())


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


@pytest.mark.parametrize(
    ("looks", "missed"),
    [((NO_EGGS,), True), ((SOME, NO_EGGS, FULL), True), ((NO_EGGS, NONE), False), ((NONE,), False)],
)
def test_eggs_missed_are_those_of_the_last_look_at_the_plants(
    looks: tuple[Sighting, ...], *, missed: bool
) -> None:
    found = eggs_missed(facts_of(*looks), WHITEFLY)
    assert [one.payload for one in found.values()] == [NO_EGGS] * missed


SCALES = StageNow(eggs=False, height="low", place="low leaves", because=Because("scales now"))
EGGS = StageNow(eggs=True, height="young", place="top leaves", because=Because("eggs now"))


@pytest.mark.parametrize(
    ("now", "why"),
    [
        (None, "on 1 Aug eggs were looked for there and none found, so few are likely now: pale "
         "scales are what growers count"),
        (SCALES, "on 1 Aug eggs were looked for there and none found, so few are likely now: a "
         "look would rather meet pale scales"),
        (EGGS, ""),
    ],
)  # fmt: skip
def test_a_look_that_asks_no_more_for_eggs_says_why(now: StageNow | None, why: str) -> None:
    nasu = Planting("nasu", "Nasu", "eggplant", 4)
    watch = Watch(WHITEFLY, "greenhouse whitefly", nasu, None, suspected=True, now=now)
    (event,) = facts_of(NO_EGGS).events
    told = _since_eggs(watch, event).because
    assert [one.says for one in told] == [why] * bool(why)
    assert not _since_eggs(watch, None).because


def test_a_card_that_caught_some_is_told_beside_leaves_never_looked_at() -> None:
    """Whitefly was "never looked at" on cucumbers whose cards had caught 71."""
    facts = facts_of(FULL, EMPTY)
    assert last_cards(facts, WHITEFLY) == {"nasu": NOON.date()}
    assert last_cards(facts, "melon_aphid") == {}
    watch = Watch(WHITEFLY, "greenhouse whitefly", Planting("nasu", "Nasu", "aubergine", 4), None,
                  suspected=True)  # fmt: skip
    says = next(look_reasons(watch, {})).says
    assert says == "Nasu, greenhouse whitefly: never looked at"
    caught = replace(watch, card=NOON.date())
    assert next(look_reasons(caught, {})).says == (
        "Nasu, greenhouse whitefly: caught on a card on 1 Aug, the leaves never looked at"
    )
