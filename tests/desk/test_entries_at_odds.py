"""Two entries that cannot both be so are told as a pair, and others are not."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from lattermath.desk.entries_at_odds import (
    NONE_AND_SOME,
    TICKED_TWICE,
    TREATED_TWICE,
    AtOdds,
    entries_at_odds,
)
from lattermath.vocabulary.events import Event, Payload, Picking, Sighting, TaskDone, Treatment


def event(serial: int, payload: Payload, day: int = 5) -> Event:
    at = datetime(2025, 8, day, 17, 0, tzinfo=UTC)
    return Event(serial, f"id-{serial}", "any", 1, at, "Europe/London", at, payload)


SOME = Sighting("beans", "aphid", "count", looked_at=2, counts=(12, 0))
NONE = Sighting("beans", "aphid", "count", looked_at=10, total=0)
SOAP = Treatment(("beans",), "soap", "soap")


@pytest.mark.parametrize(
    ("one", "other", "why"),
    [
        (SOME, NONE, NONE_AND_SOME),
        (Sighting("beans", "aphid", "first seen"), NONE, NONE_AND_SOME),
        (TaskDone("a1", "as written"), TaskDone("a1", "not done"), TICKED_TWICE),
        (TaskDone("a1", "as written"), TaskDone("a1", "as written"), TICKED_TWICE),
        (SOAP, SOAP, TREATED_TWICE),
    ],
)
def test_what_cannot_both_be_is_a_pair(one: Payload, other: Payload, why: str) -> None:
    assert entries_at_odds([event(2, other), event(1, one)]) == (AtOdds(1, 2, why),)


@pytest.mark.parametrize(
    ("one", "other", "days"),
    [
        (SOME, SOME, (5, 5)),  # two looks that found some
        (SOME, NONE, (4, 5)),  # another day
        (SOME, Sighting("peas", "aphid", "count", total=0), (5, 5)),
        (SOME, Sighting("beans", "aphid", "shake", looked_at=1, level="none"), (5, 5)),
        (SOAP, Treatment(("peas",), "soap", "soap"), (5, 5)),
        (SOAP, SOAP, (4, 5)),
        (TaskDone("a1", "as written"), TaskDone("b2", "not done"), (5, 5)),
        (Picking("beans", 1.0), Picking("beans", 1.0), (5, 5)),  # two baskets
    ],
)
def test_what_may_both_be_is_none(one: Payload, other: Payload, days: tuple[int, int]) -> None:
    assert entries_at_odds([event(1, one, days[0]), event(2, other, days[1])]) == ()
