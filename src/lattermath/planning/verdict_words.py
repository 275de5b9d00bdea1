"""A keep-or-replace verdict in words: what the front of the sheet says, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import numpy as np

from lattermath.belief.crop_belief import CropBelief
from lattermath.planning import fate_reasons
from lattermath.planning.fates import Choices, FateOutlook
from lattermath.planning.frost_work import WITH_FLEECE
from lattermath.planning.new_plants import may_begin
from lattermath.planning.pest_beside import bars_told
from lattermath.planning.picking_told import picking_odds_says
from lattermath.planning.worth import Weeks
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plot import Household
from lattermath.vocabulary.ruling import Because

WORTH_SAYING = 0.05  # judgement: a smaller loss of yield to drought is not worth a line
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August",
          "September", "October", "November", "December")  # fmt: skip


def says(choices: Choices, outlook: FateOutlook, household: Household, waits: bool = False) -> str:
    """The verdict as the front of the sheet says it; at most one range.

    waits : it stays for a second look, though replacing it would pay.
    """
    again = f", look again on {said(choices.day(choices.visits[1]))}" if waits else ""
    if outlook.fate == "leave":
        return f"let run{again}"
    if outlook.fate == "cover":
        return f"let run{WITH_FLEECE}{again}"
    if outlook.fate == "fight":
        meals = _meals(choices, outlook, household)
        return f"fight, {meals}{again}" if meals else f"fight{again}"
    does = "take out" if outlook.fate == "pull" else "replace"
    if outlook.begins == choices.today:
        return f"{does} tonight"
    return f"{does} on {said(choices.day(outlook.begins or choices.today))}"


def _meals(choices: Choices, outlook: FateOutlook, household: Household) -> str:
    """How many meals a week it gives while it bears, and about how long it bears."""
    weather = choices.season.weather
    weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
    traits, kg = outlook.parts[0]
    weekly = weeks.sums(kg) / traits.portion_kg / max(household.people, 1) / weeks.share
    median = np.median(weekly, axis=0)
    bearing = median > max(median.max() / 4, 0.25)
    if not bearing.any():
        return ""
    a_week = weekly[:, bearing].mean(axis=1)
    low, high = (max(round(float(q)), 1) for q in np.percentile(a_week, (20, 80)))
    last = weeks.mondays[int(np.flatnonzero(bearing)[-1])]
    count = f"{low}" if low == high else f"{low} to {high}"
    return f"about {count} {'meal' if high == 1 else 'meals'} a week to {_part_of_month(last)}"


def _part_of_month(day: date) -> str:
    """About when in the month: `early`, `mid-` or `late`."""
    month = MONTHS[day.month - 1]
    if day.day <= 10:
        return f"early {month}"
    return f"mid-{month}" if day.day <= 20 else f"late {month}"


def because(
    choices: Choices,
    chosen: FateOutlook,
    swap: FateOutlook | None,
    gain: float,
    turns: float | None = None,
) -> tuple[Because, ...]:
    """Why: what the planting is, what the chosen fate rests on, and what the other would bring.

    gain  : mean worth of the best replacement less that of keeping. [portions]
    turns : chance that the second look waited for turns it; None: none is waited for.
    """
    belief, plant = choices.belief, f"plot:planting/{choices.belief.planting.key}"
    reasons = []
    if choices.care.must_go is None:  # else how it looks decides nothing
        look = f"it is {belief.planting.vigour} and {belief.stage}"
        reasons.append(Because(look, who="grower", rests_on=(plant, *_picking_addresses(choices))))
    if belief.disagrees is not None:
        odds = picking_odds_says(belief.disagrees)
        reasons.append(Because(odds, rests_on=_picking_addresses(choices)))
    reasons.extend(chosen.reasons)
    if swap is not None:
        if chosen is not swap:
            reasons.extend(_if_replaced(reason) for reason in swap.reasons)
        more = "more" if gain > 0 else "fewer"
        words = (
            f"replacing gives about {counted(f'{abs(gain):.0f}', 'portions')} {more} than keeping"
        )
        reasons.append(Because(words, rests_on=("computed:same futures for every fate",)))
    if swap is None or chosen is not swap:
        reasons.extend(_barred_beside(choices))
    if choices.care.look_first and choices.care.seen is not None:
        seen = choices.care.seen
        reasons.extend(fate_reasons.of_unsure(belief, seen.unseen, seen.doubted))
    if turns is not None:
        reasons.append(_waiting(choices, turns))
    if (thirst := _thirst(belief)) is not None:
        reasons.append(thirst)
    if belief.rough:
        reasons.append(Because(belief.rough, who="grower", rests_on=(plant,)))
    return tuple(reasons)


def _barred_beside(choices: Choices) -> Iterator[Because]:
    """Which cups may not follow for what lives untreated beside, when they could go out first."""
    names: dict[str, tuple[str, int]] = {}
    begins = may_begin(choices)
    for lot in choices.lots if choices.care.near else ():
        ready = lot.ready_column()
        first = next((visit for visit in begins if visit >= ready), None)
        if first is not None and lot.lot.plants > 0 and choices.ground.suits(lot.traits).holds:
            names.setdefault(lot.lot.crop, (lot.traits.many, first))
    yield from bars_told(choices.care.near, names)


def _waiting(choices: Choices, turns: float) -> Because:
    """Why it stays for now, though replacing it would pay on the whole."""
    plant = f"plot:planting/{choices.belief.planting.key}"
    day = said(choices.day(choices.visits[1]))
    words = f"plants taken out do not come back, and on {day} more is known: waiting pays"
    if turns > 0:
        often = counted(max(round(100 * turns), 1), "times")
        words += f"; a look then turns it about {often} in 100"
    return Because(
        words,
        rests_on=(plant, "computed:same futures for every fate"),
        way_out="write down how it looks then",
    )


def _thirst(belief: CropBelief) -> Because | None:
    """What the ground's water takes of the yield, whatever stands there; None where hardly any."""
    if belief.water is None:
        return None
    sound = belief.kg[:, belief.today :] / np.maximum(belief.water, 1e-6)
    whole = float(sound.sum())
    lost = 1.0 - float(belief.kg[:, belief.today :].sum()) / whole if whole > 0 else 0.0
    if lost < WORTH_SAYING:
        return None
    return Because(
        f"between waterings it goes short, which takes about {max(round(10 * lost), 1)} in 10 of "
        "its yield",
        rests_on=(f"computed:soil water of {belief.planting.key}", "plot:water/cans_a_visit"),
        way_out="mulch, shade, more cans or more visits",
    )


def _if_replaced(reason: Because) -> Because:
    return replace(reason, says=f"if replaced, {reason.says}")


def _picking_addresses(choices: Choices) -> tuple[str, ...]:
    return tuple(f"event:{serial}" for serial in choices.belief.events)
