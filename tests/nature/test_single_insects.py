"""Single insects against laws worked out with a pencil: means, binomials, Poissons."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.nature.nature_cases import creature, streams

from lattermath.nature.creatures import OWN_SPREAD, STAGE_SPREAD, Creature
from lattermath.nature.foliage import throw_foliage
from lattermath.nature.swarm import BASE_CLASSES, MOST_RECORDS, Swarm
from lattermath.nature.swarm_days import (
    CAUGHT,
    LOST,
    Enemies,
    Home,
    _bear_frost,
    _die,
    _fly,
    _lay,
    disperse,
    put_up,
    taken_out,
)
from lattermath.nature.treatments import Residue

N = 1200


def born(swarm: Swarm, n: int, stage: int = 0) -> None:
    zeros = np.zeros(n, dtype=np.int64)
    swarm.add(zeros, zeros.copy(), zeros.copy(), np.full(n, stage), np.zeros(n),
              np.ones(n, dtype=np.int64), streams(3)("born"))  # fmt: skip


def days_to_adult(one: Creature, temperature: float) -> np.ndarray:
    """Day on which each egg is adult, at a steady temperature."""
    swarm, rng = Swarm(one), streams(5)("moults")
    born(swarm, N)
    order, grown = np.arange(N), np.zeros(N)
    hours = np.full((1, 1, 24), temperature)
    passed = one.pace(hours, BASE_CLASSES[None, :, None]).sum(-1)
    for day in range(1, 400):
        swarm.develop(passed, rng)
        now = (swarm.stage == swarm.adult) & (grown == 0)
        grown[order[now]] = day
        if (grown > 0).all():
            break
    return grown


def test_development_takes_as_long_as_the_degree_days_say() -> None:
    """Mean of log-normal times: heat over warmth, times exp(s2/2) of the spread of the paces; the
    day on which it is noticed is half a day late in the mean."""
    one = creature()
    grown = days_to_adult(one, 22.0)
    linear = one.heat / (22.0 - one.base_c)
    own, stage = np.exp(OWN_SPREAD**2 / 2), np.exp(STAGE_SPREAD**2 / 2)
    # Thresholds half a degree apart keep the duration at 24 C, so they change little at 22.
    expected = linear * own * stage + 0.5
    assert grown.mean() == pytest.approx(expected, rel=0.015)
    shares = (one.shares**2).sum()
    cv = np.sqrt(OWN_SPREAD**2 + STAGE_SPREAD**2 * shares)
    assert grown.std() / grown.mean() == pytest.approx(cv, rel=0.15)


def test_nobody_develops_below_the_threshold_or_far_above_the_upper_one() -> None:
    one = creature()
    cold, hot = np.array([one.base_c - 2.0]), np.array([one.upper_c + 3.5])
    assert (one.pace(cold, BASE_CLASSES) == 0).all()
    assert (one.pace(hot, BASE_CLASSES) == 0).all()


def test_deaths_follow_the_binomial_law_for_single_ones_and_for_parcels() -> None:
    """600 with a chance of 0.7, thrown 300 times: mean 420, variance 126, for any parcel size."""
    for weight in (1, 8):
        left = []
        for case in range(300):
            swarm = Swarm(creature())
            born(swarm, 600 // weight)
            swarm.weight[:] = weight
            swarm.spare(np.full(swarm.size, 0.7), streams(case)(f"spare {weight}"))
            left.append(swarm.weight.sum())
        # four standard errors of mean and variance
        assert abs(np.mean(left) - 420) < 4 * np.sqrt(126 / 300)
        assert abs(np.var(left) / 126 - 1) < 4 * np.sqrt(2 / 300)


def home_of(crop: str = "eggplant") -> Home:
    leaves = throw_foliage(crop, "Solanaceae", 4, 40.0, streams(2)("leaves"))
    return Home([leaves], np.ones(1), np.zeros(1), np.zeros((1, 2)))


def test_eggs_follow_the_poisson_law() -> None:
    """Fifty females without crowding at 25 C: eggs of a day have their mean as variance."""
    one = replace(creature(), female=1.0, room=1e12, waits=0.0)
    passed = one.pace(np.full((1, 1, 24), 25.0), BASE_CLASSES[None, :, None]).sum(-1)
    laid = []
    for case in range(400):
        swarm = Swarm(one)
        born(swarm, 50, swarm.adult)
        _lay(swarm, home_of(), passed, streams(case)("eggs"))
        laid.append(swarm.size - 50)
    mean = 50 * one.eggs
    assert abs(np.mean(laid) - mean) < 4 * np.sqrt(mean / 400)
    assert abs(np.var(laid) / mean - 1) < 4 * np.sqrt(2 / 400)


@pytest.mark.parametrize("kind", ["greenhouse_whitefly", "melon_aphid", "diamondback_moth"])
def test_a_life_has_the_eggs_of_the_table_at_whatever_age(kind: str) -> None:
    """Thrown lives, added up hour by hour: as many eggs as days, most at the age thrown for it."""
    one = creature(kind)
    lives = Swarm(one).lives(4000, streams(5)("lives"))
    age = np.arange(0.5, 24 * 12 * one.adult_days) / 24
    alive = (lives[:, None] > age[::24]).mean(0).repeat(24)[: len(age)]
    rate = one.lays(age)
    assert (alive * rate).sum() / 24 == pytest.approx(one.adult_days, rel=0.04)
    if kind == "greenhouse_whitefly":
        assert np.all(rate == 1.0)
    else:
        assert age[rate.argmax()] == pytest.approx(one.lays_most_d, abs=1 / 24)
        assert 0.05 < one.lays_most_d / one.adult_days < 0.5


def test_thinning_keeps_the_number_in_the_mean() -> None:
    rest = []
    for case in range(60):
        swarm = Swarm(creature())
        born(swarm, 4 * MOST_RECORDS)
        swarm.thin(1, streams(case)("thin"))
        assert swarm.size <= MOST_RECORDS
        rest.append(swarm.weight.sum())
    # kept twice with a half, standing for four: variance 3 a record
    error = np.sqrt(3 * 4 * MOST_RECORDS / 60)
    assert abs(np.mean(rest) - 4 * MOST_RECORDS) < 4 * error + 4


def test_flights_land_by_distance() -> None:
    """Two plantings a metre and three metres off: landings are as exp(-distance / flight)."""
    one = replace(creature(), flight_m=1.5)
    leaves = [throw_foliage("eggplant", "Solanaceae", 4, 40.0, streams(n)("leaf"))
              for n in range(3)]  # fmt: skip
    centres = np.array([[0.0, 0.0], [1.0, 0.0], [3.0, 0.0]])
    home = Home(leaves, np.ones(3), np.zeros(3), centres)
    swarm = Swarm(one)
    born(swarm, 6000, swarm.adult)
    disperse(swarm, home, np.arange(6000), 0.0, streams(1)("fly"))
    weight = np.exp(-np.array([0.0, 1.0, 3.0]) / 1.5)
    found = np.bincount(swarm.place, minlength=3)
    assert stats.chisquare(found, 6000 * weight / weight.sum()).pvalue > 1e-4


def left_after(one: Creature, low: float, nights: int) -> np.ndarray:
    """Shares of the stages left by nights that fall to `low` and days of 8 C."""
    hours = np.where(np.arange(24) < 8, low, 8.0)
    return np.asarray(_bear_frost(one, hours) ** nights)


def test_frost_takes_each_stage_by_its_depth_and_no_hardy_one() -> None:
    """Eight hours of the screen at -3 C are a day of steady -3 C: 14.5 such days leave a tenth of
    the eggs of the greenhouse whitefly (pest table: 14 or 15), for the creature as thrown."""
    one = creature()
    assert left_after(one, -3.0, 1)[0] == pytest.approx(0.1 ** (1 / one.frost[0]))
    days = np.median([creature(seed=n).frost[0] for n in range(300)])
    assert 13 < days < 16.5
    assert left_after(one, -6.0, 4)[0] == pytest.approx(left_after(one, -3.0, 15)[0], rel=0.2)
    assert (left_after(one, -0.5, 30) == 1.0).all()
    assert left_after(creature("cabbage_whitefly"), -5.0, 30)[-1] == 1.0
    beetle = left_after(creature("colorado_potato_beetle"), -5.0, 5)
    assert beetle[-1] == 1.0 and beetle[1] < 0.01


def test_adults_fly_in_in_their_season_here_too() -> None:
    """Loopers come from mid-July (day 196, a week about it in nature), whiteflies all the year."""
    looper = [creature("cabbage_looper", seed=n) for n in range(200)]
    assert np.mean([one.season(196) == 1.0 for one in looper]) == pytest.approx(0.5, abs=0.11)
    assert all(one.season(160) < 0.1 and one.season(230) == 1.0 for one in looper)
    assert creature().season(5) == creature().season(200) == 1.0


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        ("imported_cabbageworm", 0.3, 0.7),  # visits all plots (pest table, page read)
        ("twospotted_spider_mite", 0.0, 0.01),  # walks between touching leaves (practice)
        ("green_peach_aphid", 0.0, 0.08),  # wingless ones walk to touching plants (practice)
    ],
)
def test_each_kind_crosses_as_it_moves(kind: str, least: float, most: float) -> None:
    """Share of laying adults on the other of two beds, 4 m apart, after three warm days."""
    one = creature(kind)
    leaves = [throw_foliage("kale", "Brassicaceae", 4, 40.0, streams(n)("leaf")) for n in range(2)]
    home = Home(leaves, np.ones(2), np.zeros(2), np.array([[0.0, 0.0], [4.0, 0.0]]))
    swarm, rng = Swarm(one), streams(8)("fly")
    born(swarm, 4000, swarm.adult)
    swarm.done[:] = one.waits + 5.0
    for _ in range(3):
        _fly(swarm, home, 28.0, rng)
    assert least <= (swarm.place == 1).mean() <= most
    assert swarm.size > 0.9 * 4000  # most stay on the plot


def test_what_kills_slowly_kills_as_many_later() -> None:
    """A deposit with a half-life of a day, and death five days after contact, without rain."""
    share, worn = np.array([0.4, 0.1]), [0.5**n for n in range(40)]
    quick, slow = (Residue("any", (0,), share, 1.0, 0.3, slow=days) for days in (0, 5))
    for day in range(40):
        deaths = slow.deaths_of_a_day(0.0)
        assert quick.deaths_of_a_day(0.0) == pytest.approx(share * worn[day])
        assert deaths == pytest.approx(share * worn[day - 5] if day >= 5 else np.zeros(2))
        assert slow.acts == (0.4 * worn[max(day - 4, 0)] > 0.02)


def test_heat_takes_more_with_every_degree_and_dry_air_spares_some() -> None:
    """By hand: a steady 34 C, whose leaves are as warm, is so far above the upper threshold; at
    noon of a dry day leaves are cooler; no summer night kills."""
    one = replace(creature(), upper_c=32.0, heat_deaths=0.5, heat_slope=0.5, cooler_c=4.0)
    steady = one.burnt(np.full(24, 34.0), np.zeros(1))[0]
    assert steady == pytest.approx(one.usual_pace() * 0.5 * (np.e - 1))
    assert one.burnt(np.full(24, 35.0), np.zeros(1))[0] > steady
    assert one.burnt(np.linspace(15, 31, 24), np.zeros(1))[0] == 0
    day = 27 + 10 * np.sin(2 * np.pi * (np.arange(24) - 9) / 24)
    wet = replace(one, cooler_c=0.0)
    assert one.burnt(day, np.zeros(1))[0] < 0.5 * wet.burnt(day, np.zeros(1))[0]


def beds_apart() -> Home:
    """Three plantings of aubergine in a row, each 1.5 m from the next."""
    thrown = [streams(n)("leaves") for n in (1, 2, 3)]
    leaves = [throw_foliage("eggplant", "Solanaceae", 4, 40.0, rng) for rng in thrown]
    centres = np.array([[0.0, 0.0], [1.5, 0.0], [3.0, 0.0]])
    return Home(leaves, np.ones(3), np.zeros(3), centres)


def test_work_puts_up_those_that_rise_and_the_few_that_fly_on_are_next_door() -> None:
    """Of 4000 adults the binomial share leaves the planting, and none on a cold day or of mites."""
    for kind, warmest, some in (
        ("greenhouse_whitefly", 28.0, True),
        ("greenhouse_whitefly", 8.0, False),
        ("melon_aphid", 28.0, False),
    ):
        swarm = Swarm(creature(kind))
        born(swarm, 4000, swarm.adult)
        put_up(swarm, beds_apart(), (0,), warmest, streams(7)("work"))
        there = swarm.on_places(3)
        up = swarm.creature.rises * swarm.creature.scatters
        least = 4000 * (1 - up) - 4 * np.sqrt(4000 * up * (1 - up))
        assert there[0] >= least
        assert (there[0] < 4000) == some
        assert not some or there[1] > there[2] > 0


def test_a_bag_takes_the_young_and_most_of_the_adults() -> None:
    """By the table of treatments 60 to 95 % of adults of a plant bagged where it stood."""
    left = []
    for case in range(40):
        swarm, home = Swarm(creature()), beds_apart()
        born(swarm, 500, swarm.adult)
        born(swarm, 500, 0)
        home.foliage[0].stands[:] = False
        taken_out(swarm, home, 0, np.arange(4), 28.0, streams(case)("pull"))
        assert np.all(swarm.stage == swarm.adult) and not (swarm.place == 0).any()
        left.append(swarm.size / 500)
    assert min(left) > 0.0 and max(left) < 0.4
    assert np.mean(left) == pytest.approx((1 - LOST) * (1 - np.mean(CAUGHT)), rel=0.2)


def test_stages_die_by_their_own_danger_and_the_whole_by_the_books() -> None:
    """2,400 eggs at 25 C, nobody hunts: half of the deaths, as logarithms, fall on stage one."""
    one = replace(creature(), keeps=0.3, hunted=1.0, eggs=0.0, arrivals=0.0, heat_deaths=0.0)
    half = np.where(np.arange(len(one.shares)) == 1, 0.5, 0.5 / (len(one.shares) - 1))
    one = replace(one, danger=np.stack([half / one.shares] * 2))
    swarm, rng = Swarm(one), streams(8)("dies")
    born(swarm, 2 * N)
    home = home_of()
    swarm.plant, swarm.leaf = home.settle(swarm.place, 0.5, rng)
    hours = np.full(24, 25.0)
    passed = one.pace(hours[None, None, :], BASE_CLASSES[None, :, None]).sum(-1)
    died = np.zeros(len(one.shares) + 1)
    for _ in range(90):
        before = np.bincount(swarm.stage, minlength=len(died))
        _die(swarm, home, Enemies.none_yet(1), passed, hours, 0.0, rng)
        died += before - np.bincount(swarm.stage, minlength=len(died))
        swarm.develop(passed, rng)
    grown = (swarm.stage == swarm.adult).sum()
    assert grown + died.sum() == 2 * N and died[-1] == 0
    assert grown / (2 * N) == pytest.approx(0.3, abs=0.04)
    alive = 2 * N - np.concatenate([[0.0], np.cumsum(died)[:-1]])
    assert -np.log(alive[2] / alive[1]) / -np.log(0.3) == pytest.approx(0.5, abs=0.05)
