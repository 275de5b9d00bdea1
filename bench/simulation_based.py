"""Does the sampler give back what was put in? Simulation-based calibration of the beliefs.

A truth is thrown from a belief's own prior, sightings are thrown from its own observation model,
and the belief is made from them. Where the sampling is right, the rank of the truth among the
draws is even. Printed for every learned quantity: the share of worlds whose truth lies in the
80 % range (80 are expected), the chance of a histogram of ranks as uneven as this one, and the
histogram itself, ten bins, as digits (worlds in the bin, 5 are expected per 50 worlds).

This checks the sampler and nothing else: whether the model is like a plot is for `nature` to say.

    python bench/simulation_based.py [WORLDS]
"""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from lattermath.belief.cluster_plantings import Stand, stands_of
from lattermath.belief.cluster_runs import cycle_of, setting_of
from lattermath.belief.cluster_sightings import Seen, read_sighting
from lattermath.belief.cluster_unknowns import Names, Unknowns
from lattermath.belief.clusters import LOOK_BACK_DAYS, ClusterSky, _Past, believe_cluster
from lattermath.belief.count_likelihood import LEAF_LEVELS, SHAKE_LEVELS
from lattermath.belief.crop_belief import LEAST_FRUIT, PICKING_SD, SHARED_SD, believe
from lattermath.belief.crop_growth import (
    GrowingSeason,
    SeasonWeather,
    bearing_kg,
    begun_on,
    draw_unknowns,
    picking_age,
)
from lattermath.belief.good_weeks import fruit_kg
from lattermath.belief.level_drift import (
    A_DAY,
    PULLED_BACK_DAYS,
    STEP_DAYS,
    Wandered,
    throw_drift,
)
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, kills_of, reach_of
from lattermath.belief.whole_insects import whole_to_come, whole_today, with_shocks
from lattermath.knowledge.tables import load_tables
from lattermath.science.stage_cohorts import run_cohorts
from lattermath.vocabulary.events import Picking, Sighting
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, Planting, Plot

FloatArray = NDArray[np.float64]
Dice = Callable[[str], np.random.Generator]

WORLDS = 200
DRAWS = 99  # so that a truth has one hundred places among them
BINS = 10
DAYS, TODAY, AHEAD = 100, 60, 14
FIRST = date(2025, 5, 15)
LOOKS = ((32, 0), (38, 1), (44, 2), (50, 0), (55, 1), (59, 0))  # day and planting
SPRAYS = (40, 46, 53)
TABLES = load_tables()
KINDS = (
    ("greenhouse_whitefly", "soap", "nymph", ("cucumber", "eggplant", "tomato_indeterminate")),
    ("melon_aphid", "soap", "", ("melon", "summer_squash", "cucumber")),
    ("twospotted_spider_mite", "soap", "", ("bean_pole", "cucumber", "eggplant")),
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


def insect_world(organism: str, material: str, stage: str, stands: tuple[Stand, ...], dice: Dice,
                 life: LifeHistory) -> Iterator[tuple[str, float]]:  # fmt: skip
    """Rank of every learned quantity of one cluster, each in 0 to 1."""
    sky = sky_of(dice)
    truth_of = Names(organism, stands, (material,), life.figures.habits.start_per_plant,
                     life.figures.habits.arrivals_per_plant_day)  # fmt: skip
    z = truth_of.throw(lambda name: dice(f"truth {name}"), 1)
    truth = truth_of.meaning(z, life.figures.field_survival)
    applied = _sprays(organism, material, life)
    blank = [_blank(n, day, place % len(stands), organism, stage, stands, life)
             for n, (day, place) in enumerate(LOOKS)]  # fmt: skip
    first = min(one.day for one in blank) - LOOK_BACK_DAYS
    whole = _run(truth_of, truth, life, sky, first, blank, applied)
    walk, wandered = _wandered(whole, TODAY - first, dice)
    seen = [_thrown(one, wandered, first, truth, dice) for one in blank]
    belief = believe_cluster(life, stands, sky, seen, applied, (material,), dice)
    for name, true, drawn in _pairs(truth, belief.unknowns, material):
        yield name, _rank(true, drawn, dice(f"tie {name}"))
    ahead = belief.ahead()
    true = _true_ahead(truth_of, truth, life, sky, first, blank, applied, walk, dice)
    for name, there, drawn in (
        ("insects today", true[0], belief.past[:, :, -1]),
        (f"insects {AHEAD} days on", true[AHEAD], ahead.sums[:, :, AHEAD]),
    ):
        yield name, _rank(float(there.sum()), drawn.sum((1, 2)), dice(f"tie {name}"))


def _wandered(whole: FloatArray, today: int, dice: Dice) -> tuple[FloatArray, FloatArray]:
    """How far each planting has wandered by today, log, and the numbers that the looks meet."""
    keep = np.exp(-1 / PULLED_BACK_DAYS)
    a_step = np.sqrt(A_DAY * PULLED_BACK_DAYS / 2 * (1 - keep**2))
    walk = dice("walk").normal(0, a_step, (1, whole.shape[1], whole.shape[2]))
    walk[:, :, 0] = 0.0
    for day in range(1, walk.shape[2]):
        walk[:, :, day] += keep * walk[:, :, day - 1]
    return walk[:, :, today], whole * np.exp(walk)[..., None]


def _true_ahead(names: Names, truth: Unknowns, life: LifeHistory, sky: ClusterSky, first: int,
                seen: list[Seen], applied: tuple[Application, ...], walk: FloatArray, dice: Dice
                ) -> FloatArray:  # fmt: skip
    """Insects from today on, as they wander on, (n_days, n_plantings, n_stages)."""
    done = tuple(replace(one, day=one.day - first) for one in applied)
    past = _Past.of(life, names, sky, first, seen, done)
    low, high = sky.t_min[:1, first:], sky.t_max[:1, first:]
    today, n_days = TODAY - first, low.shape[1]
    n_places, keys = len(names.stands), [stand.key for stand in names.stands]
    as_known = Wandered(np.zeros(1), walk, np.zeros_like(walk), np.full(n_places, today))
    run = past.run(truth)
    even, stage_of = run.sums[:, :, today].astype(np.float64), life.layout.stage_of_class

    def throw(name: str) -> np.random.Generator:
        return dice(f"truth {name}")

    drift = throw_drift(as_known, today, n_days - today, len(life.stages), keys, throw,
                        even.sum(-1), life.figures.best_eggs)  # fmt: skip
    by_chance = drift.today * whole_today(even * drift.today, keys, throw)
    state = run.final * by_chance[..., stage_of]
    cycle = cycle_of(life, low, high, truth, sky.still_lay(first, None))
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


def _sprays(organism: str, material: str, life: LifeHistory) -> tuple[Application, ...]:
    targets = TABLES.crosswalk.targets.get(organism, ())
    effect = effect_of(TABLES.methods[material], organism, targets, life.stages)
    if effect is None:
        raise SystemExit(f"{material} has no row against {organism}")
    reach = reach_of(effect, ("underside", "top"), 0.7, life.figures)
    return tuple(Application(day, effect, (0,), reach) for day in SPRAYS)


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
    past = _Past.of(life, names, to_the_end, first, seen, done)
    # the ages at the start are those that the belief takes, from the weather it has seen
    usual = _Past.of(life, names, sky, first, seen, done)
    return np.asarray(replace(past, stable=usual.stable).run(truth).sums, dtype=np.float64)


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


def _pairs(
    truth: Unknowns, drawn: Unknowns, material: str
) -> Iterator[tuple[str, float, FloatArray]]:
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
    yield "efficacy here", float(truth.quantiles[material][0]), drawn.quantiles[material]


def crop_world(dice: Dice) -> Iterator[tuple[str, float]]:
    """Rank of what pickings teach of one planting."""
    planting = Planting("c", "Courgettes", "summer_squash", 2, set_out=date(2025, 5, 25))
    mean = 21.0 + dice("sky").normal(0, 2.5, (1, 180))
    first = date(2025, 5, 1)
    today = 95
    weather = SeasonWeather(first, today, mean - 6, mean + 6, np.full(180, 15.0),
                            np.full(180, 20.0), np.zeros(DRAWS, dtype=np.intp))  # fmt: skip
    season = GrowingSeason(TABLES, weather)
    traits = season.traits(planting.crop)
    alone = GrowingSeason(TABLES, replace(weather, future_of=np.zeros(1, dtype=np.intp)))
    climate = alone.climate(planting.crop)
    truth = draw_unknowns(traits, 1, dice("truth"))
    begun = begun_on("set out", weather.column(date(2025, 5, 25)), 1)
    kg = bearing_kg(climate, truth, picking_age(traits, climate, truth, begun), planting.plants)[0]
    picked = _pickings(kg, first, today, dice("pickings"))
    belief = believe(planting, season, picked, dice)
    for name in ("plant_kg", "peak_days", "end_days", "need"):
        drawn = getattr(belief.unknowns, name)
        yield f"{name} of a crop", _rank(float(getattr(truth, name)[0]), drawn, dice(f"tie {name}"))
    to_come = belief.kg[:, today : today + 28].sum(1)
    yield "kg of four weeks", _rank(float(kg[today : today + 28].sum()), to_come, dice("tie kg"))


def _pickings(kg: FloatArray, first: date, today: int, rng: np.random.Generator
              ) -> list[tuple[date, Picking, int]]:  # fmt: skip
    """What was carried home every four days, with the scatter that the belief allows for."""
    together, picked, last, one = rng.normal(0, SHARED_SD), [], None, fruit_kg("summer_squash")
    for n, column in enumerate(range(today - 24, today, 4)):
        since = 7 if last is None else column - last
        expected = kg[column - since + 1 : column + 1].sum()
        mean = max(expected * np.exp(together) / one, LEAST_FRUIT)
        weighed = one * rng.poisson(mean * rng.gamma(1 / PICKING_SD**2, PICKING_SD**2))
        day = first + timedelta(days=column)
        picked.append((day, Picking("c", max(float(weighed), 0.0)), n))
        last = column
    return picked


def _rank(true: float, drawn: FloatArray, rng: np.random.Generator) -> float:
    """Place of the truth among the draws, ties at random, from 0 to just below 1."""
    below, equal = int((drawn < true).sum()), int((drawn == true).sum())
    return (below + int(rng.integers(0, equal + 1))) / (len(drawn) + 1)


def say(title: str, ranks: Mapping[str, list[float]]) -> None:
    """One line a quantity."""
    print(f"\n{title}")
    for name, one in ranks.items():
        count = np.histogram(one, BINS, (0, 1))[0]
        chance = stats.chisquare(count).pvalue
        inside = np.mean([0.1 <= rank < 0.9 for rank in one])
        bars = " ".join(f"{n:3d}" for n in count)
        print(f"  {name:24s} in 80 %: {inside:4.0%}   chance {chance:5.3f}   {bars}")


def main(words: list[str]) -> None:
    worlds = int(words[0]) if words else WORLDS
    for organism, material, stage, crops in KINDS:
        habits = TABLES.habits[organism]
        defaults = TABLES.constants["defaults"].figures
        life = LifeHistory(read_life(TABLES.organisms[organism], defaults, habits))
        for n_plantings in (3, 10):
            plot = plot_with(crops, n_plantings)
            stands = stands_of(plot, life.figures, TABLES.crosswalk)
            ranks: dict[str, list[float]] = {}
            for world in range(worlds):
                dice = dice_of(f"{organism} {n_plantings} {world}")
                for name, rank in insect_world(organism, material, stage, stands, dice, life):
                    ranks.setdefault(name, []).append(rank)
                _tick(world + 1, worlds)
            say(f"{organism}, {n_plantings} plantings, {worlds} worlds", ranks)
    ranks = {}
    for world in range(worlds):
        for name, rank in crop_world(dice_of(f"crop {world}")):
            ranks.setdefault(name, []).append(rank)
    say(f"courgettes picked six times, {worlds} worlds", ranks)


def _tick(done: int, of: int) -> None:
    if sys.stderr.isatty():
        print(f"\r{done} of {of} worlds", end="", file=sys.stderr, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
