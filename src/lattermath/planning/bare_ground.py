"""Ground with nothing on it: what to put there now, if anything still pays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lattermath.planning.fates import Choices, FateOutlook
from lattermath.planning.keep_or_replace import (
    Table,
    Weighed,
    best,
    options_of,
    span,
    weigh,
)
from lattermath.planning.last_visit import last_still_better
from lattermath.planning.new_plants import may_begin, replacing_at
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Verdict
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital


@dataclass(frozen=True, slots=True)
class Filling:
    """What a bare bed gets, and the verdict that says so; what was weighed, and from what."""

    verdict: Verdict
    chosen: FateOutlook
    weighed: tuple[Weighed, ...] = ()
    asked: tuple[Choices, Table] | None = None


def pays(choices: Choices, table: Table) -> bool:
    """Does anything begun at the next visit pay?"""
    if not choices.visits:
        return False
    weighed = weigh(replacing_at(choices, choices.visits[0]), choices, table)
    return bool(weighed) and best(weighed).mean > 0


def fill(choices: Choices, table: Table, given: FateOutlook | None = None) -> Filling | None:
    """Choose what goes into bare ground at the next visit; None where nothing pays.

    given : what was found best for it together with other ground, when lots were exchanged.
    """
    if not choices.visits:
        return None
    visit = choices.visits[0]
    weighed = weigh(replacing_at(choices, visit), choices, table)
    top = best(weighed) if weighed else None
    if given is not None and given.crop:
        same = (given.crop, given.lot)
        weighed = [one for one in weighed if (one.outlook.crop, one.outlook.lot) != same]
        top = weigh([given], choices, table)[0]
        weighed.append(top)
    elif given is not None:
        return None
    if top is None or top.mean <= 0:
        return None

    def still(column: int) -> bool:
        same = {(top.outlook.crop, top.outlook.lot)}
        later = weigh(replacing_at(choices, column, same), choices, table)
        return bool(later) and best(later).mean > 0

    last = last_still_better(may_begin(choices), still)
    by = None if last is None else choices.day(last)
    late = "" if by is None else f" Too late after about {short(by)}."
    name = choices.ground.name
    chance = float((top.value > 0).mean())
    return Filling(
        Verdict(
            planting=choices.belief.planting.bed or choices.belief.planting.key,
            verdict="replace",
            choice=top.outlook.fate,
            options=options_of(weighed),
            difference=span(top.value, "portions"),
            chance_replacing_better=chance,
            chance_error=float(np.sqrt(chance * (1 - chance) / len(top.value))),
            decide_by=by,
            says=f"{capital(name)}: bare, {top.outlook.says}.{late}",
            because=(
                Because(
                    f"nothing stands in {name}",
                    rests_on=(f"plot:bed/{choices.belief.planting.bed}",),
                ),
                *top.outlook.reasons,
            ),
        ),
        top.outlook,
        tuple(weighed),
        (choices, table),
    )
