"""Ground in which a disease lives on gets none of its hosts: the worked case is clubroot."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Pulling, Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

SEEN, ON = datetime(2011, 7, 12, 19, 0), date(2011, 7, 13)
PLOT = """
format = 1
season = 2011
[place]
name = "Nowhere Lane"
latitude = 40.4
longitude = -101.73
time_zone = "America/Denver"
usual_first_frost = "10-08"
[[bed]]
name = "North"
length_m = 3.0
width_m = 1.2
[[planting]]
name = "Kale"
crop = "kale"
plants = 8
bed = "North"
set_out = 2011-05-10
[[lot]]
name = "Young kale"
crop = "kale"
plants = 8
sown = 2011-06-16
[[tin.packet]]
crop = "broccoli"
seeds = 60
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[bool, Plan]:
    """The plan after the kale came out: with clubroot seen on its roots, and without."""
    plans = {}
    for sick in (True, False):
        there = Path(tmp_path_factory.mktemp("rest")) / "plot"
        opened(there, PLOT, datetime(2011, 7, 1, 12, 0))
        if sick:
            log(there, Sighting("kale", "clubroot", "first seen", "", "whole"), SEEN)
        log(there, Pulling("kale", 8, "bagged off the plot"), SEEN)
        plans[sick] = plan(there, ON)
    return plans


def goes_in(plan: Plan) -> set[str]:
    tasks = [task for visit in plan.visits for task in visit.tasks]
    return {task.goes_in.crop for task in tasks if task.goes_in is not None}


def test_sound_ground_takes_the_kale(made: dict[bool, Plan]) -> None:
    assert "kale" in goes_in(made[False])


def test_ground_with_clubroot_takes_no_brassica_and_says_so(made: dict[bool, Plan]) -> None:
    assert not goes_in(made[True]) & {"kale", "broccoli"}
    assert any("Clubroot stays in the soil" in warning for warning in made[True].warnings)
    (bed,) = [one for one in made[True].bare if one.whole]
    reasons = " ".join(reason.says for reason in bed.because) + bed.says
    assert "clubroot stays in this ground" in reasons.lower()
