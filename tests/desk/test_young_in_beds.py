"""Young plants for a bare bed beside infested ones: what is taken of them, and that it is told.

Real weather of Champion, invented plants. What is reckoned for plants not yet there is held against
the whole belief of a plot on which they do stand there.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import numpy as np
import pytest
from tests.planning.kept_by_hand import yield_kept
from tests.seasons.champion import opened

from lattermath.belief import young_beside
from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.insect_cluster import cluster_of
from lattermath.desk.insect_course import search
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.desk.young_in_beds import _young, beside_part, infested_of, with_young
from lattermath.planning.course_task import run_course
from lattermath.planning.fate_reasons import of_young_among_pests
from lattermath.planning.pest_beside import Treated
from lattermath.vocabulary.events import Sighting

pytestmark = pytest.mark.usefixtures("few_draws")

ON, LOOKED = date(2011, 7, 30), datetime(2011, 7, 28, 19, 0)
FLY = "greenhouse_whitefly"
PLOT = """
format = 1
season = 2011
[place]
name = "Nowhere Lane"
latitude = 40.4
longitude = -101.73
time_zone = "America/Denver"
usual_first_frost = "10-15"
[household]
people = 8
worth_of_hour = 4.0
[[bed]]
key = "west"
name = "West"
x_m = 0.0
y_m = 0.0
length_m = 4.0
width_m = 1.2
[[bed]]
key = "east"
name = "East"
x_m = {off}
y_m = 0.0
length_m = 4.0
width_m = 1.2
[[planting]]
name = "Cucumbers"
crop = "cucumber"
plants = 12
set_out = 2011-06-10
bed = "west"
{more}
"""
STANDING = """
[[planting]]
name = "Young cucumbers"
crop = "cucumber"
plants = 8
sown = 2011-07-30
bed = "east"
"""
WAITING = """
[[lot]]
name = "Cups"
crop = "cucumber"
plants = 8
sown = 2011-07-04
cup_ml = 300
"""


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(tmp_path_factory.mktemp("young"))


def infested(empty: Path, off: float, more: str) -> Path:
    """A plot whose western cucumbers carry many scales."""
    plot = empty / f"{off:g}-{len(more)}"
    if plot.exists():
        shutil.rmtree(plot)
    opened(plot, PLOT.format(off=4.0 + off, more=more))
    key = planting_key(plot_now(plot), "Cucumbers")
    log(plot, Sighting(key, FLY, "count", "nymph", "underside", 10, total=900), LOOKED)
    return plot


def untreated(plot: Path, what: str = FLY, on: date = ON):
    """Facts, and the course that does nothing."""
    with open_journal(folder_at(plot)) as journal:
        facts = facts_of(folder_at(plot), journal, on, None)
    beliefs = believe_crops(facts, growing_season(facts))
    belief = believe_insects(facts, what)
    assert belief is not None
    cluster = cluster_of(facts, belief, beliefs, permits_of(facts, beliefs))
    found = search(replace(cluster, task=replace(cluster.task, candidates=())), ())
    return facts, found


def left_of_young(empty: Path, off: float) -> np.ndarray:
    facts, found = untreated(infested(empty, off, WAITING))
    cares = with_young(facts, [found], {})
    (crop,) = {lot.crop for lot in facts.plot.lots}
    anew = cares["bare east"].anew
    assert anew is not None
    return anew[crop]


def test_plants_not_yet_there_lose_what_those_that_stand_there_lose(empty) -> None:
    ahead = left_of_young(empty, 0.5)
    facts, found = untreated(infested(empty, 0.5, STANDING))
    place = [stand.name for stand in found.task.belief.stands].index("Young cucumbers")
    run = run_course(found.task.belief, (), found.task.visits, by_chance=False)
    life = found.task.belief.life
    appetite = np.array([life.figures.appetite(stage) for stage in life.stages])
    hurts = facts.tables.habits[FLY].days_for_5_percent.value
    stand = found.task.belief.stands[place]
    there = yield_kept(run[:, place], stand, appetite, hurts)
    weeks = slice(0, None, 7)
    assert 1 - ahead[:, -1].mean() > 0.05
    assert ahead.mean(0)[weeks] == pytest.approx(there.mean(0)[weeks], abs=0.04)


def test_the_farther_off_the_less_is_taken(empty) -> None:
    near, farther = (float(left_of_young(empty, off)[:, -1].mean()) for off in (0.5, 3.0))
    assert near < farther - 0.01


def test_it_is_told_where_they_are_set_out_and_only_there(empty) -> None:
    """Two metres off nothing bars them; what lives there is told."""
    made = plan(infested(empty, 2.0, WAITING), ON)
    (bare,) = [one for one in made.verdicts if one.planting == "east"]
    says = [reason.says for reason in bare.because]
    assert any("m» off have greenhouse whitefly" in one for one in says)
    (task,) = [t for visit in made.visits for t in visit.tasks if t.kind == "set out"]
    assert any("greenhouse whitefly" in one for one in task.cautions)
    facts, found = untreated(infested(empty, 2.0, WAITING))
    near = with_young(facts, [found], {})["bare east"].near
    assert near is not None
    (told,) = near[next(iter({lot.crop for lot in facts.plot.lots}))]
    said = told.told(facts.today_index)
    assert said.says == ("cucumbers «2 m» off have greenhouse whitefly, untreated")


def test_half_a_metre_off_none_is_set_out_beside_its_pest(empty) -> None:
    """The same cups and the same bed, 0.5 m off scales that nobody treats."""
    made = plan(infested(empty, 0.5, WAITING), ON)
    assert not [t for visit in made.visits for t in visit.tasks if t.kind == "set out"]
    (east,) = [one for one in made.bare if one.bed == "east"]
    reasons = [reason for carry in east.may for reason in carry.because]
    assert any("none beside its pest" in reason.says and not reason.holds for reason in reasons)


SPENT = """
[[planting]]
name = "Old beans"
crop = "dwarf bean"
plants = 12
sown = 2011-05-28
bed = "east"
vigour = "failing"
"""


@pytest.mark.parametrize(("off", "word"), [(0.5, "let run"), (2.0, "replace")])
def test_nothing_is_replaced_beside_the_pest_of_what_follows(empty, off: float, word: str) -> None:
    """Spent beans give way to cucumbers from the cups two metres off their scales, not beside."""
    made = plan(infested(empty, off, SPENT + WAITING), ON)
    (beans,) = [one for one in made.verdicts if "beans" in one.planting]
    assert beans.verdict == word
    bars = [one for one in beans.because if not one.holds]
    assert [one.says.partition(":")[0] for one in bars] == (
        ["no cucumbers in its place"] if word == "let run" else []
    )
    for one in bars:
        assert "will have greenhouse whitefly, untreated" in one.says
        assert "treat cucumbers against greenhouse whitefly" in one.way_out


def test_what_flies_in_is_said_to_come_from_where_it_comes(empty) -> None:
    """Scales two metres off come over from beside; where none was seen near, they do not."""
    facts, found = untreated(infested(empty, 2.0, WAITING))
    (traits,) = {lot.crop for lot in facts.plot.lots}
    care = with_young(facts, [found], {})["bare east"]
    assert care.near and care.anew is not None
    half = np.full_like(care.anew[traits], 0.5)
    season = growing_season(facts)
    belief = next(iter(believe_crops(facts, season).values()))
    said = {
        beside: of_young_among_pests(belief, belief.traits, half, beside=beside)[0].says
        for beside in (True, False)
    }
    assert "over from beside" in said[True] and "beside" not in said[False]
    made = plan(infested(empty, 2.0, WAITING), ON)
    words = [b.says for one in made.verdicts for b in one.because if "what flies" in b.says]
    assert all("over from beside" in one for one in words)


def test_far_away_nothing_is_told(empty) -> None:
    facts, found = untreated(infested(empty, 60.0, WAITING))
    cares = with_young(facts, [found], {})
    assert "bare east" not in cares


BEETLE = "striped_cucumber_beetle"


@pytest.mark.parametrize(("on", "crop", "share"), [
    (date(2011, 6, 20), "cucumber_slicing", 1.0),  # few beetles of June carry wilt
    (date(2011, 7, 2), "cucumber_slicing", 0.1),  # from July about ten times as many do
    (date(2011, 7, 2), "summer_squash", 1.0),  # it hardly wilts
])  # fmt: skip
def test_wilt_is_charged_to_late_plants_that_wilt_only(
    empty: Path, on: date, crop: str, share: float
) -> None:
    """What is left of young plants is what feeding leaves at the harm of their own day."""
    plot = empty / f"beetles {on} {crop}"
    file = PLOT.format(off=4.5, more=WAITING.replace("cucumber", crop).replace("07-04", "06-04"))
    opened(plot, file.replace("2011-06-10", "2011-05-25").replace(
        'time_zone', 'region = "north_america"\ntime_zone'))  # fmt: skip
    key = planting_key(plot_now(plot), "Cucumbers")
    seen = Sighting(key, BEETLE, "count", "adult", counts=(2, 1, 3, 0, 2, 1))
    log(plot, seen, datetime.combine(on, datetime.min.time()))
    facts, found = untreated(plot, BEETLE, on)
    anew = with_young(facts, [found], {})["bare east"].anew
    assert anew is not None
    (young,) = (_young(found, facts, bed, crop, 8) for bed in facts.plot.bare_beds())
    assert young is not None
    run = run_course(young_beside.with_young(found.task.belief, young), (), found.task.visits,
                     by_chance=False)  # fmt: skip
    appetite = np.array(
        [1.0 if stage == "adult" else 0.0 for stage in found.task.belief.life.stages]
    )
    hurts = share * facts.tables.habits[BEETLE].days_for_5_percent.value
    by_hand = yield_kept(run[:, -1], young, appetite, hurts)
    other = yield_kept(run[:, -1], young, appetite, hurts * (0.1 if share == 1 else 10))
    assert anew[crop] == pytest.approx(by_hand)
    assert abs(other - by_hand).max() > 0.01


def test_the_rest_of_a_bed_is_barred_to_hosts_of_what_lives_there_untreated(empty) -> None:
    """Scales on cucumbers of the western bed bar cucumbers there and 0.5 m off, not 6 m off."""

    def holds(off: float, bed: str, treated: Treated) -> dict[str, bool]:
        facts, _ = untreated(infested(empty, off, WAITING))
        (ground,) = [one for one in facts.plot.beds if one.key == bed]
        near = (
            beside_part(
                facts, ground, ("cucumber_slicing", "carrot"), treated, infested_of(facts)
            ).near
            or {}
        )
        assert "carrot" not in near
        day = facts.day_index(date(2011, 8, 20))
        told = [one.told(day) for one in near.get("cucumber_slicing", ())]
        return {one.says.partition(",")[0]: one.holds for one in told}

    def on(*days: date) -> Treated:
        facts, _ = untreated(infested(empty, 0.5, WAITING))
        at = tuple(facts.day_index(day) for day in days)
        return Treated({("cucumbers", FLY): at}, follows=frozenset({FLY}))

    assert list(holds(0.5, "west", Treated()).values()) == [False]
    assert list(holds(0.5, "east", Treated()).values()) == [False]
    assert list(holds(6.0, "east", Treated()).values()) == [True]
    # Judged on the day they go in: treated in the week before, or under a course by then.
    assert list(holds(0.5, "west", on(date(2011, 8, 20))).values()) == [True]
    assert list(holds(0.5, "west", on(date(2011, 8, 13))).values()) == [True]
    assert list(holds(0.5, "west", on(date(2011, 8, 12))).values()) == [False]
    again = on(date(2011, 8, 10), date(2011, 8, 24))
    assert list(holds(0.5, "west", again).values()) == [True]
    assert list(holds(0.5, "west", on(date(2011, 7, 30))).values()) == [False]
    assert list(holds(0.5, "west", on(date(2011, 8, 24))).values()) == [False]
    other = Treated({("cucumbers", "melon_aphid"): (facts_day(empty),)}, follows=frozenset({FLY}))
    assert list(holds(0.5, "west", other).values()) == [False]


def facts_day(empty: Path) -> int:
    facts, _ = untreated(infested(empty, 0.5, WAITING))
    return facts.day_index(date(2011, 8, 20))
