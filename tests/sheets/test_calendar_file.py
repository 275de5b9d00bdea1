"""The calendar file, read back by a reader that shares no code with the library that wrote it."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from ical.calendar import Calendar
from ical.calendar_stream import IcsCalendarStream
from ical.event import Event

from lattermath.sheets.calendar_file import calendar_file
from lattermath.sheets.calendar_items import calendar_items
from lattermath.sheets.schema import as_data
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plan import Clearance, Closed, Plan, Used
from lattermath.vocabulary.ruling import Because

ZONE = ZoneInfo("America/Chicago")
SUNDAY = datetime(2025, 8, 3, 20, 0, tzinfo=ZONE)
THURSDAY = SUNDAY + timedelta(days=4)
BAR = Because("treated Sun 3 Aug", holds=False, who="label")


def shut(
    planting: str = "beans",
    pick: datetime | None = THURSDAY,
    enter: datetime | None = None,
    *,
    used: datetime = SUNDAY,
    planned: bool = False,
    entering: bool = False,
) -> Closed:
    """Closed to pickers; to everybody too where `entering`."""
    gone = Clearance(planting, True, SUNDAY)
    return Closed(
        planting,
        (Used(used, "soft-soap", "soap"),),
        Clearance(planting, False, pick, (BAR,)),
        Clearance(planting, False, enter, (BAR,)) if entering else gone,
        planned,
    )


def written(plan: Plan, before: Plan | None = None) -> bytes:
    held = calendar_items(plan, "metric", as_data(before) if before else None)
    return calendar_file(plan, held)


def read(made: bytes) -> Calendar:
    return IcsCalendarStream.calendar_from_ics(made.decode("utf-8"))


def called(made: bytes) -> dict[str, Event]:
    return {str(event.summary): event for event in read(made).events}


@pytest.fixture
def closed(plan: Plan) -> Plan:
    return replace(plan, closed=(shut(),))


def test_one_minute_of_work_is_one_minute(plan: Plan) -> None:
    short = replace(plan.visits[0], minutes=1.0)
    assert "Visit Plot 14: 7 tasks, about 1 minute" in called(
        written(replace(plan, visits=(short, *plan.visits[1:])))
    )


def test_another_reader_finds_the_same_visits_hours_and_limits(closed: Plan) -> None:
    found = called(written(closed))
    first, second = closed.visits
    visit = found["Visit Plot 14: 7 tasks, about 75 minutes"]
    assert (visit.start, visit.end) == (first.arrive, first.leave)
    assert visit.start.utcoffset() == timedelta(hours=-5)  # summer time, by the file's own rules
    assert (found["Visit Plot 14"].start, found["Visit Plot 14"].end) == (
        second.arrive,
        second.leave,
    )
    limit = found["Do not pick the beans until Thu 7 Aug 20:00"]
    assert (limit.start, limit.end) == (SUNDAY, THURSDAY)
    assert len(found) == 3


def test_a_visit_says_its_work_its_cautions_and_what_is_barred(closed: Plan) -> None:
    told = str(called(written(closed))["Visit Plot 14: 7 tasks, about 75 minutes"].description)
    for says in (
        "1 Water: cucumbers row 2, wilted, 2 cans at the foot. (6 min)",
        "7 Only if 3 found 5 or more a leaf: soap, undersides of aubergines",
        "Caution: Gloves, goggles.",
        "NOT the beans: treated Sun 3 Aug (label). Clear Thu 7 Aug 20:00.",
        "Ask again before you go",
    ):
        assert says in told
    assert "«" not in told and "t-9a1" not in told


def test_what_keeps_people_out_stands_by_itself(plan: Plan) -> None:
    until = SUNDAY + timedelta(hours=4)
    found = called(written(replace(plan, closed=(shut(enter=until, entering=True),))))
    limit = found["Keep out: the beans until Mon 4 Aug 00:00"]
    assert (limit.start, limit.end) == (SUNDAY, until)
    assert "The label in your hand is the law" in str(limit.description)


def test_what_nobody_knows_the_end_of_has_days_and_no_hour(plan: Plan) -> None:
    made = called(written(replace(plan, closed=(shut(pick=None),))))
    limit = made["Do not pick the beans: not known until when"]
    assert (limit.start, limit.end) == (date(2025, 8, 3), date(2025, 8, 10))  # after the last visit


def test_a_treatment_that_is_only_planned_closes_nothing_yet(plan: Plan) -> None:
    assert written(replace(plan, closed=(shut(planned=True),))) == written(plan)


def test_same_plan_same_bytes_and_no_clock_of_the_day(closed: Plan) -> None:
    assert written(closed) == written(closed)
    for event in read(written(closed)).events:
        assert event.dtstamp == closed.as_of.astimezone(UTC)
        assert event.sequence == closed.stamp.serial


def test_a_later_plan_moves_entries_and_adds_none(closed: Plan) -> None:
    """What is the same thing keeps its UID while its hours, its words and its number change."""
    first = replace(closed.visits[0], arrive=closed.visits[0].arrive + timedelta(hours=1), tasks=())
    later = replace(
        closed,
        visits=(first, closed.visits[1]),
        closed=(shut(pick=THURSDAY + timedelta(days=1)),),
        stamp=replace(closed.stamp, serial=closed.stamp.serial + 1),
    )
    old, new = (read(written(plan)).events for plan in (closed, later))
    assert [event.uid for event in old] == [event.uid for event in new]
    assert all(a.sequence < b.sequence for a, b in zip(old, new, strict=True))
    assert len({event.uid for event in old}) == 3
    assert {e.uid for e in old}.isdisjoint(
        e.uid for e in read(written(replace(closed, plot="Plot 15"))).events
    )


def test_what_is_no_longer_so_is_called_off(closed: Plan) -> None:
    """The treatment was withdrawn, and Saturday's visit became one on Friday."""
    friday = closed.visits[1].date - timedelta(days=1)
    moved = replace(
        closed.visits[1],
        date=friday,
        arrive=closed.visits[1].arrive - timedelta(days=1),
        leave=closed.visits[1].leave - timedelta(days=1),
    )
    third = replace(closed.visits[1], date=friday + timedelta(days=3))
    now = replace(closed, closed=(), visits=(closed.visits[0], moved, third))
    off = [e for e in read(written(now, closed)).events if e.status == "CANCELLED"]
    before = {str(e.summary): e for e in read(written(closed)).events}
    assert {e.uid for e in off} == {
        before["Visit Plot 14"].uid,
        before["Do not pick the beans until Thu 7 Aug 20:00"].uid,
    }
    assert all(str(e.summary).startswith("Called off: ") for e in off)
    assert [e.status for e in read(written(closed, closed)).events] == ["CONFIRMED"] * 3


def test_what_is_over_is_not_called_off(closed: Plan) -> None:
    now = replace(closed, closed=(), as_of=THURSDAY + timedelta(hours=1), visits=())
    assert calendar_items(now, "metric", as_data(closed)) == ()


def test_lines_are_short_and_end_as_the_standard_says(closed: Plan) -> None:
    """RFC 5545 section 3.1: CRLF, and no line longer than 75 octets."""
    made = written(closed)
    assert made.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in made.replace(b"\r\n", b"")
    assert max(len(line) for line in made.split(b"\r\n")) <= 75


@pytest.mark.parametrize("name", ["Beans, by the gate; north\\south", "Käthes Bohnen 🫘", "a\nb:c"])
def test_words_of_the_grower_come_back_as_they_were_typed(plan: Plan, name: str) -> None:
    named = replace(
        plan, plot=name, closed=(shut(),), names=(*plan.names[:2], ("beans", name), *plan.names[3:])
    )
    assert f"Do not pick {name} until Thu 7 Aug 20:00" in called(written(named))
    assert read(written(named)).name == [name]


def test_where_the_clock_has_no_name_hours_stand_in_utc(closed: Plan) -> None:
    fixed = timezone(timedelta(hours=-5))
    made = written(replace(closed, as_of=closed.as_of.astimezone(fixed)))
    assert b"VTIMEZONE" not in made
    assert called(made)["Do not pick the beans until Thu 7 Aug 20:00"].end == THURSDAY


def test_without_the_extra_the_refusal_says_what_to_install(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "icalendar", None)
    with pytest.raises(InputError) as refusal:
        written(plan)
    assert "lattermath[calendar]" in refusal.value.faults[0].remedy
