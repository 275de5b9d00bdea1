"""The severity at which a course against a leaf disease turns, beside searches run anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.belief.test_leaf_disease import believe, severity
from tests.planning.test_leaf_disease_courses import ill, task

from lattermath.planning.common_draws import SEARCH_DRAWS
from lattermath.planning.leaf_disease_courses import LeafTask, cost_of_series, search_leaf_course
from lattermath.planning.leaf_turning import severity_turn
from lattermath.planning.turning import reasons


def times(asked: LeafTask, factor: float) -> LeafTask:
    """The same with so many times what is on the leaf and in it, written out again here."""
    belief = asked.belief
    state = np.minimum(belief.state * factor, 0.95)
    room = np.maximum(0.95 - state, 0.0)[..., None]
    hidden = belief.hidden * factor
    hidden = hidden * np.minimum(1, room / np.maximum(hidden.sum(-1, keepdims=True), 1e-12))
    return replace(asked, belief=replace(belief, state=state, hidden=hidden))


def test_a_course_that_pays_ceases_to_below_the_severity_told() -> None:
    asked = task(ill(), portions=(60.0, 40.0))
    found = search_leaf_course(asked)
    turn = severity_turn(asked, found)
    assert found.steps and turn is not None and turn.at is not None
    assert turn.turns_to == "no treatment" and turn.at < turn.now
    few = replace(asked, belief=asked.belief.thinned(SEARCH_DRAWS))
    for factor, pays in ((0.9 * turn.at / turn.now, False), (1.1 * turn.at / turn.now, True)):
        moved = times(few, factor)
        assert (cost_of_series(moved, found.steps) < cost_of_series(moved, ())) is pays


def test_what_does_not_pay_now_says_from_where_it_would() -> None:
    little = believe([(46, severity(0.2, "whole")), (49, severity(0.2, "whole"))])
    for worth in np.arange(100.0, 20.0, -4.0):  # the most at stake for which nothing pays yet
        asked = task(little, portions=(worth, worth / 2))
        found = search_leaf_course(asked)
        if not found.steps:
            break
    assert found.steps == () and found.next_best
    turn = severity_turn(asked, found)
    assert turn is not None and turn.at is not None
    assert turn.turns_to == "treatment" and turn.at > turn.now
    beyond = times(asked, 2.0 * turn.at / turn.now)
    assert cost_of_series(beyond, found.next_best) < cost_of_series(beyond, ())
    (said,) = reasons((turn,))
    assert "% of the leaf (mean of both sides) on" in said.says and "from about" in said.says


def test_where_there_is_nothing_to_use_there_is_nothing_to_turn() -> None:
    asked = replace(task(ill()), candidates=())
    assert severity_turn(asked, search_leaf_course(asked)) is None
