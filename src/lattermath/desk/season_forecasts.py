"""What the program foretold in a played season beside what nature then did."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.crop_belief import believe
from lattermath.belief.good_weeks import weeks_by_chance
from lattermath.desk.crop_season import growing_season, pickings_of
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.leaf_disease_belief import believe_leaf_disease_here
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.season_play import Play
from lattermath.science.leaf_disease import TOP, UNDERSIDE

FloatArray = NDArray[np.float64]

AHEAD = (7, 14)  # days
LEAF_GROUPS = {"leaf": [TOP, UNDERSIDE], "tops": [TOP], "undersides": [UNDERSIDE]}
GROUPS = ("all stages", "eggs", "young", "adults")


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """One quantity of one planting, foretold on a day for a later one.

    draws, prior : what the program thought possible, learning and not, (n_draws,).
    scaled       : the last count or picking carried on; None where there was none.
    true         : what nature then had; nan until the season came to it.
    """

    of: str  # organism, mildew (in per cent of the leaf), or `kg`
    group: str
    planting: str
    crop: str
    day: date
    ahead: int
    draws: FloatArray
    prior: FloatArray
    scaled: float | None
    true: float


def forecasts_on(play: Play, day: date) -> list[Forecast]:
    """Foretell every kind of insect and the kilograms of every planting, and live on to see.

    The season is at `day` when called, and 14 days later after it; the grower goes on visiting and
    treats nothing in between. Draws that hold a share of an insect are rounded at random.
    """
    facts = play.facts(day)
    waiting = [*_insects(play, facts, day), *_leaves(play, facts, day)]
    waiting += _kilograms(play, facts, day)
    met: list[Forecast] = []
    for ahead in AHEAD:
        then = day + timedelta(days=ahead)
        play.visits_to(then, treat_until=day - timedelta(days=1))
        met += [_met(play, one, then) for one in waiting if one.ahead == ahead]
    return met


def _met(play: Play, one: Forecast, then: date) -> Forecast:
    if one.of == "kg":
        first = then - timedelta(days=7)
        true = play.nature.borne_kg(one.planting, first, then - timedelta(days=1))
    elif one.of in play.nature.mildews:
        below, above = play.nature.severity(one.of)[play.nature.place(one.planting)]
        true = 100 * {"tops": above, "undersides": below}.get(one.group, (above + below) / 2)
    else:
        stages = play.nature.swarms[one.of].creature.stages
        there = play.nature.truth(one.of)[play.nature.place(one.planting)]
        true = float(there @ _members(stages, one.group))
    return Forecast(one.of, one.group, one.planting, one.crop, one.day, one.ahead, one.draws,
                    one.prior, one.scaled, true)  # fmt: skip


def _members(stages: tuple[str, ...], group: str) -> FloatArray:
    """Which stages belong to a group, 0 or 1, (n_stages,)."""
    eggs = np.array([stage.startswith("egg") for stage in stages], dtype=np.float64)
    adults = np.array([stage.startswith("adult") for stage in stages], dtype=np.float64)
    return {
        "all stages": np.ones(len(stages)),
        "eggs": eggs,
        "adults": adults,
        "young": 1 - eggs - adults,
    }[group]


def _insects(play: Play, facts: SeasonFacts, day: date) -> Iterator[Forecast]:
    for organism in play.nature.swarms:
        learnt = believe_insects(facts, organism)
        prior = believe_insects(facts, organism, learns=False)
        if learnt is None or prior is None:
            continue
        rng = play.throw(f"whole {organism} {day}")
        ours, theirs = learnt.ahead().sums, prior.ahead().sums
        for place, stand in enumerate(learnt.stands):
            scaled = _scaled(play, learnt, organism, place)
            for group in GROUPS:
                member = _members(learnt.life.stages, group)
                if not member.any():
                    continue
                for ahead in AHEAD:
                    thrown = [
                        np.floor(sums[:, place, ahead] @ member + rng.random(len(sums)))
                        for sums in (ours, theirs)
                    ]
                    yield Forecast(organism, group, stand.key, stand.crop, day, ahead, thrown[0],
                                   thrown[1], scaled, float("nan"))  # fmt: skip


def _leaves(play: Play, facts: SeasonFacts, day: date) -> Iterator[Forecast]:
    """Per cent of the leaf that a mildew covers, and of each side."""
    for disease in play.nature.mildews:
        learnt = believe_leaf_disease_here(facts, disease, None)
        prior = believe_leaf_disease_here(facts, disease, None, learns=False)
        if learnt is None or prior is None:
            continue
        ours, theirs = (100 * one.by_chance(one.ahead()) for one in (learnt, prior))
        for place, stand in enumerate(learnt.stands):
            last = play.last_counts.get((disease, stand.key))
            scaled = None if last is None else last[1]
            for group, sides in LEAF_GROUPS.items():
                for ahead in AHEAD:
                    draws, books = (run[:, place, ahead, sides].mean(-1) for run in (ours, theirs))
                    yield Forecast(disease, group, stand.key, stand.crop, day, ahead, draws, books,
                                   scaled, float("nan"))  # fmt: skip


def _scaled(play: Play, belief: ClusterBelief, organism: str, place: int) -> float | None:
    """The last count, an insect a leaf, times the leaves."""
    stand = belief.stands[place]
    last = play.last_counts.get((organism, stand.key))
    return None if last is None else last[1] / last[2] * stand.all_leaves


def _kilograms(play: Play, facts: SeasonFacts, day: date) -> Iterator[Forecast]:
    season, today = growing_season(facts), facts.today_index
    for planting in facts.plot.standing():
        if play.nature.fruiting[play.nature.place(planting.key)] is None:
            continue
        picked = pickings_of(facts, planting)
        learnt = believe(planting, season, picked, facts.dice).kg
        prior = believe(planting, season, [], facts.dice).kg
        week = sum(p.kg or 0.0 for on, p, _ in picked if 0 < (day - on).days <= 7)
        for ahead in AHEAD:
            days = slice(today + ahead - 7, today + ahead)
            chance = play.throw(f"kg {planting.key} {day} {ahead}")
            ours, theirs = (
                weeks_by_chance(kg[:, days].sum(1, keepdims=True), planting.crop, chance)[:, 0]
                for kg in (learnt, prior)
            )
            yield Forecast("kg", "a week", planting.key, planting.crop, day, ahead, ours, theirs,
                           week, float("nan"))  # fmt: skip
