"""What wants eyes lies in the light; what would fall into the dark is moved, and said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from lattermath.planning.visit_plan import Ingredients, visit_plan
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import Part, Task, TaskKind, VisitPlan

# Sunrise, sunset and civil dusk, about as they are at Berlin; the rule takes them as given.
NOVEMBER = (date(2025, 11, 8), time(7, 15), time(16, 18), time(16, 54))
SEPTEMBER = (date(2025, 9, 20), time(6, 50), time(19, 10), time(19, 43))
BERLIN = ZoneInfo("Europe/Berlin")


def evening(sun: tuple[date, time, time, time], arrive: time, stay: int = 105) -> Evening:
    day, *marks = sun
    rise, fall, dusk = (datetime.combine(day, mark, tzinfo=BERLIN) for mark in marks)
    begins = datetime.combine(day, arrive, tzinfo=BERLIN)
    leaves = begins + timedelta(minutes=stay)
    return Evening(day, begins, leaves, rise, fall, dusk, *(None,) * 7)


def task(key: str, kind: TaskKind, part: Part, minutes: float, method: str = "") -> Task:
    return Task(key, kind, part, f"{key}: so.", minutes, planting=key, method=method or None)


WORK = (
    task("water", "water", "on arrival", 10),
    task("pick", "pick", "pick", 15),
    task("clean", "look", "look", 5),
    task("sick", "look", "look", 5),
    task("leaves", "treat", "sick plants last", 10, "prune_leaves"),
    task("tie", "care", "care", 10),
)


def made(sky: Evening, *others: Evening) -> VisitPlan:
    found = Ingredients(WORK, bring=("knife",), sick=frozenset({"sick"}))
    return visit_plan(sky, 80, found, None, (sky, *others))


def order(visit: VisitPlan) -> list[str]:
    return [task.id for task in visit.tasks]


def test_in_a_long_evening_the_order_is_as_ever_and_nobody_needs_a_lamp() -> None:
    visit = made(evening(SEPTEMBER, time(17, 30)))
    assert order(visit) == ["water", "pick", "clean", "sick", "tie", "leaves"]
    assert not visit.warning and "lamp" not in visit.bring and not visit.not_today


def test_in_a_short_evening_looks_come_first_the_clean_ones_before_the_sick() -> None:
    visit = made(evening(SEPTEMBER, time(19, 15)))
    assert order(visit)[:3] == ["clean", "sick", "water"]
    assert "leaves" not in order(visit)  # its turn comes after 19:43
    assert visit.not_today[0].what.endswith("leaves: so") and "lamp" in visit.bring
    assert "19:43" in visit.not_today[0].because[0].says
    assert "leaves" in visit.no_time  # a course that asks for it says that it is not done


def test_a_visit_after_dark_holds_no_look_says_so_and_names_the_next_with_light() -> None:
    dark = evening((date(2025, 11, 11), *NOVEMBER[1:]), time(18, 30))
    saturday = evening((date(2025, 11, 15), *NOVEMBER[1:]), time(10, 0))
    visit = made(evening(NOVEMBER, time(18, 30)), dark, saturday)
    assert order(visit) == ["water", "pick", "tie"]
    assert "16:54" in visit.warning and "lamp" in visit.bring
    waits = visit.not_today[0]
    assert "a look at clean, sick" in waits.what and waits.look_again == saturday.arrive


def test_where_no_visit_has_light_an_hour_by_day_is_named() -> None:
    visit = made(evening(NOVEMBER, time(18, 30)))
    says = visit.not_today[0].because[0].says
    # 36 min of civil twilight before sunrise, as in the evening.
    assert "between 06:39 and 16:54" in says and visit.not_today[0].look_again is None


@pytest.mark.parametrize("arrive", [time(6, 0), time(6, 30), time(6, 45), time(16, 10)])
def test_no_look_lies_in_the_dark_whenever_one_comes(arrive: time) -> None:
    sky = evening(NOVEMBER, arrive)
    visit = made(sky)
    rise, fall, dusk = (datetime.combine(sky.day, t, tzinfo=BERLIN) for t in NOVEMBER[1:])
    for one in visit.tasks:
        if one.kind in ("look", "treat"):
            assert one.starts is not None and one.ends is not None
            assert rise - (dusk - fall) <= one.starts and one.ends <= dusk


def test_where_it_never_gets_dark_nothing_is_moved() -> None:
    sky = replace(evening(SEPTEMBER, time(23, 0)), civil_dusk=None)
    assert "clean" in order(made(sky)) and not made(sky).warning
