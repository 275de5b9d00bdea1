"""No course against insects for nothing told, beside costs of every course run by itself."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.test_pests_together import both
from tests.desk.test_too_little_to_mix import planned

from lattermath.desk.insect_cluster import Searched
from lattermath.desk.insect_course import cost_of
from lattermath.desk.joint_courses import search_together
from lattermath.desk.pests_together import Joint, search_all
from lattermath.planning.choices_told import others_told
from lattermath.planning.course_task import Step

TOLD = 0.095  # what is told as "under 0.1" [portions]


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(tmp_path_factory.mktemp("told"))


@pytest.fixture(scope="module")
def asked(empty: Path) -> Callable[..., Joint]:
    """Whitefly on cucumbers, no mildew reckoned with, oil the only means, at a price of an hour."""
    cluster, _, _ = both(empty, 1.0, 600, 1.0)

    def at(hour: float, least: float = TOLD) -> Joint:
        task = replace(cluster.task, minute_costs=hour / 60)
        return search_all([replace(cluster, task=task)], [], search_together, least=least)

    return at


def costs(one: Searched, steps: tuple[Step, ...]) -> float:
    """A course run by itself on all draws. [portions]"""
    return cost_of(replace(one, found=replace(one.found, steps=steps)), ())


def test_work_that_gains_less_than_is_told_is_not_planned(asked: Callable[..., Joint]) -> None:
    """By halving: the dearest hour at which any work is worth its minutes gains next to none."""
    low, high = 0.1, 60.0
    for _ in range(10):
        middle = (low * high) ** 0.5
        any_ = asked(middle, 0.0).insects[0].found.steps
        low, high = (middle, high) if any_ else (low, middle)
    (hardly,) = asked(low, 0.0).insects
    gained = costs(hardly, ()) - costs(hardly, hardly.found.steps)
    assert hardly.found.steps and 0 < gained < TOLD
    (kept,) = asked(low).insects
    assert kept.found.steps == () and kept.found.cost == pytest.approx(costs(hardly, ()))
    told = [one.says for one in others_told(kept.found)]
    assert "begin now: makes no difference worth telling" in told


def test_no_step_stays_that_is_not_missed(asked: Callable[..., Joint]) -> None:
    """What is left out costs less in all than is told, and shorter it could not have been."""
    shorter = 0
    for hour in (0.2, 0.4, 0.6, 0.65, 0.8):
        (full,), (kept,) = asked(hour, 0.0).insects, asked(hour).insects
        mine, best = kept.found.steps, full.found.steps
        least = costs(full, best)
        assert set(mine) <= set(best)
        assert costs(kept, mine) - least < TOLD
        for k in range(len(mine)):
            rest = (*mine[:k], *mine[k + 1 :])
            assert costs(kept, rest) - least >= TOLD - 1e-9
        shorter += 0 < len(mine) < len(best)
    assert shorter


@pytest.mark.usefixtures("few_draws")
def test_what_doing_nothing_costs_has_its_range(tmp_path: Path) -> None:
    """An hour so dear that nothing is worth it; on a sheet the range stands beside the cost."""
    made = planned(tmp_path / "dear", '"none"', hour=60.0)
    says = [b.says for p in made.populations for b in p.because]
    (nothing,) = (one for one in says if one.startswith("do nothing, as is advised"))
    told = re.search(r"about ([\d.]+) portions? \((up to|([\d.]+) to) ([\d.]+)\)", nothing)
    assert told and float(told[3] or 0.0) < float(told[1]) < float(told[4])
