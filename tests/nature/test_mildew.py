"""Colonies on leaves against what the tables say of the disease, and against a pencil."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from tests.nature.nature_cases import BEGINS, TABLES, plot_of, steady, streams

from lattermath.nature.foliage import throw_foliage
from lattermath.nature.mildew import Mildew, throw_mildew
from lattermath.nature.opening import open_nature
from lattermath.nature.plot_life import Nature

MILDEW = "cucurbit_powdery_mildew"


def opened(seed: int = 1, mean_c: float = 23.0) -> Nature:
    plot = plot_of("summer_squash", "cucumber_slicing", "eggplant")
    return open_nature(TABLES, plot, steady(mean_c, 5.0), BEGINS, (), streams(seed), (MILDEW,))


def one_colony(radius: float, latent: float = 2.0) -> Mildew:
    mildew = throw_mildew(TABLES, MILDEW, ["summer_squash"], streams(1)("throw"))
    for name, value in (("place", 0), ("plant", 0), ("leaf", 2)):
        setattr(mildew, name, np.array([value]))
    mildew.below = np.array([True])
    mildew.latent, mildew.radius = np.array([latent]), np.array([radius])
    return mildew


def test_one_colony_covers_its_circle_of_one_leaf() -> None:
    leaves = throw_foliage("summer_squash", "Cucurbitaceae", 1, 30.0, streams(1)("leaves"))
    below, above = one_colony(1.0).severity([leaves])[0]
    expected = (1 - np.exp(-np.pi / leaves.leaf_cm2)) / leaves.total
    assert below == pytest.approx(expected, rel=1e-9) and above == 0


def test_nothing_shows_before_the_latent_time_is_over() -> None:
    """Read: 3 to 7 days. At the best temperature all hours, it shows on that day and not before."""
    mildew = one_colony(0.05, latent=0.0)
    mildew.suits = np.zeros(1)  # no new ones
    leaves = throw_foliage("summer_squash", "Cucurbitaceae", 1, 30.0, streams(1)("leaves"))
    hours, shown = np.full(24, mildew.best_c), []
    for day in range(1, 15):
        mildew.live_a_day([leaves], hours, 200, streams(day)("live"))
        if mildew.severity([leaves]).any():
            shown.append(day)
    assert shown[0] == np.ceil(mildew.latent_days - 1e-9)
    assert 3 <= shown[0] <= 7


def test_it_comes_in_summer_spreads_and_spares_what_is_no_host() -> None:
    """Read: first seen late in July (Ontario); every summer. In mid-September it should be past
    the table's threshold for acting, 2 %, in most seasons; eggplant is no host."""
    worst = []
    for seed in range(6):
        nature = opened(seed)
        nature.step_to(BEGINS + timedelta(days=5))
        assert not nature.severity(MILDEW).any()
        nature.step_to(BEGINS + timedelta(days=105))
        severity = nature.severity(MILDEW)
        assert not severity[2].any()
        worst.append(severity[0].mean())
    assert np.median(worst) > 0.02


def test_it_grows_as_fast_as_the_table_says() -> None:
    """The table (judged from epidemics): 0.1 to 0.3 a day while little of the leaf is covered."""
    slopes = []
    for seed in range(6):
        nature, days, logs = opened(seed), [], []
        for day in range(30, 110, 2):
            nature.step_to(BEGINS + timedelta(days=day))
            share = nature.severity(MILDEW)[0].mean()
            if 0.001 < share < 0.08:
                days.append(day)
                logs.append(np.log(share / (1 - share)))
        if len(days) > 4:
            slopes.append(np.polyfit(days, logs, 1)[0])
    assert len(slopes) > 2
    assert 0.1 < np.median(slopes) < 0.3


def test_heat_stops_it() -> None:
    cool, hot = opened(2, 23.0), opened(2, 38.0)
    for nature in (cool, hot):
        nature.step_to(BEGINS + timedelta(days=80))
    assert hot.severity(MILDEW).sum() < 0.2 * cool.severity(MILDEW).sum()


def test_a_spray_kills_on_the_side_it_wets_and_no_other() -> None:
    nature = opened(3)
    nature.step_to(BEGINS + timedelta(days=80))
    before = nature.severity(MILDEW)[0]
    nature.treat(["p0"], "potassium_bicarbonate", ("top",), 0.9)
    after = nature.severity(MILDEW)[0]
    assert after[0] == before[0] > 0
    assert after[1] < 0.8 * before[1]


def test_a_look_says_about_what_is_there() -> None:
    nature = opened(3)
    nature.step_to(BEGINS + timedelta(days=85))
    true = 100 * nature.severity(MILDEW)[0, 1]
    said = []
    for day in range(86, 96):
        nature.step_to(BEGINS + timedelta(days=day))
        seen = nature.look_over("p0", MILDEW, 30, "top")
        assert seen is not None
        said.append(seen)
    assert 0.3 * true < np.median(said) < 4 * true + 5
