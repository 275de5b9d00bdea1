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
)

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
