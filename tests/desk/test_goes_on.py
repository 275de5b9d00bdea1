"""What a maximum leaves a course beside what is gone on with after it: as the rulings count."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.goes_on import with_later
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, cluster_of
from lattermath.desk.log_visit import log
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.going_on import GoingOn
from lattermath.vocabulary.events import Sighting, Treatment

LABEL = """
[[shelf]]
key = "{key}"
name = "Invented {key}"
active = "soap"
form = "spray"
country = "invented"
sold_to_amateurs = true
invented = true
re_entry_hours = 4
max_temperature_c = "none"
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
litres_left = 20
[shelf.crops.pepper]
pre_harvest_days = 0
retreat_days = 5
season_max = 6
season_max_scope = "active"
rate_ml_per_l = 20
max_l_per_m2 = "none"
plant_back_days = "none"
"""
PEPPERS = """region = "north_america"
country = "invented"
[[planting]]
key = "peppers"
name = "Peppers"
crop = "sweet pepper"
plants = 8
set_out = 2011-06-01
in_bloom = false
"""


@pytest.mark.usefixtures("few_draws")
@pytest.mark.parametrize("used", [0, 2])
def test_another_product_of_the_same_active_is_counted(tmp_path: Path, used: int) -> None:
    """The label counts the active: six, of which three rounds later and what the other took."""
    labels = LABEL.format(key="one") + LABEL.format(key="other")
    opened(tmp_path, PLACE + PEPPERS + labels)
    for n in range(used):
        at = datetime(2011, 6, 8 + 6 * n, 19, 0)
        log(tmp_path, Treatment(("peppers",), "soap", product="other"), at)
    seen = Sighting("peppers", "green peach aphid", "count", counts=(9,) * 10)
    log(tmp_path, seen, datetime(2011, 6, 20, 19, 0))
    cluster = found(tmp_path)
    (soap,) = [one for one in cluster.task.candidates if one.key == "one"]
    last = cluster.task.visits[-1]
    rounds = tuple((last + 7 * n, (0,)) for n in (1, 2, 3))
    (left,) = [
        one.most_uses
        for one in with_later(cluster, GoingOn(soap, rounds)).task.candidates
        if one.key == "one"
    ]
    assert left == 6 - 3 - used


def found(folder: Path) -> Cluster:
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, date(2011, 6, 21), None)
    beliefs = believe_crops(facts, growing_season(facts))
    belief = believe_insects(facts, "green_peach_aphid")
    assert belief is not None
    return cluster_of(facts, belief, beliefs, permits_of(facts, beliefs))
