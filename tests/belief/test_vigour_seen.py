"""What one word on a planting says: against plantings thrown and called by hand, and in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import autumn, dice

from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import draw_unknowns
from lattermath.belief.vigour_seen import BEFORE, BOUNDS, WORDS, said, seen_as
from lattermath.science.plant_recovery import CONDITIONS
from lattermath.vocabulary.plot import Planting

TODAY = date(2025, 7, 16)
THROWN = 400_000


def _called(share: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Words said of plantings, thrown apart from the code under test."""
    true = np.select([share >= b for b in BOUNDS], [0, 1, 2], 3)
    weights = np.array([[0.80, 0.12, 0.02, 0.005][abs(a - b)] for a in range(4) for b in range(4)])
    table = weights.reshape(4, 4)
    table = table / table.sum(1, keepdims=True)
    steps = np.cumsum(table[true], axis=1)
    return (rng.random(len(share))[:, None] > steps).sum(1)


@pytest.mark.parametrize("word", ["tired", "worn", "failing"])
@pytest.mark.parametrize("days", [-40.0, 10.0, 45.0])
def test_as_many_are_ill_as_of_plantings_thrown_and_called_so(word: str, days: float) -> None:
    """Courgettes of one age: condition, peak and end are thrown, a word is said, and all that got
    this word are looked at."""
    traits = autumn(TODAY).traits("summer_squash")
    rng = np.random.default_rng(3)
    unknowns = draw_unknowns(traits, THROWN, rng)
    ill = rng.choice(4, THROWN, p=BEFORE)
    lag = sum(traits.fruit_heat) / 2 / traits.picking_heat * rng.random(THROWN)
    age = days + lag
    peak, end = unknowns.peak_days, unknowns.end_days
    fall = np.clip((end - age) / (end - peak), 0, 1)
    own = np.where(age <= peak, 1.0, np.where(age < end, 0.1 + 0.9 * fall**1.5, 0.0))
    usual = np.array([CONDITIONS[w].bears for w in WORDS])
    heard = _called(own * usual[ill], rng) == WORDS.index(word)
    exact = np.bincount(ill[heard], minlength=4) / heard.sum()

    few = draw_unknowns(traits, 40_000, np.random.default_rng(4))
    found = seen_as(word, traits, few, np.full(40_000, days), np.random.default_rng(5))
    weight = np.exp(found.weight)
    share = np.bincount(found.condition, weight, minlength=4) / weight.sum()
    assert share == pytest.approx(exact, abs=0.015)
    assert weight.mean() == pytest.approx(heard.mean(), rel=0.03)
    ends = (few.end_days * weight).sum() / weight.sum()
    assert ends == pytest.approx(end[heard].mean(), abs=0.25)


def test_words_share_out_what_is_said() -> None:
    table = said(np.array([1.0, 0.7, 0.4, 0.1]))
    assert table.sum(1) == pytest.approx(1.0)
    assert (table.argmax(1) == np.arange(4)).all()
    assert table[0, 1] == pytest.approx(0.12 / 0.945)


def test_one_tired_glance_at_young_plants_is_half_believed() -> None:
    season = autumn(TODAY)
    young = Planting("t", "T", "tomato_indeterminate", 3, set_out=TODAY - timedelta(days=40))
    sound = believe(young, season, [], dice)
    tired = believe(replace(young, vigour="tired"), season, [], dice)
    share = (tired.condition.bears < 1).mean()
    assert 0.35 < share < 0.65
    ahead = slice(season.weather.today, None)
    left = (tired.kg[:, ahead].sum(1) * tired.condition.bears).mean()
    assert left > 0.8 * sound.kg[:, ahead].sum(1).mean()


def test_a_tired_look_of_old_plants_is_mostly_their_age() -> None:
    """Cucumbers three weeks past their peak look tired because they are old."""
    season = autumn(TODAY)
    old = Planting("c", "C", "cucumber_slicing", 4, bearing_since=TODAY - timedelta(days=28))
    young = replace(old, bearing_since=TODAY - timedelta(days=3))
    ills = [
        (believe(replace(one, vigour="worn"), season, [], dice).condition.bears < 1).mean()
        for one in (old, young)
    ]
    assert ills[0] < 0.45 < 0.65 < ills[1]
