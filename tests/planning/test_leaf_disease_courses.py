"""Courses against mildew: rulings kept, worth its work, and both sides of the leaf."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.test_leaf_disease import MATERIALS, believe, effect, severity

from lattermath.belief.deposit_wear import Wear
from lattermath.belief.leaf_disease_effect import LeafEffect
from lattermath.belief.treatment_effect import Effect
from lattermath.planning.choices_told import Asked
from lattermath.planning.course_task import Candidate
from lattermath.planning.leaf_disease_courses import (
    MORE,
    STRIPS,
    LeafTask,
    _series,
    applications_of,
    damage_of_run,
    ill_places,
    or_nothing,
    search_leaf_course,
    work_of_series,
)
from lattermath.planning.leaf_disease_pays import StillPays
from lattermath.planning.leaf_disease_told import leaf_population, yield_kept_by_leaf
from lattermath.science.leaf_loss import LeafLoss
from lattermath.vocabulary.figure import Figure, Provenance
from lattermath.vocabulary.ruling import Because, ruling

A_DAY = date(2025, 8, 5)
CANDIDATES = tuple(
    Candidate(m, m, m, m, Effect(m, {}), ("top", "underside"), 0.7, 1.5, 8.0, 0.3)
    for m in MATERIALS
)
LOSS = LeafLoss(0.5)
EFFECTS = {m: effect(m) for m in MATERIALS}


def task(belief, permits=lambda *_: ruling([Because("free")]), portions=(60.0, 40.0)) -> LeafTask:
    visits = tuple(range(belief.today, belief.today + 28, 3))
    return LeafTask(belief, visits, CANDIDATES, EFFECTS, permits, np.array(portions), LOSS, 4 / 60)


def ill():
    return believe([(46, severity(3.0, "whole")), (49, severity(5.0, "whole"))])


def test_a_course_is_found_and_beats_nothing() -> None:
    found = search_leaf_course(task(ill()))
    assert found.steps and found.cost < found.cost_of_nothing
    gaps = np.diff([found.steps[0].visit, *[s.visit for s in found.steps[1:]]]) * 3
    # A rhythm of five days and more, and at most so many single treatments beside it.
    assert sum(gap < 5 for gap in gaps) <= 2 * MORE
    assert found.with_it[:, 0, 21].mean() < found.without[:, 0, 21].mean()


def test_what_is_forbidden_is_not_planned_and_the_reason_is_told() -> None:
    def no_sulfur(one, visit, planting, so_far):
        return ruling([Because("oil within 14 days", one.key != "sulfur", "our caution")])

    found = search_leaf_course(task(ill(), no_sulfur))
    assert all(step.candidate.key != "sulfur" for step in found.steps)
    assert [bar.says for bar in found.refused] == ["oil within 14 days"]


def test_nothing_is_done_where_nothing_is_left_to_pick() -> None:
    found = search_leaf_course(task(ill(), portions=(0.5, 0.0)))
    assert found.steps == () and found.cost == found.cost_of_nothing


def test_nothing_beginning_now_and_waiting_are_priced() -> None:
    """Each beside the course found, by damage and work run apart from the search."""
    belief = ill()
    asked = task(belief)
    found = search_leaf_course(asked)
    assert found.steps
    priced = {one.says: one for one in found.alternatives}
    first = "Begin now" if found.steps[0].visit else "Wait and look again"
    assert {"Do nothing", first} <= set(priced)
    for one in found.alternatives:
        run = asked.run(one.steps)
        cost = damage_of_run(asked, run) + work_of_series(asked, one.steps)
        assert one.cost == pytest.approx(cost - found.cost, abs=1e-9) and one.cost >= -1e-9
    assert all(step.visit > 0 for step in priced[first].steps) or first == "Begin now"
    worth_little = search_leaf_course(task(belief, portions=(2.0, 0.0)))
    assert worth_little.steps == ()
    later = "Begin at a later visit"  # to wait and look again is what is advised
    assert {one.says for one in worth_little.alternatives} == {"Begin now", later}
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    for some, kind in ((found, first), (worth_little, later)):
        told = [b.says for b in leaf_population(belief, some, visits, A_DAY, "mildew").because]
        assert any(line.startswith(kind.lower()) and line.endswith("worse") for line in told)


def test_an_empty_shelf_is_told_as_one_on_both_sides() -> None:
    """No "not worth its work" of what is not there, beside prices that say so."""
    belief = ill()
    bare = replace(task(belief), candidates=())
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    asked = Asked(bare, (0,), tuple(visits))
    told = leaf_population(belief, search_leaf_course(bare), visits, A_DAY, "mildew", asked=asked)
    assert told.course_says.startswith("Nothing on hand takes of it; left alone it costs about ")
    assert "worth its work" not in told.course_says
    assert any(b.says.startswith("begin now: nothing on hand") for b in told.because)
    little = task(belief, portions=(2.0, 0.0))
    asked = Asked(little, (0, 1), tuple(visits))
    found = search_leaf_course(little)
    told = leaf_population(belief, found, visits, A_DAY, "mildew", asked=asked)
    assert "is not worth its work" in told.course_says


def test_the_population_of_a_sheet() -> None:
    belief = ill()
    found = search_leaf_course(task(belief))
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    population = leaf_population(belief, found, visits, A_DAY, "powdery mildew")
    assert [strip.name for strip in population.strips] == ["tops", "undersides"]
    assert population.strips[0].unit == "% of the leaf, where it is worst"
    assert "does not end it" in population.course_says
    assert "begin when 1 old leaf in 50 has a colony" in population.says  # psu_cpm, page read
    assert 0 < population.left_on_last_day.median <= 1.0
    kept = yield_kept_by_leaf(found.without, 0, LOSS)
    assert kept.shape[0] == belief.n_draws and np.all((kept > 0.4) & (kept <= 1))


def figure(value: float, low: float, high: float) -> Figure:
    return Figure(value, low, high, "d", Provenance("judgement"), "constants/row/cell")


PAYS = StillPays(figure(10.5, 7, 14), figure(0.5, 0.5, 0.5))  # the table's own lag and limit


def bearing(days: int, belief) -> np.ndarray:
    """Everything still to come arrives evenly over that many days, on both plantings."""
    n_days = belief.response.shape[-1] - belief.today
    return np.tile(np.where(np.arange(n_days) < days, 1 / days, 0.0), (2, 1))


def test_treatment_stops_paying_when_picking_ends_before_it_shows() -> None:
    """Latent period 3 d at least and a lag of 7 d: from eleven days of picking on it may pay."""
    belief = ill()
    late = search_leaf_course(replace(task(belief), when=bearing(9, belief), pays=PAYS))
    assert late.steps == () and "days of picking left" in late.too_late[0].says
    assert late.too_late[0].rests_on[1] == "table:constants/row/cell"
    early = search_leaf_course(replace(task(belief), when=bearing(40, belief), pays=PAYS))
    assert early.steps and not early.too_late
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    told = leaf_population(belief, late, visits, A_DAY, "powdery mildew")
    assert told.course_says.startswith("Treatment no longer pays: Courgettes")
    beside = leaf_population(belief, late, visits, A_DAY, "powdery mildew", ("melon aphid",))
    assert beside.course_says.startswith("It is treated with the course against melon aphid. ")
    assert "Treatment no longer pays" not in beside.course_says


def test_another_planting_s_last_days_are_no_reason_where_one_could_still_gain() -> None:
    """Two ill plantings, one with nine days of picking left: nothing on hand is the reason."""
    belief = believe([(46, severity(20.0, "whole")), (47, severity(20.0, "whole", "cucumbers"))])
    assert len(ill_places(belief)) == 2
    when = bearing(40, belief)
    when[1] = bearing(9, belief)[1]
    asked = replace(task(belief), when=when, pays=PAYS, candidates=())
    found = search_leaf_course(asked)
    assert len(found.too_late) == 1
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    told = leaf_population(belief, found, visits, A_DAY, "powdery mildew")
    assert "days of picking left" not in told.course_says
    assert "left alone it costs about" in told.course_says
    off = search_leaf_course(replace(asked, comes_off=frozenset({0})))
    told = leaf_population(belief, off, visits, A_DAY, "powdery mildew")
    assert told.course_says.startswith("Treatment no longer pays: ")


def test_treatment_stops_paying_when_half_the_leaf_is_gone() -> None:
    belief = believe([(46, severity(80.0, "whole")), (49, severity(85.0, "whole"))])
    found = search_leaf_course(replace(task(belief), when=bearing(40, belief), pays=PAYS))
    assert all(0 not in step.places for step in found.steps)
    assert "of the leaf of Courgettes is gone" in found.too_late[0].says


def test_taking_off_leaves_is_called_a_delay() -> None:
    """Hands alone: a share of the colonies goes, and the days bought are said (Vanderplank)."""
    belief = ill()
    hand = effect_of_pruning()
    candidate = Candidate(
        STRIPS, STRIPS, None, "leaves", Effect(STRIPS, {}), ("top",), 0.7, 0.1,
        least_gap_days=10, most_uses=3,
    )  # fmt: skip
    only = replace(task(belief), candidates=(candidate,), effects={STRIPS: hand})
    found = search_leaf_course(only)
    assert found.steps and len(found.steps) <= 3
    gaps = np.diff([step.visit for step in found.steps]) * 3
    assert all(gap >= 10 for gap in gaps)
    visits = [A_DAY + timedelta(days=3 * n) for n in range(10)]
    told = leaf_population(belief, found, visits, A_DAY, "powdery mildew").course_says
    assert "sets it back about" in told and "does not end it" in told


def effect_of_pruning() -> LeafEffect:
    """As of the table's row, on the draws of a method that the belief already knows."""
    return LeafEffect(
        "sulfur", ((0.2, 0.4, 0.6),) * 2, ((0.0, 0.0, 0.0),) * 2, 1.0, Wear(), False, ("table:x",)
    )


def test_searching_on_a_part_of_the_draws_finds_what_all_of_them_find() -> None:
    """Enumerated: every series of the search on all draws; ours is within 1 % of the best."""
    belief = ill()
    asked = task(belief)
    found = search_leaf_course(asked)
    every = _series(asked, [0, 1], [])
    costs = [
        damage_of_run(asked, belief.ahead(applications_of(asked, steps)))
        + work_of_series(asked, steps)
        for steps in every
    ]
    assert len(every) > 20
    gap = (found.cost - min(costs)) / (found.cost_of_nothing - min(costs))
    assert gap <= 0.01


def test_work_that_gains_less_than_is_told_is_not_planned() -> None:
    """By halving: the fewest portions for which any work is worth its minutes gain next to none."""

    def asked(portions: float) -> LeafTask:
        return task(ill(), portions=(portions, 0.0))

    low, high = 0.2, 60.0
    for _ in range(9):
        middle = (low + high) / 2
        low, high = (low, middle) if search_leaf_course(asked(middle)).steps else (middle, high)
    hardly = search_leaf_course(asked(high))
    gained = hardly.cost_of_nothing - hardly.cost
    assert hardly.steps and 0 < gained < 0.09  # "under 0.1", as a sheet says it
    kept = or_nothing(asked(high), hardly)
    assert kept.steps == () and kept.cost == pytest.approx(hardly.cost_of_nothing)
    assert not [one for one in kept.alternatives if one.cost < -0.095]
    clearly = search_leaf_course(asked(120.0))
    assert clearly.cost_of_nothing - clearly.cost > 0.1
    assert or_nothing(asked(120.0), clearly) is clearly
