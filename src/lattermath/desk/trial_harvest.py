"""What a household had of a played season: kilograms that it could use, and kilograms by week."""

from __future__ import annotations

from datetime import date

from lattermath.desk.trial_season import Season
from lattermath.planning.worth import BEYOND_WANT, want_for
from lattermath.vocabulary.calendar import monday_of


def used(season: Season) -> tuple[float, float]:
    """What the household can use of the picked, week by week and food by food. [kg, portions]"""
    household, crops = season.setting.plot.household, season.nature.tables.crops
    portions: dict[tuple[date, str], float] = {}
    kilograms: dict[tuple[date, str], float] = {}
    wanted: dict[str, float] = {}
    for day, crop, kg in season.picked:
        want = want_for(crop, household)
        week = monday_of(day), want.food
        one = crops[crop].row.figure("portion_g.as_picked").value / 1000
        portions[week] = portions.get(week, 0.0) + kg / one
        kilograms[week] = kilograms.get(week, 0.0) + kg
        wanted[want.food] = want.portions_a_week
    total = eaten = 0.0
    for (week_of, food), count in portions.items():
        if count > 0:
            beyond = min(max(count - wanted[food], 0.0), wanted[food])
            eats = min(count, wanted[food]) + BEYOND_WANT * beyond
            total += kilograms[week_of, food] * eats / count
            eaten += eats
    return total, eaten


def weekly(season: Season) -> tuple[tuple[str, float], ...]:
    """Kilograms picked, by the Monday of the week."""
    weeks: dict[str, float] = {}
    for day, _, kg in season.picked:
        monday = monday_of(day).isoformat()
        weeks[monday] = weeks.get(monday, 0.0) + kg
    return tuple(sorted(weeks.items()))
