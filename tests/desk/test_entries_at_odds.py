"""Two entries that cannot both be so are told as a pair, and others are not."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from lattermath.desk.entries_at_odds import (
    FAR_APART,
    GONE,
    NONE_AND_SOME,
    STANDS_ALONE,
    TICKED_TWICE,
    TREATED_TWICE,
    AtOdds,
    entries_at_odds,
)
from lattermath.vocabulary.events import (
    Event,
    Payload,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    TaskDone,
    Treatment,
)


def event(serial: int, payload: Payload, day: int = 5) -> Event:
    at = datetime(2025, 8, day, 17, 0, tzinfo=UTC)
    return Event(serial, f"id-{serial}", "any", 1, at, "Europe/London", at, payload)


SOME = Sighting("beans", "aphid", "count", looked_at=2, counts=(12, 0))
NONE = Sighting("beans", "aphid", "count", looked_at=10, total=0)
SOAP = Treatment(("beans",), "soap", "soap")


def look(**found: object) -> Sighting:
    return Sighting("beans", "aphid", "count", looked_at=10, **found)  # type: ignore[arg-type]


def judged(percent: float, surface: str = "underside") -> Sighting:
    return Sighting("beans", "bean_rust", "severity", "", surface, percent=percent)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("one", "other", "why"),
    [
        (SOME, NONE, NONE_AND_SOME),
        (Sighting("beans", "aphid", "first seen"), NONE, NONE_AND_SOME),
        (SOME, Sighting("beans", "aphid", "count", looked_at=10, total=1300), FAR_APART),
        (look(level="few"), look(level="heavy"), FAR_APART),
        (look(counts=(1, 0, 1)), look(level="heavy"), FAR_APART),
        (judged(1.0), judged(40.0), FAR_APART),
        (judged(3.0), judged(0.0), NONE_AND_SOME),
        (look(total=4, stage="scales"), NONE, NONE_AND_SOME),  # none of any stage
        (look(total=4, stage="egg"), look(total=0, stage="eggs"), NONE_AND_SOME),
        (look(total=4), look(total=0, surface="whole"), NONE_AND_SOME),
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
        (SOME, Sighting("beans", "aphid", "count", looked_at=10, total=600), (5, 5)),
        (look(level="few"), look(level="many"), (5, 5)),
        (look(counts=(1, 0)), look(counts=(19, 0)), (5, 5)),  # they sit in clumps
        (look(counts=(1,), stage="eggs"), look(counts=(900,), stage="adult"), (5, 5)),
        (judged(1.0), judged(15.0), (5, 5)),
        (look(total=1), look(total=9), (5, 5)),  # hardly any either time
        (judged(1.0, "top"), judged(90.0), (5, 5)),
        (judged(3.0), judged(0.0, "top"), (5, 5)),  # ill below, clean above
        (look(total=30), look(total=0, stage="eggs"), (5, 5)),  # adults, and no eggs yet
        (look(total=9, stage="eggs"), NONE, (5, 5)),  # nobody counts eggs without saying so
        (look(total=30, surface="flowers"), NONE, (5, 5)),
        (look(level="heavy"), Sighting("beans", "aphid", "first seen"), (5, 5)),
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


MANY = Sighting("beans", "aphid", "count", looked_at=10, total=178)


@pytest.mark.parametrize(
    ("days", "middle", "more", "alone"),
    [
        ((5, 8, 10), MANY, (), True),
        ((5, 8, 10), look(level="heavy"), (), True),
        ((5, 8, 10), look(total=60), (), False),  # six a leaf may come and go
        ((5, 8, 20), MANY, (), False),  # in fifteen days many come and go
        ((5, 8, 10), MANY, (SOAP,), False),
    ],
)
def test_a_count_that_stands_alone_between_two_is_asked_about(
    days: tuple[int, int, int], middle: Sighting, more: tuple[Payload, ...], alone: bool
) -> None:
    """None, many, none: sooner a slip or another planting's than an outbreak of five days."""
    looks = [
        event(n, one, d)
        for n, (one, d) in enumerate(zip((NONE, middle, NONE), days, strict=True), 1)
    ]
    done = [event(9 + n, one, 8) for n, one in enumerate(more)]
    found = entries_at_odds([*looks, *done])
    assert found == ((AtOdds(2, 3, STANDS_ALONE),) if alone else ())


def test_what_goes_on_being_many_or_began_so_stands_not_alone() -> None:
    for three in ((MANY, MANY, NONE), (NONE, MANY, MANY), (MANY, NONE, NONE)):
        assert not entries_at_odds([event(n, one, 5 + 2 * n) for n, one in enumerate(three)])


@pytest.mark.parametrize(
    ("before", "seen", "gone"),
    [
        ((), SOME, True),
        ((), NONE, True),
        ((SettingOut("beans", "bean_pole", 6),), SOME, False),  # set out anew between
        ((), Sighting("peas", "aphid", "count", looked_at=2, counts=(12, 0)), False),
        ((), Sighting("beans", "aphid", "card", looked_at=1, total=9), False),  # hangs on
    ],
)
def test_a_look_at_plants_that_were_out_is_asked_about(
    before: tuple[Payload, ...], seen: Sighting, gone: bool
) -> None:
    out = event(1, Pulling("beans"), 5)
    anew = [event(2 + n, one, 6) for n, one in enumerate(before)]
    found = entries_at_odds([out, *anew, event(7, seen, 8)])
    assert found == ((AtOdds(1, 7, GONE),) if gone else ())
    assert not entries_at_odds([event(7, seen, 5), out])  # looked at on the day itself
