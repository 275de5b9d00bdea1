"""One day of one kind of insect on the plot: hours, deaths, enemies, flights, laying, arrivals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.nature.creatures import RANGES, STAYS, Creature
from lattermath.nature.foliage import Foliage
from lattermath.nature.swarm import BASE_CLASSES, Swarm

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

# Judgement, all of it: how a garden differs from a laboratory and from day to day.
ENEMY_SD, ENEMY_MEMORY = 0.35, 0.8  # of what enemies take, log scale, and its week-long memory
ENEMIES_FOLLOW = 0.04  # a day, by which enemies gather where prey is dense
ENEMIES_MOST = 3.0  # times the usual
RAIN_KNOCKS_MM, RAIN_TAKES = 15.0, 0.15  # a cloudburst, and the share of small stages it takes
FROST_C, FROST_BY_C = -1.0, -3.0  # of the screen: where it begins, and what the table's days mean
DEADLIER_C = 1.6  # degrees deeper that halve those days
SWARM_DAYS, SWARM_TIMES = 12.0, 8.0  # flights come in bursts: how often, and how strong
CAUGHT = 0.6, 0.95  # adults in the bag (table of treatments, practice), a bag as good as another
LOST = 0.3  # share of the whiteflies that fly off the plant that leave the plot
FAVOURED = {"whitefly": 0.85, "mite": 0.3, "aphid": 0.7}  # height of leaf that each settles on
# Adults of these sit and lay on the youngest leaves while their young age with the leaf that grows
# old below them (pest table, `position`: ages_gwf and martin1991, abstracts).
FOLLOW_NEW_LEAVES = ("whitefly",)


@dataclass(slots=True, eq=False)
class Home:
    """The plantings as the insects find them.

    suits   : quality of each, (n_places,). [0 to 1]
    warmer  : of its leaves beside the screen, (n_places,). [C]
    centres : metres east and north, (n_places, 2).
    """

    foliage: list[Foliage]
    suits: FloatArray
    warmer: FloatArray
    centres: FloatArray

    @property
    def n(self) -> int:
        """Plantings."""
        return len(self.foliage)

    @property
    def standing(self) -> NDArray[np.bool_]:
        """Plantings with a leaf left, (n,)."""
        return np.array([f.total > 0 for f in self.foliage])

    def settle(
        self, place: IntArray, favours: float, rng: np.random.Generator
    ) -> tuple[IntArray, IntArray]:
        """A plant and a leaf for each that comes to a planting."""
        plant, leaf = np.zeros_like(place), np.zeros_like(place)
        for n in np.unique(place):
            here, leaves = place == n, self.foliage[n]
            standing = np.flatnonzero(leaves.stands)
            weight = leaves.counts[standing]
            weight = weight / weight.sum() if weight.sum() else None
            plant[here] = rng.choice(standing, here.sum(), p=weight)
            leaf[here] = leaves.leaf_near(plant[here], favours, rng)
        return plant, leaf

    def hanging(self, swarm: Swarm) -> NDArray[np.bool_]:
        """Records whose leaf still hangs."""
        there = np.zeros(swarm.size, dtype=bool)
        for n in np.unique(swarm.place):
            here = swarm.place == n
            there[here] = self.foliage[n].hangs(swarm.plant[here], swarm.leaf[here])
        return there


@dataclass(slots=True, eq=False)
class Enemies:
    """What hunts one kind on each planting, 1 in a usual week, (n_places,)."""

    chance: FloatArray
    gathered: FloatArray

    @classmethod
    def none_yet(cls, n: int) -> Enemies:
        """As usual everywhere."""
        return cls(np.zeros(n), np.ones(n))

    def one_more(self) -> None:
        """A planting more, on which they are as usual."""
        self.chance = np.append(self.chance, 0.0)
        self.gathered = np.append(self.gathered, 1.0)

    def a_day_on(self, density: FloatArray, rng: np.random.Generator) -> FloatArray:
        """What they take today beside the usual; they gather where prey is dense, and drift off.

        density : prey beside the number at which half the eggs fail, (n_places,). [1]
        """
        noise = ENEMY_SD * np.sqrt(1 - ENEMY_MEMORY**2)
        self.chance = ENEMY_MEMORY * self.chance + rng.normal(0, noise, len(self.chance))
        wanted = 1.0 + (ENEMIES_MOST - 1.0) * density / (density + 0.3)
        self.gathered += ENEMIES_FOLLOW * (wanted - self.gathered)
        return np.asarray(self.gathered * np.exp(self.chance))


def favoured(organism: str) -> float:
    """The height of leaf on which it settles, 1 the top."""
    return next((v for word, v in FAVOURED.items() if word in organism), 0.5)


def live_a_day(
    swarm: Swarm,
    home: Home,
    enemies: Enemies,
    hours_c: FloatArray,
    rain_mm: float,
    of_year: float,
    rng: np.random.Generator,
) -> None:
    """Let one day pass for all of them; `of_year` is the day of a northern year."""
    _arrive(swarm, home, of_year, rng)
    if not swarm.size:
        return
    creature = swarm.creature
    heat = hours_c[None, None, :] + home.warmer[:, None, None]
    passed = creature.pace(heat, BASE_CLASSES[None, :, None]).sum(-1)
    _die(swarm, home, enemies, passed, hours_c, rain_mm, rng)
    swarm.develop(passed, rng)
    swarm.keep((swarm.stage < swarm.adult) | (swarm.done < creature.waits + swarm.left))
    _fly(swarm, home, float(hours_c.max()), rng)
    _lay(swarm, home, passed, rng)
    swarm.thin(home.n, rng)


def _arrive(swarm: Swarm, home: Home, of_year: float, rng: np.random.Generator) -> None:
    """Adults from outside, in their season, in bursts."""
    burst = SWARM_TIMES if rng.random() < 1 / SWARM_DAYS else 0.4
    burst *= swarm.creature.season(of_year)
    plants = np.array([f.stands.sum() for f in home.foliage])
    expected = swarm.creature.arrivals * burst * plants * home.suits * home.standing
    place = np.repeat(np.arange(home.n), rng.poisson(expected))
    come_to(swarm, home, place, rng)


def come_to(swarm: Swarm, home: Home, place: IntArray, rng: np.random.Generator) -> None:
    """Adults that come to these plantings, one for each entry."""
    if not len(place):
        return
    plant, leaf = home.settle(place, favoured(swarm.creature.organism), rng)
    stage = np.full(len(place), swarm.adult)
    age = rng.uniform(0, swarm.creature.adult_days / 2, len(place))
    swarm.add(place, plant, leaf, stage, age, np.ones(len(place), np.int64), rng)


def _density(swarm: Swarm, home: Home) -> FloatArray:
    """Insects beside the number at which half the eggs fail, by planting."""
    room = np.array([f.area_cm2 for f in home.foliage]) * swarm.creature.room
    return np.asarray(swarm.on_places(home.n) / np.maximum(room, 1.0))


def _die(
    swarm: Swarm,
    home: Home,
    enemies: Enemies,
    passed: FloatArray,
    hours_c: FloatArray,
    rain_mm: float,
    rng: np.random.Generator,
) -> None:
    """Weak insects, enemies, cloudbursts, frost, and leaves that fall with what sits on them."""
    creature = swarm.creature
    hunting = enemies.a_day_on(_density(swarm, home), rng)
    young = swarm.stage < swarm.adult
    done = passed[:, len(BASE_CLASSES) // 2][swarm.place]
    stage, hunted = np.minimum(swarm.stage, swarm.adult - 1), hunting[swarm.place]
    danger = -np.log(creature.keeps) * done * creature.danger[0, stage]
    danger -= np.log(creature.hunted) * done * hunted * creature.danger[1, stage]
    danger = np.where(young, danger, -0.05 * np.log(creature.hunted) * hunted * done)
    lives = np.exp(-danger - creature.burnt(hours_c, home.warmer)[swarm.place])
    if rain_mm >= RAIN_KNOCKS_MM:
        small = swarm.stage <= max(swarm.adult // 2, 1)
        lives = np.where(small, lives * (1 - RAIN_TAKES * rng.random()), lives)
    lives = lives * _bear_frost(creature, hours_c)[swarm.stage]
    hanging = home.hanging(swarm)
    lives = np.where(hanging | (swarm.stage == swarm.adult), lives, 0.0)
    swarm.spare(lives, rng)
    _seek_new_leaves(swarm, home, rng)


def _bear_frost(creature: Creature, hours_c: FloatArray) -> FloatArray:
    """Share of each stage that a day's hours of frost leave, (n_stages,). [0 to 1]

    Leaves radiate and are colder than the screen: an hour of frost in the screen counts as three
    of the steady cold that the table means (judgement).
    """
    frost = hours_c[hours_c <= FROST_C]
    days = 3 * np.exp2((FROST_BY_C - frost) / DEADLIER_C).sum() / 24
    return np.asarray(0.1 ** (days / creature.frost))


def _seek_new_leaves(swarm: Swarm, home: Home, rng: np.random.Generator) -> None:
    """Adults whose leaf fell settle on another of the same planting, or are gone with it."""
    lost = ~home.hanging(swarm)
    if not lost.any():
        return
    gone = lost & ~home.standing[swarm.place]
    swarm.keep(~gone)
    moved = np.flatnonzero(lost[~gone])
    plant, leaf = home.settle(swarm.place[moved], favoured(swarm.creature.organism), rng)
    swarm.plant[moved], swarm.leaf[moved] = plant, leaf


def _fly(swarm: Swarm, home: Home, warmest_c: float, rng: np.random.Generator) -> None:
    """Adults change plant now and then, and planting as far as they fly; some change leaf daily."""
    grown = np.flatnonzero(swarm.stage == swarm.adult)
    if warmest_c <= swarm.creature.flies_above_c or not len(grown):
        return
    if any(word in swarm.creature.organism for word in FOLLOW_NEW_LEAVES):
        _climb(swarm, home, grown, rng)
    new = swarm.done[grown] < max(swarm.creature.waits, 1.0)
    ranges, stays = swarm.creature.moves
    leaves = rng.random(len(grown)) < np.where(new, ranges, stays)
    movers = grown[leaves]
    if len(movers):
        # Of those that change plant oftener no more leave the plot in a day.
        off = LOST * np.where(new, min(RANGES / ranges, 1.0), min(STAYS / stays, 1.0))
        disperse(swarm, home, movers, off[leaves], rng)


def _climb(swarm: Swarm, home: Home, grown: IntArray, rng: np.random.Generator) -> None:
    """These adults go to leaves of their own plant at the height that they like."""
    favours = favoured(swarm.creature.organism)
    for n in np.unique(swarm.place[grown]):
        here = grown[swarm.place[grown] == n]
        swarm.leaf[here] = home.foliage[n].leaf_near(swarm.plant[here], favours, rng)


def put_up(
    swarm: Swarm, home: Home, places: Sequence[int], warmest_c: float, rng: np.random.Generator
) -> None:
    """Work on these plantings: of the adults that rise most settle again, some fly on."""
    creature = swarm.creature
    if warmest_c <= creature.flies_above_c or creature.rises == 0:
        return
    there = np.flatnonzero((swarm.stage == swarm.adult) & np.isin(swarm.place, places))
    flies = rng.random(len(there)) < creature.rises * creature.scatters
    if flies.any():
        disperse(swarm, home, there[flies], LOST, rng)


def taken_out(
    swarm: Swarm, home: Home, place: int, plants: IntArray, warmest_c: float,
    rng: np.random.Generator,
) -> None:  # fmt: skip
    """Plants bagged where they stood: what sits on them is gone but for some that can rise.

    To be asked when the plants stand no longer.
    """
    creature = swarm.creature
    there = (swarm.place == place) & np.isin(swarm.plant, plants)
    caught = rng.uniform(*CAUGHT)
    rises = warmest_c > creature.flies_above_c
    off = rng.random(swarm.size) < min(creature.rises * rises, 1 - caught)
    flies = there & (swarm.stage == swarm.adult) & off
    stays = ~there | flies
    movers = np.flatnonzero(flies[stays])
    swarm.keep(stays)
    if len(movers):
        disperse(swarm, home, movers, LOST, rng)


def disperse(
    swarm: Swarm, home: Home, movers: IntArray, lost: float | FloatArray, rng: np.random.Generator
) -> None:
    """These adults fly: each lands near, by distance flown and what it likes, or is lost."""
    gap = home.centres[:, None] - home.centres[None]
    apart = np.sqrt((gap**2).sum(-1))
    pull = np.exp(-apart / max(swarm.creature.flight_m, 0.3)) * (home.suits * home.standing)
    total = pull.sum(1, keepdims=True)
    edges = np.cumsum(pull / np.where(total > 0, total, 1.0), axis=1)
    off = rng.random(len(movers)) < lost
    stay = movers[~off]
    to = (rng.random(len(stay))[:, None] > edges[swarm.place[stay]]).sum(1)
    nowhere = to >= home.n
    swarm.place[stay] = np.where(nowhere, swarm.place[stay], to)
    landed = stay[~nowhere & home.standing[swarm.place[stay]]]
    plant, leaf = home.settle(swarm.place[landed], favoured(swarm.creature.organism), rng)
    swarm.plant[landed], swarm.leaf[landed] = plant, leaf
    gone = np.zeros(swarm.size, dtype=bool)
    gone[movers[off]] = True
    swarm.keep(~gone)


def _lay(swarm: Swarm, home: Home, passed: FloatArray, rng: np.random.Generator) -> None:
    """Each female lays on the leaf that she sits on; crowded leaves waste eggs."""
    creature = swarm.creature
    laying = (swarm.stage == swarm.adult) & swarm.female & (swarm.done >= creature.waits)
    mothers = np.flatnonzero(laying)
    if not len(mothers):
        return
    warm = passed[:, len(BASE_CLASSES) // 2] / creature.usual_pace()
    kept = home.suits / (1 + _density(swarm, home)) * np.minimum(warm, 1.3)
    by_age = creature.lays(swarm.done[mothers] - creature.waits)
    expected = creature.eggs * kept[swarm.place[mothers]] * by_age
    eggs = rng.poisson(expected * swarm.weight[mothers])
    # young of a parcel stand for as many as their mother does, or are single
    unit = swarm.weight[mothers]
    records = eggs // unit + (rng.random(len(eggs)) < (eggs % unit) / unit)
    mother = np.repeat(mothers, records)
    leaf = swarm.leaf[mother].copy()
    if creature.live_bearing:
        leaf = _crawl(swarm, home, mother, rng)
    zeros = np.zeros(len(mother), np.int64)
    swarm.add(swarm.place[mother], swarm.plant[mother], leaf, zeros, rng.random(len(mother)) * 0.05,
              swarm.weight[mother], rng)  # fmt: skip


def _crawl(swarm: Swarm, home: Home, mother: IntArray, rng: np.random.Generator) -> IntArray:
    """Young of live-bearers: some walk to a leaf beside their mother's."""
    leaf = swarm.leaf[mother] + np.where(rng.random(len(mother)) < 0.2,
                                         rng.integers(-1, 2, len(mother)), 0)  # fmt: skip
    for n in np.unique(swarm.place[mother]):
        here, leaves = swarm.place[mother] == n, home.foliage[n]
        plant = swarm.plant[mother[here]]
        low, high = np.floor(leaves.oldest)[plant], np.floor(leaves.newest)[plant]
        leaf[here] = np.clip(leaf[here], low, high).astype(np.int64)
    return np.asarray(leaf)
