"""Modes of action over generations, against the rotation list of the trade checks (A10)."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.planning.label_cases import (
    CAUTIONS,
    applied,
    days_before,
    limits,
    product,
    request,
    value,
)

from lattermath.knowledge.tables import load_tables
from lattermath.planning.label_limits import may_treat
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.rotation import mode_number, refused_days

FREE = limits(retreat_days=value(1.0), season_max=value(99))


def allowed(now: str, *before: tuple[str, float], generation: float | None = 20.0) -> bool:
    label = product(now, (FREE,), key=now)
    others = {active: product(active, (FREE,), key=active) for active, _ in before}
    past = tuple(applied(others[active], days_before(days)) for active, days in before)
    shelf = (*others.values(), label)
    asked = request(label, applied=past, shelf=shelf, generation_days=generation)
    return may_treat(asked, CAUTIONS).allowed


def test_a10_consecutive_generations() -> None:
    assert not allowed("permethrin", ("pyrethrins", 25))
    assert not allowed("malathion", ("carbaryl", 25))
    assert allowed("soap", ("soap", 25))
    assert allowed("neem_oil", ("neem_oil", 25))
    assert allowed("azadirachtin", ("azadirachtin", 25))
    assert allowed("btk", ("spinosad", 25), ("spinosad", 20))
    assert allowed("spinosad", ("spinosad", 5))


def test_a10_a_single_site_fungicide_never_twice_in_a_row() -> None:
    assert not allowed("myclobutanil", ("myclobutanil", 14))
    assert not allowed("myclobutanil", ("myclobutanil", 60))
    assert allowed("myclobutanil", ("myclobutanil", 14), ("sulfur", 7))
    assert not allowed("myclobutanil", ("myclobutanil", 14), ("btk", 7))


def test_a10_fungicide_code_3_is_not_insecticide_number_3() -> None:
    assert allowed("myclobutanil", ("permethrin", 25))


@pytest.mark.parametrize(
    ("generation", "days", "ok"),
    [
        (5.3, 14, True),
        (5.3, 15, False),
        (5.3, 29, False),
        (5.3, 30, True),  # melon aphid, 25 C
        (32.5, 32, True),
        (32.5, 33, False),
        (32.5, 64, False),
        (32.5, 65, True),
    ],  # whitefly, 20 C
)
def test_a10_the_window_is_the_longer_of_a_generation_and_15_days(
    generation: float, days: float, ok: bool
) -> None:
    assert allowed("spinosad", ("spinosad", days), generation=generation) is ok


def test_a_generation_nobody_knows_is_never_over() -> None:
    assert allowed("spinosad", ("spinosad", 14), generation=None)
    assert not allowed("spinosad", ("spinosad", 40), generation=None)


def test_the_refusal_names_the_day_on_which_the_group_has_rested() -> None:
    label = product("spinosad", (FREE,))
    asked = request(label, applied=(applied(label, days_before(25)),), generation_days=20.0)
    ruling = may_treat(asked, CAUTIONS)
    assert ruling.ask_again is not None
    assert ruling.ask_again.date() == date(2026, 8, 4) + timedelta(days=40 - 25)


def test_windows_by_hand() -> None:
    """Day 0 opens a window of 15: 0 and 14 in it, 15 to 29 rest, 30 opens the next."""
    d = date(2026, 7, 1)
    days = [d + timedelta(days=n) for n in (0, 14, 30, 44, 60)]
    assert refused_days(days, 15) == []
    assert refused_days([d, d + timedelta(days=15)], 15) == [d + timedelta(days=15)]


@pytest.mark.parametrize(
    ("group", "number"),
    [("1A", "1"), ("1B", "1"), ("3", "3"), ("3 a", "3"), ("M2", "M02"), ("UN", "UN")],
)
def test_the_number_alone_counts(group: str, number: str) -> None:
    assert mode_number(group) == number


def test_a_label_that_prints_no_group_has_that_of_its_active() -> None:
    """IRAC 3A and 5 by the table; a label is silent on it in most countries."""
    silent = product("pyrethrins", (FREE,), key="p", group="")
    past = (applied(silent, days_before(25)),)
    asked = request(silent, applied=past, shelf=(silent,), generation_days=20.0)
    assert not may_treat(asked, CAUTIONS).allowed
    with_table = may_treat(asked, own_cautions(load_tables()))
    assert any("group 3 last used" in bar.says for bar in with_table.bars)


def test_a_group_that_is_not_the_active_s_is_asked_about() -> None:
    odd = product("pyrethrins", (FREE,), key="p", group="M01")
    ruled = may_treat(request(odd, shelf=(odd,), generation_days=20.0), CAUTIONS)
    assert any(
        "our table has 3A for pyrethrins: look at the label" in r.says for r in ruled.reasons
    )
