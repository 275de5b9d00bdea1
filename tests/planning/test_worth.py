"""Household worth: portions used, by hand; weeks, against the calendar of a table library."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.belief.crop_traits import crop_traits
from lattermath.knowledge.tables import load_tables
from lattermath.planning.worth import (
    KEPT_WORTH,
    Weeks,
    added_value,
    cost,
    food_value,
    kept,
    use,
    want_for,
    with_store,
)
from lattermath.vocabulary.plot import Household, Want


def test_use_by_hand() -> None:
    """Want 5: four are used, seven count 5 + 0.3 x 2, twenty count 5 + 0.3 x 5."""
    found = use(np.array([[4.0, 7.0, 20.0]]), np.full(3, 5.0))
    assert found[0] == pytest.approx([4.0, 5.6, 6.5])


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0.1, 20))
def test_the_next_portion_is_never_worth_more_than_the_last(
    a: float, b: float, want: float
) -> None:
    """Concave: the middle of two amounts is used at least as well as the two on average."""
    amounts = np.array([[a, b, (a + b) / 2]])
    one, two, middle = use(amounts, np.full(3, want))[0]
    assert middle >= (one + two) / 2 - 1e-9


@pytest.mark.parametrize("first", [date(2025, 8, 4), date(2025, 8, 5), date(2025, 8, 10)])
def test_weeks_are_the_calendar_weeks(first: date) -> None:
    rng = np.random.default_rng(2)
    daily = rng.random((3, 40))
    weeks = Weeks.of(first, 40)
    days = pd.date_range(first, periods=40)
    by_week = pd.DataFrame(daily.T, index=days).groupby(days.to_period("W-SUN")).agg(["sum"])
    sums = by_week.to_numpy().T
    assert weeks.sums(daily) == pytest.approx(sums)
    assert [m.isoformat() for m in weeks.mondays] == [
        str(p.start_time.date()) for p in by_week.index
    ]
    counts = pd.Series(1, index=days).groupby(days.to_period("W-SUN")).sum()
    assert weeks.share * 7 == pytest.approx(counts.to_numpy())


def test_a_short_week_wants_its_share_only() -> None:
    """From a Saturday: two days of the first week, then seven."""
    weeks = Weeks.of(date(2025, 8, 9), 9)
    value = food_value(np.array([[2.0, 7.0]]), Want("x", 7.0), weeks)
    assert value[0] == pytest.approx(2.0 + 7.0)
    more = food_value(np.array([[4.0, 7.0]]), Want("x", 7.0), weeks)
    assert more[0] == pytest.approx(2.0 + 0.3 * 2.0 + 7.0)


def test_food_that_the_plot_gives_already_is_worth_less() -> None:
    weeks = Weeks.of(date(2025, 8, 4), 7)
    want = Want("courgette", 6.0, 1.5)
    own = {"courgette": np.array([[6.0]])}
    alone = added_value(own, {}, {"courgette": want}, weeks)
    beside = added_value(own, {"courgette": np.array([[6.0]])}, {"courgette": want}, weeks)
    assert alone[0] == pytest.approx(9.0)
    assert beside[0] == pytest.approx(0.3 * 6.0 * 1.5)


def test_costs_by_hand() -> None:
    """90 minutes at 4 portions an hour, 30 litres at 0.01, two treatments at 1."""
    assert cost(Household(), 90.0, 30.0, 2.0) == pytest.approx(6.0 + 0.3 + 2.0)


def test_wants_by_crop_by_group_and_by_default() -> None:
    group = Want("tomatoes", 10.0, 1.2, ("tomato_determinate", "tomato_indeterminate"))
    household = Household(3, (Want("kale", 4.0), group))
    assert want_for("kale", household).portions_a_week == 4.0
    assert want_for("tomato_indeterminate", household) is group
    unnamed = want_for("chard", household)
    assert (unnamed.portions_a_week, unnamed.worth) == (6.0, 1.0)


def test_weeks_run_on_over_a_year_end() -> None:
    weeks = Weeks.of(date(2025, 12, 28), 14)
    assert weeks.mondays[1] == date(2025, 12, 29)
    assert weeks.mondays[-1] - weeks.mondays[0] == timedelta(days=14)


def test_what_is_put_by_is_what_the_best_packing_finds() -> None:
    """Every split of whole portions between plate, beyond the want and store, tried."""
    wanted = np.array([3.0, 3.0])
    for week_1 in range(0, 12, 2):
        for week_2 in range(0, 12, 3):
            for room in (0.0, 2.0, 5.0, 50.0):
                best = max(
                    sum(use(np.array([[a, b]]), wanted)[0]) + KEPT_WORTH * stored
                    for a in range(week_1 + 1)
                    for b in range(week_2 + 1)
                    if (stored := week_1 - a + week_2 - b) <= room
                )
                portions = np.array([[float(week_1), float(week_2)]])
                ours = use(portions, wanted).sum() + kept(portions, wanted, room)[0]
                assert ours == pytest.approx(best)


@pytest.mark.parametrize("worth", [0.0, 0.2, 0.5, 0.9])
def test_what_is_given_away_is_what_the_best_packing_finds(worth: float) -> None:
    """Every split of whole portions between plate, store and neighbours, tried by plain sums."""

    def eaten_of(portions: int) -> float:
        return min(portions, 3) + 0.3 * min(max(portions - 3, 0), 3)

    wanted = np.array([3.0, 3.0])
    for week_1, week_2, room in [(2, 4, 5), (5, 9, 0), (8, 11, 2), (11, 7, 50)]:
        best = max(
            eaten_of(a) + eaten_of(b) + KEPT_WORTH * stored + worth * (over - stored)
            for a in range(week_1 + 1)
            for b in range(week_2 + 1)
            for over in [week_1 - a + week_2 - b]
            for stored in range(min(over, room) + 1)
        )
        portions = np.array([[float(week_1), float(week_2)]])
        ours = use(portions, wanted, worth).sum() + kept(portions, wanted, room, worth)[0]
        assert ours == pytest.approx(best)


def test_a_household_that_gives_away_values_a_glut() -> None:
    """Want 5, 25 in hand: ten as before, and fifteen given at 0.2 each."""
    household = Household(wants=(Want("kale", 5.0),), worth_of_given_away=0.2)
    weeks = Weeks.of(date(2025, 8, 4), 7)
    glut = np.array([[25.0]])
    gives = food_value(glut, want_for("kale", household), weeks)
    alone = food_value(glut, want_for("kale", Household(wants=household.wants)), weeks)
    assert alone == pytest.approx([6.5]) and gives - alone == pytest.approx([3.0])


def test_what_keeps_and_where_it_goes() -> None:
    tables = load_tables()
    no_room, room = Household(), Household(freezer_litres=10.0, jars=10)
    want = Want("x", 4.0)

    def put_by(crop: str, household: Household) -> float:
        return with_store(want, crop_traits(tables, crop), household).put_by

    assert put_by("lettuce_leaf", room) == put_by("bean_bush", no_room) == 0.0
    assert put_by("bean_bush", room) == pytest.approx(10 * 0.5 / 0.091)
    assert put_by("cucumber_pickling", room) == pytest.approx(10 * 0.5 / 0.082)
    assert put_by("winter_squash", no_room) == 4.0 * 16
    assert put_by("garlic", no_room) == 4.0 * 24
