"""A usual first frost that the grower gave and the weather outranks is not passed over.

Truth: counted by hand. Of the futures below all freeze first on one known day.
"""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from lattermath.desk.plan_outlook import frost_words

TODAY = date(2026, 7, 24)


def told(usual: str | None, freezes: date, method: str = "normals") -> str:
    t_min = np.full((40, 200), 10.0)
    t_min[:, (freezes - TODAY).days :] = -1.0
    facts: Any = SimpleNamespace(
        t_min=t_min,
        today_index=0,
        first=TODAY,
        today=TODAY,
        last=TODAY + timedelta(days=199),
        runs=SimpleNamespace(method=method, says="monthly normals typed by hand (12 months)"),
        plot=SimpleNamespace(place=SimpleNamespace(usual_first_frost=usual)),
    )
    return frost_words(facts)


def test_the_day_given_and_the_day_reckoned_are_both_told() -> None:
    says = told("10-15", date(2026, 11, 7))
    assert says.startswith("First frost about 7 Nov: ")
    assert "You gave about 15 Oct, and the months that you typed fit about 7 Nov" in says
    assert "the earlier of the two" in says


def test_weather_files_are_named_as_such() -> None:
    assert "your weather files fit" in told("10-15", date(2026, 11, 7), "past years")


@pytest.mark.parametrize(
    ("usual", "freezes", "method"),
    [
        ("11-01", date(2026, 11, 7), "normals"),  # within ten days
        (None, date(2026, 11, 7), "normals"),
        ("10-15", date(2026, 11, 7), "rough"),  # there the day given sets the futures
        ("07-01", date(2026, 11, 7), "normals"),  # over for this season
    ],
)
def test_nothing_is_said_where_they_agree_or_it_was_used(
    usual: str | None, freezes: date, method: str
) -> None:
    assert "You gave" not in told(usual, freezes, method)


def test_a_frost_given_for_the_new_year_is_told_of_that_winter() -> None:
    assert "You gave about 20 Jan" in told("01-20", date(2026, 12, 20))


def test_the_last_of_february_may_be_given_though_this_year_has_none() -> None:
    """2027 is no leap year: a plan stopped with a traceback."""
    assert "You gave about 28 Feb" in told("02-29", date(2027, 1, 20))
