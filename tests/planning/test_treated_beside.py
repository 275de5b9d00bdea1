"""Treated beside untreated plants: only what was counted on both sides is compared.

Shares are worked by hand from Henderson and Tilton's formula, 100 (1 - Ta Cb / (Tb Ca)), and
Abbott's, 100 (1 - Ta / Ca).
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from lattermath.planning.treated_beside import (
    COUNTS,
    Looked,
    before_and_after,
    beside_untreated,
    not_compared,
    tells_nothing,
)
from lattermath.science.efficacy import Efficacy

SPRAYED = date(2011, 7, 21)
SCALES = ("underside", "nymph4")


def look(
    planting: str, days: int, a_leaf: float, what: tuple[str, ...] = SCALES, crop: str = ""
) -> Looked:
    counts = (a_leaf - 1, a_leaf, a_leaf + 1) if a_leaf >= 1 else (a_leaf,)
    serial = sum(map(ord, planting)) * 100 + days
    return Looked(SPRAYED + timedelta(days=days), planting, crop or planting, what, counts, serial)


def percent(*looks: Looked, applied: tuple[tuple[date, str], ...] = ()) -> float | None:
    mine = (SPRAYED, "melons")
    told = beside_untreated(looks, [mine, *applied], SPRAYED, {"melons"}, COUNTS)
    return None if told is None else told.found.percent


MINE = (look("melons", -1, 50), look("melons", 4, 25))


def test_the_counts_of_two_untreated_plantings_are_never_one() -> None:
    """Half of it is taken. Cucumbers before and tomatoes after would give 99 in 100."""
    beside = (look("cucumbers", -1, 2), look("tomatoes", 4, 100))
    assert percent(*MINE, *beside) is None
    steady = (look("cucumbers", -1, 2), look("cucumbers", 4, 2), look("tomatoes", 4, 100))
    assert percent(*MINE, *steady) == pytest.approx(50.0)


def test_nor_those_of_two_treated_ones() -> None:
    beside = (look("cucumbers", -1, 10), look("cucumbers", 4, 20))
    mixed = (look("melons", -1, 50), look("squash", 4, 25), *beside)
    told = beside_untreated(
        mixed, [(SPRAYED, "melons"), (SPRAYED, "squash")], SPRAYED, {"melons", "squash"}, COUNTS
    )
    assert told is None


def test_adults_are_not_compared_with_scales() -> None:
    adults = ("underside", "adult")
    beside = (look("cucumbers", -1, 10, adults), look("cucumbers", 4, 20, adults))
    assert percent(*MINE, *beside) is None
    assert percent(*MINE, *beside, look("cucumbers", -1, 10), look("cucumbers", 4, 20)) == (
        pytest.approx(100 * (1 - 25 * 10 / (50 * 20)))
    )


def test_the_same_crop_is_preferred() -> None:
    other = (look("tomatoes", -1, 10), look("tomatoes", 4, 10))
    same = (look("late", -1, 10, crop="melons"), look("late", 4, 30, crop="melons"))
    assert percent(*MINE, *other, *same) == pytest.approx(100 * (1 - 25 * 10 / (50 * 30)))


def test_what_was_treated_itself_is_not_untreated() -> None:
    beside = (look("cucumbers", -1, 10), look("cucumbers", 4, 20))
    own = (SPRAYED + timedelta(days=1), "cucumbers")
    assert percent(*MINE, *beside) is not None
    assert percent(*MINE, *beside, applied=(own,)) is None
    again = (SPRAYED + timedelta(days=2), "melons")
    assert percent(*MINE, *beside, applied=(again,)) is None


def test_after_only_wants_one_crop_on_one_evening() -> None:
    after = look("melons", 4, 5)
    same = look("late", 4, 20, crop="melons")
    assert percent(after, same) == pytest.approx(75.0)
    assert percent(after, look("late", 5, 20, crop="melons")) is None
    assert percent(after, look("cucumbers", 4, 20)) is None


def test_looks_far_apart_are_not_compared() -> None:
    beside = (look("cucumbers", -1, 10), look("cucumbers", 12, 20))
    assert percent(*MINE, *beside) is None


def test_the_nearest_counts_before_and_after_where_nothing_else_was_done_between() -> None:
    mine, days = (SPRAYED, "melons"), (-6, -1, 1, 4, 8)
    looks = [look("melons", day, 50) for day in days] + [look("squash", 3, 9)]

    def found(*others: tuple[date, str]) -> list[int] | None:
        pair = before_and_after(looks, [mine, *others], SPRAYED, {"melons"}, COUNTS)
        return None if pair is None else [(one.day - SPRAYED).days for one in pair]

    assert found() == [-1, 4]
    assert found((SPRAYED + timedelta(days=6), "melons")) == [-1, 4]
    assert found((SPRAYED + timedelta(days=2), "melons")) is None
    assert found((SPRAYED + timedelta(days=2), "squash")) == [-1, 4]


def test_untreated_ones_of_which_none_is_left_are_named_and_not_dropped() -> None:
    looks = (*MINE, look("squash", -1, 20), look("squash", 4, 0))
    assert percent(*looks) is None
    gone = list(not_compared(looks, [(SPRAYED, "melons")], SPRAYED, {"melons"}, COUNTS))
    assert [pair.untreated for pair in gone] == ["squash"]
    assert not list(not_compared(MINE, [(SPRAYED, "melons")], SPRAYED, {"melons"}, COUNTS))


def test_a_pair_that_tells_comes_before_one_of_a_handful_left() -> None:
    """Nearer in days, yet 3 on five leaves of 120; cucumbers as many as before tell of 92 %."""
    fell = (look("melons", -1, 50), look("melons", 4, 4))
    few = Looked(SPRAYED + timedelta(days=4), "squash", "squash", SCALES, (0, 0, 2, 0, 1), 1)
    handful = (look("squash", -1, 24), few)
    steady = (look("cucumbers", -2, 20), look("cucumbers", 5, 20))
    assert percent(*fell, *handful, *steady) == pytest.approx(92.0)
    assert percent(*fell, *handful) == pytest.approx(100 * (1 - 4 * 24 / (50 * 0.6)))


def test_a_range_from_fewer_to_more_than_twice_as_many_is_no_answer() -> None:
    assert tells_nothing(Efficacy(-307.0, -3186.0, 50.0))
    assert not tells_nothing(Efficacy(-307.0, -900.0, -50.0))
    assert not tells_nothing(Efficacy(30.0, -60.0, 70.0))
    assert not tells_nothing(Efficacy(30.0))
