"""What would change a choice, against lines crossed by hand and courses run at that number."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.planning.test_course_search import cost_of, heavy, task

from lattermath.planning import turning
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Task
from lattermath.planning.fates import FateOutlook
from lattermath.planning.keep_or_replace import Weighed
from lattermath.vocabulary.plan import Fate, Turn, Verdict_


def fate(name: Fate, food: float, minutes: float, price: float, crop: str = "") -> Weighed:
    """Worth at a price of an hour: food less hours times the price."""
    outlook = FateOutlook(name, "", (), minutes, crop=crop)
    return Weighed(outlook, np.full(4, food - minutes / 60 * price))


def test_the_price_at_which_nursing_no_longer_pays_is_where_two_lines_cross() -> None:
    """20 - h and 12 cross at an hour of 8 portions; the price now is 4."""
    fates = [fate("leave", 12, 0, 4), fate("fight", 20, 60, 4)]
    turn = turning.hour_turn(fates, 4.0)
    assert turn.at == pytest.approx(8.0) and turn.turns_to == "let run"


def test_a_crossing_that_keeps_the_verdict_is_passed_over() -> None:
    """Covering (18 - h / 2) gives way to leaving (16) at 4: both are let run. Going down, fighting
    (22 - 2 h) beats covering at 8/3."""
    fates = [fate("leave", 16, 0, 3.9), fate("cover", 18, 30, 3.9), fate("fight", 22, 120, 3.9)]
    turn = turning.hour_turn(fates, 3.9)
    assert turn.at == pytest.approx(8 / 3) and turn.turns_to == "fight"


def test_no_price_turns_what_is_better_and_no_more_work() -> None:
    fates = [fate("leave", 12, 0, 4), fate("fight", 11, 60, 4)]
    assert turning.hour_turn(fates, 4.0).at is None


@pytest.mark.parametrize("seed", range(20))
def test_the_price_is_the_nearest_of_a_fine_scan(seed: int) -> None:
    rng = np.random.default_rng(seed)
    names: list[Fate] = ["leave", "fight", "cover", "set out standby now", "another crop"]
    foods, minutes = rng.uniform(5, 30, 5), rng.uniform(0, 240, 5)
    fates = [
        fate(n, f, m, 4.0, "x" if n in names[3:] else "")
        for n, f, m in zip(names, foods, minutes, strict=True)
    ]
    prices = np.arange(0.0, 16.0, 0.001)
    words = {"fight": "fight", "set out standby now": "replace", "another crop": "replace"}
    best = (foods[:, None] - minutes[:, None] / 60 * prices).argmax(axis=0)
    said = np.array([words.get(names[n], "let run") for n in best])
    now = int(np.abs(prices - 4.0).argmin())
    others = prices[said != said[now]]
    turn = turning.hour_turn(fates, 4.0)
    if others.size == 0:
        assert turn.at is None
    else:
        nearest = others[np.abs(others - 4.0).argmin()]
        assert turn.at == pytest.approx(nearest, abs=0.002)


@pytest.mark.parametrize("turns", [-28, -15, -14, -1, 1, 6, 7, 8, 20, 28])
def test_the_day_is_found_to_the_day(turns: int) -> None:
    def says(days: int) -> Verdict_:
        other = days <= turns if turns < 0 else days >= turns
        return "replace" if other else "let run"

    for asked in (says, turning.ends_first(says)):
        turn = turning.shift_turn(turning.FROST, 100.0, asked)
        assert turn.at == 100.0 + turns and turn.turns_to == "replace"


def test_the_nearer_of_two_days_is_told_and_none_beyond_four_weeks() -> None:
    both = turning.shift_turn(turning.AGE, 50.0, lambda d: "pull" if d < -9 or d > 5 else "fight")
    assert both.at == 56.0
    never = turning.shift_turn(turning.AGE, 50.0, lambda d: "pull" if abs(d) > 28 else "fight")
    assert never.at is None and (never.least, never.most) == (22.0, 78.0)


def test_the_nearest_vigour_is_told_in_words() -> None:
    verdicts: dict[str, Verdict_] = {
        "sound": "let run", "tired": "let run", "worn": "fight", "failing": "replace",
    }  # fmt: skip
    turn = turning.vigour_turn("tired", lambda vigour: verdicts[vigour])
    assert (turn.word, turn.at_word, turn.turns_to) == ("tired", "worn", "fight")
    [because] = turning.reasons((turn,))
    assert because.says == "it would turn to fight were it worn and not tired, all else as it is"


def test_what_turns_nothing_is_said_in_one_line() -> None:
    told = turning.reasons(
        (
            Turn(turning.HOUR, 4.0, None, "portions", 0.0, 16.0),
            Turn(turning.FROST, 90.0, None, "day", 62.0, 118.0),
        )
    )
    assert [one.says for one in told] == [
        "nothing within reason turns it in the price of an hour (up to 16 portions), nor in the "
        "first frost (up to 28 days either way)"
    ]


def scaled(asked: Task, times: float) -> Task:
    """The same cluster with so many times as many insects today; what flies in stays."""
    return replace(asked, belief=replace(asked.belief, state=asked.belief.state * times))


@pytest.mark.parametrize("share", [0.02, 0.05, 0.1, 0.2, 0.4, 0.6])
def test_at_the_number_told_the_course_costs_as_much_as_nothing(share: float) -> None:
    """Both run again by plain simulation on all draws with so many more or fewer insects: a
    quarter above the number the course saves, a quarter below it costs."""
    asked = scaled(task(heavy()), share)
    found = search_course(asked)
    times = turning.times_that_turn(asked, found)
    assert times is not None and (times < 1) == bool(found.steps)
    steps = turning.rival_of(found)
    assert steps
    below, above = (
        cost_of(scaled(asked, n), ()) - cost_of(scaled(asked, n), steps)
        for n in (times / 1.25, times * 1.25)
    )
    assert below < 0 < above


def test_no_number_is_told_where_none_within_twenty_times_turns_it() -> None:
    """So many that a course pays with a twentieth of them too, by plain simulation."""
    asked = scaled(task(heavy()), 6.0)
    found = search_course(asked)
    assert found.steps and turning.times_that_turn(asked, found) is None
    few = scaled(asked, 1 / turning.MOST_TIMES)
    assert cost_of(few, ()) > cost_of(few, found.steps)


def test_the_number_is_told_with_what_it_turns_to() -> None:
    found = search_course(task(heavy()))
    turn = turning.count_turn(found, 0.25, 80.0, "pale scales a leaf on Cucumbers")
    assert turn is not None and turn.at == 20.0
    [because] = turning.reasons((turn,))
    assert because.says == (
        "it would turn to no treatment below about 20 pale scales a leaf on Cucumbers (now about "
        "80), all else as it is"
    )
