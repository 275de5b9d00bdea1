"""How much water each planting wants at a visit, and which goes first when there is not enough."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

import numpy as np

from lattermath.belief.soil import (
    UNDER,
    BedSoil,
    between,
    chance_of_stress,
    days_until_due,
    refill_litres,
    short_mm,
    watered,
)
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import GardenRules, WaterSupply
from lattermath.vocabulary.ruling import Because, Ruling, ruling

Kind = Literal["set out", "cups", "fruiting", "leafy", "deep-rooted"]

# Who drinks first when cans run out; wilted plants come before all. Common practice.
FIRST: dict[Kind, int] = {"set out": 1, "cups": 1, "fruiting": 2, "leafy": 3, "deep-rooted": 4}
ASK_ABOVE = 0.25  # judgement: chance of going short before the next visit from which one waters
ENOUGH_AT = 0.10  # judgement: chance at which one stops pouring
LEAST_SOAK_MM = 5.0  # judgement: less than this wets the surface and breeds shallow roots
HOSE_STEP_L = 5.0  # nobody measures a hose more finely


@dataclass(frozen=True, slots=True)
class BedNeed:
    """One planting, or the cups on the plot, that may want water at this visit."""

    key: str  # planting or standby lot
    name: str  # as the grower says it: "cucumbers row 2"
    kind: Kind
    next_visit: date
    days: int  # from this evening until that visit
    soil: BedSoil | None = None  # None: cups, which take `cups_litres`
    cups_litres: float = 0.0
    wilted: bool = False
    keep_dry: Because | None = None  # why its leaves are kept dry
    sprayed: bool = False  # it is to be sprayed that evening, on moist soil only

    @property
    def turn(self) -> int:
        """Whose turn it is: 0 wilted, then set out and cups, fruiting, leafy, deep-rooted."""
        return 0 if self.wilted else FIRST[self.kind]


@dataclass(frozen=True, slots=True)
class BedShare:
    """What one planting wants and gets. Chances are of going short before the next visit."""

    need: BedNeed
    due_litres: float
    given_litres: float
    chance_unwatered: float
    chance: float  # with what it gets
    short_mm: float  # mean water it would use until then and does not get
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class WaterShare:
    """The water of one visit, in the order in which it is carried."""

    shares: tuple[BedShare, ...]
    can_litres: float
    by_hose: bool
    spare_cans: float | None  # None: as many as time allows, or a hose

    @property
    def litres(self) -> float:
        """Litres poured in all."""
        return sum(share.given_litres for share in self.shares)

    @property
    def gone_short(self) -> tuple[BedShare, ...]:
        """Those that get less than is due."""
        return tuple(s for s in self.shares if s.given_litres < s.due_litres - 1e-9)


def may_use_hose(supply: WaterSupply, rules: GardenRules) -> Ruling:
    """May a hose be used? Not where there is none, the garden forbids it, or a ban is in force."""
    return ruling(_hose_clauses(supply, rules))


def share_at_visit(
    beds: Sequence[BedNeed], supply: WaterSupply, rules: GardenRules
) -> tuple[WaterShare, Ruling]:
    """Share out the water that is there at this visit, and the ruling on the hose."""
    hose = may_use_hose(supply, rules)
    share = share_water(beds, supply.cans_a_visit, supply.can_litres, hose.allowed)
    return share, hose


def share_water(
    beds: Sequence[BedNeed], cans_available: int | None, can_litres: float, hose: bool
) -> WaterShare:
    """Share out the water of one visit. [litres, in half cans; by hose in steps of 5]

    cans_available : cans that can be carried; None as many as time allows.
    hose           : True only where a hose may be used (`may_use_hose`); cans are then not counted.

    By can, a planting is due what carries it to the next visit; by hose, a refill. Nobody is due
    more than a refill, nor, unless wilted, more than the rain to come leaves room for, but at least
    a soak. When cans run out, wilted plantings come first, then what makes the soil moist of those
    that are to be sprayed, then set out and cups, fruiting, leafy and deep-rooted ones; within a
    turn each half can goes where it saves most water shortage. ValueError for a can that holds
    nothing, a negative number of cans, or a visit later than the soil is reckoned.
    """
    if can_litres <= 0 or (cans_available is not None and cans_available < 0):
        raise ValueError("a can must hold something, and there cannot be fewer than no cans")
    step = HOSE_STEP_L if hose else can_litres / 2
    wants = [_Want(need, step, hose) for need in sorted(beds, key=lambda need: need.turn)]
    limited = cans_available is not None and not hose
    left = 2 * (cans_available or 0) if limited else sum(want.due for want in wants)
    left = _pour([want for want in wants if want.need.turn == 0], left)
    left = _moisten([want for want in wants if want.need.sprayed], left)
    for turn in sorted({want.need.turn for want in wants}):
        left = _pour([want for want in wants if want.need.turn == turn], left)
    shares = tuple(want.share() for want in wants)
    return WaterShare(shares, can_litres, hose, left / 2 if limited else None)


class _Want:
    """The steps (half cans) that one planting is due and has got so far."""

    def __init__(self, need: BedNeed, step: float, hose: bool) -> None:
        self.need = need
        self.step = step
        # Only the days until the next visit count; the rest of the season need not be run.
        self.soil = None if need.soil is None else between(need.soil, 0, need.days)
        self.due = _due_steps(need, self.soil, step, hose)
        self.got = 0
        self._short: dict[int, float] = {}

    def shortage(self, steps: int) -> float:
        """Litres that the plants go short of until the next visit after so many steps."""
        soil = self.soil
        if soil is None:
            return float(max(self.due - steps, 0)) * self.step
        if steps not in self._short:
            mm = short_mm(watered(soil, steps * self.step), self.need.days)
            self._short[steps] = mm * soil.litres_a_mm
        return self._short[steps]

    def gain(self) -> float:
        """Shortage that the next step saves. [l]"""
        return self.shortage(self.got) - self.shortage(self.got + 1)

    def dry(self) -> bool:
        """Is the ground drier this evening than growth bears, in half of the draws or more?"""
        soil = self.soil
        if soil is None:
            return False
        gone = soil.depletion_mm[:, 0] - self.got * self.step / soil.litres_a_mm
        return 2 * int((gone > soil.raw_mm[0]).sum()) >= len(gone)

    def share(self) -> BedShare:
        """What came of it."""
        soil, need = self.soil, self.need
        due, given = self.due * self.step, self.got * self.step
        if soil is None:
            dry, after, lost = float(due > 0), float(given < due), 0.0
        else:
            poured = watered(soil, given)
            dry = chance_of_stress(soil, need.days)
            after, lost = chance_of_stress(poured, need.days), short_mm(poured, need.days)
        share = BedShare(need, due, given, dry, after, lost, ())
        return BedShare(need, due, given, dry, after, lost, tuple(_reasons(share)))


def _due_steps(need: BedNeed, soil: BedSoil | None, step: float, hose: bool) -> int:
    """Steps that carry a planting to the next visit, at least a soak and at most a refill."""
    if soil is None:
        return math.ceil(need.cups_litres / step - 1e-9)
    if not need.wilted and chance_of_stress(soil, need.days) <= ASK_ABOVE:
        return 0
    refill = math.ceil(refill_litres(soil) / step - 1e-9)
    soak = math.ceil(LEAST_SOAK_MM * soil.litres_a_mm / step - 1e-9)
    most = refill if need.wilted else min(refill, max(soak, _room(soil, need.days, step)))
    if hose:
        return most
    for steps in range(min(soak, most), most):
        if chance_of_stress(watered(soil, steps * step), need.days) <= ENOUGH_AT:
            return steps
    return most


def _room(soil: BedSoil, days: int, step: float) -> int:
    """Steps that the ground can still hold at its driest before the next visit, rain taken off."""
    driest = soil.depletion_mm[:, 1 : days + 1].max(axis=1)
    return math.ceil(float(driest.mean()) * soil.litres_a_mm / step - 1e-9)


def _pour(wants: Sequence[_Want], left: int) -> int:
    """Give the steps of one turn, each where it saves most; what is left over."""
    thirsty = [want for want in wants if want.got < want.due]
    while left > 0 and thirsty:
        # Ties go to the first named, so that the same plot always gives the same sheet.
        best = max(thirsty, key=_Want.gain)
        best.got += 1
        left -= 1
        thirsty = [want for want in thirsty if want.got < want.due]
    return left


def _moisten(wants: Sequence[_Want], left: int) -> int:
    """Give what is to be sprayed as much as makes its soil moist tonight; what is left over."""
    for want in wants:
        while left > 0 and want.got < want.due and want.dry():
            want.got += 1
            left -= 1
    return left


def _hose_clauses(supply: WaterSupply, rules: GardenRules) -> Iterator[Because]:
    yield Because(
        "there is a hose" if supply.hose else "no hose is written down",
        holds=supply.hose,
        who="grower" if supply.hose else "our caution",
        rests_on=("plot:water/hose",),
        way_out="" if supply.hose else "cans at the foot",
    )
    if rules.no_hose:
        yield Because(
            "the garden allows no hose",
            holds=False,
            who="garden",
            rests_on=("plot:rules/no_hose",),
            way_out="cans at the foot",
        )
    if supply.hose_ban:
        yield Because(
            "a hose ban is in force",
            holds=False,
            who="garden",
            rests_on=("plot:water/hose_ban",),
            way_out="cans at the foot",
        )


def _reasons(share: BedShare) -> Iterator[Because]:
    """Why this much: the chance of going short, what was seen, and what too little costs."""
    need, soil = share.need, share.need.soil
    until = said(need.next_visit)
    if soil is None:
        yield Because(
            f"{need.name}: a cup holds water for a day or two in summer (common practice)",
            rests_on=(f"plot:lot/{need.key}",),
        )
    else:
        yield Because(
            f"{need.name}: {tenths(share.chance_unwatered)} that they go short before {until} "
            f"if nobody waters; {_due_in(soil)}; {_wanted(share)}",
            rests_on=_rests_on(need, soil),
        )
    if need.wilted:
        yield Because(
            f"{need.name} stood wilted", who="grower", rests_on=(f"plot:planting/{need.key}",)
        )
    for words in () if soil is None else (soil.disagrees, soil.rough):
        if words:
            yield Because(f"{need.name}: {words}", rests_on=_rests_on(need, soil))
    if need.keep_dry is not None:
        says = f"{need.name}: {need.keep_dry.says}"
        yield replace(need.keep_dry, says=says)
    if share.given_litres < share.due_litres - 1e-9:
        yield _loss(share, until)
    elif soil is not None and share.due_litres > 0 and share.chance > ASK_ABOVE:
        yield Because(
            f"even so {tenths(share.chance)} that {need.name} go short before {until}: "
            f"their soil holds only {measure(round(float(soil.raw_mm[0])), 'mm')} that is easy",
            rests_on=_rests_on(need, soil),
            way_out="mulch or shade them, or come a day sooner",
        )


def _due_in(soil: BedSoil) -> str:
    """When water is due, as a range that holds 8 of 10 futures."""
    early, late = np.quantile(days_until_due(soil), (0.1, 0.9), method="inverted_cdf")
    if not np.isfinite(early):
        return "water is hardly due again this season"
    first = f"water is due in {early:.0f} days" if early > 1 else "water is due tomorrow"
    if early == late:
        return first
    if not np.isfinite(late):
        return f"{first} or much later"
    return f"water is due in {early:.0f} to {late:.0f} days"


def _wanted(share: BedShare) -> str:
    """What carries them to the next visit, and what a full soil would take beside it."""
    soil = share.need.soil
    refill = 0 if soil is None else round(refill_litres(soil))
    full = f"{measure(refill, 'l')} would fill their soil"
    if not 0 < share.due_litres < refill:
        return f"about {full}"
    due = measure(share.due_litres, "l")
    return f"about {due} carry them to that visit, though about {full}"


def _loss(share: BedShare, until: str) -> Because:
    need, soil = share.need, share.need.soil
    if soil is None:
        says = f"not enough water: {need.name} dry out"
    else:
        says = (
            f"not enough water: {tenths(share.chance)} that {need.name} go short before {until}, "
            f"by {_about_mm(share.short_mm)}"
        )
    return Because(
        says,
        rests_on=_rests_on(need, soil),
        way_out="fetch more, mulch, or come a day sooner",
    )


def _rests_on(need: BedNeed, soil: BedSoil | None) -> tuple[str, ...]:
    if soil is None:
        return (f"plot:lot/{need.key}",)
    events = tuple(f"event:{serial}" for serial in soil.events)
    bed = soil.ground.bed
    ground = f"plot:planting/{need.key}" if bed.startswith(UNDER) else f"plot:bed/{bed}"
    return (ground, f"computed:soil water of {need.key}", *events)


def tenths(chance: float) -> str:
    """Say a chance as a grower does: `7 in 10`."""
    tens = round(10 * chance)
    if tens == 0 and chance > 0:
        return "less than 1 in 10"
    if tens == 10 and chance < 1:
        return "more than 9 in 10"
    return f"{tens} in 10"


def _about_mm(mm: float) -> str:
    whole = round(mm)
    return f"about {measure(whole, 'mm')}" if whole else f"less than {measure(1, 'mm')}"
