"""Disorders that the plot's weather and water make likely, as lines of a plan."""

from __future__ import annotations

from lattermath.desk.disorder_signs import signs_likely
from lattermath.desk.permits import Permits
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.disorders import LatelyWeather, Stand, disorder_lines

DAYS_BACK = 14
HOSTS = ("tomato", "pepper", "bean", "cucumber", "courgette", "squash", "lettuce", "brassica")


def disorders_likely(
    facts: SeasonFacts, permits: Permits, going: frozenset[str]
) -> tuple[str, ...]:
    """One line for each disorder that the last days made likely.

    going : plantings that come out, of which nothing more is said.
    """
    stands = [
        Stand(
            planting,
            facts.tables.crosswalk.host(planting.crop, HOSTS) or "",
            permits.runs_dry(planting),
            any(sick.splash for sick in permits.sick_on(planting.key)),
        )
        for planting in facts.plot.standing()
        if planting.key not in going
    ]
    days = slice(max(facts.today_index - DAYS_BACK, 0), facts.today_index)
    weather = LatelyWeather(
        facts.today, facts.t_min[0, days].tolist(), facts.t_max[0, days].tolist()
    )
    rows = {key: disorder.row for key, disorder in facts.tables.disorders.items()}
    return (*signs_likely(facts, going), *disorder_lines(stands, weather, rows))
