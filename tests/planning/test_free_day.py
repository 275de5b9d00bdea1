"""The day that gives where label interval or visits hold a treatment, against plain runs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.planning.test_course_search import SOAP, heavy, task
from tests.planning.test_leaf_disease_courses import ill
from tests.planning.test_leaf_disease_courses import task as leaf_task

from lattermath.belief.leaf_covers import LeafApplication, leaf_reach
from lattermath.planning.common_draws import searched
from lattermath.planning.course_task import Candidate, Step, Task, application
from lattermath.planning.free_day import AROUND_DAYS, free_day_told, free_days
from lattermath.planning.leaf_disease_courses import damage_in_draws, searched_few
from lattermath.planning.shared_treatments import damages_of

ALL = (0, 1, 2)
TODAY = date(2025, 8, 5)


def every(days: float | None):
    return lambda _candidate, _place: days


def held(asked: Task, steps: tuple[Step, ...], interval):
    """Of insects, on the draws that are searched."""
    return free_days(
        asked, steps, interval,
        lambda visits, some: damages_of(replace(asked, visits=tuple(visits)), some),
    )  # fmt: skip


def plain(asked: Task, days: dict[int, Candidate]) -> float:
    """Damage when these go on all plantings on these days, visits or not."""
    planned = [
        application(Step(0, one, ALL), day, asked.belief) for day, one in sorted(days.items())
    ]
    sums = asked.belief.ahead(planned, threads=1, by_chance=False).sums
    return float(asked.stakes.lost(sums).sum(1)[searched(asked.belief.n_draws)].mean())


def test_without_a_visit_the_best_day_about_it_is_named_with_what_plain_runs_cost() -> None:
    """Soap once, at the second of visits three days apart: every other day is run by hand."""
    asked = task(heavy())
    own = asked.visits[1]
    (one,) = held(asked, (Step(1, SOAP, ALL),), every(None))
    days = [day for day in range(asked.visits[0], own + AROUND_DAYS + 1) if day not in asked.visits]
    now = plain(asked, {own: SOAP})
    saved = {day: now - plain(asked, {day: SOAP}) for day in days}
    assert one.day == max(saved, key=saved.get) and one.interval is None
    assert one.saved == pytest.approx(saved[one.day], rel=1e-6)
    says = free_day_told(one, asked, Step(1, SOAP, ALL), TODAY).says
    portions = f"{one.saved:.1f}".removesuffix(".0")
    assert "there is no visit then: the day gives" in says and f"{portions} portions" in says


def test_a_label_s_interval_that_bars_the_better_day_is_named() -> None:
    """Soap at the first visit and again twelve days on, as its label wants: sooner is better."""
    asked = task(heavy())
    steps = (Step(0, SOAP, ALL), Step(4, SOAP, ALL))
    first, second = (asked.visits[n] for n in (0, 4))
    (found,) = (o for o in held(asked, steps, every(12.0)) if o.place == 1)
    assert found.interval == 12.0 and found.day - first < 12
    moved = plain(asked, {first: SOAP, second: SOAP}) - plain(asked, {first: SOAP, found.day: SOAP})
    assert found.saved == pytest.approx(moved, rel=1e-6)
    told = free_day_told(found, asked, steps[1], TODAY)
    assert "the label wants 12 days between two uses: the day gives" in told.says
    assert "rule:retreat_and_maximum" in told.rests_on


def test_a_day_that_visits_and_label_allow_is_never_said_to_give() -> None:
    """With a visit on every day, and no interval, nothing bars; and hands wait for nothing."""
    asked = task(heavy(), n=12, gap=1)
    assert held(asked, (Step(3, SOAP, ALL), Step(7, SOAP, ALL)), every(None)) == ()
    assert held(asked, (), every(None)) == ()
    bare = replace(SOAP, product=None)
    assert held(task(heavy()), (Step(1, bare, ALL),), every(None)) == ()


def test_putting_off_stops_where_the_next_use_would_have_to_move_too() -> None:
    asked = task(heavy())
    steps = (Step(1, SOAP, ALL), Step(3, SOAP, ALL))
    for one in held(asked, steps, every(5.0)):
        if one.place == 0:
            assert asked.visits[3] - one.day >= 5


def test_a_day_that_gives_for_a_leaf_disease_beside_plain_runs() -> None:
    """Sulfur at visits nine days apart: every day about the second without a visit, run by hand."""
    belief = ill()
    few = searched_few(replace(leaf_task(belief), visits=(belief.today, belief.today + 9)))
    sulfur = next(one for one in few.candidates if one.key == "sulfur")
    steps = (Step(0, sulfur, (0,)), Step(1, sulfur, (0,)))

    def damages(visits, some):
        return damage_in_draws(few, replace(few, visits=tuple(visits)).run(some))

    def by_hand(day: int) -> float:
        reach = leaf_reach(few.effects[sulfur.key], ("top", "underside"), sulfur.coverage)
        made = [
            LeafApplication(at, few.effects[sulfur.key], (0,), reach) for at in (belief.today, day)
        ]
        severity = few.belief.ahead(made)[:, :, 1:].mean(3)
        return float((few.loss.lost(severity).mean(2) @ few.portions).mean())

    own = belief.today + 9
    told = {one.place: one for one in free_days(few, steps, every(None), damages)}
    days = range(own - AROUND_DAYS, own)  # the last visit is not put off
    best = min(days, key=by_hand)
    saved = by_hand(own) - by_hand(best)
    assert saved > 0.05 and told[1].day == best and told[1].interval is None
    assert told[1].saved == pytest.approx(saved, rel=1e-6)
    says = free_day_told(told[1], few, steps[1], TODAY).says
    assert "there is no visit then: the day gives" in says and "on Courgettes" in says
    (barred,) = (o for o in free_days(few, steps, every(9.0), damages) if o.place == 1)
    assert barred.interval == 9.0 and barred.day == best
