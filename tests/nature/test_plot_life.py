"""A plot in nature: repeatable, sound in its sums, and seen less of than there is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats
from tests.nature.nature_cases import BEGINS, TABLES, plot_of, steady, streams

from lattermath.nature.opening import open_nature
from lattermath.nature.plot_life import Nature
from lattermath.vocabulary.class_ends import MOST_ON_ONE
from lattermath.vocabulary.errors import InputError

WHITEFLY = "greenhouse_whitefly"


def opened(seed: int = 1, *, sky=None, kinds: tuple[str, ...] = (WHITEFLY,)) -> Nature:  # type: ignore[no-untyped-def]
    plot = plot_of("eggplant", "cucumber_slicing", "tomato_indeterminate")
    return open_nature(TABLES, plot, sky or steady(22.0, 6.0), BEGINS, kinds, streams(seed))


def test_hours_lie_between_the_extremes_and_join_from_day_to_day() -> None:
    sky = steady(20.0, 7.0)
    hours = sky.hours(40)
    assert hours.min() == pytest.approx(13.0) and hours.max() == pytest.approx(27.0)
    # two half cosines: their mean is the middle of the extremes
    assert hours.mean() == pytest.approx(20.0, abs=0.15)
    assert abs(sky.hours(41)[0] - hours[-1]) < 1.5


def test_same_seed_same_plot_and_a_look_changes_nothing() -> None:
    one, two, other = opened(), opened(), opened(2)
    for nature in (one, two, other):
        nature.step_to(BEGINS + timedelta(days=20))
    two_looked = two.look("p0", WHITEFLY, 10)
    assert two_looked == one.look("p0", WHITEFLY, 10)
    for nature in (one, other):
        nature.step_to(BEGINS + timedelta(days=30))
    two.look("p1", WHITEFLY, 10)
    two.step_to(BEGINS + timedelta(days=30))
    assert np.array_equal(one.truth(WHITEFLY), two.truth(WHITEFLY))
    assert not np.array_equal(one.truth(WHITEFLY), other.truth(WHITEFLY))


def test_one_kind_more_reshuffles_no_other() -> None:
    alone, joined = opened(), opened(kinds=(WHITEFLY, "melon_aphid"))
    for nature in (alone, joined):
        nature.step_to(BEGINS + timedelta(days=25))
    assert np.array_equal(alone.truth(WHITEFLY), joined.truth(WHITEFLY))


def test_a_look_sees_what_chance_allows() -> None:
    """All leaves of a planting looked at by eyes that see all: a count is binomial about it."""
    nature = opened(4)
    nature.step_to(BEGINS + timedelta(days=45))
    stages = nature.swarms[WHITEFLY].creature.stages
    place = int(nature.truth(WHITEFLY).sum(1).argmax())
    key, there = nature.keys[place], nature.truth(WHITEFLY)[place]
    nature.grower.height = 0.0
    seen = nature.grower.sees(nature.swarms[WHITEFLY], "underside", streams(1)("eyes"))
    assert (seen < 1).all()
    every = nature.look(key, WHITEFLY, 10_000, stages=stages)
    assert 0 < sum(every) < there.sum()


def test_nobody_writes_down_more_than_an_entry_may_hold() -> None:
    """Once 13,130 on one leaf were written, and the journal refused them."""
    nature = opened(4)
    nature.step_to(BEGINS + timedelta(days=45))
    swarm = nature.swarms[WHITEFLY]
    swarm.weight[:] = 100_000
    key = nature.keys[int(nature.truth(WHITEFLY).sum(1).argmax())]
    assert max(nature.look(key, WHITEFLY, 200)) == MOST_ON_ONE


def test_frost_ends_it() -> None:
    sky = steady(22.0, 6.0)
    sky.t_min[60:66] = -4.0
    nature = opened(1, sky=sky)
    swarm = nature.swarms[WHITEFLY]
    swarm.creature = replace(swarm.creature, arrivals=0.0)
    nature.step_to(sky.day(60))
    before = nature.truth(WHITEFLY).sum()
    nature.step_to(sky.day(66))
    assert nature.truth(WHITEFLY).sum() < 0.01 * before


def test_a_killed_host_ends_its_aphids_and_hardy_kale_keeps_its_own() -> None:
    """Leaves of the pepper freeze to death at -1 C, those of kale at -12 C (crop table)."""
    sky, frost = steady(14.0, 6.0), (BEGINS - date(2011, 5, 1)).days + 30
    sky.t_min[frost:] = -4.0
    plot, kinds = plot_of("kale", "pepper_sweet"), ("green_peach_aphid",)
    kept = []
    for seed in range(1, 7):
        nature = open_nature(TABLES, plot, sky, BEGINS, kinds, streams(seed))
        nature.step_to(BEGINS + timedelta(days=29))
        before = nature.truth(kinds[0]).sum(1)
        nature.step_to(BEGINS + timedelta(days=32))
        after = nature.truth(kinds[0]).sum(1)
        assert after[1] == 0
        assert nature.look("p1", kinds[0], 10) == ()
        kept.append(after[0] / max(before[0], 1.0))
    assert np.median(kept) > 0.5


def test_a_treatment_kills_about_the_share_of_its_range() -> None:
    """Soap on aphids: the table's rows span 85 to 99 %, at the coverage they mean."""
    left = []
    for seed in range(25):
        nature = opened(seed, kinds=("melon_aphid",))
        nature.step_to(BEGINS + timedelta(days=25))
        place = int(nature.truth("melon_aphid").sum(1).argmax())
        before = nature.truth("melon_aphid")[place].sum()
        if before < 100:
            continue
        nature.treat([nature.keys[place]], "soap", ("underside", "top"), 0.7)
        left.append(nature.truth("melon_aphid")[place].sum() / before)
    assert len(left) > 5
    assert 0.02 < np.mean(left) < 0.3  # wetted 0.7 of the leaf as the rows mean, some leaves less
    assert np.std(left) > 0.02


def test_what_is_pulled_is_gone_and_what_is_pruned_is_less() -> None:
    nature = opened(3)
    nature.step_to(BEGINS + timedelta(days=30))
    leaves = nature.foliage[0].total
    nature.prune("p0", 0.4)
    assert nature.foliage[0].total == pytest.approx(0.6 * leaves, rel=0.1)
    nature.pull("p1")
    nature.step_to(BEGINS + timedelta(days=31))
    assert nature.truth(WHITEFLY)[1].sum() == 0 and nature.look("p1", WHITEFLY, 10) == ()


def test_fruit_weigh_in_all_what_the_plants_had_in_them() -> None:
    """In mild, wet, bright weather nearly all that the plants can bear comes to size."""
    ratio = []
    for seed in range(12):
        plot = plot_of("summer_squash")
        nature = open_nature(TABLES, plot, steady(23.0, 4.0), BEGINS, (), streams(seed))
        picked = 0.0
        for day in range(1, 130):
            nature.step_to(BEGINS + timedelta(days=day))
            nature.water("p0", 60.0)
            good, _ = nature.pick("p0")
            picked += good
        fruit = nature.fruiting[0]
        assert fruit is not None
        ratio.append(picked / fruit.plant_kg.sum())
    assert 0.7 < np.mean(ratio) < 1.15
    assert stats.variation(ratio) > 0.02


def test_what_nature_does_not_hold_is_refused() -> None:
    nature = opened()
    with pytest.raises(InputError):
        nature.look("roses", WHITEFLY, 10)
    with pytest.raises(InputError):
        nature.treat(["p0"], "holy water")
    with pytest.raises(InputError):
        opened(kinds=("unicorn",))
