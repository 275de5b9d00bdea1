"""A course, or a reason against one, for every organism and every leaf disease of the tables."""

from __future__ import annotations

import tomllib
from datetime import datetime
from importlib.resources import files
from pathlib import Path

import pytest
from tests.seasons.test_every_organism import LOOKED, ON, PLACE, PLANTINGS, SEEN, resolve

from lattermath.belief.leaf_disease_effect import leaf_effect
from lattermath.desk.leaf_disease_belief import FOLLOWED
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

TABLES = load_tables()
MEANS = """
[visiting]
days = ["sat"]
arrive = 18:30:00
minutes = 120
[household]
worth_of_hour = 0.5
[means]
on_hand = ["vacuum", "fine mesh", "predatory mites", "lacewing larvae", "yellow cards"]
"""
CROPS = sorted({crop for crop, _ in PLANTINGS.values()})


def invented(active: str) -> str:
    """A label of no real product, which permits all it can."""
    crops = "".join(
        f'[shelf.crops."{crop}"]\npre_harvest_days = 0\nretreat_days = 5\nseason_max = 8\n'
        'rate_ml_per_l = 10\nmax_l_per_m2 = "none"\nplant_back_days = "none"\n'
        for crop in CROPS
    )
    return (
        f'[[shelf]]\nname = "invented {active}"\nactive = "{active}"\ninvented = true\n'
        're_entry_hours = 4\nmax_temperature_c = "none"\nrain_free_hours = "none"\n'
        'max_wind_m_s = "none"\nbloom = "evening only"\nsulfur_oil_gap_days = "none"\n'
        f"sold_to_amateurs = true\norganic_input = true\n{crops}"
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    plot = Path(tmp_path_factory.mktemp("means"))
    rows = "".join(
        f'\n[[planting]]\nname = "{name}"\ncrop = "{crop}"\nplants = {plants}\n'
        "set_out = 2011-06-01\nin_bloom = false\n"
        for name, (crop, plants) in PLANTINGS.items()
    )
    shelf = "".join(invented(active) for active in ("soap", "spinosad"))
    text = PLACE + MEANS + rows + shelf
    tomllib.loads(text)
    (plot / "plot.toml").write_text(text)
    start(plot, at=datetime(2011, 6, 1, 12, 0))
    weather = plot / "champion.csv"
    weather.write_bytes(files("lattermath.demo").joinpath("champion.csv").read_bytes())
    take(plot, weather)
    for organism, (planting, counts) in SEEN.items():
        log(plot, Sighting(resolve(plot, planting), organism, "count", counts=counts), LOOKED)
    return plan(plot, ON)


@pytest.mark.parametrize("organism", sorted(TABLES.organisms))
def test_every_organism_has_a_course_or_a_reason(made: Plan, organism: str) -> None:
    (one,) = [p for p in made.populations if p.organism == organism]
    barred = [reason for reason in one.because if not reason.holds]
    by_knife = "slit the stem lengthways above each hole, take the grub out" in one.course_says
    assert one.course or barred or "worth its work" in one.course_says or by_knife


def test_most_have_a_course_where_minutes_are_cheap(made: Plan) -> None:
    assert sum(bool(p.course) for p in made.populations) >= 13


def test_thrips_get_one(made: Plan) -> None:
    courses = {p.organism: p.course for p in made.populations}
    assert courses["onion_thrips"] and courses["western_flower_thrips"]


def test_means_without_a_pack_are_used(made: Plan) -> None:
    used = {step.method for p in made.populations for step in p.course}
    assert {"water_jet", "hand_pick"} <= used
    assert used & {"vacuum", "bag_enclosure", "row_cover", "phytoseiulus", "lacewing_ladybeetle"}


def test_cards_are_answered_and_no_course(made: Plan) -> None:
    (fly,) = [p for p in made.populations if p.organism == "greenhouse_whitefly"]
    assert any("yellow cards count the adults" in reason.says for reason in fly.because)
    assert all(step.method != "sticky_cards" for p in made.populations for step in p.course)


@pytest.mark.parametrize("disease", FOLLOWED)
def test_every_followed_disease_has_means_with_a_figure(disease: str) -> None:
    words = TABLES.crosswalk.targets[disease]
    found = [m.id for m in TABLES.methods.values() if leaf_effect(m, words) is not None]
    assert len(found) >= 2
