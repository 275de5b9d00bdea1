"""Aphids counted in June on peppers of April: what bears in August is fought for now.

Common practice: soap as soon as they are found, again weekly, and the plants are kept.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.season_facts import NEAR_DAYS
from lattermath.desk.start import start
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = """format = 1
season = 2026
weather = ["days.csv"]
[place]
country = "PT"
name = "Horta do Poco"
latitude = 38.9
longitude = -9.2
altitude_m = 80
time_zone = "Europe/Lisbon"
usual_first_frost = "12-10"
[household]
worth_of_hour = 2
[visiting]
days = ["mon", "thu", "sat"]
arrive = "19:30"
minutes = 90
[[planting]]
key = "peppers"
name = "Peppers"
crop = "pepper"
plants = 8
sown = 2026-04-14
in_bloom = false
[[shelf]]
key = "soap"
name = "Soap (invented)"
country = "PT"
active = "fatty acids"
form = "spray"
sold_to_amateurs = true
invented = true
re_entry_hours = 4
max_temperature_c = 30
rain_free_hours = 6
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
group = ""
litres_left = 20
[shelf.crops.pepper]
pre_harvest_days = 0
retreat_days = 7
season_max = "none"
rate_ml_per_l = 20
max_l_per_m2 = 0.2
plant_back_days = "none"
"""
COUNTED = (9, 4, 12, 2, 7, 5, 3, 9, 8, 3)


@pytest.fixture(scope="module")
def planned(few_draws: None, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plan]:
    folder = tmp_path_factory.mktemp("peppers")
    rng = np.random.default_rng(6)
    first = date(2026, 3, 1)
    lines = ["date,tmin_c,tmax_c,rain_mm"]
    for n in range(200):
        middle = 14 + 8 * np.sin((n - 20) / 200 * np.pi) + rng.normal(0, 1.5)
        lines.append(f"{first + timedelta(days=n)},{middle - 5:.1f},{middle + 5:.1f},0")
    (folder / "days.csv").write_text("\n".join(lines) + "\n")
    (folder / "plot.toml").write_text(FILE)
    start(folder, at=datetime(2026, 4, 14, 12, 0))
    seen = Sighting(
        "peppers", "green_peach_aphid", "count", looked_at=10, total=sum(COUNTED), counts=COUNTED
    )
    log(folder, seen, datetime(2026, 6, 13, 20, 5))
    return folder, plan(folder, date(2026, 6, 14))


def test_they_are_treated_and_kept(planned: tuple[Path, Plan]) -> None:
    _, made = planned
    (population,) = made.populations
    (verdict,) = made.verdicts
    soaped = [step.day for step in population.course if step.product == "soap"]
    assert len(soaped) >= 2
    assert verdict.choice != "pull"


def test_what_they_still_give_counts_on_going_on(planned: tuple[Path, Plan]) -> None:
    """Somebody who fights is not told the harvest of one who stops in July."""
    _, made = planned
    (verdict,) = made.verdicts
    chosen = next(one for one in verdict.options if one.fate == verdict.choice)
    assert chosen.kg.median > 0.5
    (population,) = made.populations
    reckoned = [one for one in population.because if one.says.startswith("reckoned on after")]
    assert len(reckoned) == 1
    assert "each ruled again before it comes" in reckoned[0].says


def test_far_evenings_are_planned_by_what_is_usual(planned: tuple[Path, Plan]) -> None:
    _, made = planned
    (population,) = made.populations
    days = [(step.day - date(2026, 6, 14)).days for step in population.course]
    assert any(day > NEAR_DAYS for day in days)
