"""Insects and leaf diseases on random small plots: the audit reads every joint plan whole.

The audit shares no code with the rulings. Here it is not shown the two visits of a sheet but every
treatment of every course, each at its hour, as if all of it were done; and it must find nothing.
Everything is invented but the weather.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from tests.audit.random_plots import NEEDED_MM, STAMP
from tests.planning.label_cases import CAUTIONS
from tests.seasons.random_plots import WEATHER

from lattermath.audit.plan_audit import audit
from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.fillings import filled
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, cluster_of
from lattermath.desk.joint_courses import search_together
from lattermath.desk.leaf_disease_belief import followed_diseases
from lattermath.desk.leaf_disease_course import leaf_case
from lattermath.desk.log_visit import log
from lattermath.desk.permits import Permits, permits_of
from lattermath.desk.pests_together import Joint, search_all
from lattermath.desk.plan_closed import closed
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.evening_order import last_job_hours
from lattermath.planning.treating import Spraying, joined, treating_task
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.plan import Amount, Plan, Population, Span, Task, VisitPlan
from lattermath.vocabulary.season_series import Strip, Trace, Until, WaterCourse

LITRES = 3.0  # a millimetre on one planting

PLOTS = 8
DRAWS = 24  # what is ruled does not hang on how many; how good a course is, it does
WIDTH = (8, 3)
ORGANISMS = ("greenhouse_whitefly", "melon_aphid", "twospotted_spider_mite")
DISEASES = ("cucurbit_powdery_mildew", "cucurbit_downy_mildew")
ACTIVES = ["soap", "neem_oil", "mineral_oil", "potassium_bicarbonate", "chlorothalonil",
           "copper_octanoate", "pyrethrins", "spinosad"]  # fmt: skip
NONE = '"none"'
CROPS = ["courgette", "cucumber", "melon"]
PLACE = """format = 1
season = {year}
[place]
name = "Somewhere"
latitude = 40.4
longitude = -101.7
time_zone = "America/Denver"
usual_first_frost = "10-10"
country = "invented"
[visiting]
days = {days}
minutes = {minutes}
arrive = 18:30:00
[garden]
bloom_near = false
[household]
people = 60
worth_of_hour = {hour}
worth_of_treatment = 0.05
"""


def plot_file(dice: random.Random, today: date) -> str:
    days = dice.choice([["tue", "sat"], ["mon", "wed", "fri"], ["tue", "thu", "sat", "sun"]])
    hour, minutes = dice.choice([0.2, 0.5, 2.0]), dice.choice([60, 120, 180])
    parts = [PLACE.format(year=today.year, days=days, minutes=minutes, hour=hour)]
    beds = dice.choice([1, 1, 2])
    for n in range(beds):
        parts.append(f'[[bed]]\nkey = "bed{n}"\nname = "bed {n}"\nx_m = 0.0\ny_m = {n * 3.0}\n'
                     "length_m = 5.0\nwidth_m = 1.2\n")  # fmt: skip
    for n in range(dice.randint(1, 3)):
        began = today - timedelta(days=dice.randint(35, 50))
        parts.append(f'[[planting]]\nkey = "p{n}"\nname = "Planting {n}"\n'
                     f'crop = "{dice.choice(CROPS)}"\nplants = {dice.randint(2, 5)}\n'
                     f'set_out = {began}\nbed = "bed{dice.randrange(beds)}"\n'
                     "in_bloom = false\n")  # fmt: skip
    parts += [label(dice, active) for active in dice.sample(ACTIVES, dice.randint(2, 4))]
    return "\n".join(parts)


def label(dice: random.Random, active: str) -> str:
    over, scope = dice.choice(["crop", "ground", "year"]), dice.choice(["product", "active"])
    text = (
        f'[[shelf]]\nkey = "{active}"\nname = "Product {active}"\nactive = "{active}"\n'
        f'country = "invented"\ninvented = true\nre_entry_hours = {dice.choice([0, 4, 24])}\n'
        'max_temperature_c = "none"\nrain_free_hours = "none"\nmax_wind_m_s = "none"\n'
        f'bloom = "evening only"\nsulfur_oil_gap_days = "none"\n'
        f"consecutive_max = {dice.choice(['1', '2', NONE])}\nsold_to_amateurs = true\n"
    )
    for crop in CROPS:
        text += (
            f'[shelf.crops."{crop}"]\npre_harvest_days = 0\n'
            f"retreat_days = {dice.choice([3, 7, 10])}\nseason_max = {dice.choice([1, 2, 4])}\n"
            f'season_max_over = "{over}"\nseason_max_scope = "{scope}"\n'
            'rate_ml_per_l = 10\nmax_l_per_m2 = "none"\nplant_back_days = "none"\n'
        )
    return text


def facts_thrown(seed: int, folder: Path) -> SeasonFacts:
    dice = random.Random(seed)
    today = date(dice.randint(2000, 2016), 7, 20) + timedelta(days=dice.randint(0, 25))
    text = plot_file(dice, today)
    (folder / "plot.toml").write_text(text)
    began = datetime.combine(today - timedelta(days=30), datetime.min.time()).replace(hour=8)
    start(folder, began.astimezone())
    take(folder, WEATHER, at=began.astimezone())
    at = datetime.combine(today - timedelta(days=1), datetime.min.time()).replace(hour=19)
    shelf = [line.split('"')[1] for line in text.splitlines() if line.startswith("active")]
    for n in range(text.count("[[planting]]")):
        for organism in dice.sample(ORGANISMS, dice.randint(1, 2)):
            total = dice.choice([20, 100, 600])
            log(folder, Sighting(f"p{n}", organism, "count", "", "underside", 10, total=total), at)
        for disease in dice.sample(DISEASES, dice.randint(1, 2)):
            percent = dice.choice([1.0, 4.0, 12.0])
            log(folder, Sighting(f"p{n}", disease, "severity", "", "whole", 10, percent=percent),
                at)  # fmt: skip
        if dice.random() < 0.3:
            log(folder, Treatment((f"p{n}",), "", dice.choice(shelf)), at - timedelta(days=3))
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, today, None)
    return replace(facts, future_of_draw=facts.future_of_draw[:DRAWS])


def searched_narrowly(cluster: Cluster) -> Cluster:
    """The same with few courses kept from visit to visit: any that is found must be allowed."""
    return replace(cluster, task=replace(cluster.task, width=WIDTH))


def joint_of(facts: SeasonFacts) -> tuple[Joint, Permits]:
    beliefs = believe_crops(facts, growing_season(facts))
    permits = permits_of(facts, beliefs)
    clusters = [
        searched_narrowly(cluster_of(facts, belief, beliefs, permits))
        for organism in ORGANISMS
        if (belief := believe_insects(facts, organism)) is not None
    ]
    cases = [leaf_case(facts, one, beliefs, permits) for one in followed_diseases(facts)]
    return search_all(clusters, cases, search_together), permits


def laid(
    facts: SeasonFacts, permits: Permits, evening: Evening, work: list[Spraying],
    before: list[Applied],
) -> VisitPlan:  # fmt: skip
    """Every treatment of one evening at its hour; a ruling that forbids one fails here."""
    late = [one for one in work if one.at_dusk]
    hours = last_job_hours(evening, sum(one.minutes for one in late))
    clock, tasks = evening.arrive, []
    for one in sorted(work, key=lambda one: (one.at_dusk, not one.on_arrival)):
        if one.at_dusk and hours is not None:
            clock = max(clock, hours[0])
        ruled = permits.rule(
            one.planting, one.method, one.product, evening, one.minutes, before, starts=clock,
            generation_days=one.generation_days, watered=True,
        )  # fmt: skip
        assert ruled.allowed, (evening.day, one.method, one.target, [b.says for b in ruled.bars])
        task = treating_task(evening.day, replace(one, ruling=ruled, amounts=()))
        assert task is not None
        ends = clock + timedelta(minutes=one.minutes)
        tasks.append(replace(task, starts=clock, ends=ends))
        before.append(permits.applied(one.planting, one.method, one.product, ends))
        clock = ends
    return VisitPlan(evening.day, evening.arrive, evening.leave, evening.sunset, "", 0.0,
                     tuple(tasks))  # fmt: skip


def ground_of(facts: SeasonFacts, permits: Permits) -> tuple[WaterCourse, ...]:
    """The water of every ground as the rulings have it: enough or none, evening by evening."""
    days = tuple(evening.day for evening in facts.evenings)
    found = []
    for planting in facts.plot.standing():
        dry = [permits.runs_dry(planting, day) for day in days]
        left = tuple(0.0 if one else 2 * NEEDED_MM for one in dry)
        now = Trace("left", days[:1], left[:1], left[:1], left[:1], "mm")
        ahead = Strip("left", days, left, left, left, (), "mm")
        due, full = (NEEDED_MM,) * len(days), (3 * NEEDED_MM,) * len(days)
        never = Until(None, None, None)
        found.append(WaterCourse(planting.key, LITRES, now, ahead, due, full, (), never))
    return tuple(found)


def poured(visit: VisitPlan, ground: Sequence[WaterCourse]) -> VisitPlan:
    """The visit with its water on arriving, for all whose ground has none that evening."""
    dry = [one for one in ground if not one.ahead.median[one.ahead.days.index(visit.date)]]
    shares = tuple(Amount("water", NEEDED_MM * LITRES, "l", planting=one.planting) for one in dry)
    at = visit.arrive
    water = Task("water", "water", "on arrival", "Water.", 0, starts=at, ends=at, amounts=shares)
    return replace(visit, tasks=(water, *visit.tasks)) if dry else visit


def whole_plan(facts: SeasonFacts, joint: Joint, permits: Permits) -> Plan:
    """All of it as one plan, laid on every coming evening, with the water that it rests on."""
    visits, before, ground = [], [], ground_of(facts, permits)
    for evening in facts.evenings:
        work = list(joined(one for day, one in joint.work if day == evening.day))
        if work:
            visit = filled(facts, laid(facts, permits, evening, work, before), {})
            visits.append(poured(visit, ground))
    nothing = Span(0, 0, 0, "1")
    living = tuple(
        Population(one.cluster.belief.organism, tuple(s.key for s in one.cluster.belief.stands),
                   "", (), (), "", nothing,
                   generation_days=one.cluster.rulings.generation_days)
        for one in joint.insects
    )  # fmt: skip
    shut = closed(facts.plot, facts.applied, facts.now, CAUTIONS, visits)
    return Plan(1, "plot", facts.now, tuple(visits), (), (), (), living, (), (), STAMP, closed=shut,
                water=ground)  # fmt: skip


SEEN: Counter[str] = Counter()


@pytest.mark.parametrize("seed", range(PLOTS))
def test_the_audit_finds_nothing_in_a_joint_plan(seed: int, tmp_path: Path) -> None:
    facts = facts_thrown(seed, tmp_path)
    joint, permits = joint_of(facts)
    plan = whole_plan(facts, joint, permits)
    SEEN["plots"] += 1
    SEEN["both"] += bool(joint.beside_insect(-1)) and bool(joint.leaf_work(-1))
    SEEN["treatments"] += sum(t.kind != "water" for v in plan.visits for t in v.tasks)
    faults = audit(plan, facts.plot, facts.events, facts.evenings)
    assert not faults, faults


def test_the_plots_put_the_question() -> None:
    """Where nothing met, nothing was tried."""
    if SEEN["plots"] < PLOTS:
        pytest.skip("only some of the plots were run here")
    assert SEEN["both"] >= PLOTS // 3 and SEEN["treatments"] >= 2 * PLOTS
