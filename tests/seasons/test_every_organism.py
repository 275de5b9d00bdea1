"""Every insect and mite of the tables on one invented plot, under the demonstration's real weather.

What is asserted is common practice and the biology of the sources named in the tables, not figures
of the model: who outlives frost, who lays in August, what fingers are better for than soap.
"""

import re
import shutil
from datetime import date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from tests.seasons.champion import opened

from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.knowledge.tables import load_tables
from lattermath.planning.courses import counted_today
from lattermath.record.read_back import effective
from lattermath.science.ground_frost import leaf_minimum
from lattermath.vocabulary.events import Sighting, Withdrawal
from lattermath.vocabulary.plan import Plan, Population

pytestmark = pytest.mark.usefixtures("few_draws")

TABLES = load_tables()
ON = date(2011, 7, 30)
LOOKED = datetime(2011, 7, 28, 19, 0)
PLACE = """
format = 1
season = 2011
[place]
name = "Nowhere Lane"
latitude = 40.4
longitude = -101.73
altitude_m = 1029
time_zone = "America/Denver"
usual_first_frost = "09-28"
region = "north_america"
[water]
hose = true
"""
PLANTINGS = {  # name: crop, plants
    "Tomatoes": ("tomato", 6),
    "Aubergines": ("aubergine", 4),
    "Cucumbers": ("cucumber", 4),
    "Courgettes": ("courgette", 3),
    "Beans": ("pole bean", 12),
    "Kale": ("kale", 8),
    "Cabbages": ("cabbage", 6),
    "Leeks": ("leek", 30),
    "Pak choi": ("pak choi", 10),
    "Peppers": ("pepper", 4),
}
SEEN = {  # organism: where, counts
    "greenhouse_whitefly": ("Aubergines", (14, 9, 20, 4)),
    "sweetpotato_whitefly": ("Aubergines", (6, 0, 3, 4)),
    "melon_aphid": ("Cucumbers", (30, 12, 0, 25)),
    "green_peach_aphid": ("Peppers", (8, 3, 0, 12)),
    "twospotted_spider_mite": ("Beans", (6, 0, 9, 14)),
    "squash_bug": ("Courgettes", (20, 50, 10)),
    "striped_cucumber_beetle": ("Cucumbers", (2, 1, 3, 1)),
    "squash_vine_borer": ("Courgettes", (1, 0, 0)),
    "imported_cabbageworm": ("Kale", (2, 0, 1, 3, 0, 1)),
    "diamondback_moth": ("Cabbages", (1, 2, 0)),
    "cabbage_looper": ("Cabbages", (1, 0, 1)),
    "colorado_potato_beetle": ("Aubergines", (6, 3, 9, 2)),
    "hornworms": ("Tomatoes", (1, 0, 2, 0, 1, 0)),
    "flea_beetles": ("Pak choi", (4, 7, 3)),
    "onion_thrips": ("Leeks", (6, 2, 9)),
    "western_flower_thrips": ("Peppers", (3, 5, 1)),
    "cabbage_whitefly": ("Kale", (30, 45, 12)),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    plot = Path(tmp_path_factory.mktemp("kinds"))
    text = PLACE + "".join(
        f'\n[[planting]]\nname = "{name}"\ncrop = "{crop}"\n'
        f"plants = {plants}\nset_out = 2011-06-01\n"
        for name, (crop, plants) in PLANTINGS.items()
    )
    opened(plot, text)
    return plot


@pytest.fixture(scope="module")
def made(folder: Path) -> Plan:
    for organism, (planting, counts) in SEEN.items():
        where = "flowers" if organism == "western_flower_thrips" else "underside"
        place = resolve(folder, planting)
        log(folder, Sighting(place, organism, "count", "", where, counts=counts), LOOKED)
    return plan(folder, ON)


def resolve(folder: Path, planting: str) -> str:
    return planting_key(plot_now(folder), planting)


def population(made: Plan, organism: str) -> Population:
    return next(p for p in made.populations if p.organism == organism)


def test_every_one_is_followed(made: Plan) -> None:
    assert {p.organism for p in made.populations} == set(TABLES.organisms)
    assert not [words for words in made.warnings if "not reckoned" in words]
    for one in made.populations:
        for strip in one.strips:
            assert np.isfinite(strip.median).all() and min(strip.low) >= 0


@pytest.mark.parametrize("organism", sorted(TABLES.organisms))
def test_the_named_planting_is_one_on_which_it_was_seen(made: Plan, organism: str) -> None:
    says = population(made, organism).says
    assert re.search(f" (most|found) on {SEEN[organism][0]},", says)


def test_fingers_and_water_are_used_where_they_serve(made: Plan) -> None:
    """Common practice: big insects are picked off, aphids and mites are hosed off, and hosing does
    nothing to whitefly scales, which sit fast."""
    methods = {p.organism: {step.method for step in p.course} for p in made.populations}
    assert "hand_pick" in methods["hornworms"] and "hand_pick" in methods["colorado_potato_beetle"]
    assert "water_jet" in methods["melon_aphid"] | methods["twospotted_spider_mite"]
    assert not any("water_jet" in methods[w] for w in methods if w.endswith("whitefly"))


def test_thrips_are_hosed_or_it_is_said_why_not(made: Plan) -> None:
    """Recalled: water and soap take some of the larvae; nothing takes pupae in the soil."""
    for organism in ("onion_thrips", "western_flower_thrips"):
        one = population(made, organism)
        weighed = {step.method for step in one.course}
        assert "water_jet" in weighed or any(
            "hos" in b.says or "water" in b.says for b in one.because
        )


def test_what_is_no_course_is_answered_with_its_reason(made: Plan) -> None:
    """The table: mesh over plants that have them keeps them in; boards want lifting at dawn."""
    said = {p.organism: " | ".join(b.says for b in p.because) for p in made.populations}
    assert "keeps them in" in said["cabbage_whitefly"]
    assert "boards are lifted in the morning" in said["squash_bug"]
    assert "nobody comes at dawn" in said["greenhouse_whitefly"]
    assert "ladybirds" in said["melon_aphid"] and "ladybirds" not in said["hornworms"]
    assert "predatory mites" in said["twospotted_spider_mite"]


def test_one_look_a_planting_asks_for_several_things_on_ten_leaves(made: Plan) -> None:
    """The evening is too short for the looks; those named as left out are looked at here."""
    first = made.visits[0]
    looks = [t.says for t in first.tasks if t.kind == "look"]
    looks += [says for says in first.left_out if "count" in says]
    named = [says.split(":")[0] for says in looks]
    assert len(named) == len(set(named)) > 3
    whitefly = [says for says in looks if "scales" in says or "whitefly eggs" in says]
    assert any("aphids" in says and "mites" in says for says in whitefly)
    for says in looks:
        turned, _, stops = says.partition(". ")
        assert sum(map(int, re.findall(r"(\d+) (?:\w+ )?leaves", turned))) <= 10, says
        assert all(int(n) <= 10 for n in re.findall(r"(\d+) (?:\w+ )?leaves", stops)), says


def test_nothing_is_treated_twice_in_one_evening_with_the_same(made: Plan) -> None:
    for visit in made.visits:
        done = [(t.planting, t.method) for t in visit.tasks if t.kind == "treat"]
        assert len(done) == len(set(done))


def left_in_autumn(folder: Path, organism: str) -> tuple[float, float]:
    """Insects at their most and at the end, medians over the draws, nothing done.

    The end is the last day on which kale stands in nine futures of ten: its leaves freeze to death
    at -12 C (crop table), which Champion has in most Novembers, and nothing outlives its host.
    """
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, ON, None)
    belief = believe_insects(facts, organism)
    assert belief is not None
    kale = np.minimum.accumulate(leaf_minimum(facts.t_min, facts.t_max), axis=1) > -12
    end = int(np.flatnonzero(kale.mean(0) >= 0.9)[-1]) - facts.today_index
    assert facts.today + timedelta(days=end) > date(2011, 10, 15)
    total = np.median(belief.ahead().sums.sum((1, 3)), axis=0)
    return float(total.max()), float(total[end])


def test_frost_ends_the_tender_ones_and_not_the_cabbage_whitefly(made: Plan, folder: Path) -> None:
    """Read in the sources of the pest table: all stages of the sweetpotato whitefly die at hard
    frost; cabbage whitefly lives through winters as hard as Quebec's."""
    most, last = left_in_autumn(folder, "sweetpotato_whitefly")
    assert last < 0.05 * most
    _, hardy = left_in_autumn(folder, "cabbage_whitefly")
    assert hardy > 100 and hardy > 1000 * last


def test_whitefly_ends_with_its_hosts_and_aphids_live_on_on_kale(made: Plan, folder: Path) -> None:
    """Pest table: the death of the plant ends the greenhouse whitefly; peach aphids winter as
    females on brassicas (recalled)."""
    most, last = left_in_autumn(folder, "greenhouse_whitefly")
    assert last < 0.001 * most
    most, last = left_in_autumn(folder, "green_peach_aphid")
    assert last > 0.01 * most


def test_one_in_twenty_cabbage_whiteflies_meets_the_winter(made: Plan, folder: Path) -> None:
    """Ours, not the sources': some live on, and no less than one in twenty of the most."""
    most, last = left_in_autumn(folder, "cabbage_whitefly")
    assert last > 0.05 * most


def test_new_squash_bugs_of_august_do_not_lay(made: Plan, folder: Path) -> None:
    """Illinois (read): females that become adult after late July or early August do not lay."""
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, ON, None)
    belief = believe_insects(facts, "squash_bug")
    assert belief is not None
    eggs = np.median(belief.ahead().sums[..., 0].sum(1), axis=0)
    assert eggs[45] < 0.2 * max(eggs[0], eggs.max()) + 1e-9  # mid-September


@pytest.mark.parametrize("organism", ["western_flower_thrips", "twospotted_spider_mite"])
def test_no_planting_is_believed_worse_unseen_than_the_one_counted(
    made: Plan, folder: Path, organism: str
) -> None:
    """Common sense: who counts three a flower does not hide forty a leaf next door, nor several
    times as many on a square centimetre."""
    with open_journal(folder_at(folder)) as journal:
        facts = facts_of(folder_at(folder), journal, ON, None)
    belief = believe_insects(facts, organism)
    assert belief is not None
    where, counts = SEEN[organism]
    number = np.median(counted_today(belief)[0], axis=0)
    dense = number / [stand.leaf_cm2 for stand in belief.stands]
    counted = [stand.name for stand in belief.stands].index(where)
    others = np.arange(len(dense)) != counted
    assert others.any() and dense[others].max() < 2 * dense[counted]
    assert number[others].max() < 3 * np.mean(counts)


def test_a_kind_is_carried_as_possibilities(made: Plan, folder: Path, tmp_path: Path) -> None:
    """Whitefly on kale is most likely the cabbage whitefly, whose host it is; nobody said so."""
    plot = Path(shutil.copytree(folder, tmp_path / "plot"))
    for event in effective_sightings(plot):
        log(plot, Withdrawal("for the test"), supersedes=str(event))
    log(plot, Sighting(resolve(plot, "Kale"), "whiteflies", "count", counts=(9, 4, 15)), LOOKED)
    again = plan(plot, ON)
    assert [p.organism for p in again.populations] == ["cabbage_whitefly"]
    log(plot, Sighting(resolve(plot, "Tomatoes"), "whitefly", "count", counts=(3, 1)), LOOKED)
    again = plan(plot, ON)
    says = " ".join(p.says for p in again.populations)
    assert "Which whitefly is not known" in says and "sweetpotato whitefly" in says


def effective_sightings(plot: Path) -> list[int]:
    with open_journal(folder_at(plot)) as journal:
        return [e.serial for e in effective(journal.events(), None)
                if isinstance(e.payload, Sighting)]  # fmt: skip
