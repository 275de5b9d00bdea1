"""Picking clearance: the label-limit cases A14 and A15 of the trade checks, and a clock walked.

The brute force walks the clock in steps of 15 minutes in UTC and asks of each instant, by itself,
whether the elapsed hours and the reading of the wall clock have both been reached. It shares no
arithmetic with the code.
"""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from tests.planning.label_cases import CAUTIONS, NONE, ZURICH, applied, limits, product, value

from lattermath.planning.picking_clearance import (
    Interval,
    clearance,
    clearance_of,
    interval_over,
    may_enter,
    picking_over,
)
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting

BEANS = Planting("beans", "Beans", "bean_bush", 20, bed="A")
NEW_YORK, LORD_HOWE = ZoneInfo("America/New_York"), ZoneInfo("Australia/Lord_Howe")


def at(day: int, hour: int, minute: int = 0, month: int = 8, zone: ZoneInfo = ZURICH) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=zone)


def of(*past: object, labels: tuple[object, ...], now: datetime) -> Clearance:
    return clearance_of(BEANS, past, labels, now, ZURICH, CAUTIONS)  # type: ignore[arg-type]


def kernel(*treatments: Interval, now: datetime, zone: ZoneInfo | None = ZURICH) -> datetime | None:
    return clearance(treatments, now, zone)[0]


# --- cases of the trade checks ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("sprayed", "clear"),
    [
        (at(24, 20, month=10), at(25, 20, month=10)),  # clocks go back that night: 25 h
        (at(28, 20, month=3), at(29, 21, month=3)),  # clocks go forward: 24 h
        (at(4, 20), at(5, 20)),
    ],
)
def test_a15_one_day_when_the_clocks_change(sprayed: datetime, clear: datetime) -> None:
    assert kernel(Interval(sprayed, 1, 4), now=sprayed) == clear
    assert kernel(Interval(sprayed, 1), now=sprayed) == clear


def test_a15_zero_days_and_twelve_hours() -> None:
    assert kernel(Interval(at(4, 20), 0, 12), now=at(4, 20)) == at(5, 8)


def test_a15_rained_off_and_repeated() -> None:
    """3 days on Mon 20:00, rained off, repeated Tue 20:00: clear Fri 20:00."""
    twice = (Interval(at(3, 20), 3, 4), Interval(at(4, 20), 3, 4))
    assert kernel(*twice, now=at(4, 20)) == at(7, 20)


def test_a14_one_product_on_three_crops_then_a_second() -> None:
    """Tomato 0, pepper 3, potato 7 days (re-entry 12 h); the second product moves pepper to 7."""
    first = product("permethrin", re_entry_hours=value(12.0))
    sprayed = at(4, 20)
    for crop, days, clear in (
        ("tomato", 0.0, at(5, 8)),
        ("pepper", 3.0, at(7, 20)),
        ("potato", 7.0, at(11, 20)),
    ):
        label = replace(first, crops=(limits(crop, pre_harvest_days=value(days)),))
        assert picking_over(sprayed, label, crop, ZURICH, CAUTIONS) == clear
    pepper = (Interval(sprayed, 3, 12), Interval(sprayed, 7, 12))
    assert kernel(*pepper, now=sprayed) == at(11, 20)


def test_a14_zero_days_with_a_long_re_entry() -> None:
    """Sulfur 0 d with 24 h and mixed copper 0 d with 48 h (2018 handbook figures)."""
    assert kernel(Interval(at(4, 20), 0, 24), now=at(4, 20)) == at(5, 20)
    assert kernel(Interval(at(4, 20), 0, 48), now=at(4, 20)) == at(6, 20)


def test_a15_a_line_not_copied_clears_nothing() -> None:
    assert kernel(Interval(at(4, 20), None, 4), now=at(30, 20)) is None
    label = product(crops=(limits(pre_harvest_days=LabelLine()),))
    found = of(applied(label, at(4, 20)), labels=(label,), now=at(30, 20))
    assert (found.clear_now, found.safe_from) == (False, None)
    assert "not copied" in found.barred_by[0].says


def test_none_printed_clears_the_next_morning_and_says_that_it_is_ours() -> None:
    """Rule label_line_states: dried, re-entry over, by our own caution not before the morning."""
    label = product(crops=(limits(pre_harvest_days=NONE),))
    found = of(applied(label, at(4, 20)), labels=(label,), now=at(4, 23))
    assert found.safe_from == at(5, 6)
    assert found.barred_by[0].who == "our caution"
    assert "our caution" in found.barred_by[0].says
    slow = replace(label, re_entry_hours=value(12.0))
    assert of(applied(slow, at(4, 20)), labels=(slow,), now=at(4, 23)).safe_from == at(5, 8)


# --- what else bars ---------------------------------------------------------------------------


def test_nothing_used_nothing_barred() -> None:
    found = of(labels=(), now=at(4, 20))
    assert found.clear_now
    assert found.barred_by == ()
    assert clearance((), at(4, 20)) == (at(4, 20), ())
    water = applied(product(), at(4, 19), method="water_jet", product=None, active="")
    assert of(water, labels=(), now=at(4, 20)).clear_now


@pytest.mark.parametrize(
    "how",
    [
        {"product": None},
        {"product": "lost"},
        {"method": "something new", "product": None},
    ],
)
def test_what_is_not_known_is_never_clear(how: dict[str, object]) -> None:
    label = product()
    found = of(applied(label, at(4, 20), **how), labels=(label,), now=at(30, 20))
    assert (found.clear_now, found.safe_from) == (False, None)


def test_a_crop_that_the_label_does_not_list_is_never_clear() -> None:
    label = product(crops=(limits("tomato"),))
    assert of(applied(label, at(4, 20)), labels=(label,), now=at(30, 20)).safe_from is None


def test_a_treatment_not_yet_made_bars_nothing() -> None:
    label = product()
    planned = applied(label, at(6, 20))
    assert of(planned, labels=(label,), now=at(6, 18)).clear_now
    assert not of(planned, labels=(label,), now=at(6, 20)).clear_now


def test_a_neighbour_in_the_bed_bars_by_re_entry_alone() -> None:
    label = product(re_entry_hours=value(24.0), crops=(limits(pre_harvest_days=value(21.0)),))
    peas = applied(label, at(4, 20), planting="peas")
    found = of(peas, labels=(label,), now=at(5, 8))
    assert found.safe_from == at(5, 20)
    assert of(replace(peas, bed="B"), labels=(label,), now=at(5, 8)).clear_now
    assert not of(replace(peas, bed=None), labels=(label,), now=at(5, 8)).clear_now


def test_no_bed_is_spoken_of_that_nobody_gave() -> None:
    """A bed nobody named may be this one: it bars all the same, and is not called this bed."""
    day, unread = product(re_entry_hours=value(24.0)), product(re_entry_hours=LabelLine())
    for label in (day, unread):
        peas = applied(label, at(4, 20), planting="peas")
        other = replace(peas, product="something else")
        own = replace(peas, planting=BEANS.key)
        for past, bed in itertools.product((peas, other, own), ("A", None)):
            beans, made = replace(BEANS, bed=bed), replace(past, bed=None if bed else "A")
            ruled = may_enter(beans, [made], (label,), at(5, 8), ZURICH, CAUTIONS)
            clear = clearance_of(beans, [made], (label,), at(5, 8), ZURICH, CAUTIONS)
            for says in (bar.says for bar in (*ruled.bars, *clear.barred_by)):
                assert "in this bed" not in says and "the bed was" not in says
                assert ("maybe in the same bed" in says) is (past is not own)
        sure = may_enter(BEANS, [replace(peas, bed="A")], (label,), at(5, 8), ZURICH, CAUTIONS)
        assert all("the bed was" in bar.says or "in this bed" in bar.says for bar in sure.bars)
        assert sure.bars


def test_until_dry_is_not_before_four_hours() -> None:
    label = product("btk", re_entry_hours=NONE, crops=(limits(pre_harvest_days=value(0.0)),))
    assert of(applied(label, at(4, 14)), labels=(label,), now=at(4, 15)).safe_from == at(4, 18)


def test_nobody_works_in_a_bed_before_re_entry_is_over() -> None:
    label = product(re_entry_hours=value(24.0))
    past = (applied(label, at(4, 20), planting="peas"),)
    closed = may_enter(BEANS, past, (label,), at(5, 19), ZURICH, CAUTIONS)
    assert closed.ask_again == at(5, 20)
    assert may_enter(BEANS, past, (label,), at(5, 20), ZURICH, CAUTIONS).allowed
    assert not may_enter(BEANS, past, (), at(30, 20), ZURICH, CAUTIONS).allowed
    assert may_enter(BEANS, (), (), at(5, 19), ZURICH, CAUTIONS).allowed


def test_re_entry_not_copied_clears_nothing() -> None:
    label = product(re_entry_hours=LabelLine())
    assert of(applied(label, at(4, 20)), labels=(label,), now=at(30, 20)).safe_from is None


# --- the kernel as seen from outside -----------------------------------------------------------


def test_without_a_zone_the_latest_offset_seen_is_taken() -> None:
    """Sprayed at +02:00, asked at +01:00: the wall clock may have gone back."""
    sprayed = datetime.fromisoformat("2026-10-24T20:00:00+02:00")
    now = datetime.fromisoformat("2026-10-25T19:30:00+01:00")
    safe, bars = clearance((Interval(sprayed, 1, 4),), now)
    assert safe == at(25, 20, month=10)
    assert len(bars) == 1
    after = now + timedelta(minutes=31)
    assert clearance((Interval(sprayed, 1, 4),), after)[1] == ()


def test_zero_days_without_re_entry_is_not_known() -> None:
    safe, bars = clearance((Interval(at(4, 20), 0),), at(30, 20))
    assert safe is None
    assert "re-entry" in bars[0].says


@pytest.mark.parametrize("days", [-1, float("nan"), 1e9])
def test_a_senseless_interval_is_an_error(days: float) -> None:
    with pytest.raises(ValueError, match="pre_harvest_days"):
        clearance((Interval(at(4, 20), days, 4),), at(5, 20))


def test_a_time_without_its_offset_is_an_error() -> None:
    with pytest.raises(ValueError, match="offset"):
        clearance((Interval(datetime(2026, 8, 4, 20), 1, 4),), at(5, 20))


# --- brute force -------------------------------------------------------------------------------


def reached(start: datetime, days: int, now: datetime, zone: ZoneInfo) -> bool:
    """Have n x 24 h gone by, and has the wall clock passed the same time n days on?"""
    if now.timestamp() - start.timestamp() < days * 86400:
        return False
    then, wall = start.astimezone(zone), now.astimezone(zone)
    target = (then.date().toordinal() + days, then.hour, then.minute)
    return (wall.date().toordinal(), wall.hour, wall.minute) >= target


@pytest.mark.parametrize("zone", [ZURICH, NEW_YORK, LORD_HOWE])
def test_never_earlier_than_a_clock_walked_by_hand(zone: ZoneInfo) -> None:
    """From the answer on, every quarter of an hour has both clocks reached; before it, not all.

    Spring and autumn changes of three zones (one of them by half an hour), every hour of night.
    """
    changes = {
        "Zurich": ((3, 28), (10, 24)),
        "New_York": ((3, 7), (10, 31)),
        "Lord_Howe": ((10, 3), (4, 4)),
    }
    dice = random.Random(20260804)
    quarter = timedelta(minutes=15)
    for month, day in changes[str(zone).split("/")[1]]:
        for _ in range(120):
            start = datetime(2026, month, day, tzinfo=UTC) + quarter * dice.randrange(-96, 192)
            days = dice.choice([1, 1, 2, 3])
            clear = interval_over(start, days, zone)
            for step in range(12):
                assert reached(start, days, clear.astimezone(UTC) + quarter * step, zone)
            shortly = [clear.astimezone(UTC) - quarter * n for n in range(1, 9)]
            assert not all(reached(start, days, moment, zone) for moment in shortly)


def test_many_treatments_never_earlier_than_any_one_of_them() -> None:
    dice = random.Random(7)
    for _ in range(400):
        past = [
            Interval(
                at(1, 6) + timedelta(minutes=30 * dice.randrange(0, 1400)),
                dice.choice([0, 0, 1, 3, 7, 14]),
                dice.choice([4, 12, 24, 48]),
            )
            for _ in range(dice.randrange(1, 5))
        ]
        safe = kernel(*past, now=at(30, 20))
        assert safe is not None
        hour = safe.astimezone(UTC)
        assert all(_clear_by_hand(one, hour) for one in past)
        assert not all(_clear_by_hand(one, hour - timedelta(minutes=30)) for one in past)


def _clear_by_hand(one: Interval, hour: datetime) -> bool:
    assert one.pre_harvest_days is not None
    assert one.re_entry_hours is not None
    gone = (hour.timestamp() - one.at.timestamp()) / 3600
    days = int(one.pre_harvest_days)
    return gone >= one.re_entry_hours and gone >= 4 and reached(one.at, days, hour, ZURICH)
