"""How much to mix: the label's rate in the water that wets these plants, and no more.

The label's maximum per area is never passed, product is rounded down and water up, so that a mix
is never stronger than the label says.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.label import CropLimits, ProductLabel
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Amount

FULL_LEAF_AREA = (
    3.0  # judgement: m2 of leaf (one side) over each m2 of ground, grown plants; 2 to 4
)
FILM_L_PER_M2 = 0.04  # judgement: litres that wet 1 m2 of one leaf side to run-off; 0.02 to 0.08
SOIL_L_PER_M2 = 0.2  # judgement: litres that wet 1 m2 of soil surface
# Sides of leaf that a surface stands for, per m2 of leaf; stems are judgement.
SIDES = {"underside": 1.0, "top": 1.0, "stem": 0.1, "whole": 2.1, "soil": 0.0}
WATER_STEP_L = 0.25  # the finest mark on a common hand sprayer
SMALLEST_MIX_L = 0.25
# Steps of a measuring cup or syringe: below so many ml, in steps of so many ml.
CUP_STEPS = ((10.0, 0.5), (50.0, 1.0), (math.inf, 5.0))
TINY = 1e-9


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
class Mix:
    """One filling. `product_ml` None: the label prints no rate per litre, so measure as it says."""

    water_l: float
    product_ml: float | None
    wanted_l: float  # what would wet everything
    says: str
    amounts: tuple[Amount, ...]

    @property
    def share_wetted(self) -> float:
        """Share of the wanted surface that this much wets, at most 1."""
        return min(1.0, self.water_l / self.wanted_l) if self.wanted_l else 1.0


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


def mix_for(label: ProductLabel, crop: str, stand: Stand, surfaces: Sequence[str]) -> Mix:
    """Water and product for one treatment, within the label's rate and maximum per area.

    Raises InputError where the crop is not listed, or its rate or maximum was not copied.
    Source: rule `mix_amount`.
    """
    limits = _limits(label, crop)
    wanted = wetting_litres(stand, surfaces)
    water = _water(wanted, limits, label, stand)
    rate = limits.rate_ml_per_l.value
    product = None if rate is None else _cup(rate * water)
    return Mix(
        water,
        product,
        wanted,
        _words(label, water, product, wanted),
        _amounts(label, water, product),
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


def _water(wanted: float, limits: CropLimits, label: ProductLabel, stand: Stand) -> float:
    """The wanted litres on the sprayer's marks: up, but never above the label or what is left."""
    most = limits.max_l_per_m2.value
    caps = [math.inf if most is None else most * stand.ground_m2]
    caps.append(math.inf if label.litres_left is None else label.litres_left)
    up = max(SMALLEST_MIX_L, math.ceil(wanted / WATER_STEP_L - TINY) * WATER_STEP_L)
    if wanted <= 0 or up <= min(caps):
        return up if wanted > 0 else 0.0
    down = math.floor(min(caps) / WATER_STEP_L + TINY) * WATER_STEP_L
    return down if down > 0 else math.floor(min(caps) * 100) / 100


def _cup(ml: float) -> float:
    """Round down to what a measuring cup or syringe can show."""
    step = next(step for below, step in CUP_STEPS if ml < below)
    return math.floor(ml / step + TINY) * step


def _words(label: ProductLabel, water: float, product: float | None, wanted: float) -> str:
    what = label.name if product is None else f"{measure(product, 'ml')} {label.name}"
    short = ""
    if water < wanted - TINY:
        short = (
            f"; it wets about {water / wanted:.0%}, and the label or what is left allows no more"
        )
    rate = ", as much as the label says," if product is None else ""
    return f"{what}{rate} in {measure(water, 'l')} of water{short}"


def _amounts(label: ProductLabel, water: float, product: float | None) -> tuple[Amount, ...]:
    amounts = [Amount("water", water, "l", "judgement")]
    if product is not None:
        amounts.append(Amount(label.name, product, "ml", "label"))
    return tuple(amounts)
