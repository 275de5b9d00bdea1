"""Does the sampler give back what was put in? Simulation-based calibration of the beliefs.

A truth is thrown from a belief's own prior, sightings are thrown from its own observation model,
and the belief is made from them. Where the sampling is right, the rank of the truth among the
draws is even. Printed for every learned quantity: the share of worlds whose truth lies in the
80 % range (80 are expected), the chance of a histogram of ranks as uneven as this one, and the
histogram itself, ten bins, as bars (half height is what is expected) and as worlds in each.

This checks the sampler and nothing else: whether the model is like a plot is for `nature` to say.

    python bench/simulation_based.py [WORLDS [WHAT ...]]

WHAT is `insects`, `products`, `crop`, `leaves`, `vigour`, `cups` or `identity`; all, if not said.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy import stats
from simulated_cups import cup_world
from simulated_insects import (
    DRAWS,
    KINDS,
    OTHER_PRODUCTS,
    TABLES,
    Dice,
    FloatArray,
    dice_of,
    identity_world,
    insect_world,
    plot_with,
    thrown_inside,
)
from simulated_leaves import LEAF_CASES, Ranked, leaf_world, vigour_world

from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import (
    GrowingSeason,
    SeasonWeather,
    bearing_kg,
    begun_on,
    draw_unknowns,
    picking_age,
)
from lattermath.belief.good_weeks import fruit_kg
from lattermath.belief.life_history import life_of
from lattermath.belief.picking_fit import LEAST_FRUIT, PICKING_SD, SHARED_SD
from lattermath.vocabulary.events import Picking
from lattermath.vocabulary.plot import Planting

WORLDS = 200
BINS = 10
BARS = " ▁▂▃▄▅▆▇█"


def crop_world(dice: Dice) -> Iterator[Ranked]:
    """What pickings teach of one planting."""
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
        yield f"{name} of a crop", float(getattr(truth, name)[0]), drawn
    to_come = belief.kg[:, today : today + 28].sum(1)
    yield "kg of four weeks", float(kg[today : today + 28].sum()), to_come


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
        worlds = " ".join(f"{n:3d}" for n in count)
        print(f"  {name:25s} in 80 %: {inside:4.0%}   chance {chance:5.3f}   "
              f"{bars(count)}  {worlds}", flush=True)  # fmt: skip


def bars(count: NDArray[np.int64]) -> str:
    """A histogram as bars of eighths: half a cell high is as many as expected."""
    of = count.sum() / len(count)
    return "".join(BARS[min(round(4 * n / of), len(BARS) - 1)] for n in count)


def main(words: list[str]) -> None:
    worlds = int(words[0]) if words else WORLDS
    for what in words[1:] or WORLDS_OF:
        WORLDS_OF[what](worlds)


def say_insects(worlds: int) -> None:
    for kind in KINDS:
        for n_plantings in (3, 10):
            _say_insect(kind, n_plantings, worlds)


def say_products(worlds: int) -> None:
    for kind in OTHER_PRODUCTS:
        _say_insect(kind, 3, worlds)


def _say_insect(kind: tuple[str, tuple[str, ...], str, tuple[str, ...]], n_plantings: int,
                worlds: int) -> None:  # fmt: skip
    organism, materials, stage, crops = kind
    life = life_of(TABLES, organism)
    stands = stands_of(plot_with(crops, n_plantings), life.figures, TABLES.crosswalk)
    world = partial(insect_world, organism, materials, stage, stands, life=life)
    name = f"{organism} {n_plantings}" if materials == ("soap",) else f"{organism} {materials}"
    by = " and ".join(materials)
    say(f"{organism}, {by}, {n_plantings} plantings, {worlds} worlds", _ranked(world, name, worlds))
    inside = thrown_inside(kind, stands, [dice_of(f"{name} {n}") for n in range(worlds)])
    told = ", ".join(f"{what} {share:.0%}" for what, share in inside.items())
    print(f"  of these truths lie within 80 % of their own prior: {told}")


def say_crop(worlds: int) -> None:
    say(f"courgettes picked six times, {worlds} worlds", _ranked(crop_world, "crop", worlds))


def say_leaves(worlds: int) -> None:
    for case in LEAF_CASES:
        world = partial(leaf_world, TABLES, case)
        say(f"{case[0]}, 3 plantings, {worlds} worlds", _ranked(world, case[0], worlds))


def say_vigour(worlds: int) -> None:
    ranks = _ranked(partial(vigour_world, TABLES), "vigour", worlds)
    say(f"courgettes called tired, worn or failing, of {worlds} worlds", ranks)


def say_cups(worlds: int) -> None:
    ranks = _ranked(partial(cup_world, TABLES), "cups", worlds)
    say(f"a lot of 36 cups, twelve counted, three balls of roots seen, {worlds} worlds", ranks)


def say_whitefly(worlds: int) -> None:
    say_identity([identity_world(dice_of(f"identity {world}")) for world in range(worlds)])


WORLDS_OF: dict[str, Callable[[int], None]] = {
    "insects": say_insects,
    "products": say_products,
    "crop": say_crop,
    "leaves": say_leaves,
    "vigour": say_vigour,
    "cups": say_cups,
    "identity": say_whitefly,
}


def _ranked(world: Callable[..., Iterator[Ranked]], name: str, worlds: int
            ) -> dict[str, list[float]]:  # fmt: skip
    """Ranks of all that is learned, by what it is."""
    ranks: dict[str, list[float]] = {}
    for n in range(worlds):
        dice = dice_of(f"{name} {n}")
        for what, true, drawn in world(dice=dice):
            ranks.setdefault(what, []).append(_rank(float(true), drawn, dice(f"tie {what}")))
        _tick(n + 1, worlds)
    return ranks


def say_identity(told: list[tuple[float, bool]]) -> None:
    """How often the likelier species was the true one, by the chance that was told of it."""
    print(f"\nwhich whitefly, {len(told)} worlds: told, and how often it was so")
    chances = np.array([chance for chance, _ in told])
    right = np.array([so for _, so in told])
    for low, high in pairwise((0.5, 0.6, 0.7, 0.8, 0.9, 1.0 + 1e-9)):
        here = (chances >= low) & (chances < high)
        if here.any():
            n, mean, was = here.sum(), chances[here].mean(), right[here].mean()
            print(f"  {low:.1f} to {min(high, 1.0):.1f}: {n:4d} worlds, told {mean:4.0%}, "
                  f"so {was:4.0%} (s.e. {np.sqrt(mean * (1 - mean) / n):3.0%})")  # fmt: skip


def _tick(done: int, of: int) -> None:
    if sys.stderr.isatty():
        print(f"\r{done} of {of} worlds", end="", file=sys.stderr, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
