"""A label's maximum per area too small for any mix bars its product, and says so."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.test_pests_together import LABEL, PLOT
from tests.seasons.champion import opened

from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

ON, LOOKED = date(2011, 8, 6), datetime(2011, 8, 5, 19, 0)


def planned(folder: Path, most: str, hour: float = 0.2) -> Plan:
    """Many whitefly on a dozen square metres of cucumbers, oil the only product."""
    label = LABEL.format(active="neem_oil", retreat=3, most=6, wait=0)
    worth = PLOT.replace("people = 40\n", f"people = 40\nworth_of_hour = {hour}\n")
    opened(folder, worth + label.replace('max_l_per_m2 = "none"', f"max_l_per_m2 = {most}"))
    key = planting_key(plot_now(folder), "Cucumbers")
    log(folder, Sighting(key, "greenhouse_whitefly", "count", "nymph", "underside", 10, total=900),
        LOOKED)  # fmt: skip
    return plan(folder, ON)


def test_too_little_to_mix_is_a_bar_with_a_way_out(tmp_path: Path) -> None:
    for most, sprays in (('"none"', True), ("0.0005", False)):  # 7 ml on 14.4 m2
        made = planned(tmp_path / most.strip('"'), most)
        oil = [t for visit in made.visits for t in visit.tasks if t.product == "neem_oil"]
        steps = [s for p in made.populations for s in p.course if s.product == "neem_oil"]
        assert bool(oil) is bool(steps) is sprays
        assert all(sum(a.quantity for a in task.amounts) > 0 for task in oil)
        reasons = [b for p in made.populations for b in p.because]
        reasons += [b for v in made.visits for item in v.not_today for b in item.because]
        barred = [b for b in reasons if "allows less on this ground than can be" in b.says]
        assert bool(barred) is not sprays
        assert all("copied right" in bar.way_out for bar in barred)
