"""Caterpillars on heads: what is thrown away is priced, and a few of them are left alone.

Real weather of Champion, invented plants. Thresholds as published (University of Wisconsin, page
read: on heading plants act where 1 in 10 has a caterpillar; before, 3 to 5 in 10).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.belief.spoiled_pickings import in_draws
from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, cluster_of
from lattermath.desk.insect_course import search
from lattermath.desk.insect_work import insect_part
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.course_task import Step, losses_in_draws, run_course, work_of
from lattermath.vocabulary.events import Sighting

pytestmark = pytest.mark.usefixtures("few_draws")

ON, LOOKED = date(2011, 7, 26), datetime(2011, 7, 26, 9, 0)
WORM = "imported_cabbageworm"
PLANTS, HANGS = 8, 30
PLOT = f"""{PLACE}[household]
people = 4
[[bed]]
name = "A"
x_m = 0
y_m = 0
length_m = 4.0
width_m = 1.2
[[planting]]
name = "Broccoli"
crop = "broccoli"
plants = {PLANTS}
bed = "A"
set_out = 2011-06-10
[[shelf]]
key = "bt"
name = "Invented Bt"
active = "Bacillus thuringiensis subsp. kurstaki"
group = "11A"
country = "invented"
invented = true
sold_to_amateurs = true
re_entry_hours = 4
max_temperature_c = "none"
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "no bee wording"
sulfur_oil_gap_days = "none"
[shelf.crops."broccoli"]
pre_harvest_days = 0
retreat_days = 5
season_max = 3
rate_ml_per_l = 2
"""


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return opened(Path(tmp_path_factory.mktemp("heads")) / "plot", PLOT)


@cache
def counted(empty: Path, found: int) -> Cluster:
    """So many caterpillars on all eight plants."""
    plot = empty.with_name(f"plot {found}")
    plot.mkdir()
    for file in empty.iterdir():
        (plot / file.name).write_bytes(file.read_bytes())
    key = planting_key(plot_now(plot), "Broccoli")
    log(plot, Sighting(key, WORM, "count", "", "whole", PLANTS, total=found), LOOKED)
    with open_journal(folder_at(plot)) as journal:
        facts = facts_of(folder_at(plot), journal, ON, None)
    beliefs = believe_crops(facts, growing_season(facts))
    belief = believe_insects(facts, WORM)
    assert belief is not None
    return cluster_of(facts, belief, beliefs, permits_of(facts, beliefs))


def heads_home(cluster: Cluster, run: np.ndarray) -> np.ndarray:
    """Portions carried home in each draw: baskets filled day by day, spoiled heads sorted out."""
    belief, stakes = cluster.belief, cluster.task.stakes
    habits = cluster.facts.tables.habits[WORM]
    stand, eats = belief.stands[0], belief.life.figures.appetites
    leaf = stand.all_leaves * stand.leaf_cm2
    discards = in_draws(habits.spoils("heads").discards, belief.n_draws)
    bears = np.broadcast_to(stakes.bears()[:, 0], (belief.n_draws, stakes.bearing.shape[1]))
    home = np.zeros(belief.n_draws)
    for draw in range(belief.n_draws):
        behind = [day @ eats / leaf for day in belief.past[draw, 0, 1:]]
        days = behind + [day @ eats / leaf for day in run[draw, 0, 1:]]
        for ahead in range(bears.shape[1]):
            until = len(behind) + ahead + 1
            grown = 0.95 ** (sum(days[len(behind) : until]) / habits.days_for_5_percent.value)
            fit = 0.95 ** (sum(days[max(until - HANGS, 0) : until]) / discards[draw])
            home[draw] += bears[draw, ahead] * grown * fit
    return home


def test_what_is_saved_and_what_there_is_to_eat_are_those_of_sorting_heads(empty) -> None:
    cluster = counted(empty, 200)
    task = cluster.task
    (hand,) = (one for one in task.candidates if one.method == "hand_pick")
    steps = (Step(0, hand, (0,)), Step(1, hand, (0,)))
    alone, picked = (
        run_course(task.belief, some, task.visits, by_chance=False) for some in ((), steps)
    )
    saved = heads_home(cluster, picked) - heads_home(cluster, alone)
    lost = [losses_in_draws(task, some)[:, 0] for some in ((), steps)]
    assert lost[0] - lost[1] == pytest.approx(saved, rel=1e-6, abs=1e-6)
    part = insect_part(search(cluster, ()))
    (care,) = part.cares.values()
    whole = run_course(task.belief, (), task.visits)
    there = (care.left * task.stakes.bears()[:, 0]).sum(1)
    assert there == pytest.approx(heads_home(cluster, whole), rel=1e-6, abs=1e-6)


def test_thrown_heads_weigh_more_than_growth_that_fails(empty) -> None:
    """Broccoli with half its leaf eaten heads up all the same (Virginia, abstract read: 12
    caterpillars a plant took 55 % of the leaf and no head weight); what is spoiled is the head."""
    task = counted(empty, 200).task
    growth = replace(task, stakes=replace(task.stakes, thrown=None))
    all_, some = (float(losses_in_draws(one, ()).mean()) for one in (task, growth))
    assert all_ > 2 * some > 0


@pytest.mark.parametrize("found", [1, 2])
def test_a_few_are_not_worth_a_spray_nor_an_evening(empty, found) -> None:
    """One or two on eight plants, as where growers begin to act: no treatment of ours pays."""
    cluster = counted(empty, found)
    task = cluster.task
    assert not search(cluster, ()).found.steps
    alone = losses_in_draws(task, ()).mean()
    for one in task.candidates:
        step = (Step(0, one, (0,)),)
        assert alone - losses_in_draws(task, step).mean() < work_of(task, step) / 2


def test_hands_come_before_a_spray_that_takes_as_many(empty) -> None:
    """On a household that prices its hours low, many are picked off, and nothing is sprayed."""
    cluster = counted(empty, 200)
    cheap = replace(cluster, task=replace(cluster.task, minute_costs=0.2 / 60))
    used = {step.candidate.method for step in search(cheap, ()).found.steps}
    assert used == {"hand_pick"}
