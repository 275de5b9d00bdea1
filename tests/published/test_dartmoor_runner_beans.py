"""Runner beans at 300 m on Dartmoor.

Source: a grower there on a public weather forum, 17 September 2012 (read): young plants planted
out in June; first bean that day, about three weeks later than usual, "I usually start to crop in
late August"; that summer was extremely wet and cloudy. Months of the place recalled, and that the
summer of 2012 was a degree cooler.
"""

from datetime import date, timedelta

from tests.published.cool_summers import HIGH_DARTMOOR, Months, first_picking

PLANTED = date(2012, 6, 10)


def _first(months: Months) -> date:
    found = first_picking("runner_bean", "set out", PLANTED, months).likely
    assert found is not None
    return PLANTED + timedelta(found)


def test_usually_they_crop_from_late_august() -> None:
    assert date(2012, 8, 17) <= _first(HIGH_DARTMOOR) <= date(2012, 9, 5)


def test_in_the_cold_summer_of_2012_one_to_three_weeks_later() -> None:
    highs, lows = (tuple(t - 1.0 for t in ends) for ends in HIGH_DARTMOOR)
    assert 7 <= (_first((highs, lows)) - _first(HIGH_DARTMOOR)).days <= 24
