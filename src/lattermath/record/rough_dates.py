"""Dates as people remember them: "mid-June", "early July 2026", "about 15 June"."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta

# Judgement: how far a date so written may be off, in days either way.
ABOUT_DAY = 7  # "about 15 June"
THIRD_OF_MONTH = 5  # "early June": 1 to 10 June
ABOUT_THIRD = 10  # "about mid-June": the third before and after too, half of each
ANY_IN_MONTH = 15  # "June"

_THIRDS = {"early": 5, "mid": 15, "late": 25}
_AS_THIRD = {
    **dict.fromkeys(("beginning", "start", "begin"), "early"),
    **dict.fromkeys(("middle", "mid"), "mid"),
    "end": "late",
}
_SAID_THIRD = re.compile(rf"(?:\bthe )?\b({'|'.join(_AS_THIRD)})(?: of |-| )")
_MONTHS = {
    name.lower(): number
    for names in (calendar.month_name, calendar.month_abbr)
    for number, name in enumerate(names)
    if name
} | {"sept": 9}
_MONTH = "|".join(sorted(_MONTHS, key=len, reverse=True))
_YEAR = r"(?:\s*,?\s+(?P<year>\d{4}))?"
_ISO = re.compile(r"(?P<about>about\s+)?(?P<iso>\d{4}-\d{2}-\d{2})")
_THIRD = re.compile(
    rf"(?P<about>about\s+)?(?P<third>early|mid|late)[\s-]+(?P<month>{_MONTH}){_YEAR}"
)
_WHOLE = re.compile(rf"(?:some\s?time in\s+|in\s+|about\s+)?(?P<month>{_MONTH}){_YEAR}")
_DAY_FIRST = re.compile(
    rf"(?P<about>about\s+)?(?P<day>\d{{1,2}})(?:st|nd|rd|th)?\s+(?P<month>{_MONTH}){_YEAR}"
)
_MONTH_FIRST = re.compile(
    rf"(?P<about>about\s+)?(?P<month>{_MONTH})\s+(?P<day>\d{{1,2}})(?:st|nd|rd|th)?{_YEAR}"
)


@dataclass(frozen=True, slots=True)
class RoughDate:
    """A day, and by how many days it may be off either way."""

    day: date
    about_days: int = 0


@dataclass(frozen=True, slots=True)
class Season:
    """Which year a date without a year falls in."""

    today: date
    year: int | None = None  # the year the season began in, where the file says it
    southern: bool = False

    def past(self, month: int, day: int, about_days: int) -> date:
        """The date in the file's season; else the last one that may have come by today."""
        if self.year is not None:
            return _on(self.year + (self.southern and month <= 6), month, day)
        this_year = _on(self.today.year, month, day)
        if this_year - timedelta(days=about_days) <= self.today:
            return this_year
        return _on(self.today.year - 1, month, day)

    def nearest(self, month: int, day: int) -> date:
        """The date in the file's season; else the one nearest to today."""
        if self.year is not None:
            return self.past(month, day, 0)
        years = (self.today.year - 1, self.today.year, self.today.year + 1)
        dates = [_on(year, month, day) for year in years]
        return min(dates, key=lambda found: abs((found - self.today).days))


def read_rough_date(text: str, season: Season) -> RoughDate:
    """The day that a text means, and how far it may be off [days].

    A text without a year means a day that is past. ValueError when the text is no date.
    """
    words = _plain(text)
    if found := _ISO.fullmatch(words):
        day = date.fromisoformat(found["iso"])
        return RoughDate(day, ABOUT_DAY if found["about"] else 0)
    month, day_of_month, about_days, year = _parts(words)
    if year is not None:
        return RoughDate(_on(year, month, day_of_month), about_days)
    return RoughDate(season.past(month, day_of_month, about_days), about_days)


def read_coming_day(text: str, season: Season) -> date:
    """The day that a text means, which may lie ahead: with a year, or nearest in the season.

    ValueError when the text is no date.
    """
    words = _plain(text)
    if (found := _ISO.fullmatch(words)) and not found["about"]:
        return date.fromisoformat(found["iso"])
    if not re.fullmatch(r"\d{2}-\d{2}", words):
        month, day, _, year = _parts(words)
        if year is not None:
            return _on(year, month, day)
    month, day = map(int, read_day_of_year(words).split("-"))
    return season.nearest(month, day)


def read_day_of_year(text: str) -> str:
    """The "MM-DD" that a text means: "10-06", "6 October", "early October"."""
    words = _plain(text)
    if re.fullmatch(r"\d{2}-\d{2}", words):
        found = date.fromisoformat(f"2000-{words}")
        return f"{found:%m-%d}"
    month, day, _, year = _parts(words)
    if year is not None:
        raise ValueError("a usual date has no year")
    return f"{_on(2000, month, day):%m-%d}"


def _plain(text: str) -> str:
    """Small letters, single blanks, and the thirds of a month by one word each."""
    words = " ".join(text.lower().replace(".", "").split())
    return _SAID_THIRD.sub(lambda found: f"{_AS_THIRD[found[1]]} ", words)


def _parts(words: str) -> tuple[int, int, int, int | None]:
    """Month, day, days it may be off, and the year if it is there."""
    if found := _THIRD.fullmatch(words):
        day = _THIRDS[found["third"]]
        about_days = ABOUT_THIRD if found["about"] else THIRD_OF_MONTH
    elif found := _DAY_FIRST.fullmatch(words) or _MONTH_FIRST.fullmatch(words):
        day, about_days = int(found["day"]), ABOUT_DAY if found["about"] else 0
    elif found := _WHOLE.fullmatch(words):
        day, about_days = 15, ANY_IN_MONTH
    else:
        raise ValueError("this is no date")
    return _MONTHS[found["month"]], day, about_days, int(found["year"]) if found["year"] else None


def _on(year: int, month: int, day: int) -> date:
    """The day in that year; 29 February becomes the 28th where there is none."""
    if (month, day) == (2, 29) and not calendar.isleap(year):
        day = 28
    return date(year, month, day)
