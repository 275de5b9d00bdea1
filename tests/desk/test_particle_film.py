"""Particle film on a plot: sprayed before beetles come where that pays, and never as a kill."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest
from tests.desk.test_pests_together import LABEL, PLOT

from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.film_on_leaves import film_on_shelf
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import Cluster, cluster_of
from lattermath.desk.insect_course import cost_of, search
from lattermath.desk.insect_sprayings import own_work
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.particle_film import film_told
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.events import Sighting, Treatment

pytestmark = pytest.mark.usefixtures("few_draws")

BEETLE, ON = "striped_cucumber_beetle", date(2011, 7, 9)


def beetles(plot: Path, hour: float, sprayed: bool = False) -> Cluster:
    """Beetles on cucumbers, kaolin on the shelf; sprayed three days ago or not at all."""
    plot.mkdir()
    label = LABEL.format(active="kaolin", retreat=7, most=9, wait=0)
    (plot / "plot.toml").write_text(PLOT.format(hour=hour) + label)
    start(plot, at=datetime(2011, 6, 1, 12, 0))
    weather = plot / "champion.csv"
    weather.write_bytes(files("lattermath.demo").joinpath("champion.csv").read_bytes())
    take(plot, weather)
    key = planting_key(plot_now(plot), "Cucumbers")
    log(plot, Sighting(key, BEETLE, "count", looked_at=10, total=6), datetime(2011, 7, 5, 19, 0))
    if sprayed:
        log(plot, Treatment((key,), "", "kaolin"), datetime(2011, 7, 6, 19, 0))
    with open_journal(folder_at(plot)) as journal:
        facts = facts_of(folder_at(plot), journal, ON, None)
    beliefs = believe_crops(facts, growing_season(facts))
    belief = believe_insects(facts, BEETLE)
    assert belief is not None
    return cluster_of(facts, belief, beliefs, permits_of(facts, beliefs))


def test_it_is_no_candidate_of_the_search_and_is_sprayed_where_it_pays(tmp_path: Path) -> None:
    cluster = beetles(tmp_path / "cheap", 0.05)
    assert film_on_shelf(cluster.facts, BEETLE) is not None
    assert all(one.method != "kaolin" for one in cluster.task.candidates)
    found = search(cluster, ())
    assert found.film
    work = [one for _, one in own_work(found) if one.method == "kaolin"]
    assert [one.product for one in work] == ["kaolin"]
    bare = replace(found, film=(), found=replace(found.found, steps=()))
    kept = replace(found, found=replace(found.found, steps=()))
    assert cost_of(kept, ()) < cost_of(bare, ())
    (says,) = film_told(found)
    assert "kills nobody" in says.says and says.rests_on[0].startswith("table:")


def test_it_is_left_where_minutes_are_dear(tmp_path: Path) -> None:
    cluster = beetles(tmp_path / "dear", 4.0)
    dear = replace(cluster, task=replace(cluster.task, minute_costs=5.0))  # portions a minute
    assert search(cluster, ()).film and not search(dear, ()).film


def test_what_was_sprayed_keeps_off_from_today_on(tmp_path: Path) -> None:
    bare, sprayed = (beetles(tmp_path / name, 4.0, name == "sprayed") for name in ("n", "sprayed"))
    today = bare.belief.today
    comes = [one.belief.setting.arrivals.mean(0)[:, 0] for one in (bare, sprayed)]
    assert np.all(comes[1][today : today + 7] < 0.9 * comes[0][today : today + 7])
    assert comes[1][today:].sum() < comes[0][today:].sum()
    late = slice(today + 50, None)
    assert comes[1][late] == pytest.approx(comes[0][late], rel=0.25)
