"""Courses against insects and mildew on the same plants, beside all joint plans there are.

Real weather of Champion, invented plants and labels. The best joint plan is found by trying every
way of using oil and a fungicide at the first visits; each plan must be one that every ruling allows
with all its other treatments as given.
"""

from __future__ import annotations

import itertools
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import opened

from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, cluster_of
from lattermath.desk.insect_course import cost_of, search
from lattermath.desk.insect_sprayings import own_work
from lattermath.desk.joint_courses import search_together
from lattermath.desk.leaf_disease_belief import followed_diseases
from lattermath.desk.leaf_disease_course import LeafCase, leaf_case, search_leaf
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.permits import Permits, permits_of
from lattermath.desk.pests_together import Joint, search_all
from lattermath.desk.picking_rounds import pick_bars
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.course_task import Step
from lattermath.vocabulary.events import Sighting

ON, LOOKED = date(2011, 8, 6), datetime(2011, 8, 5, 19, 0)
OIL, OTHER = "neem_oil", "chlorothalonil"  # kept a week apart from oil by our caution
FLY, MILDEW = "greenhouse_whitefly", "cucurbit_powdery_mildew"
PLOT = """
format = 1
season = 2011
[place]
name = "Nowhere Lane"
latitude = 40.4
longitude = -101.73
time_zone = "America/Denver"
usual_first_frost = "10-05"
country = "invented"
[visiting]
days = ["tue", "sat"]
arrive = 16:00:00
minutes = 240
[garden]
bloom_near = false
[household]
people = 40
worth_of_treatment = 0.2
[[bed]]
key = "bed"
name = "bed"
x_m = 0.0
y_m = 0.0
length_m = 12.0
width_m = 1.2
[[planting]]
name = "Cucumbers"
crop = "cucumber"
plants = 40
set_out = 2011-06-25
bed = "bed"
in_bloom = false
"""
LABEL = """
[[shelf]]
key = "{active}"
name = "invented {active}"
active = "{active}"
country = "invented"
invented = true
re_entry_hours = 4
max_temperature_c = "none"
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = 14
consecutive_max = "none"
sold_to_amateurs = true
organic_input = true
[shelf.crops."cucumber"]
pre_harvest_days = {wait}
retreat_days = {retreat}
season_max = {most}
rate_ml_per_l = 10
max_l_per_m2 = "none"
plant_back_days = "none"
"""
VISITS = 5
DRAWS = 80  # every plan is run on each of them; the search still looks at fewer


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(tmp_path_factory.mktemp("both"))


def unseen(empty: Path, most: int, wait: int) -> Path:
    """The plot with these labels and nothing seen on it yet."""
    plot = empty / f"bare-{most}-{wait}"
    if not plot.exists():
        labels = [LABEL.format(active=a, retreat=3, most=most, wait=wait) for a in (OIL, OTHER)]
        opened(plot, PLOT + "".join(labels))
    return plot


def both(
    empty: Path, hour: float, flies: int, percent: float, most: int = 6, wait: int = 0
) -> tuple[Cluster, LeafCase, Permits]:
    """Whitefly and mildew on the same cucumbers, oil and one fungicide the only means.

    wait : days from either treatment to picking.
    """
    plot = empty / f"{hour:g}-{flies}-{percent:g}-{most}-{wait}"
    if plot.exists():
        shutil.rmtree(plot)
    shutil.copytree(unseen(empty, most, wait), plot)
    key = planting_key(plot_now(plot), "Cucumbers")
    log(plot, Sighting(key, FLY, "count", "nymph", "underside", 10, total=flies), LOOKED)
    log(plot, Sighting(key, MILDEW, "severity", "", "whole", 10, percent=percent), LOOKED)
    with open_journal(folder_at(plot)) as journal:
        facts = facts_of(folder_at(plot), journal, ON, None)
    household = replace(facts.plot.household, worth_of_hour=hour)
    facts = replace(
        facts,
        plot=replace(facts.plot, household=household),
        future_of_draw=facts.future_of_draw[:DRAWS],
    )
    beliefs = believe_crops(facts, growing_season(facts))
    permits = permits_of(facts, beliefs)
    permits = replace(permits, picks=pick_bars(facts, beliefs, permits))
    belief = believe_insects(facts, FLY)
    assert belief is not None
    cluster = cluster_of(facts, belief, beliefs, permits)
    oil = tuple(c for c in cluster.task.candidates if c.method == OIL)
    cluster = replace(
        cluster, task=replace(cluster.task, candidates=oil, visits=cluster.task.visits[:VISITS])
    )
    (disease,) = followed_diseases(facts)
    case = leaf_case(facts, disease, beliefs, permits)
    sprays = tuple(c for c in case.task.candidates if c.product is not None)
    task = replace(case.task, candidates=sprays, visits=case.task.visits[:VISITS])
    return cluster, replace(case, task=task), permits


def every_plan(cluster: Cluster, case: LeafCase, permits: Permits) -> Iterator[float]:
    """Total cost of every way to use oil, which helps both, and the other, that is allowed."""
    (oil,) = cluster.task.candidates
    sprays = {c.method: c for c in case.task.candidates}
    bare = search(replace(cluster, task=replace(cluster.task, candidates=())), ())
    bare = replace(bare, cluster=cluster, task=cluster.task)
    still = search_leaf(replace(case, task=replace(case.task, candidates=())), ())
    still = replace(still, case=case, task=case.task)
    for uses in itertools.product(("", "oil", OTHER), repeat=VISITS):
        mine = tuple(Step(v, oil, (0,)) for v in range(VISITS) if uses[v] == "oil")
        theirs = tuple(Step(v, sprays[OTHER], (0,)) for v, use in enumerate(uses) if use == OTHER)
        joint = Joint(
            (replace(bare, found=replace(bare.found, steps=mine)),),
            (replace(still, found=replace(still.found, steps=theirs)),),
        )
        if legal(joint, permits):
            yield joint.cost()


def legal(joint: Joint, permits: Permits) -> bool:
    """Does every ruling allow each treatment beside all the others, before it and after?"""
    facts, work = permits.facts, joint.work
    leaves = {evening.day: evening for evening in facts.evenings}
    for n, (day, one) in enumerate(work):
        others = [
            permits.applied(o.planting, o.method, o.product, leaves[d].leave)
            for m, (d, o) in enumerate(work)
            if m != n
        ]
        ruled = permits.rule(
            one.planting, one.method, one.product, leaves[day], one.minutes, others,
            generation_days=one.generation_days, watered=True,
        )  # fmt: skip
        if not ruled.allowed:
            return False
    return True


CASES = [(1.0, 300, 4.0), (1.0, 60, 15.0), (0.3, 900, 1.5), (0.5, 600, 20.0), (0.2, 100, 8.0),
         (8.0, 400, 10.0)]  # fmt: skip


@pytest.mark.parametrize(("hour", "flies", "percent"), CASES)
@pytest.mark.parametrize("most", [1, 6])
def test_the_joint_search_finds_what_enumeration_finds(empty, hour, flies, percent, most) -> None:
    found_as_good_as_enumerated(*both(empty, hour, flies, percent, most))


@pytest.mark.parametrize(("hour", "flies", "percent"), CASES[:4])
@pytest.mark.parametrize("wait", [4, 10])
def test_so_it_does_where_treating_bars_pickings(empty, hour, flies, percent, wait) -> None:
    found_as_good_as_enumerated(*both(empty, hour, flies, percent, wait=wait))


def found_as_good_as_enumerated(cluster: Cluster, case: LeafCase, permits: Permits) -> None:
    joint = search_all([cluster], [case], search_together, least=0.0)
    assert legal(joint, permits)
    costs = list(every_plan(cluster, case, permits))
    best, nothing = min(costs), costs[0]
    assert joint.cost() >= best - 1e-6
    gap = (joint.cost() - best) / max(nothing - best, 1e-9)
    assert gap <= 0.01 or joint.cost() - best <= 0.05
    priced_as_it_stands(joint)
    told = search_all([cluster], [case], search_together)  # without what gains less than is told
    assert legal(told, permits) and told.cost() - joint.cost() < 0.095
    priced_as_it_stands(told)


def priced_as_it_stands(joint: Joint) -> None:
    """What is told beside the course against insects costs so much more beside all that is done."""
    (one,), beside = joint.insects, joint.leaf_work(-1)

    def costs(steps: tuple[Step, ...]) -> float:
        tried = replace(one, found=replace(one.found, steps=steps))
        return cost_of(tried, beside) - one.task.saved_besides(steps)

    chosen = costs(one.found.steps)
    assert one.found.cost == pytest.approx(chosen)
    assert one.found.cost_of_nothing == pytest.approx(costs(()))
    for other in one.found.alternatives:
        assert other.cost == pytest.approx(costs(other.steps) - chosen, abs=1e-6)


def test_what_bars_is_worth_what_a_count_by_days_says(empty) -> None:
    """Cucumbers hang four days: each day's crop is walked to its picking, visit by visit."""
    cluster, case, _ = both(empty, 1.0, 300, 4.0, wait=10)
    bars, facts = cluster.rulings.bars, cluster.facts
    assert bars is not None
    (key,) = bars.picks
    one = bars.picks[key]
    visits = [(day - facts.today).days for day in facts.visits]
    first, third = visits[0], visits[2]
    closed = {v for v in visits if first < v <= first + 10 or third < v <= third + 10}

    def had(barred: set[int]) -> float:
        kept, hung = 0.0, 0  # the last day on which somebody took all that hung
        for day, portions in enumerate(one.bearing):
            hung = day if day in visits else hung  # barred ones are cleared and not eaten
            wait = next((v - day for v in visits if v > day and v not in barred), 999)
            slowed = 1 - one.slows if day - hung > 4 else 1.0
            kept += portions * slowed * (wait <= 4)
        return kept

    (oil,) = cluster.task.candidates
    steps = (Step(0, oil, (0,)), Step(2, oil, (0,)))
    lost = cluster.task.lost_picks(steps)
    assert lost == pytest.approx(had(set()) - had(closed), rel=1e-9)
    assert lost > 1.0
    assert lost < sum(cluster.task.lost_picks((step,)) for step in steps)  # what two bar goes once
    (spray,) = [c for c in case.task.candidates if c.method == OTHER]
    assert case.task.lost_picks((Step(0, spray, (0,)),)) == pytest.approx(
        cluster.task.lost_picks(steps[:1])
    )


def test_a_wait_too_long_for_what_it_saves_is_not_begun(empty) -> None:
    """With picking on the morrow it is sprayed; with sixty days to wait it is not."""
    for wait, sprayed in ((0, True), (60, False)):
        cluster, case, _ = both(empty, 1.0, 300, 4.0, wait=wait)
        joint = search_all([cluster], [case], search_together)
        assert bool(joint.work) is sprayed


def test_the_sheet_says_which_pickings_give(empty) -> None:
    cluster, _, _ = both(empty, 1.0, 300, 4.0, wait=4)
    bars = cluster.rulings.bars
    assert bars is not None
    (oil,) = cluster.task.candidates
    found = search(cluster, ())
    found = replace(found, found=replace(found.found, steps=(Step(0, oil, (0,)),)))
    (told,) = bars.told(own_work(found))
    assert told.says.startswith(
        "cucumbers barred Tue 9 Aug by invented neem_oil: the picking gives"
    )
    assert "kg»" in told.says
