"""How one kind of insect or mite truly lives on this plot this year: thrown about the tables.

The figures of the tables are what the planner knows; nature's own are thrown from their ranges
and, where the tables give none, from a spread of ours (judgement), so that the two disagree as
books and gardens do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.organisms import Habits, Organism
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.figure import Figure

FloatArray = NDArray[np.float64]

# Judgement throughout: log-scale or absolute spreads where the table states none.
BASE_SD_C = 0.8  # of the lower threshold
DURATION_SD = 0.10  # of the whole development at 24 C, log
WARM_C = 24.0  # where laboratories agree best: development is kept there when the base moves
LIFE_SD, LAYING_SD, HOST_SD = 0.2, 0.25, 0.2  # adult life, eggs, quality of one planting; log
STAGE_SD = 0.08  # of a stage's share of the development, log
START_SD, ARRIVALS_SD = 1.6, 1.2  # of insects at the start, and of those that fly in, log
BELOW_UPPER_C, ABOVE_UPPER_C = 3.0, 3.0  # rates fall from here to here about the upper threshold
SEASON_SD_D, OFF_SEASON = 7.0, 0.05  # of the days between which adults fly in; and beside them
RANGES = 0.35  # share of new whiteflies that leave their plant on a warm day
STAYS = 0.04  # the same of those that lay
MOVES_SD = 0.3  # of these shares by kind, log
HEAT_DEATHS = 0.3  # -ln of those that become adult at the upper threshold, where no table says
DEADLIER_PER_C, DEADLIER_SD = 0.5, 0.08  # growth of those deaths with every degree above it, log
COOLER_C, COOLER_SD = 4.5, 1.2  # watered leaves below the air of 35 C, after a night 20 C colder
FROST_SD = 0.4  # of the days that a stage bears frost, log
ADULT_LIFE_SHAPE = 4.0  # gamma shape of adult lives, a spread of a half
PEAK_SD = 0.2  # of the age at which a female lays most, log
RISES_SD, SCATTERS, SCATTERS_SD = 0.2, 0.2, 0.3  # of what work puts up, and what then flies; log
DEATHS_SD = 0.3  # of what part of the deaths falls on a stage, log
OWN_SPREAD, STAGE_SPREAD = 0.08, 0.15  # of single insects: for life, and anew for each stage; log


@dataclass(frozen=True, slots=True, eq=False)
class Creature:
    """One kind as it truly is here. C, days, C d, females where eggs are meant.

    shares  : of the development in each immature stage, (n_immature,).
    heat    : from egg, or birth, to adult. [C d]
    keeps   : share that becomes adult with no enemies about, at 25 C. [0 to 1]
    hunted  : share of those that enemies and weather outdoors leave, in a usual week. [0 to 1]
    danger  : of each stage by itself, and of being hunted, beside the mean of the development,
              (2, n_immature). [1]
    eggs    : eggs or young of one female a day at 25 C on the best host. [1/d]
    rises   : share of the adults that work on their plant puts up. [0 to 1]
    scatters : share of those that fly on instead of settling where they were. [0 to 1]
    lays_most_d : days at 25 C after her first egg at which a female lays most; inf: alike. [d]
    below   : share of each stage on undersides, (n_immature + 1,). [0 to 1]
    reach   : share of each stage that can be wetted or picked at all, (n_immature + 1,). [0 to 1]
    shows   : share of what is out of reach that shows by its work, (n_immature + 1,). [0 to 1]
    hosts   : quality by host word of the table. [0 to 1]
    arrives : days of a northern year between which adults fly in. [d]
    heat_deaths : -ln of those that live to be adult at the upper threshold. [1]
    heat_slope : growth of deaths with every degree above the upper threshold, log. [1/C]
    cooler_c : how far leaves lie below hot, dry air. [C]
    moves   : shares of new and of laying adults that leave their plant on a warm day. [0 to 1]
    frost   : days at -3 C that leave a tenth of each stage, (n_immature + 1,); inf: no frost. [d]
    room    : insects a square centimetre of leaf at which half the eggs fail. [1/cm2]
    """

    organism: str
    stages: tuple[str, ...]
    shares: FloatArray
    base_c: float
    upper_c: float
    heat: float
    keeps: float
    hunted: float
    adult_days: float
    waits: float
    eggs: float
    female: float
    below: FloatArray
    reach: FloatArray
    shows: FloatArray
    hosts: Mapping[str, float]
    host_sd: float
    flight_m: float
    flies_above_c: float
    live_bearing: bool
    room: float
    start: float
    arrivals: float
    counted: tuple[bool, ...]
    counted_by_plant: bool
    frost: FloatArray
    arrives: tuple[float, float]
    moves: tuple[float, float]
    heat_deaths: float
    heat_slope: float
    cooler_c: float
    lays_most_d: float
    rises: float
    scatters: float
    danger: FloatArray

    def lays(self, age_d: FloatArray) -> FloatArray:
        """Eggs of a day beside the mean of the lives led here, by age. [1]

        age_d : days at 25 C since the first egg, (n,).

        By her age, not by how much of her own life is over: who dies young has laid in haste, and
        who lives long lays little at the end. The lives of all have as many eggs as without it:
        the expected sum of x exp(-x / peak) over a gamma-distributed life, in closed form.
        """
        peak = self.lays_most_d
        if not np.isfinite(peak):
            return np.ones_like(age_d)
        scale, shape = self.adult_days / ADULT_LIFE_SHAPE, ADULT_LIFE_SHAPE
        left = 1.0 + scale / peak
        whole = peak**2 * (1 - left**-shape - shape * scale / peak * left ** (-shape - 1))
        x = np.maximum(age_d, 0.0)
        return np.asarray(self.adult_days / whole * x * np.exp(-x / peak))

    def pace(self, hours_c: FloatArray, base_shift: FloatArray) -> FloatArray:
        """Share of the development done in each hour, shapes broadcast. [1/h]"""
        base = self.base_c + base_shift
        best = self.upper_c - BELOW_UPPER_C
        warm = np.minimum(hours_c, best) - base
        too_hot = (self.upper_c + ABOVE_UPPER_C - hours_c) / (BELOW_UPPER_C + ABOVE_UPPER_C)
        heat = self.heat - base_shift * self.heat / (WARM_C - self.base_c)
        return np.asarray(np.maximum(warm, 0.0) * np.clip(too_hot, 0, 1) / heat / 24)

    def burnt(self, hours_c: FloatArray, warmer: FloatArray) -> FloatArray:
        """Deaths by the heat of the leaves of a day, (n_places,). [1/d]

        warmer : of the leaves of each planting beside others, (n_places,). [C]
        """
        dry = (hours_c.max() - hours_c.min()) / 20.0
        leaves = hours_c - self.cooler_c * dry * np.clip((hours_c - 25.0) / 10.0, 0.0, 1.0)
        over = np.maximum(leaves + warmer[:, None] - self.upper_c, 0.0)
        deaths = self.heat_deaths * np.expm1(self.heat_slope * over)
        return np.asarray(self.usual_pace() * deaths.mean(-1))

    def season(self, of_year: float) -> float:
        """Adults that fly in beside those of their season, on a day of a northern year. [0 to 1]"""
        first, last = self.arrives
        return 1.0 if first <= of_year <= last else OFF_SEASON

    def usual_pace(self) -> float:
        """Share of the development done in a day at a steady 25 C. [1/d]"""
        return float(24 * self.pace(np.array(25.0), np.array(0.0)))


def throw_creature(tables: Tables, organism: str, rng: np.random.Generator) -> Creature:
    """Throw how one kind truly lives. InputError where the tables hold too little of it."""
    held = tables.organisms.get(organism)
    if held is None:
        raise InputError(Fault("no such organism in the tables", "organism", organism))
    habits = tables.habits[organism]
    immature = tuple(s for s in held.stages if not s.startswith("adult"))
    stages = (*immature, next(s for s in held.stages if s.startswith("adult")))
    base, duration = _within(held.lower_c, BASE_SD_C, rng), _duration(held, immature, rng)
    surfaces = np.array([habits.on_surfaces(stage) for stage in stages])
    penalty = tables.constants["defaults"].figures["field_survival_penalty"]
    hunted = 0.8 if habits.survives_as_in_the_field else _log_between(penalty, rng)
    adult_days, own_start = _adult_life(held), np.exp(rng.normal(0, START_SD))
    shares = _shares(held, immature, rng)
    return Creature(
        organism=organism,
        stages=stages,
        shares=shares,
        base_c=base,
        upper_c=held.upper_c.value + rng.normal(0, 0.7),
        heat=float(duration * (WARM_C - base)),
        keeps=_keeps(held, rng),
        hunted=hunted,
        adult_days=float(adult_days * np.exp(rng.normal(0, LIFE_SD))),
        waits=_waits(held),
        eggs=float(_eggs_a_day(held) * np.exp(rng.normal(0, LAYING_SD))),
        female=1.0 if held.live_bearing else _value(held.female_fraction, 0.5),
        below=surfaces[:, 0] / np.maximum(surfaces[:, :2].sum(1), 1e-9),
        reach=surfaces[:, 2],
        shows=np.array([habits.shows(stage) for stage in stages]),
        hosts=_hosts(held, rng),
        host_sd=HOST_SD,
        flight_m=_value(held.row.find("dispersal.mean_distance_m") or habits.moves_m, 1.5)
        * float(np.exp(rng.normal(0, 0.3))),
        flies_above_c=_flies_above(held, habits),
        live_bearing=held.live_bearing,
        room=habits.crowded_per_cm2 * float(np.exp(rng.normal(0, 0.4))),
        start=habits.start_per_plant * float(own_start),
        arrivals=habits.arrivals_per_plant_day * float(np.exp(rng.normal(0, ARRIVALS_SD))),
        counted=tuple(map(habits.is_counted, stages)),
        counted_by_plant=habits.counted_by_plant,
        frost=_frost(habits, stages, rng),
        arrives=_arrives(habits, rng),
        moves=_moves(habits, rng),
        heat_deaths=_heat_deaths(held),
        heat_slope=_own(rng, DEADLIER_PER_C, DEADLIER_SD),
        cooler_c=_own(rng, COOLER_C, COOLER_SD),
        lays_most_d=_lays_most(habits, adult_days, rng),
        rises=_rises(held, habits, rng),
        scatters=_scatters(held, rng),
        danger=_danger(habits, immature, shares, rng),
    )


def _value(figure: Figure | None, default: float) -> float:
    return default if figure is None else figure.value


def _within(figure: Figure, sd: float, rng: np.random.Generator) -> float:
    """Normal about the table's figure, or as wide as the range it states."""
    low, high = figure.span
    spread = (high - low) / 2.56 if high > low else sd
    return float(figure.value + rng.normal(0, spread))


def _log_between(figure: Figure, rng: np.random.Generator) -> float:
    """Even in the logarithm over the range the table states."""
    low, high = figure.span
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def _heat(held: Organism, immature: tuple[str, ...]) -> float:
    if held.total_dd is not None:
        return held.total_dd.value
    return sum(f.value for s, f in held.stage_dd.items() if s in immature)


def _duration(held: Organism, immature: tuple[str, ...], rng: np.random.Generator) -> float:
    """Days from egg to adult at `WARM_C`. [d]"""
    usual = _heat(held, immature) / (WARM_C - held.lower_c.value)
    return float(usual * np.exp(rng.normal(0, DURATION_SD)))


def _shares(held: Organism, immature: tuple[str, ...], rng: np.random.Generator) -> FloatArray:
    """Share of each stage; stages the table leaves out share what is left evenly."""
    given = held.stage_fraction or {s: f for s, f in held.stage_dd.items() if s in immature}
    if given:
        raw = [given[s].value if s in given else np.nan for s in immature]
    else:
        named = [held.row.find(f"instar_dd.dd[{n}]") for n in range(len(immature))]
        raw = [np.nan if f is None else f.value for f in named]
    known = np.array(raw, dtype=np.float64)
    usual = np.nanmean(known) if np.isfinite(known).any() else 1.0
    share = np.where(np.isfinite(known), known, usual)
    share = share * np.exp(rng.normal(0, STAGE_SD, len(immature)))
    return np.asarray(share / share.sum())


def _keeps(held: Organism, rng: np.random.Generator) -> float:
    """Share that lives to be adult without enemies, about the table's figure. [0 to 1]"""
    found = held.survival_egg_adult
    one = _value(found, 0.6)
    odds = np.log(one / (1 - min(one, 0.98))) + rng.normal(0, 0.4)
    return float(1 / (1 + np.exp(-odds)))


def _danger(
    habits: Habits, immature: tuple[str, ...], shares: FloatArray, rng: np.random.Generator
) -> FloatArray:
    """Danger of each stage, by itself and hunted, beside the mean of the development. [1]"""
    lasts = dict(zip(immature, shares.tolist(), strict=True))
    told = np.array([habits.deaths("dies", lasts), habits.deaths("taken", lasts)])
    here = told * np.exp(rng.spawn(1)[0].normal(0, DEATHS_SD, told.shape))
    return np.asarray(here / here.sum(1, keepdims=True) / shares)


def _hosts(held: Organism, rng: np.random.Generator) -> dict[str, float]:
    """Quality of each host: between the table's word for it and what eggs laid there say.

    The two disagree by up to five times (beans and whitefly); nature lies anywhere between.
    """
    eggs = {k: f.value for k, f in held.lifetime_eggs_by.items() if k in held.hosts}
    most = max(eggs.values(), default=1.0)
    found = {}
    for word, said in held.hosts.items():
        by_eggs = eggs[word] / most if word in eggs else said.value
        between = rng.random()
        found[word] = float(said.value**between * by_eggs ** (1 - between)) if said.value else 0.0
    return found


def _frost(habits: Habits, stages: tuple[str, ...], rng: np.random.Generator) -> FloatArray:
    """Days at -3 C that leave a tenth of each stage; inf where frost takes none. [d]"""
    found = (habits.frost_days(stage) for stage in stages)
    days = np.array([np.inf if d is None else d for d in found])
    own = rng.spawn(1)[0]  # of its own, so that no other throw moves
    return np.asarray(days * np.exp(own.normal(0, FROST_SD)))


def _arrives(habits: Habits, rng: np.random.Generator) -> tuple[float, float]:
    """Days between which adults fly in here; without end where the table names none."""
    early, late = rng.spawn(1)[0].normal(0, SEASON_SD_D, 2)
    first, last = habits.arrives
    return _value(first, -np.inf) + early, _value(last, np.inf) + late


def _moves(habits: Habits, rng: np.random.Generator) -> tuple[float, float]:
    """Shares of new and of laying adults that leave their plant on a warm day. [0 to 1]"""
    own = float(np.exp(rng.spawn(1)[0].normal(0, MOVES_SD)))
    new, laying = habits.moves
    return (
        RANGES if new is None else min(new.value * own, 1.0),
        STAYS if laying is None else min(laying.value * own, 1.0),
    )


def _heat_deaths(held: Organism) -> float:
    """-ln of those that live to be adult at the upper threshold, by the table where it has them."""
    by_t = sorted((t, f.value) for t, f in held.survival_by_t.items())
    if not by_t:
        return HEAT_DEATHS
    at, lives = zip(*by_t, strict=True)
    return float(-np.log(np.interp(held.upper_c.value, at, lives)))


def _own(rng: np.random.Generator, usual: float, sd: float) -> float:
    """A figure of this plot about the usual one, not below 0, from a stream of its own."""
    return float(max(usual + rng.spawn(1)[0].normal(0, sd), 0.0))


def _lays_most(habits: Habits, adult_days: float, rng: np.random.Generator) -> float:
    """Days at 25 C after the first egg at which a female lays most; inf: alike all her life."""
    if habits.lays_most_at is None:
        return np.inf
    return float(habits.lays_most_at * adult_days * np.exp(rng.spawn(1)[0].normal(0, PEAK_SD)))


def _rises(held: Organism, habits: Habits, rng: np.random.Generator) -> float:
    """Share of the adults that work on their plant puts up. [0 to 1]"""
    usual = _value(held.row.find("disturbance.flush_fraction") or habits.put_up, 0.0)
    return float(min(usual * np.exp(rng.spawn(1)[0].normal(0, RISES_SD)), 0.95))


def _scatters(held: Organism, rng: np.random.Generator) -> float:
    """Share of those put up that fly on. [0 to 1]"""
    usual = _value(held.row.find("disturbance.to_neighbour_fraction"), SCATTERS)
    return float(min(usual * np.exp(rng.spawn(1)[0].normal(0, SCATTERS_SD)), 1.0))


def _flies_above(held: Organism, habits: Habits) -> float:
    """Warmth at and below which none changes plant. [C]"""
    return _value(held.row.find("dispersal.no_flight_below_c") or habits.moves_above_c, 13.0)


def _waits(held: Organism) -> float:
    return 0.1 if held.live_bearing else _value(held.preoviposition_days, 2.0)


def _adult_life(held: Organism) -> float:
    """Days an adult lives at 25 C after it began to lay."""
    heat = held.row.find("adult_life_dd")
    if heat is not None:
        return heat.value / (25.0 - held.row.figure("adult_life_dd.base").value)
    return _value(held.adult_longevity_days, 15.0)


def _eggs_a_day(held: Organism) -> float:
    """Eggs or young of one female a day at 25 C on the best host."""
    if held.live_bearing and held.eggs_per_day is not None:
        return held.eggs_per_day.value
    by_host = [f.value for k, f in held.lifetime_eggs_by.items() if k in held.hosts]
    if by_host:
        return max(by_host) / _adult_life(held)
    if held.lifetime_eggs is not None:
        return held.lifetime_eggs.value / _adult_life(held)
    return _value(held.eggs_per_day, 4.0)
