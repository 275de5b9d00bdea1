"""Soiled produce of a plot, beside a count piece by piece from the same run of insects."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.belief.spoiled_pickings import ON_THE_PLANT_D, in_draws
from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Searched, cluster_of
from lattermath.desk.insect_course import search
from lattermath.desk.insect_work import insect_part
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.spoiled_produce import COMING_DAYS, spoiled_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.spoiled import Spoiled

pytestmark = pytest.mark.usefixtures("few_draws")

ON, LOOKED = date(2011, 7, 26), datetime(2011, 7, 24, 19, 0)
APHID = "green_peach_aphid"
PLOT = f"""{PLACE}[water]
hose = true
[household]
people = 4
[[bed]]
name = "A"
x_m = 0
y_m = 0
length_m = 4.0
width_m = 1.2
[[planting]]
name = "Curly kale"
crop = "kale"
plants = 8
bed = "A"
set_out = 2011-05-20
[[planting]]
name = "Potatoes"
crop = "potato"
plants = 6
bed = "A"
sown = 2011-05-01
"""


@pytest.fixture(scope="module")
def searched(tmp_path_factory: pytest.TempPathFactory) -> Searched:
    plot = Path(tmp_path_factory.mktemp("soiled"))
    opened(plot, PLOT)
    for name in ("Curly kale", "Potatoes"):
        key = planting_key(plot_now(plot), name)
        log(plot, Sighting(key, APHID, "count", "", "underside", 10, total=60), LOOKED)
    with open_journal(folder_at(plot)) as journal:
        facts = facts_of(folder_at(plot), journal, ON, None)
    beliefs = believe_crops(facts, growing_season(facts))
    belief = believe_insects(facts, APHID)
    assert belief is not None
    return search(cluster_of(facts, belief, beliefs, permits_of(facts, beliefs)), ())


def account(searched: Searched) -> tuple[Spoiled, ...]:
    cluster = searched.cluster
    return spoiled_of(cluster.facts, cluster.belief, cluster.task.stakes, searched.found)


def by_hand(searched: Searched, run: np.ndarray, place: int) -> np.ndarray:
    """Soiled share of the coming pickings by draw, day after day, every aphid eating alike."""
    cluster = searched.cluster
    belief, stand = cluster.belief, cluster.belief.stands[place]
    spoils = belief.life.figures.habits.spoils("leaves")
    figures = in_draws(spoils.soils, belief.n_draws)
    leaf = stand.all_leaves * stand.leaf_cm2
    bearing = cluster.task.stakes.bearing[place]
    shares = []
    for draw in range(belief.n_draws):
        behind = [day.sum() / leaf for day in belief.past[draw, place, :-1]]
        days = behind + [day.sum() / leaf for day in run[draw, place]]
        spoiled = given = 0.0
        for ahead in range(COMING_DAYS):
            if not belief.standing[draw, belief.today + ahead, place]:
                continue
            until = len(behind) + ahead + 1
            fed = sum(days[max(0, until - ON_THE_PLANT_D["leaves"]) : until])
            spoiled += bearing[ahead] * (1 - 0.95 ** (fed / figures[draw]))
            given += bearing[ahead]
        shares.append(spoiled / given)
    return np.array(shares)


def test_the_account_is_that_of_picking_day_by_day(searched) -> None:
    """Kale is eaten as leaves; of potatoes nothing that aphids sit on is eaten."""
    belief = searched.cluster.belief
    (kale,) = account(searched)
    place = next(n for n, stand in enumerate(belief.stands) if stand.key == kale.planting)
    runs = ((kale.soiled_if_left, searched.found.without), (kale.soiled, searched.found.with_it))
    for span, run in runs:
        low, middle, high = np.quantile(by_hand(searched, run, place), [0.1, 0.5, 0.9])
        assert (span.low, span.median, span.high) == pytest.approx((low, middle, high), rel=1e-3)


def test_a_course_spoils_less_and_the_sheet_says_what_to_do(searched) -> None:
    (kale,) = account(searched)
    assert searched.found.steps and kale.soiled.median < kale.soiled_if_left.median
    assert kale.thrown_if_left.median <= kale.soiled_if_left.median
    told = insect_part(searched).tell().population
    assert told.spoiled == (kale,)
    assert "Of what you pick on Curly kale" in told.says and ": rinse" in told.says
    assert any("habits/green_peach_aphid/soils.leaves" in str(b.rests_on) for b in told.because)
