"""Worlds for simulation-based calibration: cups of young plants that were looked at.

As in `simulation_based.py`, which prints them: how many of a lot come up, and how fast its cups
fill, are thrown from what is believed beforehand, looks are thrown from the observation model, and
the lot is believed from them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from simulated_leaves import DRAWS, Dice, FloatArray, Ranked

from lattermath.belief.crop_growth import GrowingSeason, SeasonWeather
from lattermath.belief.cup_check import CLASSES, stand_chances
from lattermath.belief.cup_looks import LOOK_SD, PACE_SD, PRIOR_CUPS
from lattermath.belief.lot_belief import LotBelief, believe_lot, coming_up
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.plot import CupLook, StandbyLot

FIRST, TODAY, DAYS = date(2025, 6, 1), 40, 120
SOWN_AGO, CUPS = 18, 12
LOOKS_AGO = (8, 4, 0)  # days before today on which roots were looked at
CROPS = ("cucumber_slicing", "summer_squash", "tomato_indeterminate", "kale")


def cup_world(tables: Tables, dice: Dice) -> Iterator[Ranked]:
    """What looks at a part of the cups, and at three balls of roots, teach of one lot."""
    rng = dice("truth")
    season, crop = _season(tables, dice), CROPS[int(rng.integers(len(CROPS)))]
    day = FIRST + timedelta(days=TODAY)
    bare = StandbyLot("lot", crop, 3 * CUPS, day - timedelta(days=SOWN_AGO))
    usual, _ = coming_up(bare, season)
    share = float(rng.beta(PRIOR_CUPS * usual, PRIOR_CUPS * (1 - usual)))
    up = rng.random(bare.plants) < share
    pace = float(np.exp(PACE_SD * rng.standard_normal()))
    unlooked = believe_lot(bare, season)
    roots = tuple(_roots_look(unlooked, season, day - timedelta(days=ago), pace, rng)
                  for ago in LOOKS_AGO)  # fmt: skip
    counted = replace(roots[-1], up=int(up[:CUPS].sum()), cups=CUPS)
    belief = believe_lot(replace(bare, looks=(*roots[:-1], counted)), season)
    ends = belief.gathered[:, -1] / unlooked.gathered[:, -1]
    yield "how fast the cups fill", pace, ends
    coils = unlooked.gathered[0] * pace
    yield "day on which roots coil", _reached(coils, belief), belief.reached(belief.heat.coils)
    told = stand_chances(
        bare.plants - CUPS,
        PRIOR_CUPS * usual + counted.up,
        PRIOR_CUPS * (1 - usual) + CUPS - counted.up,
    )
    thrown = dice("others").choice(len(told), DRAWS, p=told / told.sum())
    yield "plants in the other cups", float(up[CUPS:].sum()), thrown.astype(np.float64)


def _season(tables: Tables, dice: Dice) -> GrowingSeason:
    """One weather for all draws, about 21 C."""
    mean = 21.0 + dice("sky").normal(0, 2.5, (1, DAYS))
    sun, day = np.full(DAYS, 15.0), np.full(DAYS, 20.0)
    weather = SeasonWeather(FIRST, TODAY, mean - 6, mean + 6, sun, day,
                            np.zeros(DRAWS, dtype=np.intp))  # fmt: skip
    return GrowingSeason(tables, weather)


def _roots_look(lot: LotBelief, season: GrowingSeason, day: date, pace: float,
                rng: np.random.Generator) -> CupLook:  # fmt: skip
    """A ball of roots turned out on a day, called as a grower calls it."""
    there = float(lot.gathered[0, season.weather.column(day)]) * pace
    seems = there * np.exp(LOOK_SD * rng.standard_normal())
    return CupLook(day, roots=CLASSES[int(seems >= lot.heat.ready) + int(seems >= lot.heat.coils)])


def _reached(gathered: FloatArray, lot: LotBelief) -> float:
    there = gathered >= lot.heat.coils - 1e-9
    return float(there.argmax()) if there.any() else float(len(gathered))
