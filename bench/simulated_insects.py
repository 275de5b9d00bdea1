"""Worlds for simulation-based calibration: insects on a plot, and which whitefly they are.

As in `simulation_based.py`, which prints them, a truth is thrown from the prior, sightings from the
observation model, and the belief is made from them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import numpy as np
from simulated_leaves import DRAWS, Dice, FloatArray, Ranked

from lattermath.belief.cluster_past import Past
from lattermath.belief.cluster_plantings import Stand, stands_of
from lattermath.belief.cluster_runs import ClusterSky, cycle_of, setting_of
from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.cluster_unknowns import NINE_IN_TEN, Names, Unknowns
from lattermath.belief.clusters import LOOK_BACK_DAYS, believe_cluster
from lattermath.belief.level_drift import (
    PULLED_BACK_DAYS,
    STEP_DAYS,
    Wandered,
    family_of,
    throw_drift,
    walk_of,
)
from lattermath.belief.life_history import LifeHistory, life_of
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, kills_of, reach_of
from lattermath.belief.whole_insects import whole_to_come, whole_today, with_shocks
from lattermath.knowledge.tables import load_tables
from lattermath.science.stage_cohorts import run_cohorts
from lattermath.vocabulary.class_ends import LEAF_LEVELS, SHAKE_LEVELS
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, Planting, Plot

DAYS, TODAY, AHEAD = 100, 60, 14
FIRST = date(2025, 5, 15)
LOOKS = ((32, 0), (38, 1), (44, 2), (50, 0), (55, 1), (59, 0))  # day and planting
SPRAYS = (40, 46, 53)
TABLES = load_tables()
WHITEFLIES = ("greenhouse_whitefly", "sweetpotato_whitefly")
VEGETABLES = ("cucumber", "eggplant", "tomato_indeterminate")
# Organism, what is sprayed against it in turn, the stage counted, the crops.
KINDS = (
    ("greenhouse_whitefly", ("soap",), "nymph", VEGETABLES),
    ("melon_aphid", ("soap",), "", ("melon", "summer_squash", "cucumber")),
    ("twospotted_spider_mite", ("soap",), "", ("bean_pole", "cucumber", "eggplant")),
)
# Two products on one planting, and one that is eaten and wears off.
OTHER_PRODUCTS = (
    ("greenhouse_whitefly", ("soap", "pyrethrins"), "nymph", VEGETABLES),
    ("diamondback_moth", ("btk",), "", ("kale", "cabbage", "broccoli")),
)


def dice_of(world: str) -> Dice:
    """Streams of one world, by name."""
    return lambda name: np.random.default_rng(
        list(hashlib.sha256(f"{world} {name}".encode()).digest())
    )


def plot_with(crops: tuple[str, ...], n_plantings: int) -> Plot:
    """Beds two metres apart, the crops in turn."""
    grown = [crops[n % len(crops)] for n in range(n_plantings)]
    return Plot(
        "plot",
        "holder",
        Place("here", 50.8, 4.4, "Europe/Brussels"),
        beds=tuple(Bed(f"b{n}", f"bed {n}", 0.0, 2.0 * n, 3.0, 1.2) for n in range(n_plantings)),
        plantings=tuple(
            Planting(f"p{n}", f"{crop} {n}", crop, 4 + n % 3, f"b{n}")
            for n, crop in enumerate(grown)
        ),
    )


def sky_of(dice: Dice, n_futures: int = 20) -> ClusterSky:
    """One past and several futures about 22 C."""
    rng = dice("sky")
    odd = rng.normal(0, 2.5, (n_futures, DAYS))
    odd[:, : TODAY + 1] = odd[0, : TODAY + 1]
    rain = rng.gamma(0.3, 8.0, (n_futures, DAYS))
    rain[:, : TODAY + 1] = rain[0, : TODAY + 1]
    mean = 22.0 + odd
    pairs = np.arange(DRAWS) % n_futures
    return ClusterSky(mean - 6, mean + 6, rain, pairs, TODAY)


def insect_world(organism: str, materials: tuple[str, ...], stage: str, stands: tuple[Stand, ...],
                 dice: Dice, life: LifeHistory) -> Iterator[Ranked]:  # fmt: skip
    """Every learned quantity of one cluster, each in 0 to 1."""
    sky = sky_of(dice)
    truth_of = Names(organism, stands, materials, life.figures.habits.start_per_plant,
                     life.figures.habits.arrivals_per_plant_day)  # fmt: skip
    z = truth_of.throw(lambda name: dice(f"truth {name}"), 1)
    truth = truth_of.meaning(z, life.figures.field_survival)
    applied = _sprays(organism, materials, life)
    blank = [_blank(n, day, place % len(stands), organism, stage, stands, life)
             for n, (day, place) in enumerate(LOOKS)]  # fmt: skip
    first = min(one.day for one in blank) - LOOK_BACK_DAYS
    whole = _run(truth_of, truth, life, sky, first, blank, applied)
    walk, wandered = _wandered(whole, TODAY - first, life, first, blank, dice)
    seen = [_thrown(one, wandered, first, truth, dice) for one in blank]
    belief = believe_cluster(life, stands, sky, seen, applied, materials, dice)
    yield from _pairs(truth, belief.unknowns, materials)
    ahead = belief.ahead()
    true = _true_ahead(truth_of, truth, life, sky, first, blank, applied, walk, dice)
    for name, there, drawn in (
        ("insects today", true[0], belief.past[:, :, -1]),
        (f"insects {AHEAD} days on", true[AHEAD], ahead.sums[:, :, AHEAD]),
    ):
        yield name, float(there.sum()), drawn.sum((1, 2))


def _wandered(
    whole: FloatArray, today: int, life: LifeHistory, first: int, seen: list[Seen], dice: Dice
) -> tuple[FloatArray, FloatArray]:
    """How far each planting has wandered by today, log, and the numbers that the looks meet.

    Leaps come from the first look on: before it any level was likely.
    """
    pace, keep = walk_of(life.generation_days), np.exp(-1 / PULLED_BACK_DAYS)
    a_step = np.sqrt(pace.a_day * PULLED_BACK_DAYS / 2 * (1 - keep**2))
    walk = dice("walk").normal(0, a_step, (1, whole.shape[1], whole.shape[2]))
    leaps = dice("leaps").normal(0, np.sqrt(pace.leap), walk.shape)
    leaps *= dice("leaps come").random(walk.shape) < pace.leaps_a_day
    for place in range(walk.shape[1]):
        looked = [one.day - first for one in seen if one.place == place]
        leaps[:, place, : min(looked, default=walk.shape[2] - 1) + 1] = 0.0
    walk[:, :, 0] = 0.0
    for day in range(1, walk.shape[2]):
        walk[:, :, day] += keep * walk[:, :, day - 1] + leaps[:, :, day]
    return walk[:, :, today], whole * np.exp(walk)[..., None]


def _true_ahead(names: Names, truth: Unknowns, life: LifeHistory, sky: ClusterSky, first: int,
                seen: list[Seen], applied: tuple[Application, ...], walk: FloatArray, dice: Dice
                ) -> FloatArray:  # fmt: skip
    """Insects from today on, as they wander on, (n_days, n_plantings, n_stages)."""
    done = tuple(replace(one, day=one.day - first) for one in applied)
    past = Past.of(life, names, sky, first, _from(first, seen), done)
    days = life.days(sky.t_min[:1, first:], sky.t_max[:1, first:])
    today, n_days = TODAY - first, days.passed.shape[1]
    n_places, keys = len(names.stands), [stand.key for stand in names.stands]
    as_known = Wandered(np.zeros(1), walk, np.zeros_like(walk), np.full(n_places, today))
    run = past.run(truth)
    even, stage_of = run.sums[:, :, today].astype(np.float64), life.layout.stage_of_class

    def throw(name: str) -> np.random.Generator:
        return dice(f"truth {name}")

    drift = throw_drift(as_known, today, n_days - today, len(life.stages), keys, throw,
                        life.generation_days, even.sum(-1),
                        family_of(life.figures.best_eggs, life.generation_days))  # fmt: skip
    by_chance = drift.today * whole_today(even * drift.today, keys, throw)
    state = run.final * by_chance[..., stage_of]
    cycle = cycle_of(life, days, truth, sky.still_lay(first, None))
    setting = setting_of(names.stands, truth, past.settle, life, first, n_days, cycle)
    kills = kills_of(done, truth.quantiles, life.stages, np.median(sky.rain[:, first:], axis=0),
                     n_places, 1)  # fmt: skip

    def march(there: FloatArray, since: int, length: int) -> tuple[FloatArray, FloatArray]:
        ran = run_cohorts(cycle, setting, there, kills, first_day=today + since, n_days=length)
        return ran.final, ran.sums[:, :, -1].astype(np.float64)

    stays = life.stays(STEP_DAYS)
    coming = whole_to_come(drift.coming, state, stays, march, stage_of, keys, throw,
                           life.figures.female)  # fmt: skip
    shocked = with_shocks(kills, coming, today)
    return run_cohorts(cycle, setting, state, shocked, first_day=today).sums[0].swapaxes(0, 1)


def _sprays(organism: str, materials: tuple[str, ...], life: LifeHistory
            ) -> tuple[Application, ...]:  # fmt: skip
    """Three sprays of the first planting, the materials in turn."""
    targets, done = TABLES.crosswalk.targets.get(organism, ()), []
    for n, day in enumerate(SPRAYS):
        material = materials[n % len(materials)]
        effect = effect_of(TABLES.methods[material], organism, targets, life.stages)
        if effect is None:
            raise SystemExit(f"{material} has no row against {organism}")
        reach = reach_of(effect, ("underside", "top"), 0.7, life.figures)
        done.append(Application(day, effect, (0,), reach))
    return tuple(done)


def _blank(n: int, day: int, place: int, organism: str, stage: str, stands: tuple[Stand, ...],
           life: LifeHistory) -> Seen:  # fmt: skip
    """A look before anything is seen: counts and levels in turn."""
    level = "few" if n % 3 == 1 else None
    total = None if level else 0
    told = Sighting(stands[place].key, organism, "count", stage, looked_at=10, total=total,
                    level=level)  # fmt: skip
    read = read_sighting(told, day, n, stands, life.figures)
    if read is None:
        raise SystemExit("a look that says nothing")
    return read


def _run(names: Names, truth: Unknowns, life: LifeHistory, sky: ClusterSky, first: int,
         seen: list[Seen], applied: tuple[Application, ...]) -> FloatArray:  # fmt: skip
    """Stage totals of the truth through one future, (1, n_plantings, n_days, n_stages)."""
    to_the_end = replace(sky, today=sky.t_min.shape[1] - 1)
    done = tuple(replace(one, day=one.day - first) for one in applied)
    past = Past.of(life, names, to_the_end, first, _from(first, seen), done)
    return np.asarray(past.run(truth).sums, dtype=np.float64)


def _from(first: int, seen: list[Seen]) -> list[Seen]:
    """The looks with days that count from the first day of the cluster."""
    return [replace(one, day=one.day - first) for one in seen]


def _thrown(one: Seen, whole: FloatArray, first: int, truth: Unknowns, dice: Dice) -> Seen:
    """What the grower sees there, from the observation model."""
    there = whole[:, one.place, one.day - first]
    total = float(one.predicted(there, truth.detection, dice(f"look {one.serial}"))[0])
    if one.level is None:
        return replace(one, total=total)
    bounds = SHAKE_LEVELS if one.measure == "shake" else LEAF_LEVELS
    for name, most in bounds.items():
        if total <= most * one.leaves:
            return replace(one, level=name)
    return replace(one, level="heavy")


def _pairs(truth: Unknowns, drawn: Unknowns, materials: tuple[str, ...]) -> Iterator[Ranked]:
    yield "suits where counted", float(truth.suits[0, 0]), drawn.suits[:, 0]
    yield "level where counted", float(truth.level[0, 0]), drawn.level[:, 0]
    yield "level elsewhere", float(truth.level[0, -1]), drawn.level[:, -1]
    yield "settled share", float(truth.settled[0, 0]), drawn.settled[:, 0]
    yield "arrivals", float(truth.arrivals[0, 0]), drawn.arrivals[:, 0]
    yield "survival outdoors", float(truth.field[0]), drawn.field
    yield "adults lost", float(truth.adults[0]), drawn.adults
    yield "laying", float(truth.laying[0]), drawn.laying
    yield "crossing", float(truth.crosses[0]), drawn.crosses
    yield "what this grower sees", float(truth.detection[0]), drawn.detection
    for one in materials:
        name = "efficacy here" if len(materials) == 1 else f"efficacy of {one}"
        yield name, float(truth.quantiles[one][0]), drawn.quantiles[one]


def thrown_inside(kind: tuple[str, tuple[str, ...], str, tuple[str, ...]],
                  stands: tuple[Stand, ...], worlds: list[Dice]) -> dict[str, float]:  # fmt: skip
    """Share of the truths of these worlds that lie within 80 % of their own prior, by unknown.

    What is hardly learned can be held no oftener than that: few worlds throw it wide or narrow.
    """
    names = Names(kind[0], stands, kind[1])
    z = np.concatenate(
        [names.throw(lambda name, dice=dice: dice(f"truth {name}"), 1) for dice in worlds]
    )
    inside = (np.abs(z) < NINE_IN_TEN).mean(0)
    told = {"settled share": f"{stands[0].key}|settled", "adults lost": "adults",
            "laying": "laying", "crossing": "crosses"}  # fmt: skip
    return {what: float(inside[names.all.index(name)]) for what, name in told.items()}


def identity_world(dice: Dice) -> tuple[float, bool]:
    """The chance told of the likelier whitefly, and whether it was that one.

    Both may live there, and are weighed as a plan weighs them, without how common they are.
    """
    stage, crops, lives = "nymph", KINDS[0][3], {one: life_of(TABLES, one) for one in WHITEFLIES}
    plot = plot_with(crops, 3)
    true = WHITEFLIES[int(dice("which").integers(len(WHITEFLIES)))]
    stands = {one: stands_of(plot, life.figures, TABLES.crosswalk) for one, life in lives.items()}
    seen, sky = _looks_of(true, stage, stands[true], lives[true], dice)
    evidence = {}
    for one, life in lives.items():
        blank = (_blank(s.serial, s.day, s.place, one, stage, stands[one], life) for s in seen)
        told = [replace(b, total=s.total, level=s.level) for b, s in zip(blank, seen, strict=True)]
        evidence[one] = believe_cluster(life, stands[one], sky, told, (), (), dice).evidence
    top = max(evidence, key=lambda one: evidence[one])
    chance = 1 / sum(np.exp(found - evidence[top]) for found in evidence.values())
    return float(chance), top == true


def _looks_of(organism: str, stage: str, stands: tuple[Stand, ...], life: LifeHistory, dice: Dice
              ) -> tuple[list[Seen], ClusterSky]:  # fmt: skip
    """What a grower sees of one organism that nobody treats, and the weather it lived in."""
    sky = sky_of(dice)
    names = Names(organism, stands, (), life.figures.habits.start_per_plant,
                  life.figures.habits.arrivals_per_plant_day)  # fmt: skip
    z = names.throw(lambda name: dice(f"truth {name}"), 1)
    truth = names.meaning(z, life.figures.field_survival)
    blank = [_blank(n, day, place, organism, stage, stands, life)
             for n, (day, place) in enumerate(LOOKS)]  # fmt: skip
    first = min(one.day for one in blank) - LOOK_BACK_DAYS
    whole = _run(names, truth, life, sky, first, blank, ())
    _, wandered = _wandered(whole, TODAY - first, life, first, blank, dice)
    return [_thrown(one, wandered, first, truth, dice) for one in blank], sky
