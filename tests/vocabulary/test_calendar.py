"""Days in words: those of this year without it, and others never to be taken for this year's."""

from datetime import date, datetime, timedelta

import pytest

from lattermath.audit.reason_check import PICKING, hours_told
from lattermath.vocabulary.calendar import said_opening, said_with_hour

TODAY = date(2026, 8, 4)


@pytest.mark.parametrize(("days", "year"), [(1, ""), (149, ""), (150, " 2027"), (400, " 2027")])
def test_a_day_of_another_year_is_told_with_it(days: int, year: str) -> None:
    when = datetime(2026, 8, 4, 21, 26) + timedelta(days=days)
    day = f"{when:%a} {when.day} {when:%b}{year}"
    assert said_with_hour(when, TODAY) == f"{day} 21:26"
    assert said_opening(when.replace(hour=0, minute=0), TODAY) == day
    assert " 20" not in said_with_hour(when).removesuffix("21:26").replace(f" {when.day} ", " ")


@pytest.mark.parametrize(("days", "year"), [(200, ""), (201, " 2026"), (-1, " 2025")])
def test_so_is_one_far_off(days: int, year: str) -> None:
    first = date(2026, 1, 1)
    when = datetime(2026, 1, 1, 21, 26) + timedelta(days=days)
    assert said_with_hour(when, first) == f"{when:%a} {when.day} {when:%b}{year} 21:26"


def test_the_audit_reads_the_year() -> None:
    due = datetime(2027, 9, 8, 21, 26)
    for says, year in (("Wed 8 Sep 2027 21:26", 2027), ("Tue 8 Sep 2026 21:26", 2026)):
        [told] = hours_told(PICKING, f"no picking before {says}", due)
        assert told == due.replace(year=year)
    assert hours_told(PICKING, "no picking before Wed 8 Sep 21:26", due) == [due]
