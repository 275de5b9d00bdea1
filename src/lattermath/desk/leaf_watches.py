"""Which plantings to look at for a leaf disease, and what a look there is worth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from lattermath.desk.leaf_disease_course import LeafSearched
from lattermath.desk.pest_parts import last_looked
from lattermath.planning.disease_answers import turns_on_a_look
from lattermath.planning.leaf_disease_courses import ILL, LeafFound
from lattermath.planning.looking import MINUTES_A_LOOK, stale
from lattermath.planning.sick_leaves import MANY_PERCENT
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_leaf_look import leaf_looks_worth, ten_leaves_of_a_disease
from lattermath.planning.worth_of_look import LookWorth


def leaf_watches(searched: LeafSearched, found: LeafFound) -> tuple[Watch, ...]:
    """The watches, those not looked at lately with what a look is worth."""
    watches, visits = tuple(_watches(searched)), searched.rulings.visits
    if not visits:
        return watches
    places = {stand.key: n for n, stand in enumerate(searched.case.belief.stands)}
    due = {w.planting.key: places[w.planting.key] for w in watches if stale(visits[0], w)}
    worths = leaf_looks_worth(searched.task, found, list(due.values()))
    return tuple(
        replace(
            one,
            worth=_ruled(one, worths.get(due[one.planting.key])),
            tells=ten_leaves_of_a_disease(),
        )
        if one.planting.key in due
        else replace(one, worth=_ruled(one, one.worth))
        for one in watches
    )


def _ruled(watch: Watch, worth: LookWorth | None) -> LookWorth | None:
    """What a look is worth, no less than it takes where a rule turns on it that no course knows."""
    if not watch.decides:
        return worth
    minutes = max(MINUTES_A_LOOK, 0.0 if worth is None else worth.minutes)
    change = 0.0 if worth is None else worth.would_change
    all_of_it, some_of_it = "take out all of it", "take out what shows it"
    return LookWorth(minutes, change, None, all_of_it, some_of_it, MANY_PERCENT)


def _watches(searched: LeafSearched) -> Iterator[Watch]:
    """Every own host: those that show it, and those beside them."""
    belief = searched.case.belief
    shown = np.median(belief.state.max(-1), axis=0)
    for place, stand in enumerate(belief.stands):
        if stand.treatable:
            rule = any(
                one.what == belief.disease.id and turns_on_a_look(one, stand.crop)
                for one in searched.rulings.permits.sick_on(stand.key)
            )
            yield Watch(
                belief.disease.id,
                belief.disease.name,
                searched.rulings.plantings[place],
                last_looked(searched.case.facts, stand.key, belief.disease.id),
                suspected=bool(shown[place] >= ILL),
                found=rule,
                decides="whether all of it goes" if rule else "",
            )
