"""Adults from outside come on warm days, and hardly where the insect is not at home."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.belief.cluster_cases import TODAY, believe, scales, sky
from tests.seasons.champion import PLACE, opened

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

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
