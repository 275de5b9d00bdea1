"""Adults from outside come on warm days, and hardly where the insect is not at home."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.belief.cluster_cases import TODAY, believe, scales, sky
from tests.seasons.champion import PLACE, opened

from lattermath.belief.life_history import arriving
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

FILE = (
    PLACE
    + """region = "{region}"
[[planting]]
key = "courgettes"
name = "Courgettes"
crop = "courgette"
plants = 4
set_out = 2011-06-04
"""
)


def test_nothing_flies_in_on_cold_days() -> None:
    """Noldus (O17): no flight below about 12 C."""
    seen = [(TODAY - 5, scales("cucumbers", 20))]
    warm, cold = believe(seen, weather=sky(23.0)), believe(seen, weather=sky(6.0))
    assert cold.setting.arrivals.sum() < 0.02 * warm.setting.arrivals.sum()
    assert (warm.setting.arrivals >= 0).all()
    assert np.isfinite(warm.setting.arrivals).all()


def planned(folder: Path, region: str) -> Plan:
    opened(folder, FILE.format(region=region))
    seen = Sighting("courgettes", "squash bug", "count", "adult", counts=(1, 0, 2))
    log(folder, seen, datetime(2011, 7, 29, 19, 0))
    return plan(folder, date(2011, 7, 30))


@pytest.mark.parametrize(
    ("region", "strange"), [("north_america", False), ("europe", True), ("general", False)]
)
def test_a_stranger_is_to_be_named_first(tmp_path: Path, region: str, strange: bool) -> None:
    made = planned(tmp_path / "plot", region)
    says = next(p.says for p in made.populations if p.organism == "squash_bug")
    assert ("not known from here" in says) == strange


@pytest.mark.parametrize(
    ("kind", "inside", "outside"),
    [
        ("cabbage_looper", date(2011, 8, 15), date(2011, 6, 15)),  # from mid to late summer
        ("cabbage_whitefly", date(2011, 6, 15), date(2011, 9, 15)),  # May to July
        ("flea_beetles", date(2011, 8, 15), date(2011, 10, 15)),  # gone by mid September
        ("squash_vine_borer", date(2011, 7, 15), date(2011, 5, 15)),  # moths about late June
    ],
)
def test_they_fly_in_when_their_sources_say(kind: str, inside: date, outside: date) -> None:
    days = np.array([d.timetuple().tm_yday for d in (inside, outside)], dtype=np.float64)
    season = arriving(*load_tables().habits[kind].arrives, days)
    assert season == pytest.approx([1.0, 0.1])
