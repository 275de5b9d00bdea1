"""Worlds for simulation-based calibration: leaf diseases, and words on how a planting looks.

As in `simulation_based.py`, which prints them, a truth is thrown from the prior, sightings from the
observation model, and the belief is made from them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import (
    GrowingSeason,
    SeasonWeather,
    begun_on,
    draw_unknowns,
    picking_age,
)
from lattermath.belief.infection_weather import by_lean, nights_of
from lattermath.belief.leaf_covers import LeafApplication
from lattermath.belief.leaf_disease import (
    LOOK_BACK_DAYS,
    LeafSky,
    _past_work,
    _responses,
    _run,
    believe_leaf_disease,
)
from lattermath.belief.leaf_disease_effect import leaf_effect
from lattermath.belief.leaf_disease_sightings import (
    LeafSeen,
    LeafStand,
    said_law,
    true_severity,
)
from lattermath.belief.leaf_drift import A_DAY, bent, moved
from lattermath.belief.leaf_unknowns import LeafNames, LeafUnknowns
from lattermath.belief.vigour_seen import BEFORE, WORDS, said, worn_looks
from lattermath.knowledge.diseases import Disease
from lattermath.knowledge.tables import Tables
from lattermath.science.plant_recovery import CONDITIONS
from lattermath.vocabulary.plot import Planting, Vigour

FloatArray = NDArray[np.float64]
Dice = Callable[[str], np.random.Generator]
Ranked = tuple[str, float, FloatArray]  # what is learned, its truth, its draws (n_draws,)

DRAWS = 99  # so that a truth has one hundred places among them
DAYS, TODAY = 90, 60
LOOKS = ((34, 0), (40, 1), (46, 0), (52, 2), (56, 1), (59, 0))  # day and planting
SPRAYED = (42, 48, 54)
LEAF_CASES = (
    ("cucurbit_powdery_mildew", "potassium_bicarbonate"),
    ("cucurbit_downy_mildew", "copper_octanoate"),
)


def leaf_world(tables: Tables, case: tuple[str, str], dice: Dice) -> Iterator[Ranked]:
    """Every learned quantity of one leaf disease on three plantings."""
    disease, method = tables.diseases[case[0]], case[1]
    stands = tuple(
        LeafStand(f"p{n}", f"planting {n}", "cucumber", 4, suits, 3.0)
        for n, suits in enumerate((1.0, 1.0, 0.7))
    )
    sky = _sky(dice)
    effect = leaf_effect(tables.methods[method], tables.crosswalk.targets[disease.id])
    if effect is None:
        raise SystemExit(f"{method} has no row against {disease.id}")
    applied = tuple(LeafApplication(day, effect, (0,), (0.8, 0.8)) for day in SPRAYED)

    def truth_dice(name: str) -> np.random.Generator:
        return dice(f"truth {name}")

    names = LeafNames(disease, stands, (method,))
    truth = names.meaning(names.throw(truth_dice, 1))
    first = min(day for day, _ in LOOKS) - LOOK_BACK_DAYS
    even = _true_course(disease, stands, sky, applied, truth, first)
    steps = truth_dice("walk").normal(0, np.sqrt(A_DAY), (1, len(stands), even.shape[2] - 1))
    walk = np.concatenate([np.zeros((1, len(stands), 1)), np.cumsum(steps, axis=2)], axis=2)
    there = moved(even, walk[..., None])
    looks = enumerate(LOOKS)
    seen = [_said(n, day, place, there, first, truth, truth_dice) for n, (day, place) in looks]
    belief = believe_leaf_disease(disease, stands, sky, seen, applied, (method,), dice)
    own = belief.unknowns
    yield "start where looked", truth.start[0, 0].sum(), own.start[:, 0].sum(-1)
    yield "share below", _below(truth)[0], _below(own)
    yield "rate", truth.rate[0], own.rate
    yield "latent period", truth.latent[0], own.latent
    yield "crossing of the leaf", truth.crossing[0], own.crossing
    yield "arriving", truth.arriving[0], own.arriving
    yield "what this grower says", truth.eye[0], own.eye
    yield "efficacy here", truth.quantiles[method][0], own.quantiles[method]
    if disease.spread_by_wet_leaves:
        yield "how wet the place is", truth.lean[0], own.lean
    today = bent(even, walk[:, :, -1])[0, :, -1]
    yield "severity today", today[0].mean(), belief.past[:, 0, -1].mean(-1)
    yield "severity unlooked-at side", today[2, 1], belief.past[:, 2, -1, 1]


def _below(unknowns: LeafUnknowns) -> FloatArray:
    start = unknowns.start[:, 0]
    return np.asarray(start[:, 1] / np.maximum(start.sum(-1), 1e-12))


def _sky(dice: Dice, n_futures: int = 10) -> LeafSky:
    """One past and several futures about 21 C, with showers."""
    rng = dice("sky")
    odd, rain = rng.normal(0, 2.0, (n_futures, DAYS)), rng.gamma(0.3, 8.0, (n_futures, DAYS))
    odd[:, : TODAY + 1], rain[:, : TODAY + 1] = odd[0, : TODAY + 1], rain[0, : TODAY + 1]
    low, high = 15.0 + odd, 27.0 + odd
    unknown = np.full((DAYS, 24), np.nan)
    nights = nights_of(low, high, rain, np.full(DAYS, 14.5), unknown, unknown.copy())
    return LeafSky(low, high, rain.mean(0), np.arange(DRAWS) % n_futures, TODAY, (nights,))


def _true_course(
    disease: Disease,
    stands: tuple[LeafStand, ...],
    sky: LeafSky,
    applied: tuple[LeafApplication, ...],
    truth: LeafUnknowns,
    first: int,
) -> FloatArray:
    """The even course to this morning, (1, n_plantings, n_days, 2)."""
    today = TODAY - first
    response, ripening = _responses(disease, sky, first)
    weather = by_lean(response[:, :1, ..., :today], truth.lean)
    ripe = None if ripening is None else ripening[:1, :today]
    done = tuple(replace(one, day=one.day - first) for one in applied)
    work = _past_work(done, truth, sky, slice(first, first + today))
    return _run(truth, weather, ripe, work, stands, 0.0)[0]


def _said(
    n: int, day: int, place: int, there: FloatArray, first: int, truth: LeafUnknowns, dice: Dice
) -> LeafSeen:
    """What the grower says of ten leaves, from the observation model: percents, once a first sight.

    The sides are looked at in turn; nothing found is said as none.
    """
    blank = LeafSeen(day - first, place, (None, 0, 1)[n % 3], None, None, 10, n)
    true = special.expit(special.logit(true_severity(there, blank)) + truth.eye)
    found, middle, sd = said_law(true, blank.leaves)
    rng = dice(f"look {n}")
    if rng.random() >= found[0]:
        return replace(blank, day=day, percent=0.0)
    said_share = special.expit(middle[0] + sd[0] * rng.standard_normal())
    return replace(blank, day=day, percent=float(100 * np.clip(said_share, 1e-4, 1 - 1e-4)))


def vigour_world(tables: Tables, dice: Dice) -> Iterator[Ranked]:
    """What a word on courgettes teaches of what ails them and of their wear."""
    planting = Planting("c", "Courgettes", "summer_squash", 2, set_out=date(2025, 5, 25))
    mean = 21.0 + dice("sky").normal(0, 2.5, (1, 180))
    today = 100
    weather = SeasonWeather(date(2025, 5, 1), today, mean - 6, mean + 6, np.full(180, 15.0),
                            np.full(180, 20.0), np.zeros(DRAWS, dtype=np.intp))  # fmt: skip
    season = GrowingSeason(tables, weather)
    alone = GrowingSeason(tables, replace(weather, future_of=np.zeros(1, dtype=np.intp)))
    traits = season.traits(planting.crop)
    climate = alone.climate(planting.crop)
    truth = draw_unknowns(traits, 1, dice("truth"))
    begun = begun_on("set out", weather.column(date(2025, 5, 25)), 1)
    age = picking_age(traits, climate, truth, begun)[:, today]
    ails, word = _called(worn_looks(traits, truth, age, dice("judged")), dice("true vigour"))
    if word == WORDS[0]:
        return  # a planting that nobody called anything else is not asked about
    belief = believe(replace(planting, vigour=word), season, [], dice)
    yield "peak days by a word", float(truth.peak_days[0]), belief.unknowns.peak_days
    yield "end days by a word", float(truth.end_days[0]), belief.unknowns.end_days
    yield "what ails it", CONDITIONS[WORDS[ails]].bears, belief.condition.bears


def _called(worn: FloatArray, rng: np.random.Generator) -> tuple[int, Vigour]:
    """What ails a planting, and the word that somebody walking by has for it."""
    ails = int(rng.choice(len(WORDS), p=BEFORE))
    says = said(worn * CONDITIONS[WORDS[ails]].bears)[0]
    return ails, cast(Vigour, WORDS[int(rng.choice(len(WORDS), p=says))])
