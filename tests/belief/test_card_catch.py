"""Counts on sticky cards as evidence: what is expected, what they move, and what they cannot."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats
from tests.belief.cluster_cases import LIFE, TABLES, believe, plot_of, scales, stands

from lattermath.belief.card_catch import CARD_SD, CAUGHT_A_DAY, LEAVES_OF_A_CARD, catch_of
from lattermath.belief.cluster_plantings import stands_of
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.count_likelihood import size_of, total_log_likelihood
from lattermath.belief.life_figures import read_life
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting


def card(planting: str, counts: tuple[int, ...], days: int, what: str = "") -> Sighting:
    return Sighting(planting, what or "greenhouse_whitefly", "card", "adult", "whole",
                    len(counts), counts, days=days)  # fmt: skip


def test_twenty_beetles_in_two_days_are_one_a_plant() -> None:
    """Lam and Foster 2005, as in the table: 20 beetles a card in 48 h, about one a plant."""
    row = TABLES.organisms["striped_cucumber_beetle"]
    life = read_life(row, TABLES.constants["defaults"].figures, TABLES.habits[row.id])
    homes = stands_of(
        plot_of(Planting("c", "C", "cucumber_slicing", 8, "a")), life, TABLES.crosswalk
    )
    seen = read_sighting(card("c", (20,), 2, row.id), 40, 1, homes, life)
    one_a_plant = np.array([[8.0 if s == life.adult else 0.0 for s in life.stages]])
    assert seen is not None
    assert seen.expected(one_a_plant, np.ones(1))[0] == pytest.approx(20)


def test_it_is_evidence_of_the_adults_of_its_middle_day_and_of_nothing_else() -> None:
    homes = stands()
    seen = read_sighting(card("cucumbers", (6, 9), 7), 40, 1, homes, LIFE.figures)
    assert seen is not None and (seen.day, seen.total) == (37, 15)
    young = np.array([[0.0 if s == "adult" else 500.0 for s in LIFE.stages]])
    assert seen.expected(young, np.ones(1))[0] == 0
    adults = np.array([[10.0 * (s == "adult") for s in LIFE.stages]])
    twice = [seen.expected(adults, np.full(1, eyes))[0] for eyes in (0.5, 2.0)]
    assert twice[0] == twice[1] == pytest.approx(0.5 * 7 * 2 * 10 / 4)


def test_its_chance_is_a_wide_negative_binomial() -> None:
    """The same by another library, with the card's own spread and not a leaf's."""
    seen = read_sighting(card("cucumbers", (14,), 7), 40, 1, stands(), LIFE.figures)
    mean = np.array([3.0, 14.0, 90.0])
    size = size_of(mean, LEAVES_OF_A_CARD, CARD_SD)
    wanted = stats.nbinom.logpmf(14, size, size / (size + mean))
    assert seen is not None and seen.of_expected(mean) == pytest.approx(wanted)
    assert np.all(size < size_of(mean, LEAVES_OF_A_CARD))


def test_many_on_a_card_are_more_adults_believed() -> None:
    adult = LIFE.stages.index("adult")
    before = [(38, scales("cucumbers", 20))]
    with_card = {n: believe([*before, (49, card("cucumbers", (n,), 7))]) for n in (0, 200)}
    adults = {n: np.log(b.per_leaf()[:, 0, adult] + 1e-9) for n, b in with_card.items()}
    assert np.median(adults[200]) > np.median(adults[0]) + 0.5


def test_none_on_a_card_says_less_than_none_on_leaves_where_as_many_were_expected() -> None:
    """Odds of 5 against 50, with none seen on one card and on the ten leaves that it stands for."""
    none = read_sighting(card("cucumbers", (0,), 7), 40, 1, stands(), LIFE.figures)
    assert none is not None
    on_card, on_leaves = (
        float(np.diff(log)[0])
        for log in (
            none.of_expected(np.array([50.0, 5.0])),
            total_log_likelihood(np.array([50.0, 5.0]), 0, LEAVES_OF_A_CARD),
        )
    )
    assert 0 < on_card < on_leaves


def test_of_what_does_not_fly_to_it_a_card_says_nothing() -> None:
    flying = {key for key, row in TABLES.organisms.items() if catch_of(row) is not None}
    assert flying == {*CAUGHT_A_DAY, "striped_cucumber_beetle"}
    unread = card("cucumbers", (5,), 0)
    assert read_sighting(unread, 40, 1, stands(), LIFE.figures) is None
