"""What the plot will still give, week by week with the plan and without it, and the frost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.good_weeks import weeks_by_chance
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care
from lattermath.planning.keep_or_replace import Decision
from lattermath.planning.lifted_later import later_kg, later_says, scattered_says
from lattermath.planning.worth import Weeks
from lattermath.science.degree_days import clipped_average
from lattermath.science.harvest_curve import first_frost
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Outlook, SeasonRule, Span
from lattermath.weather.calendar_days import next_on

FROSTS_AGREE = 10  # judgement: days between two usual first frosts that are one to a grower

BASE_C, UPPER_C = 10.0, 30.0  # judgement: the warmth that summer crops grow on, for the drawing


def outlooks(
    facts: SeasonFacts,
    decisions: Mapping[str, Decision],
    beliefs: Mapping[str, CropBelief],
    cares: Mapping[str, Care],
    season: GrowingSeason,
) -> tuple[tuple[Outlook, ...], Outlook | None]:
    """Give each planting's weekly kilograms with the plan, and if nobody does anything.

    And the same of all plantings together, summed draw by draw; None where there are none.
    """
    rows = list(_weekly(facts, decisions, beliefs, cares))
    each = tuple(
        _with_later(facts, _outlook(facts, key, told, bears), told[0], decisions[key], season)
        for key, told, bears in rows
    )
    if not rows:
        return each, None
    both = np.stack([np.stack(np.broadcast_arrays(*told)) for _, told, _ in rows]).sum(axis=0)
    return each, _outlook(facts, "", (both[0], both[1]), max(bears for _, _, bears in rows))


def _with_later(
    facts: SeasonFacts,
    outlook: Outlook,
    weekly: NDArray[np.float64],
    decision: Decision,
    season: GrowingSeason,
) -> Outlook:
    """The weeks of a planting, with what none of them shows.

    weekly : kilograms with the plan as chance may bring them, (n_draws, n_weeks). [kg]
    """
    chosen = decision.chosen
    daily = sum((kg for _, kg in chosen.parts), np.zeros((1, 1)))
    expected = Weeks.of(facts.today, daily.shape[1]).sums(daily)
    stands = chosen.after
    other = stands is not None and stands.traits.crop != facts.plot.planting(outlook.planting).crop
    many = stands.traits.many if stands is not None and other else ""
    says = later_says(stands, season, many) or scattered_says(weekly, expected, outlook.weeks)
    return replace(outlook, later=says, later_kg=later_kg(stands))


def _weekly(
    facts: SeasonFacts,
    decisions: Mapping[str, Decision],
    beliefs: Mapping[str, CropBelief],
    cares: Mapping[str, Care],
) -> Iterator[tuple[str, tuple[NDArray[np.float64], NDArray[np.float64]], int]]:
    """Each planting's kilograms by week with the plan and without, (n_draws, n_weeks), by chance.

    With it the weeks until it bears no more.
    """
    for key, decision in decisions.items():
        daily = sum((kg for _, kg in decision.chosen.parts), np.zeros(1))
        without = _let_run(facts, beliefs[key], cares.get(key, Care()))
        weeks = Weeks.of(facts.today, without.shape[1])
        with_it = [(grown.crop, weeks.sums(kg)) for grown, kg in decision.chosen.parts]
        left = [(beliefs[key].traits.crop, weeks.sums(without))]
        either = np.maximum(weeks.sums(daily), weeks.sums(without)).max(0)
        bears = int(np.flatnonzero(either).max(initial=-1)) + 1  # what bears late has none before
        told = _by_chance(facts, key, with_it), _by_chance(facts, key, left)
        yield key, told, max(bears, 1)


def _outlook(
    facts: SeasonFacts, key: str, told: tuple[NDArray[np.float64], NDArray[np.float64]], bears: int
) -> Outlook:
    mondays = Weeks.of(facts.today, facts.t_min.shape[1] - facts.today_index).mondays
    with_it, without = (_spans(weekly)[:bears] for weekly in told)
    return Outlook(key, mondays[:bears], with_it, without)


def _by_chance(
    facts: SeasonFacts, key: str, crops: Sequence[tuple[str, NDArray[np.float64]]]
) -> NDArray[np.float64]:
    """Kilograms of each week as chance may bring them, (n_draws, n_weeks)."""
    thrown = [
        weeks_by_chance(weekly, crop, facts.dice(f"weeks {key} {crop}")) for crop, weekly in crops
    ]
    return np.asarray(sum(thrown, np.zeros((1, 1))))


def _let_run(facts: SeasonFacts, belief: CropBelief, care: Care) -> NDArray[np.float64]:
    """Daily kilograms of a planting that nobody tends, (n_draws, n_left)."""
    kg = belief.kg[:, facts.today_index :]
    kg = kg * bearing_if_left(belief.condition, kg.shape[1])
    return kg if care.left is None else kg * care.left


def frost_days(facts: SeasonFacts, threshold_c: float = 0.0) -> NDArray[np.float64]:
    """Give the column of the first frost of each future from today on; inf where none comes."""
    return np.asarray(first_frost(facts.t_min, threshold_c, facts.today_index), dtype=float)


def frost_words(facts: SeasonFacts) -> str:
    """Say when the first frost is likely, in one line."""
    days = frost_days(facts)
    came = days[np.isfinite(days) & (days < facts.t_min.shape[1])]
    years, total = len(came), len(days)
    if years * 2 < total:
        return f"A frost before {short(facts.last)} in {years} of {total} futures."
    low, middle, high = (
        short(facts.first + timedelta(days=int(np.quantile(came, q)))) for q in (0.1, 0.5, 0.9)
    )
    return (
        f"First frost about {middle}: in 1 year of 10 before {low}, in 9 of 10 before {high} "
        f"({facts.runs.says}).{_as_you_gave(facts, int(np.quantile(came, 0.5)))}"
    )


def _as_you_gave(facts: SeasonFacts, middle: int) -> str:
    """That the usual first frost of the plot file says otherwise; "" where it does not.

    middle : column of the middle first frost of the futures.
    """
    usual = facts.plot.place.usual_first_frost
    if usual is None or facts.runs.method == "rough":  # then it has set the level of the futures
        return ""
    reckoned = facts.first + timedelta(days=middle)
    given = min(
        (next_on(usual, date(reckoned.year + n, 1, 1)) for n in (-1, 0, 1)),
        key=lambda day: abs((day - reckoned).days),
    )
    if abs((given - reckoned).days) <= FROSTS_AGREE or given < facts.today:
        return ""
    source = {"normals": "the months that you typed"}.get(facts.runs.method, "your weather files")
    return (
        f" You gave about {short(given)}, and {source} fit about {short(reckoned)}, which is what "
        "is reckoned with here. If yours is known of this very plot, go by the earlier of the two."
    )


def usual_frost(facts: SeasonFacts) -> date | None:
    """Give the median first frost of the futures; None where fewer than half have one."""
    middle = float(np.median(frost_days(facts)))
    if not np.isfinite(middle) or middle >= facts.t_min.shape[1]:
        return None
    return facts.first + timedelta(days=int(middle))


def season_rule(facts: SeasonFacts) -> SeasonRule:
    """Give one stalk a day: the warmth the day should bring times the chance of no frost before."""
    heat = clipped_average(facts.t_min, facts.t_max, BASE_C, UPPER_C).mean(axis=0)
    days = np.arange(facts.t_min.shape[1])
    alive = (frost_days(facts)[:, None] > days[None, :]).mean(axis=0)
    heights = heat * alive
    start = max(facts.today_index - 60, 0)
    heights = heights[start:] / max(float(heights.max()), 1e-9)
    return SeasonRule(
        first=facts.first + timedelta(days=start),
        today=facts.today,
        heights=tuple(round(float(h), 3) for h in heights),
        frost=usual_frost(facts),
    )


def _spans(weekly: NDArray[np.float64]) -> tuple[Span, ...]:
    low, median, high = np.percentile(weekly, (10, 50, 90), axis=0)
    return tuple(
        Span(round(float(a), 2), round(float(b), 2), round(float(c), 2), "kg")
        for a, b, c in zip(low, median, high, strict=True)
    )
