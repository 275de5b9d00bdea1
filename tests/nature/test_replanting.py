"""Ground that changes hands in nature: pulled, set out from cups, sown; plants wear out."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from tests.nature.nature_cases import BEGINS, TABLES, plot_of, steady, streams

from lattermath.nature.cups import CHECKED, throw_cups
from lattermath.nature.fruiting import throw_fruiting
from lattermath.nature.opening import open_nature
from lattermath.nature.plot_life import Nature
from lattermath.nature.replanting import set_out, sow, sow_cups, warmed_as_it_was
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

WHITEFLY = "greenhouse_whitefly"


def opened(seed: int = 1, plants: int = 4) -> Nature:
    plot = plot_of("cucumber_slicing", "summer_squash", plants=plants)
    sky, mildews = steady(23.0, 5.0), ("cucurbit_powdery_mildew",)
    return open_nature(TABLES, plot, sky, BEGINS, (WHITEFLY,), streams(seed), mildews)


def watered(nature: Nature, days: int) -> float:
    """Live on for some days with water enough; kilograms picked."""
    total = 0.0
    for _ in range(days):
        nature.step_to(nature.today + timedelta(days=1))
        for key in nature.keys:
            nature.water(key, 50.0)
            total += sum(nature.pick(key))
    return total


def test_a_planting_wears_out_and_looks_it() -> None:
    nature = opened()
    words = []
    for _ in range(9):
        words.append(nature.look_of("p0"))
        watered(nature, 12)
    assert words[0] == "sound"
    assert words[-1] == "failing"
    last = nature.today
    assert nature.borne_kg("p0", last - timedelta(days=10), last - timedelta(days=1)) == 0


def test_plants_are_as_old_as_their_days_were_warm() -> None:
    nature = opened()
    fruit = nature.fruiting[0]
    assert fruit is not None
    warmed_as_it_was(nature)
    # seven days, of which no hour is below its base of 12 or above its ceiling: mean 23 C
    assert fruit.heat == pytest.approx(7 * 11.0, rel=0.01)


def test_the_worst_come_out_first_and_as_many_as_asked() -> None:
    nature = opened()
    vigour = nature.foliage[0].vigour
    nature.pull("p0", 2)
    assert nature.foliage[0].stands.sum() == 2
    assert vigour[nature.foliage[0].stands].min() >= vigour[~nature.foliage[0].stands].max()
    nature.pull("p0")
    assert nature.foliage[0].total == 0


def test_young_plants_bear_where_worn_ones_stood() -> None:
    nature = opened()
    came = sow_cups(nature, "cups", "cucumber_slicing", 6, 200.0)
    assert 0 <= came <= 6
    watered(nature, 15)
    nature.pull("p0")
    set_out(nature, Planting("p9", "new", "cucumber_slicing", min(came, 4), "b0"), "cups")
    assert nature.cups["cups"].plants == came - min(came, 4)
    day = nature.today
    watered(nature, 20)
    assert nature.borne_kg("p9", day, day + timedelta(days=15)) == 0  # not before it has flowered
    watered(nature, 50)
    assert nature.borne_kg("p9", day, nature.today - timedelta(days=1)) > 0
    assert nature.truth(WHITEFLY).shape[0] == 3  # insects find it, with the rest


def test_what_is_sown_in_place_comes_later_than_what_is_set_out() -> None:
    first = {}
    for way in ("sown", "cups"):
        nature = opened(3)
        sow_cups(nature, "cups", "summer_squash", 8, 200.0)
        watered(nature, 17)
        nature.pull("p1")
        one = Planting("p9", "new", "summer_squash", 3, "b1")
        if way == "sown":
            sow(nature, one)
        else:
            set_out(nature, one, "cups")
        day = nature.today
        watered(nature, 80)
        borne = [nature.borne_kg("p9", d, d) for d in (day + timedelta(days=n) for n in range(80))]
        first[way] = next(n for n, kg in enumerate(borne) if kg > 0)
    assert first["cups"] + 8 < first["sown"]


def test_a_young_plant_loses_by_waiting_past_the_wall_of_its_cup() -> None:
    crop = TABLES.crops["cucumber_slicing"]
    cups = [throw_cups(crop, 40, 200.0, streams(5)("cups")) for _ in range(2)]
    hours = np.full(24, 25.0)
    for days, lot in zip((14, 40), cups, strict=True):
        for _ in range(days):
            lot.a_day_on(hours)
    (young, whole), (old, kept) = (lot.take(lot.plants) for lot in cups)
    assert cups[0].heat == pytest.approx(14 * 13)  # thirteen degrees above its base, each day
    assert (whole > 0.95).all()
    assert (kept < whole).all()
    assert (kept >= 1 - cups[1].most).all()
    wall = cups[1].heat - (young - old) / CHECKED
    assert young > old and wall > 0
    with pytest.raises(InputError, match="not hold that many"):
        cups[0].take(1)


def test_a_larger_cup_lasts_longer() -> None:
    crop = TABLES.crops["cucumber_slicing"]
    small, large = (throw_cups(crop, 9, ml, streams(6)("cups")) for ml in (200.0, 500.0))
    assert (large.wall > small.wall).all()


def test_two_plantings_crowd_one_bed_and_one_alone_does_not() -> None:
    nature = opened(plants=20)
    assert (nature._room() == 1).all()
    one = Planting("p9", "new", "summer_squash", 6, "b0")
    sow(nature, one)
    nature.foliage[2].stands[:] = True
    assert nature._room()[0] == nature._room()[2] < 1
    assert nature._room()[1] == 1
    nature.pull("p0")
    assert nature._room()[2] == 1
    with pytest.raises(InputError, match="a planting of this name"):
        sow(nature, one)


@pytest.mark.parametrize("crop", ["bean_bush", "summer_squash"])
def test_first_fruit_comes_after_the_days_and_the_weather_the_table_has(crop: str) -> None:
    """Bush beans took 444 to 644 C d above 10 C from sowing (osu1969); courgettes 45 to 58 d."""
    row = TABLES.crops[crop]
    mean = 20.0 if crop == "bean_bush" else 23.0
    firsts = []
    for n in range(60):
        rng = np.random.default_rng(n)
        fruit = throw_fruiting(row, 6, rng, sown=True)
        assert fruit is not None
        days = 0
        while not (fruit.grown >= fruit.needs).any():
            fruit.a_day_on(np.full(24, mean), 1.0, 1.0, 1.0, np.ones(6, dtype=bool), rng)
            days += 1
        firsts.append(days)
    above = 10.0 if crop == "bean_bush" else row.t_base.value  # the base of the source's heat
    heat = np.array(firsts) * (mean - above)
    low, high = (444, 644) if crop == "bean_bush" else (45 * 15, 58 * 15)
    assert 0.85 * low < np.quantile(heat, 0.05) and np.quantile(heat, 0.95) < 1.1 * high
    assert low < np.median(heat) < high
