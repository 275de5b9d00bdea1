"""How much to mix: the label's rate in the water that wets these plants, and no more.

The label's maximum per area is never passed, product is rounded down and water up, so that a mix
is never stronger than the label says; water goes to the mark at which the product comes out, and
what is still under the label's rate is told. Crops of two rates never share a filling.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.label import CropLimits, Measured, ProductLabel
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import WATER, Amount
from lattermath.vocabulary.ruling import Because

FULL_LEAF_AREA = (
    3.0  # judgement: m2 of leaf (one side) over each m2 of ground, grown plants; 2 to 4
)
FILM_L_PER_M2 = 0.04  # judgement: litres that wet 1 m2 of one leaf side to run-off; 0.02 to 0.08
SOIL_L_PER_M2 = 0.2  # judgement: litres that wet 1 m2 of soil surface
# Sides of leaf that a surface stands for, per m2 of leaf; stems are judgement.
SIDES = {"underside": 1.0, "top": 1.0, "stem": 0.1, "whole": 2.1, "soil": 0.0}
# Marks for water: a kitchen jug to two litres, a common hand sprayer above. Judgement.
WATER_STEPS = ((1.0, 0.05), (2.0, 0.1), (math.inf, 0.25))
SMALLEST_MIX_L = 0.1  # judgement: less does not come out of a hand sprayer
# Up to so much more water than is needed, or so many marks, where the product then comes out within
# a tenth of the label's rate; up to twice where less of it cannot be measured at all. Judgement:
# what wets a leaf is known to a factor of two, and a hand sprayer spreads by more than a tenth.
MORE_WATER, MORE_MARKS, MOST_WATER = 1.25, 2, 2.0
NEAR_ENOUGH = 0.9
MOST_MARKS = 60  # twice anything that one sprayer holds
TOLD_UNDER = 0.05  # judgement: a mix weaker than the label by more is told as such
LEAST_L = 0.01  # judgement: under a maximum per area, what a syringe still measures out
SMALLEST_LEAF = 0.1  # judgement: share of full leaf that a plant just set out carries
# What can be measured at home: below so much, in steps of so much. Judgement: up to 2 ml with a
# syringe, then a spoon or a cup; grams on a pocket scale, from 10 g on a kitchen scale.
STEPS: dict[Measured, tuple[tuple[float, float], ...]] = {
    "ml": ((2.0, 0.1), (10.0, 0.5), (50.0, 1.0), (math.inf, 5.0)),
    "g": ((10.0, 0.1), (math.inf, 1.0)),
}
TINY = 1e-9
NOTHING_LEFT = "Nothing of it is left in the pack: leave this out, or get more first."
NOT_MEASURED = (
    "So little of it is wanted that it cannot be measured out within the label's rate: leave this "
    "out."
)
TOO_LITTLE = (
    "The label allows less on this ground than can be measured out: leave this out, and see "
    "whether its maximum was copied right."
)


@dataclass(frozen=True, slots=True)
class Stand:
    """The plants to be wetted. `size` is the share of full leaf they carry, 0 to 1."""

    plants: int
    ground_m2_per_plant: float
    size: float = 1.0
    bed_m2: float | None = None  # plants crowded into a bed have no more ground than it has

    @property
    def ground_m2(self) -> float:
        """Ground that the plants take up. [m2]"""
        spaced = self.plants * self.ground_m2_per_plant
        return spaced if self.bed_m2 is None else min(spaced, self.bed_m2)


@dataclass(frozen=True, slots=True)
class Part:
    """One planting that a filling is for."""

    crop: str
    stand: Stand
    surfaces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mix:
    """One filling. `product` None: the label prints no rate per litre, so measure as it says.

    product  : in the unit that the label measures it in, ml or g.
    wanted_l : what would wet everything. shares : litres of the mix for each part.
    """

    water_l: float
    product: float | None
    wanted_l: float
    shares: tuple[float, ...]
    says: str
    warning: str
    amounts: tuple[Amount, ...]

    @property
    def share_wetted(self) -> float:
        """Share of the wanted surface that this much wets, at most 1."""
        return min(1.0, self.water_l / self.wanted_l) if self.wanted_l else 1.0


def leaf_share(days: float, days_to_first_pick: float) -> float:
    """Share of full leaf at an age: in proportion to the days to the first pick, then all.

    Source: judgement; at the first pick most crops here cover their ground.
    Raises ValueError where the days to the first pick are not above 0.
    """
    if days_to_first_pick <= 0:
        raise ValueError("the days to the first pick must be above 0")
    return min(1.0, max(SMALLEST_LEAF, days / days_to_first_pick))


def wetting_litres(stand: Stand, surfaces: Sequence[str]) -> float:
    """Volume that wets these surfaces of these plants to run-off. [l]

    Leaf area is 3 m2 over each m2 of ground at full size, wetted at 0.04 l per m2 and side.
    Source: judgement, between high-volume sprays of 1000 to 3000 l/ha (memory) on such leaf areas.
    Raises ValueError for a surface nobody defined, or plants or sizes below 0.
    """
    if unknown := set(surfaces) - SIDES.keys():
        raise ValueError(f"unknown surface {', '.join(sorted(unknown))}; use {', '.join(SIDES)}")
    if stand.plants < 0 or stand.ground_m2_per_plant < 0 or not 0 <= stand.size <= 1:
        raise ValueError("plants and ground must not be below 0, and size must lie in 0..1")
    sides = min(sum(SIDES[s] for s in set(surfaces)), SIDES["whole"])
    leaf = stand.ground_m2 * FULL_LEAF_AREA * stand.size * sides * FILM_L_PER_M2
    return leaf + (stand.ground_m2 * SOIL_L_PER_M2 if "soil" in surfaces else 0.0)


def rate_of(label: ProductLabel, crop: str) -> float | None:
    """What the label prints for a litre on this crop; None: it prints none. [ml/l or g/l]

    Raises InputError where the crop is not listed, or its rate or maximum was not copied.
    """
    return _limits(label, crop).rate_ml_per_l.value


def fillings(label: ProductLabel, parts: Sequence[Part]) -> tuple[tuple[tuple[int, ...], Mix], ...]:
    """The places of the parts that share a filling, and the filling: one for each rate.

    In the order in which the rates first come; a later one has what the earlier ones leave in the
    pack. Raises InputError as `filling` does.
    """
    places: dict[float | None, list[int]] = {}
    for place, part in enumerate(parts):
        places.setdefault(rate_of(label, part.crop), []).append(place)
    found: list[tuple[tuple[int, ...], Mix]] = []
    for group in places.values():
        mix = filling(label, [parts[place] for place in group])
        found.append((tuple(group), mix))
        if label.litres_left is not None:
            label = replace(label, litres_left=max(0.0, label.litres_left - mix.water_l))
    return tuple(found)


def filling(label: ProductLabel, parts: Sequence[Part]) -> Mix:
    """One filling for all parts, within the label's rate and its maximum per area on each.

    Raises InputError where a crop is not listed, its rate or maximum was not copied, or the crops
    have two rates: they want a filling each. Source: rule `mix_amount`.
    """
    limits = [_limits(label, part.crop) for part in parts]
    rate = _common_rate(label, limits)
    wanted = [wetting_litres(part.stand, part.surfaces) for part in parts]
    most = [math.inf if x.max_l_per_m2.value is None else x.max_l_per_m2.value for x in limits]
    caps = [
        math.inf if per_m2 == math.inf else per_m2 * part.stand.ground_m2
        for per_m2, part in zip(most, parts, strict=True)
    ]
    needed = [min(want, cap) for want, cap in zip(wanted, caps, strict=True)]
    water, product = _measured_out(sum(needed), sum(caps), label, rate)
    scale = water / sum(needed) if sum(needed) > 0 else 0.0
    warning = _warning(water, sum(wanted), sum(needed), label.litres_left)
    if product == 0 and not _water(sum(needed), sum(caps), label) <= 0:
        warning = NOT_MEASURED
    return Mix(
        water,
        product,
        sum(wanted),
        tuple(min(scale * need, cap) for need, cap in zip(needed, caps, strict=True)),
        _words(label, water, product),
        " ".join(filter(None, (warning, _under(water, product, rate)))),
        _amounts(label, water, product),
    )


def _common_rate(label: ProductLabel, limits: Sequence[CropLimits]) -> float | None:
    rates = dict.fromkeys(one.rate_ml_per_l.value for one in limits)
    if len(rates) > 1:
        crops = ", ".join(one.crop for one in limits)
        remedy = "Mix for the crops of each rate by themselves."
        raise InputError(Fault("crops of two rates in one filling", label.name, crops, remedy))
    return next(iter(rates), None)


def _measured_out(
    needed: float, cap: float, label: ProductLabel, rate: float | None
) -> tuple[float, float | None]:
    """Water on a mark, and the product that a measure shows for it, never above the rate.

    The least water with which the product comes near enough to the rate; else that with which it
    comes nearest. No water where what is wanted cannot be measured.
    """
    water = _water(needed, cap, label)
    if rate is None or water <= 0:
        return water, None if rate is None else 0.0
    most = min(cap, math.inf if label.litres_left is None else label.litres_left)
    marks = [water]
    while len(marks) <= MOST_MARKS and (more := _next_mark(marks[-1])) <= most + TINY:
        marks.append(more)
    shown = {litres: measured(rate * litres, label.measured_in) for litres in marks}
    near = [
        litres
        for n, litres in enumerate(marks)
        if n <= MORE_MARKS or litres <= MORE_WATER * needed + TINY
    ]
    share = {litres: shown[litres] / (rate * litres) for litres in near}
    good = (litres for litres in near if share[litres] >= NEAR_ENOUGH)
    best = next(good, max(near, key=lambda litres: share[litres]))
    if shown[best] <= 0:
        twice = (litres for litres in marks if litres <= MOST_WATER * needed and shown[litres] > 0)
        best = next(twice, 0.0)
    return best, shown.get(best, 0.0)


def _next_mark(litres: float) -> float:
    return _mark(litres + WATER_STEPS[0][1] / 2, math.ceil, -TINY)


def _under(water: float, product: float | None, rate: float | None) -> str:
    """That a mix is weaker than the label, where no measure shows what would not be."""
    if rate is None or not product or water <= 0:
        return ""
    under = 1 - product / (rate * water)
    if under <= TOLD_UNDER:
        return ""
    return f"That is about {under:.0%} under the label's rate: no nearer mark can be measured."


def enough_to_mix(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """The label's maximum per area leaves so much on this ground that it can be measured out."""
    most = None if r.limits is None else r.limits.max_l_per_m2.value
    if (
        r.label is None
        or most is None
        or r.ground_m2 is None
        or c.off_the_leaves(r.label.active, r.label.form)
    ):
        return
    litres = most * r.ground_m2
    holds = litres >= LEAST_L
    yield Because(
        f"on this ground {r.label.name} allows {measure(round(litres, 2), 'l')}"
        if holds
        else f"{r.label.name} allows less on this ground than can be measured out",
        holds=holds,
        who="label",
        rests_on=(f"label:{r.label.key}/{r.planting.crop}/max_l_per_m2", "rule:mix_amount"),
        way_out=""
        if holds
        else "see whether its most per area was copied right, or use hands or something else",
    )


def _limits(label: ProductLabel, crop: str) -> CropLimits:
    limits = label.limits_for(crop)
    if limits is None:
        raise InputError(Fault("the label does not list this crop", label.name, crop))
    for name, line in (("rate", limits.rate_ml_per_l), ("maximum per area", limits.max_l_per_m2)):
        if not line.known:
            remedy = "Copy the line from the label, or enter that it prints none."
            raise InputError(Fault(f"the {name} was not copied", label.name, crop, remedy))
    return limits


def _water(needed: float, cap: float, label: ProductLabel) -> float:
    """The needed litres on the sprayer's marks: up, but never above the label or what is left."""
    most = min(cap, math.inf if label.litres_left is None else label.litres_left)
    up = max(SMALLEST_MIX_L, _mark(needed, math.ceil, -TINY))
    if needed <= 0 or up <= most:
        return up if needed > 0 else 0.0
    down = _mark(most, math.floor, TINY)
    return down if down > 0 else round(math.floor(most / LEAST_L + TINY) * LEAST_L, 6)


def _mark(litres: float, to: Callable[[float], int], slack: float) -> float:
    step = next(step for below, step in WATER_STEPS if litres < below + TINY)
    return round(to(litres / step + slack) * step, 6)


def measured(amount: float, unit: Measured) -> float:
    """Round down to what a syringe, a cup or a scale can show. [ml or g]"""
    step = next(step for below, step in STEPS[unit] if amount < below)
    return round(math.floor(amount / step + TINY) * step, 6)


def _words(label: ProductLabel, water: float, product: float | None) -> str:
    what = label.name if product is None else f"{measure(product, label.measured_in)} {label.name}"
    rate = ", as much as the label says," if product is None else ""
    return f"{what}{rate} in {measure(water, 'l')} of water"


def _warning(water: float, wanted: float, allowed: float, left: float | None) -> str:
    """What stands against wetting it all: the label, what is left, or the marks of the jug.

    allowed : what the label allows of what is wanted. [l]
    """
    if water >= wanted - TINY:
        return ""
    short = left is not None and left < allowed
    if water <= 0:
        return NOTHING_LEFT if short else TOO_LITTLE
    more = measure(max(SMALLEST_MIX_L, _mark(wanted, math.ceil, -TINY)), "l")
    if short:
        why = "no more of it is left"
    elif allowed < wanted - TINY:
        why = "the label allows no more on this ground"
    else:
        why = f"the next mark, {more}, is more than the label allows on this ground"
    return (
        f"It wets about {water / wanted:.0%} of what wants wetting, and {why}: "
        "the worst leaves first, and never a second round tonight."
    )


def _amounts(label: ProductLabel, water: float, product: float | None) -> tuple[Amount, ...]:
    amounts = [Amount(WATER, water, "l", "judgement")]
    if product is not None:
        amounts.append(Amount(label.name, product, label.measured_in, "label"))
    return tuple(amounts)
