"""Adults from outside come on warm days, and hardly where the insect is not at home."""

from __future__ import annotations

from datetime import date, datetime
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from tests.belief.cluster_cases import TODAY, believe, scales, sky

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

FILE = """
format = 1
season = 2011
[place]
latitude = 40.4
longitude = -101.73
altitude_m = 1029
time_zone = "America/Denver"
usual_first_frost = "09-28"
region = "{region}"
[[planting]]
key = "courgettes"
name = "Courgettes"
crop = "courgette"
plants = 4
set_out = 2011-06-04
"""


def test_nothing_flies_in_on_cold_days() -> None:
    """Noldus (O17): no flight below about 12 C."""
    seen = [(TODAY - 5, scales("cucumbers", 20))]
    warm, cold = believe(seen, weather=sky(23.0)), believe(seen, weather=sky(6.0))
    assert cold.setting.arrivals.sum() < 0.02 * warm.setting.arrivals.sum()
    assert (warm.setting.arrivals >= 0).all()
    assert np.isfinite(warm.setting.arrivals).all()


def planned(folder: Path, region: str) -> Plan:
    folder.mkdir()
    (folder / "plot.toml").write_text(FILE.format(region=region))
    start(folder, at=datetime(2011, 6, 1, 12, 0))
    (folder / "champion.csv").write_bytes((files("lattermath.demo") / "champion.csv").read_bytes())
    take(folder, folder / "champion.csv")
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
