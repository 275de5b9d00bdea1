"""Frost at the plot: what it has probably killed already, and when it is about to come."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from lattermath.desk.season_facts import SeasonFacts
from lattermath.science.ground_frost import leaf_minimum
from lattermath.science.harvest_curve import first_frost
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.events import Care, Picking, Sighting
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting

LIKELY = 0.5  # judgement: from this chance on the sheet calls everybody out


def without_frosted(facts: SeasonFacts) -> SeasonFacts:
    """The same facts with plantings taken for gone that a frost of the record has killed.

    A planting that was picked, tended or looked at since lives on; `rough` names the others, so
    that a grower with fleece can say that they stand.
    """
    killed = {p.key: day for p in facts.plot.standing() if (day := _killed_on(facts, p))}
    if not killed:
        return facts
    plantings = tuple(
        replace(p, pulled=killed[p.key]) if p.key in killed else p for p in facts.plot.plantings
    )
    names = ", ".join(facts.plot.planting(key).name for key in killed)
    words = (
        f"Frost since {short(min(killed.values()))} has probably killed {names}: clear them, or "
        "log a look at what still stands."
    )
    rough = (*facts.plot.rough, words)
    return replace(facts, plot=replace(facts.plot, plantings=plantings, rough=rough))


def _killed_on(facts: SeasonFacts, planting: Planting) -> date | None:
    """The first past day whose minimum kills this crop, if nothing was seen of it since."""
    if planting.crop not in facts.tables.crops or planting.started is None:
        return None
    kill_c = facts.tables.crops[planting.crop].frost_kill_c.value
    begins = max(facts.day_index(planting.started), 0)
    cold = np.flatnonzero(facts.t_min[0, begins : facts.today_index] <= kill_c)
    if cold.size == 0:
        return None
    last = facts.first + timedelta(days=begins + int(cold[-1]))
    if any(event.day > last and _tells_of(event.payload, planting.key) for event in facts.events):
        return None
    return facts.first + timedelta(days=begins + int(cold[0]))


def _tells_of(payload: object, key: str) -> bool:
    return isinstance(payload, (Care, Picking, Sighting)) and payload.planting == key


def frost_coming(facts: SeasonFacts) -> str:
    """What to do before a frost that is likelier than not by the second coming visit; "" else.

    A frost at the ground, where plants are: in a clear night it comes before one at the screen.
    """
    if not any(p.crop in facts.tables.crops for p in facts.plot.standing()):
        return ""
    until = (facts.visits[1] if len(facts.visits) > 1 else facts.today) + timedelta(days=1)
    tomorrow = facts.today_index + 1
    ground = leaf_minimum(facts.t_min, facts.t_max)
    column = int(np.quantile(first_frost(ground, 0.0, tomorrow), LIKELY, method="inverted_cdf"))
    if column > facts.day_index(until):
        return ""
    day = facts.first + timedelta(days=column)
    lows = ground[:, tomorrow : column + 1].min(axis=1)
    low = measure(round(float(np.median(lows))), "C")
    return (
        f"FROST LIKELY by the morning of {said(day)}, about {low} at the ground: before it, "
        "pick what is tender and cover what is to stay"
    )
