from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.record.rough_dates import (
    Season,
    read_coming_day,
    read_day_of_year,
    read_rough_date,
)

NORTH = Season(date(2026, 7, 25))


@pytest.mark.parametrize(
    ("text", "day", "about"),
    [
        ("2026-06-15", date(2026, 6, 15), 0),
        ("about 2016-06-15", date(2016, 6, 15), 7),
        ("mid-June", date(2026, 6, 15), 5),
        ("mid June", date(2026, 6, 15), 5),
        ("about mid-June", date(2026, 6, 15), 10),
        ("about June", date(2026, 6, 15), 15),
        ("Early July", date(2026, 7, 5), 5),
        ("late  may", date(2026, 5, 25), 5),
        ("late May 2025", date(2025, 5, 25), 5),
        ("June", date(2026, 6, 15), 15),
        ("in June", date(2026, 6, 15), 15),
        ("15 June", date(2026, 6, 15), 0),
        ("June 15", date(2026, 6, 15), 0),
        ("15th June 2025", date(2025, 6, 15), 0),
        ("Sept. 3, 2025", date(2025, 9, 3), 0),
        ("about 1 Jul", date(2026, 7, 1), 7),
        ("29 February 2025", date(2025, 2, 28), 0),
    ],
)
def test_dates_as_people_write_them(text: str, day: date, about: int) -> None:
    found = read_rough_date(text, NORTH)
    assert (found.day, found.about_days) == (day, about)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("late July", date(2026, 7, 25)),
        ("July 30", date(2025, 7, 30)),  # exact and still to come: last year's
        ("about 30 July", date(2026, 7, 30)),  # may have been a few days ago
        ("early August", date(2025, 8, 5)),
        ("November", date(2025, 11, 15)),
    ],
)
def test_without_a_year_it_is_the_last_that_may_have_come(text: str, day: date) -> None:
    assert read_rough_date(text, NORTH).day == day


@pytest.mark.parametrize(
    ("southern", "text", "day"),
    [
        (False, "mid-January", date(2026, 1, 15)),
        (False, "mid-November", date(2026, 11, 15)),
        (True, "mid-November", date(2026, 11, 15)),
        (True, "mid-January", date(2027, 1, 15)),
        (True, "mid-January 2024", date(2024, 1, 15)),
    ],
)
def test_the_files_season_settles_the_year(southern: bool, text: str, day: date) -> None:
    season = Season(date(2027, 2, 1), 2026, southern)
    assert read_rough_date(text, season).day == day


@given(st.dates(date(1999, 1, 1), date(2199, 12, 31)))
def test_a_date_written_out_is_that_date(day: date) -> None:
    for text in (f"{day:%Y-%m-%d}", f"{day.day} {day:%B %Y}", f"{day:%b} {day.day} {day.year}"):
        assert read_rough_date(text, NORTH).day == day


@given(st.dates(date(1999, 1, 1), date(2199, 12, 31)), st.integers(0, 364))
def test_a_past_date_without_year_comes_back_as_it_was(today: date, ago: int) -> None:
    day = today - timedelta(days=ago)
    if (day.month, day.day) == (2, 29) or (today - day).days > 364:
        return
    assert read_rough_date(f"{day.day} {day:%B}", Season(today)).day == day


@pytest.mark.parametrize("text", ["", "soon", "31 June", "mid-Juen", "2026-13-01", "15", "June 0"])
def test_what_is_no_date_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"date|month|day|range"):
        read_rough_date(text, NORTH)


@pytest.mark.parametrize(
    ("text", "found"),
    [("10-06", "10-06"), ("6 October", "10-06"), ("late October", "10-25"), ("02-29", "02-29")],
)
def test_a_usual_day_has_no_year(text: str, found: str) -> None:
    assert read_day_of_year(text) == found


@pytest.mark.parametrize("text", ["6 October 2025", "13-01", "10-6", "autumn"])
def test_what_is_no_usual_day_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        read_day_of_year(text)


def test_a_coming_day_is_the_nearest() -> None:
    assert NORTH.nearest(11, 15) == date(2026, 11, 15)
    assert NORTH.nearest(5, 1) == date(2026, 5, 1)
    assert Season(date(2026, 12, 20)).nearest(1, 5) == date(2027, 1, 5)


@pytest.mark.parametrize(
    ("said", "as_good_as"),
    [
        ("end of May", "late May"),
        ("the beginning of June", "early June"),
        ("start of June 2025", "early June 2025"),
        ("about the middle of July", "about mid-July"),
        ("mid June", "mid-June"),
    ],
)
def test_thirds_of_a_month_as_people_say_them(said: str, as_good_as: str) -> None:
    season = Season(date(2026, 7, 26))
    assert read_rough_date(said, season) == read_rough_date(as_good_as, season)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("8 December 2026", date(2026, 12, 8)),
        ("mid-June 2027", date(2027, 6, 15)),
        ("2026-12-08", date(2026, 12, 8)),
        ("8 December", date(2026, 12, 8)),
        ("10 January", date(2027, 1, 10)),  # the nearest to 1 November
        ("12-08", date(2026, 12, 8)),
    ],
)
def test_a_day_ahead_may_carry_its_year(text: str, day: date) -> None:
    assert read_coming_day(text, Season(date(2026, 11, 1))) == day


@pytest.mark.parametrize("text", ["31 November 2026", "soon", "about 2026-12-08"])
def test_no_day_ahead_is_guessed(text: str) -> None:
    with pytest.raises(ValueError):
        read_coming_day(text, Season(date(2026, 11, 1)))
