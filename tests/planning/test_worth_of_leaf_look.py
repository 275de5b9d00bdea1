"""What a look at leaves is worth: beside looks that are thrown, and at its ends."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import special
from tests.belief.test_leaf_disease import believe, severity
from tests.planning.test_leaf_disease_courses import task

from lattermath.belief.coming_leaf_look import UP_TO, found_from, leaf_look_chances
from lattermath.belief.leaf_disease_sightings import LEAF_ILL_AT, LOOK_SD
from lattermath.planning.leaf_disease_courses import (
    damage_in_draws,
    search_leaf_course,
    work_of_series,
)
from lattermath.planning.looking import looking_tasks, not_worth_looking
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_leaf_look import _here, leaf_looks_worth
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, ruling

A_DAY = date(2025, 8, 5)


def doubtful():
    """Little was seen, and not lately: it may be one per cent by now, or ten."""
    return believe([(36, severity(0.3, "whole")), (37, severity(0.5, "whole"))])


def looked(true: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Outcomes of thrown looks at ten leaves: none shows it, or a severity said with its error."""
    true = np.clip(true, 1e-7, 1 - 1e-7)
    ill = np.minimum(10 * true / LEAF_ILL_AT, 30.0)
    found = 1 - np.exp(-ill)
    sd = np.sqrt(LOOK_SD**2 + 1 / (1 + ill))
    middle = special.logit(np.clip(true / found, 1e-7, 1 - 1e-7))
    said = 100 * special.expit(middle + sd * rng.standard_normal(len(true)))
    return np.where(rng.random(len(true)) > found, 0, 1 + np.searchsorted(UP_TO, said))


def test_chances_sum_to_one_and_are_those_of_thrown_looks() -> None:
    true = np.array([0.0, 1e-4, 0.002, 0.02, 0.2, 0.9])
    chances = leaf_look_chances(true, 10)
    assert chances.sum(1) == pytest.approx(1.0)
    for n, share in enumerate(true):
        outcome = looked(np.full(40_000, share), np.random.default_rng(n))
        thrown = np.bincount(outcome, minlength=chances.shape[1]) / 40_000
        assert np.abs(thrown - chances[n]).max() < 0.01


def test_ten_leaves_find_it_from_the_severity_told() -> None:
    at = np.array([found_from(10) / 100])
    assert leaf_look_chances(at, 10)[0, 0] == pytest.approx(0.05, rel=1e-6)


def test_the_worth_is_that_of_thrown_looks() -> None:
    """Ten thousand looks thrown from the draws, the cheapest choice after each outcome."""
    asked = task(doubtful(), portions=(50.0, 40.0))
    found = search_leaf_course(asked)
    worth = leaf_looks_worth(asked, found, [0])[0]
    assert worth.minutes > 0
    choices = list(dict.fromkeys([found.steps, (), *_here(asked, found.steps, 0)]))
    costs = np.stack(
        [damage_in_draws(asked, asked.run(s)) + work_of_series(asked, s) for s in choices], axis=1
    )
    there = found.without[:, 0, asked.visits[0] - asked.belief.today].mean(-1)
    rng = np.random.default_rng(11)
    draws = np.tile(np.arange(len(there)), 400)
    outcome = looked(there[draws], rng)
    after = sum(costs[draws[outcome == o]].sum(0).min() for o in np.unique(outcome)) / len(draws)
    thrown = (costs.mean(0).min() - after) / asked.minute_cost
    assert worth.minutes == pytest.approx(thrown, rel=0.05, abs=0.2)


def test_a_look_that_can_change_nothing_is_worth_nothing() -> None:
    barred = task(doubtful(), lambda *_: ruling([Because("no", False, "label")]))
    found = search_leaf_course(barred)
    worth = leaf_looks_worth(barred, found, [0, 1])
    assert all(one.minutes == 0 and one.severity is None for one in worth.values())


def test_what_is_known_is_worth_less_than_what_is_in_doubt() -> None:
    sure = believe([(d, severity(12.0, "whole")) for d in (44, 46, 47, 48, 49)])
    known, open_ = (
        leaf_looks_worth(one, search_leaf_course(one), [0])[0].minutes
        for one in (task(belief, portions=(60.0, 40.0)) for belief in (sure, doubtful()))
    )
    assert known < open_


def watch(worth: LookWorth | None) -> Watch:
    """A mildew looked for eight days ago."""
    planting = Planting("p", "Courgettes", "summer_squash", 3)
    looked = A_DAY - timedelta(days=8)
    return Watch("cucurbit_powdery_mildew", "powdery mildew", planting, looked, True, worth=worth)


def test_a_look_at_leaves_is_ranked_and_left_out_by_its_worth() -> None:
    paying = watch(LookWorth(30.0, 0.4, None, "treat", "leave it", 5.0))
    (job,) = looking_tasks(A_DAY, [paying])
    assert any("treat from 5 % of the leaf, else leave it" in b.says for b in job.because)
    idle = watch(LookWorth(0.5, 0.03))
    assert looking_tasks(A_DAY, [idle]) == []
    assert not_worth_looking(A_DAY, [idle])
    other = replace(paying, planting=Planting("q", "Melons", "melon", 3),
                    worth=LookWorth(60.0, 0.4))  # fmt: skip
    assert [job.planting for job in looking_tasks(A_DAY, [paying, other])] == ["q", "p"]
