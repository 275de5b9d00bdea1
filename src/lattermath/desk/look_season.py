"""What the time of the year says of a cause, before anybody looks."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.calendar import short

TEMPERATE_FROM = 30.0  # judgement: latitude below which no such seasons hold. [degrees]
HALF_YEAR, YEAR = 183, 365
EDGE_DAYS = 14  # judgement: places and years differ by so much
FALLS_OVER_DAYS, OUT_OF_SEASON = 42, 0.1  # judgement: six weeks further off one in ten is left
SPRING_ENDS, IN_SPRING = 196, 2.0  # judgement: the key's priors are those from mid-summer on
WORTH_SAYING = 0.6  # a smaller change of a prior is not worth a word


def by_season(tables: Tables, today: date, latitude: float) -> Iterator[tuple[str, float, str]]:
    """Causes that the time of the year makes likelier or less likely, by how much, and why.

    latitude : of the plot; in the south the seasons are half a year on. [degrees]

    The factor is 1 within a cause's season and a fortnight beside it, and falls from there. A cause
    of spring, whose prior is that of summer, is twice as likely in its season.
    """
    if abs(latitude) < TEMPERATE_FROM:
        return
    into = _into_year(today, latitude)
    for cause in tables.causes:
        first, last, says = _season(tables, cause)
        early = 0 if first is None else first - EDGE_DAYS - into
        late = 0 if last is None else into - last - EDGE_DAYS
        off = max(early, late)
        factor = OUT_OF_SEASON ** min(off / FALLS_OVER_DAYS, 1.0) if off > 0 else 1.0
        if off <= 0 and last is not None and last <= SPRING_ENDS:
            factor = IN_SPRING
        if factor != 1.0:
            name = tables.causes[cause].name
            less = factor < WORTH_SAYING
            yield cause, factor, f"On {short(today)} less likely: {name}, {says}." if less else ""


def _season(tables: Tables, cause: str) -> tuple[float | None, float | None, str]:
    """First and last day of the year of a cause, and its season in words.

    Where the table of seasons has no row for a pest, it is the first day on which one of the
    species that it may be flies in; what has come stays, so that this has no end.
    """
    row = tables.cause_seasons.get(cause)
    if row is not None:
        ends = (None if day is None else day.value for day in (row.from_day, row.to_day))
        first, last = ends
        return first, last, row.says
    joined = [tables.habits[one] for one in tables.crosswalk.cause_joins.get(cause, ())
              if one in tables.habits]  # fmt: skip
    comes = [habits.arrives[0] for habits in joined]
    known = [day.value for day in comes if day is not None]
    if not known or len(known) < len(comes):
        return None, None, ""
    return min(known), None, "which flies in later"


def _into_year(today: date, latitude: float) -> int:
    """Day of the year, in the south as if half a year on."""
    south = today + timedelta(days=HALF_YEAR)
    return (today if latitude >= 0 else south).timetuple().tm_yday
