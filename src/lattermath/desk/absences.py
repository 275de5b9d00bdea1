"""Absences ahead: the visits they take, what is not begun before them, and what they cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.drought import with_drought
from lattermath.desk.frost import with_frost_visit
from lattermath.desk.helper_water import drinks
from lattermath.desk.picking_rounds import eaten_of
from lattermath.desk.plan_tasks import WorkedOut
from lattermath.desk.season_facts import SeasonFacts, seen_anew
from lattermath.planning.first_weeks import is_watered
from lattermath.planning.visit_days import coming_visits
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Absence, Closed, Span

AHEAD_DAYS = 28  # judgement: what lies further off is told when it comes nearer
LEAST_WATER = 1e-6
LEAST_KG = 0.05  # a loss below this is none
Draws = NDArray[np.float64]  # (n_draws,)


def absences(
    facts: SeasonFacts, worked: WorkedOut, shut: Sequence[Closed] = ()
) -> tuple[Absence, ...]:
    """Give the absences that begin in the coming four weeks and take a visit, in their order.

    shut : what is closed now and after the next visit: nobody waters there.
    """
    visiting = facts.plot.visiting
    until = facts.today + timedelta(days=AHEAD_DAYS)
    ahead = sorted(span for span in visiting.away if span[1] >= facts.today and span[0] <= until)
    told = [_told(facts, worked, span) for span in ahead if _missed(facts, span)]
    missed = sorted({day for one in told for day in one.missed})
    poured = drinks(facts, worked, shut, missed) if missed else ()
    can = measure(facts.plot.water.can_litres, "l")
    return tuple(
        replace(one, water=tuple(d for d in poured if d.day in one.missed), can=can) for one in told
    )


def _told(facts: SeasonFacts, worked: WorkedOut, span: tuple[date, date]) -> Absence:
    missed = _missed(facts, span)
    ends = np.percentile(_loss(facts, worked, span), (10, 50, 90))
    low, middle, high = (round(max(float(kg), 0.0), 2) for kg in ends)
    loss = Span(low, middle, high, "kg")
    return Absence(span[0], span[1], missed, loss, " ".join(_words(facts, span, missed, loss)))


def _missed(facts: SeasonFacts, span: tuple[date, date]) -> tuple[date, ...]:
    """The visits that there would be without this absence."""
    home = _at_home(facts, span)
    days = coming_visits(home.plot.visiting, facts.now, facts.last)
    return tuple(day for day in days if span[0] <= day <= span[1])


def _at_home(facts: SeasonFacts, span: tuple[date, date]) -> SeasonFacts:
    """The same facts without one absence."""
    others = tuple(one for one in facts.plot.visiting.away if one != span)
    visiting = replace(facts.plot.visiting, away=others)
    anew = seen_anew(facts, replace(facts.plot, visiting=visiting), facts.runs)
    return with_frost_visit(anew)


def _loss(facts: SeasonFacts, worked: WorkedOut, span: tuple[date, date]) -> Draws:
    """Kilograms, draw by draw, that watering and picking on the missed visits would have brought.

    Of the plantings that stay, let run; what pests take meanwhile is in neither.
    """
    home = _at_home(facts, span)
    stays = {
        key: belief
        for key, belief in worked.crops.beliefs.items()
        if worked.crops.decisions[key].verdict.verdict not in ("replace", "pull")
    }
    watered = with_drought(home, {k: _before_drought(b) for k, b in stays.items()}, worked.ground)
    total: Draws = np.zeros(len(facts.future_of_draw))
    for key, belief in stays.items():
        total = total + _eaten(home, watered[key], worked) - _eaten(facts, belief, worked)
    return total


def _before_drought(belief: CropBelief) -> CropBelief:
    """The planting as it would bear with all the water it wants."""
    if belief.water is None:
        return belief
    kg = belief.kg.copy()
    kg[:, belief.today :] /= np.maximum(belief.water, LEAST_WATER)
    return replace(belief, kg=kg, water=None)


def _eaten(facts: SeasonFacts, belief: CropBelief, worked: WorkedOut) -> Draws:
    kg = belief.kg[:, facts.today_index :]
    kg = kg * bearing_if_left(belief.condition, kg.shape[1])
    if belief.traits.hangs_days is not None and facts.visits:
        kg = kg * eaten_of(facts, belief, worked.permits, ())
    return np.asarray(kg.sum(axis=1))


def _words(
    facts: SeasonFacts, span: tuple[date, date], missed: tuple[date, ...], loss: Span
) -> Iterator[str]:
    """What the absence means, sentence by sentence."""
    takes = counted(len(missed), "visits")
    days = f"{said(span[0])} to {said(span[1])}"
    yield f"You are away {days}, which takes {takes}; all is planned round it."
    if loss.high >= LEAST_KG:
        low, high = (measure(kg, "kg") for kg in (loss.low, loss.high))
        yield f"Unwatered and unpicked, the plot gives about {low} to {high} less."
    columns = [facts.day_index(day) for day in facts.visits]
    last = facts.t_min.shape[1] - 1
    before = [day for day in facts.visits if day < span[0]]
    dry = [d for d in before if not is_watered(columns, facts.day_index(d), last=last)]
    if dry:
        back = next((d for d in facts.visits if d > span[1]), span[1] + timedelta(days=1))
        yield (
            f"From {said(dry[0])} nothing is set out or sown: between {said(before[-1])} and "
            f"{said(back)} nobody would water it."
        )
    if facts.plot.lots:
        yield "Somebody must water the cups."
    yield "A helper's card says what to do (`lattermath print helper`)."
