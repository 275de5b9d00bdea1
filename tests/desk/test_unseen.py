"""What may have come unseen to a plot on which nobody has seen anything."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from lattermath.desk import log_visit
from lattermath.desk.insect_belief import is_strange
from lattermath.desk.pest_parts import PestPlans
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.start import start
from lattermath.desk.unseen import with_unseen
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.watch import Watch
from lattermath.vocabulary.events import Sighting

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """format = 1
[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
[[planting]]
name = "Kale"
crop = "kale"
plants = 6
set_out = 2026-06-05
[[planting]]
name = "Aubergines"
crop = "aubergine"
plants = 6
set_out = 2026-06-05
[[planting]]
name = "Young lettuce"
crop = "lettuce"
plants = 8
set_out = 2026-07-24
[[neighbour]]
name = "Next door"
crop = "tomato"
plants = 8
[[week]]
first = 2026-07-25
highs_c = [HIGHS]
lows_c = [LOWS]
"""
DAY = date(2026, 7, 28)


def plot_in(
    folder: Path,
    highs: str = "24, 26, 27, 25",
    lows: str = "13, 14, 15, 15",
    first: str = "2026-07-25",
) -> Path:
    told = PLOT.replace("HIGHS", highs).replace("LOWS", lows).replace("2026-07-25", first)
    (folder / "plot.toml").write_text(told, "utf-8")
    start(folder)
    return folder


def facts_in(folder: Path) -> SeasonFacts:
    with open_journal(folder_at(folder)) as journal:
        return facts_of(folder_at(folder), journal, DAY, None)


def watches(folder: Path) -> dict[tuple[str, str], Watch]:
    found = with_unseen(facts_in(folder), PestPlans()).watches
    return {(watch.planting.key, watch.organism): watch for watch in found}


def test_the_first_sheet_of_a_newcomer_has_looks(tmp_path: Path) -> None:
    made = plan(plot_in(tmp_path), DAY)
    looks = [task for task in made.visits[0].tasks if task.kind == "look"]
    asked = {(task.planting, one.organism) for task in looks for one in task.wanted}
    # Growers' lists for these crops begin with whitefly, mites and aphids, and with aphids.
    assert {("aubergines", "greenhouse_whitefly"), ("aubergines", "twospotted_spider_mite")} < asked
    assert any(key == "kale" for key, _ in asked)
    assert not any(key in ("next-door", "young-lettuce") for key, _ in asked)
    assert all(task.minutes <= 5 and not task.must for task in looks)
    assert all(reason.rests_on for task in looks for reason in task.because)


def test_hosts_and_regions_of_the_tables_decide_what_is_looked_for(tmp_path: Path) -> None:
    found = watches(plot_in(tmp_path))
    facts = facts_in(tmp_path)
    for key, organism in found:
        hosts = facts.tables.organisms[organism].hosts
        crop = facts.plot.planting(key).crop
        assert facts.tables.crosswalk.host(crop, hosts) is not None
    assert ("kale", "greenhouse_whitefly") not in found  # a twentieth of the best host
    assert ("kale", "cabbage_whitefly") in found


BEETLE, WHITEFLY_OF_CABBAGE = "striped_cucumber_beetle", "cabbage_whitefly"


@pytest.mark.parametrize(
    ("told_as", "latitude", "longitude", "strange"),
    [
        ("", 51.5, -0.6, {BEETLE}),  # the North of Europe, by the globe alone
        ("", 42.4, -76.5, set()),  # New York: its departments of agriculture have seen both there
        ("", -30.0, -51.2, {BEETLE, WHITEFLY_OF_CABBAGE}),  # of neither: both are of elsewhere
        ("north_america", 51.5, -0.6, set()),  # what is told goes first
    ],
)
def test_what_is_known_from_here_goes_by_the_place_as_a_look_does(
    tmp_path: Path, told_as: str, latitude: float, longitude: float, strange: set[str]
) -> None:
    """A plot file that names no region has the pests of where it lies, for plan and look alike."""
    facts = facts_in(plot_in(tmp_path))
    here = replace(
        facts.plot.place, latitude=latitude, longitude=longitude, region=told_as or "general"
    )
    moved = replace(facts, plot=replace(facts.plot, place=here))
    both = (BEETLE, WHITEFLY_OF_CABBAGE)
    assert {one for one in both if is_strange(moved, one)} == strange
    causes = moved.tables.causes  # the key of diagnosis, a table of its own, says the same
    for one in both:
        homes = {c.region for key, c in causes.items()
                 if one in moved.tables.crosswalk.cause_joins.get(key, ())}  # fmt: skip
        both_of = {"both"} if here.lies_in in ("europe", "north_america") else set()
        elsewhere = not homes & {"general", here.lies_in, *both_of}
        assert (one in strange) == elsewhere


def test_what_is_followed_on_a_poor_host_does_not_stand_for_its_like(tmp_path: Path) -> None:
    """Greenhouse whitefly of the aubergines is reckoned on kale too, a twentieth of a host."""
    folder, facts = plot_in(tmp_path), facts_in(tmp_path)
    kale, aubergines = (facts.plot.planting(key) for key in ("kale", "aubergines"))
    whitefly = Watch(
        "greenhouse_whitefly", "whitefly", kale, None, suspected=False, neighbour_of_sick=True
    )
    there = replace(whitefly, planting=aubergines)
    found = with_unseen(facts_in(folder), PestPlans(watches=(whitefly, there))).watches[2:]
    asked = {(watch.planting.key, watch.organism_name) for watch in found}
    assert ("kale", "whitefly") in asked and ("aubergines", "whitefly") not in asked


def test_what_is_followed_and_has_no_look_of_its_own_is_looked_for_all_the_same(
    tmp_path: Path,
) -> None:
    """A find on one planting took the look for it from the one beside it, with few believed."""
    folder, facts = plot_in(tmp_path), facts_in(tmp_path)
    aubergines = facts.plot.planting("aubergines")
    idle = Watch("greenhouse_whitefly", "whitefly", aubergines, None, suspected=False)

    def unseen(watch: Watch) -> list[bool]:
        found = with_unseen(facts_in(folder), PestPlans(watches=(watch,))).watches
        here = [w for w in found if w.planting.key == "aubergines" and "whitefly" in w.organism]
        return [w.unseen > 0 for w in here]

    assert unseen(idle) == [True]
    assert unseen(replace(idle, last_looked=date(2026, 7, 27))) == [False]
    assert unseen(replace(idle, decides="the treatment")) == [False]


def test_nothing_is_on_the_move_in_the_cold(tmp_path: Path) -> None:
    fortnight = ", ".join(["6, 7"] * 7), ", ".join(["0, 1"] * 7)
    assert not watches(plot_in(tmp_path, *fortnight, first="2026-07-15"))


@pytest.mark.parametrize("what", ["whitefly", "greenhouse_whitefly"])
def test_a_count_of_none_puts_the_next_look_off(tmp_path: Path, what: str) -> None:
    folder = plot_in(tmp_path)
    seen = Sighting("aubergines", what, "count", looked_at=10, total=0)
    log_visit.log(folder, seen, datetime(2026, 7, 27, 19, 0))
    watch = watches(folder)["aubergines", "greenhouse_whitefly"]
    assert watch.last_looked == watch.walked == date(2026, 7, 27)
