"""Disorders that look like a pest or a disease, when the weather makes them likely: no spray helps.

Figures are the table's own; how many days make a line is judgement, beside each.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from lattermath.knowledge.rows import Row
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.sentence import listed

FRUIT_SET_DAYS = 9  # days looked back for heat on flowers: the sensitive stage before they open
LATELY = 7
HOT_DAYS = 2  # judgement, after "two days in a row" of the table
MANY_HOT = 4  # judgement: of the nine, from which on they tell as much as can be told of heat
TIPBURN_DAYS = 3  # judgement
EXPOSED = ("tired", "worn", "failing")  # leaf is lost, so fruit lies in the sun
MOST_LINES = 3  # judgement


@dataclass(frozen=True, slots=True)
class Stand:
    """One planting as disorders ask about it.

    host   : host word of the crop: tomato, pepper, bean, ...
    dry    : the ground ran short of water; None: not known.
    spotty : a disease has taken some of its leaf.
    """

    planting: Planting
    host: str
    dry: bool | None
    spotty: bool


@dataclass(frozen=True, slots=True)
class LatelyWeather:
    """Extremes of the days up to yesterday, the last one last. [C]"""

    today: date
    t_min: Sequence[float]
    t_max: Sequence[float]


def disorder_lines(
    stands: Sequence[Stand], weather: LatelyWeather, rows: Mapping[str, Row]
) -> tuple[str, ...]:
    """The lines of a sheet, most misleading first."""
    found = (
        _no_set(stands, weather, rows["heat_aborted_fruit_set"]),
        _scald(stands, weather, rows["sunscald"]),
        _end_rot(stands, weather, rows["blossom_end_rot"]),
        _tipburn(stands, weather, rows["tipburn"]),
        _thirst(stands, rows["water_stress"]),
    )
    return tuple(line for line in found if line)[:MOST_LINES]


def _no_set(stands: Sequence[Stand], weather: LatelyWeather, row: Row) -> str:
    """Flowers that dropped, or will, after hot days or warm nights."""
    last, names, most = 0, [], 0
    for stand in stands:
        hot = too_hot_to_set(stand.host, weather.t_min, weather.t_max, row)
        if len(hot) >= HOT_DAYS:
            names.append(stand.planting.name)
            last, most = min(last, hot[-1]), max(most, len(hot))
    if not names:
        return ""
    back = weather.today + timedelta(days=last + int(row.figure("recovery_days").span[1]))
    few = "few fruit set" if most >= MANY_HOT else "fewer fruit may set"
    return (
        f"{listed(names)}: {most} of the last {FRUIT_SET_DAYS} days too hot for flowers, so {few} "
        f"until about {short(back)}. No pest: no spray, do not pull them."
    )


def set_limits(host: str, row: Row) -> tuple[float, float] | None:
    """Warmest day and night in which flowers of this host word still set; None: no figure. [C]"""
    columns = {
        "tomato": ("tomato_prolonged_c.day", "night_limit_c"),
        "pepper": ("pepper_limits_c.day", "pepper_limits_c.night"),
        "bean": ("bean_limits_c.day", "bean_limits_c.night"),
    }.get(host)
    if columns is None:
        return None
    return row.figure(columns[0]).value, row.figure(columns[1]).value


def too_hot_to_set(
    host: str, t_min: Sequence[float], t_max: Sequence[float], row: Row
) -> list[int]:
    """Places, from the end (-1 the last), of the last nine days too hot for flowers to set.

    t_min, t_max : extremes of the days up to yesterday. [C]
    row : that of heat-aborted fruit set.
    """
    limits = set_limits(host, row)
    if limits is None:
        return []
    day, night = limits
    back = range(-min(FRUIT_SET_DAYS, len(t_max)), 0)
    return [n for n in back if t_max[n] >= day or t_min[n] >= night]


def _scald(stands: Sequence[Stand], weather: LatelyWeather, row: Row) -> str:
    """Pale patches on fruit in full sun where leaf is gone."""
    skin = {
        "tomato": row.figure("tomato_threshold_c").value,
        "pepper": row.figure("threshold_fruit_skin_c.pepper").span[0],
        "cucumber": row.figure("threshold_fruit_skin_c.cucumber").span[0],
    }
    above = row.figure("fruit_above_air_c").span[0]
    hottest = list(weather.t_max[-LATELY:])
    names = [
        stand.planting.name
        for stand in stands
        if stand.host in skin
        and (stand.spotty or stand.planting.vigour in EXPOSED)
        and sum(day + above >= skin[stand.host] for day in hottest) >= HOT_DAYS
    ]
    if not names:
        return ""
    cloth = round(row.figure("shade_cloth_fraction").value * 100)
    return (
        f"{listed(names)}: {measure(round(max(hottest)), 'C')} and lost leaf: fruit may scald, "
        f"pale and papery on the sun side. No disease: leave leaf on, shade about {cloth} %."
    )


def _end_rot(stands: Sequence[Stand], weather: LatelyWeather, row: Row) -> str:
    """Dark ends of fruit some days after the ground ran dry."""
    hosts = ("tomato", "pepper", "squash", "summer_squash", "courgette")
    names = [s.planting.name for s in stands if s.host in hosts and (s.dry or s.planting.wilted)]
    if not names:
        return ""
    low, high = (weather.today + timedelta(days=int(d)) for d in row.figure("lag_days").span)
    return (
        f"{listed(names)}: ran dry, so fruit ends may turn dark and leathery about "
        f"{short(low)} to {short(high)}. No disease: even water, later fruit is clean."
    )


def _tipburn(stands: Sequence[Stand], weather: LatelyWeather, row: Row) -> str:
    limit = row.figure("temp_risk_c").value
    if sum(day >= limit for day in weather.t_max[-LATELY:]) < TIPBURN_DAYS:
        return ""
    names = [s.planting.name for s in stands if s.host in ("lettuce", "brassica", "cabbage")]
    if not names:
        return ""
    return (
        f"{listed(names)}: days over {measure(limit, 'C')}: inner leaf edges may brown. No "
        "disease: cut early, water evenly, shade."
    )


def _thirst(stands: Sequence[Stand], row: Row) -> str:
    names = [stand.planting.name for stand in stands if stand.planting.wilted]
    if not names:
        return ""
    hours = round(row.figure("recovery_h").span[1])
    return (
        f"{listed(names)}: wilted. Up again within {hours} hours of watering was thirst; if not, "
        "look for borer holes, cut a runner and draw the halves apart."
    )
