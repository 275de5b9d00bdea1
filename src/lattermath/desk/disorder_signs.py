"""What the record says of pot-bound plants, hunger and drift, as lines of a plan."""

from __future__ import annotations

from datetime import timedelta

from lattermath.desk.plant_signs import of_hunger
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.disorder_signs import Standing, sign_lines
from lattermath.vocabulary.events import Care, Sighting
from lattermath.vocabulary.plot import Planting

FORTNIGHT = 14
SAID_DAYS = 21  # judgement: what was seen before has grown out
HOSTS = (
    *("tomato", "pepper", "eggplant", "potato", "brassica", "sweet_corn", "squash", "cucumber"),
    *("melon", "lettuce", "bean", "basil", "beet"),
)
LIGHT = ("sand", "loamy sand", "sandy loam")
KIN = {"Cucurbitaceae": "cucurbits", "Brassicaceae": "brassica"}  # rows of the table by family
KIN_OF_HOST = ("tomato", "pepper", "lettuce", "bean", "basil")


def signs_likely(facts: SeasonFacts, going: frozenset[str]) -> tuple[str, ...]:
    """One line for each disorder that what was done, said or rained makes likely.

    going : plantings that come out, of which nothing more is said.
    """
    standing = [_standing(facts, p) for p in facts.plot.standing() if p.key not in going]
    days = slice(max(facts.today_index - FORTNIGHT, 0), facts.today_index)
    hottest = facts.t_max[0, days]
    rows = {key: disorder.row for key, disorder in facts.tables.disorders.items()}
    hot = float(hottest.max()) if hottest.size and _measured(facts) else None
    return sign_lines(standing, facts.today, hot, rows)


def _standing(facts: SeasonFacts, planting: Planting) -> Standing:
    host = facts.tables.crosswalk.host(planting.crop, HOSTS) or ""
    family = facts.tables.crops[planting.crop].family
    bed = facts.plot.bed_of(planting)
    out, sown = planting.set_out, planting.sown
    said = _said(facts, planting)
    return Standing(
        planting,
        host,
        KIN.get(family, host if host in KIN_OF_HOST else ""),
        None if out is None or sown is None else (out - sown).days,
        None if out is None else (facts.today - out).days,
        _rain_since_fed(facts, planting),
        bed is not None and bed.texture in LIGHT,
        said,
        any(of_hunger(words, planting, facts.tables) for words in said),
    )


def _rain_since_fed(facts: SeasonFacts, planting: Planting) -> float | None:
    if not _measured(facts):
        return None
    fed = [
        event.day
        for event in facts.events
        if isinstance(event.payload, Care)
        and event.payload.planting == planting.key
        and "feed" in event.payload.work.casefold()
    ]
    since = max([facts.today - timedelta(days=FORTNIGHT), *fed])
    begin = max(facts.day_index(since), 0)
    return float(facts.rain[0, begin : facts.today_index].sum())


def _said(facts: SeasonFacts, planting: Planting) -> tuple[str, ...]:
    """The grower's own words for what was seen, and the notes beside them."""
    since = facts.today - timedelta(days=SAID_DAYS)
    return tuple(
        f"{seen.what.replace('_', ' ')} {seen.note}".casefold().strip()
        for event in facts.events
        if isinstance(seen := event.payload, Sighting)
        and seen.planting == planting.key
        and event.day >= since
        and seen.level != "none"
        and seen.what not in facts.tables.organisms
        and seen.what not in facts.tables.diseases
    )


def _measured(facts: SeasonFacts) -> bool:
    """Were at least half of the fortnight's days measured?"""
    days = [facts.record.at(facts.today - timedelta(days=n)) for n in range(1, FORTNIGHT + 1)]
    known = [0 <= d < facts.record.n_days and not facts.record.filled_rain[d] for d in days]
    return sum(known) >= FORTNIGHT / 2
