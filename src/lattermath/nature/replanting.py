"""Ground that changes hands: young plants set out, seed sown in place, and room for them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.nature.cups import throw_cups
from lattermath.nature.foliage import throw_foliage
from lattermath.nature.fruiting import throw_fruiting
from lattermath.nature.opening import WARMER_SD_C, centre_of, suits
from lattermath.nature.plot_life import SOIL_MM, Nature
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Planting

FloatArray = NDArray[np.float64]

SETTLES = (14.0, 1.5)  # judgement: beta law of the share of the plants set out that live
COMES_UP = (8.0, 2.0)  # judgement: the same of seed sown in place
FIRST_LEAVES_D = -15.0  # a seedling's leaves, as an age in days beside a plant set out


def sow_cups(nature: Nature, lot: str, crop: str, seeds: int, cup_ml: float) -> int:
    """Sow a lot in cups today; gives how many young plants come of it."""
    if lot in nature.cups:
        raise InputError(Fault("there is a lot of this name already", "lot", lot))
    rng = nature.streams(f"cups {lot}")
    nature.cups[lot] = throw_cups(nature.tables.crops[crop], seeds, cup_ml, rng)
    return nature.cups[lot].plants


def set_out(nature: Nature, planting: Planting, lot: str) -> None:
    """Set young plants of a lot out today as a new planting; some of them do not live.

    InputError where the lot does not hold so many, or the name is taken.
    """
    if lot not in nature.cups:
        raise InputError(Fault("there is no such lot", "lot", lot))
    held = nature.cups[lot]
    planting = replace(planting, crop=held.crop, set_out=nature.today)
    lead, keeps = held.take(planting.plants)
    rng = nature.streams(f"set out of {lot} {planting.plants}")
    place = _begin(nature, planting, 0.0, rng)
    nature.foliage[place].stands[:] = rng.random(planting.plants) < rng.beta(*SETTLES)
    fruit = throw_fruiting(nature.tables.crops[held.crop], planting.plants, rng)
    if fruit is not None:
        fruit.heat = lead
        fruit.plant_kg = fruit.plant_kg * keeps
    nature.fruiting[place] = fruit


def sow(nature: Nature, planting: Planting) -> None:
    """Sow a new planting in place today; some of the seed does not come up."""
    planting = replace(planting, sown=nature.today)
    rng = nature.streams(f"sown {planting.crop} {planting.bed} {nature.day}")
    place = _begin(nature, planting, FIRST_LEAVES_D, rng)
    nature.foliage[place].stands[:] = rng.random(planting.plants) < rng.beta(*COMES_UP)
    crop = nature.tables.crops[planting.crop]
    nature.fruiting[place] = throw_fruiting(crop, planting.plants, rng, sown=True)


def warmed_as_it_was(nature: Nature) -> None:
    """Set the clocks of plantings begun earlier to the warmth of the days since, as they were.

    A plot is opened as though it had been high summer; in a cool May plants are younger than that.
    """
    for one, fruit in zip(nature.plantings, nature.fruiting, strict=True):
        if fruit is not None and one.started is not None and one.started < nature.today:
            days = range(max(nature.sky.index(one.started), 0), nature.day)
            fruit.heat = sum(fruit.warmth(nature.sky.hours(day)) for day in days)


def _begin(nature: Nature, planting: Planting, age: float, rng: np.random.Generator) -> int:
    """Room for one planting more in everything that stands by planting; gives its place."""
    if planting.key in nature.keys:
        raise InputError(Fault("there was a planting of this name", "planting", planting.key))
    place = len(nature.keys)
    nature.keys.append(planting.key)
    nature.plantings.append(planting)
    family = nature.tables.crops[planting.crop].family
    nature.foliage.append(throw_foliage(planting.crop, family, planting.plants, age, rng))
    nature.fruiting.append(None)
    nature.water_mm = np.append(nature.water_mm, SOIL_MM)
    nature.eaten = np.append(nature.eaten, 0.0)
    centre = np.array(centre_of(nature.plot, planting, place))
    warmer = rng.normal(0, WARMER_SD_C)
    for organism, home in nature.homes.items():
        quality = suits(nature, nature.swarms[organism].creature, planting.crop, rng)
        home.suits = np.append(home.suits, quality)
        home.warmer = np.append(home.warmer, warmer)
        home.centres = np.vstack([home.centres, centre])
        nature.enemies[organism].one_more()
    for mildew in nature.mildews.values():
        mildew.one_more(nature.tables, planting.crop, rng)
    return place
