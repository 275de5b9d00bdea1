"""What is set out is watered in its first two weeks, or is not set out; gaps counted by hand."""

import pytest

from lattermath.planning.first_weeks import is_watered, usual_gap

THRICE = [7 * week + day for week in range(9) for day in (0, 2, 4)]
WEEKLY = [0, 7, 14, 21, 28, 35, 42, 49]


@pytest.mark.parametrize(
    ("away", "begins", "watered"),
    [
        ((5, 20), 0, False),  # the last watering is on day 4, the next on day 21
        ((5, 20), 4, False),
        ((5, 20), 21, True),
        ((15, 20), 0, True),  # on day 14 its roots find water
        ((15, 20), 2, False),  # day 14 to day 21, and its two weeks end on day 16
        ((3, 6), 0, True),  # day 2 to day 7 is five days
    ],
)
def test_an_absence_bars_what_it_would_leave_dry(
    away: tuple[int, int], begins: int, watered: bool
) -> None:
    visits = [day for day in THRICE if not away[0] <= day <= away[1]]
    assert is_watered(visits, begins, last=60) is watered


def test_who_comes_once_a_week_may_plant_as_ever() -> None:
    assert usual_gap(WEEKLY) == 7
    assert all(is_watered(WEEKLY, day, last=60) for day in WEEKLY[:-2])
    without = [day for day in WEEKLY if day != 14]
    assert not is_watered(without, 7, last=60)


def test_the_end_of_the_season_is_no_absence() -> None:
    assert is_watered([0, 2, 4], 4, last=6)
    assert not is_watered([0, 2, 4], 4, last=40)
