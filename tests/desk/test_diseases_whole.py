"""Every disease of the tables, logged: each is answered, and what no spray cures gets none.

What must come of each was written down from the rows and from extension practice before it was
run: what has figures is followed, what has no cure comes out in bags, soil diseases bar the bed.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from tests.desk.demo_ground import demo_ground

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting, Watering
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

HERE = ZoneInfo("America/Denver")
FRIDAY, SATURDAY = datetime(2011, 7, 29, 19, 0, tzinfo=HERE), date(2011, 7, 30)
TABLES = load_tables()
FOLLOWED = {
    "cucurbit_powdery_mildew", "cucurbit_downy_mildew", "early_blight_tomato",
    "septoria_leaf_spot_tomato", "late_blight", "bean_rust",
}  # fmt: skip
COMES_OUT = {"bacterial_wilt_cucurbits", "basil_downy_mildew", "lettuce_drop"}
ADVISED = {"bacterial_spot", "bacterial_speck", "angular_leaf_spot_cucurbits"}
MORE = """
[[planting]]
key = "lettuce"
name = "Lettuce"
crop = "lettuce_head"
bed = "g"
plants = 6
set_out = 2011-06-20

[[planting]]
key = "spuds"
name = "Potatoes"
crop = "potato"
bed = "g"
plants = 6
sown = 2011-05-10

[[planting]]
key = "french"
name = "French beans"
crop = "bean_bush"
bed = "g"
plants = 20
sown = 2011-06-01

[[planting]]
key = "greens"
name = "Kales"
crop = "kale"
bed = "g"
plants = 4
set_out = 2011-06-01

[[planting]]
key = "herb"
name = "Basils"
crop = "basil"
bed = "g"
plants = 5
set_out = 2011-06-01

"""


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = demo_ground(Path(tmp_path_factory.mktemp("shown")) / "plot")
    file = folder / "plot.toml"
    text = file.read_text("utf-8")
    file.write_text(text.replace("[water]", MORE + "[water]"), "utf-8")
    start(folder)
    return folder


@pytest.fixture
def folder(shown: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(shown, tmp_path / "plot"))


ON = {
    "cucurbit_powdery_mildew": "cucumbers", "cucurbit_downy_mildew": "cucumbers",
    "early_blight_tomato": "spuds", "septoria_leaf_spot_tomato": "tomatoes",
    "late_blight": "spuds", "bacterial_wilt_cucurbits": "cucumbers", "bacterial_spot": "tomatoes",
    "bacterial_speck": "tomatoes", "angular_leaf_spot_cucurbits": "cucumbers",
    "basil_downy_mildew": "herb", "bean_rust": "french", "lettuce_drop": "lettuce",
}  # fmt: skip


def test_every_disease_of_the_tables_is_on_the_list() -> None:
    assert set(ON) == set(TABLES.diseases) == FOLLOWED | COMES_OUT | ADVISED


def words(made: Plan) -> str:
    tasks = [task.says for visit in made.visits for task in visit.tasks]
    says = [verdict.says for verdict in made.verdicts]
    return "\n".join([*tasks, *says, *made.warnings]).casefold()


# What is seen at one look: each on a planting of its own, for one plan answers for all of them.
LOOKS: tuple[dict[str, str], ...] = (
    {"cucurbit_powdery_mildew": "cucumbers", "septoria_leaf_spot_tomato": "tomatoes",
     "late_blight": "spuds", "bean_rust": "french", "basil_downy_mildew": "herb",
     "lettuce_drop": "lettuce", "clubroot": "greens"},
    {"cucurbit_downy_mildew": "cucumbers", "bacterial_spot": "tomatoes",
     "early_blight_tomato": "spuds", "black rot": "greens"},
    {"bacterial_wilt_cucurbits": "cucumbers", "bacterial_speck": "tomatoes"},
    {"angular_leaf_spot_cucurbits": "cucumbers", "spotted wilt": "tomatoes"},
    {"cucumber mosaic virus": "cucumbers", "fusarium wilt": "tomatoes"},
    {"root-knot nematodes": "tomatoes"},
    {"gray mold": "tomatoes"},
)  # fmt: skip


@pytest.fixture(scope="module")
def answered(
    shown: Path, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[str], tuple[str, Plan]]:
    """Where a disease was seen, and the plan made after that look, made once for all of it."""
    made: dict[int, Plan] = {}

    def answer(what: str) -> tuple[str, Plan]:
        (n,) = [n for n, look in enumerate(LOOKS) if what in look]
        if n not in made:
            folder = Path(shutil.copytree(shown, tmp_path_factory.mktemp("look") / "plot"))
            for disease, planting in LOOKS[n].items():
                if disease in ON:
                    see = Sighting(planting, disease, "severity", surface="top", percent=3.0)
                else:
                    see = Sighting(planting, disease, "first seen", surface="whole")
                log(folder, see, FRIDAY)
            made[n] = plan(folder, SATURDAY)
        return LOOKS[n][what], made[n]

    return answer


@pytest.mark.parametrize("what", sorted(ON))
def test_each_is_answered(answered: Callable[[str], tuple[str, Plan]], what: str) -> None:
    planting, made = answered(what)
    assert planting == ON[what]
    told = words(made)
    populations = {p.organism for p in made.populations}
    assert TABLES.diseases[what].name.casefold() in told or what in FOLLOWED
    assert (what in populations) is (what in FOLLOWED)
    pulls = [
        task for task in made.visits[0].tasks if task.kind == "pull" and task.planting == ON[what]
    ]
    if what in COMES_OUT or what not in FOLLOWED:  # what is followed may still be replaced
        assert bool(pulls) is (what in COMES_OUT)
    for task in pulls if what in COMES_OUT else ():
        sealed = f"{task.says} {' '.join(task.cautions)}".casefold()
        assert "off the plot" in sealed and (
            "never on the heap" in sealed or "not compost" in sealed
        )
    if what in ADVISED:
        assert f"{TABLES.diseases[what].name}".casefold() in told and "not reckoned" in told
    if what not in FOLLOWED:
        sprayed = [t for v in made.visits for t in v.tasks if t.kind == "treat"]
        assert not any(what in reason.rests_on for t in sprayed for reason in t.because)
    if what == "lettuce_drop":
        assert "no lettuce or beans in bed g for 2 to 10 years" in told


@pytest.mark.parametrize(
    ("planting", "word", "out", "rest"),
    [
        ("cucumbers", "cucumber mosaic virus", True, ""),
        ("tomatoes", "spotted wilt", True, ""),
        ("tomatoes", "fusarium wilt", True, "peppers or aubergines in bed c for 3 to 7 years"),
        ("greens", "clubroot", True, "no cabbages or other brassicas in bed g for 7 to 20 years"),
        ("greens", "black rot", True, "brassicas in bed g for 2 to 3 years"),
        ("tomatoes", "root-knot nematodes", False, "in bed c for 2 to 3 years"),
        ("tomatoes", "gray mold", False, ""),
    ],
)
def test_viruses_and_what_lives_in_the_soil_come_out_and_are_never_sprayed(
    answered: Callable[[str], tuple[str, Plan]], planting: str, word: str, out: bool, rest: str
) -> None:
    where, made = answered(word)
    assert where == planting
    told = words(made)
    pulls = [t for t in made.visits[0].tasks if t.kind == "pull" and t.planting == planting]
    assert bool(pulls) is out
    assert all("Closed bags" in " ".join(task.cautions) for task in pulls)
    assert rest in told
    assert not any(word in t.says for v in made.visits for t in v.tasks if t.kind == "treat")


@pytest.mark.parametrize("percent", [1.0, 20.0])
def test_blight_on_potatoes_cuts_the_haulm_and_leaves_the_tubers(
    folder: Path, percent: float
) -> None:
    log(
        folder, Sighting("spuds", "late blight", "severity", surface="top", percent=percent), FRIDAY
    )
    made = plan(folder, SATURDAY)
    mine = [task for task in made.visits[0].tasks if task.planting == "spuds"]
    assert not any(task.kind == "pull" for task in mine)
    cut = [task for task in mine if "Cut all haulm" in task.says]
    assert len(cut) == 1 and cut[0].must and "Sat 13 Aug, not before" in cut[0].says
    told = next(v for v in made.verdicts if v.planting == "spuds")
    assert "haulm" in told.says and "lift two weeks later" in told.says


def test_evenings_over_the_leaves_are_told_on_the_sheet(folder: Path) -> None:
    for day in (19, 22, 25, 28):
        at = datetime(2011, 7, day, 20, 0, tzinfo=HERE)
        log(folder, Watering(2.0, bed="g", way="overhead"), at)
    log(folder, Watering(2.0, bed="c", way="foot"), datetime(2011, 7, 28, 20, tzinfo=HERE))
    made = plan(folder, SATURDAY)
    told = [w for w in made.warnings if "over the leaves late on 4 days" in w]
    assert len(told) == 1 and "Potatoes" in told[0] and "Basils" in told[0]
    assert "Water at the foot, in the morning" in told[0] and "tomatoes" not in told[0]
    water = [t for t in made.visits[0].tasks if t.kind == "water"]
    reasons = [b.says for t in water for b in t.because if "in the morning" in b.says]
    assert any(says.startswith("basils") and "at the foot" in says for says in reasons)


def test_a_morning_over_the_leaves_is_no_evening(folder: Path) -> None:
    for day in (19, 22, 25, 28):
        at = datetime(2011, 7, day, 7, 30, tzinfo=HERE)
        log(folder, Watering(20.0, bed="b", way="overhead"), at)
    made = plan(folder, SATURDAY)
    assert not any("over the leaves late" in w for w in made.warnings)


def test_readings_of_a_disease_add_up_on_the_sheet(folder: Path) -> None:
    """Severities 10, 30, 20 % on days 0, 6, 10: by hand (10+30)/2*6 + (30+20)/2*4 = 220 and, by
    steps, 20 * 10 * 3/2 = 300; 22 % on average. Surfaces of one day are meant."""
    for day, (top, below) in {18: (5, 15), 24: (30, 30), 28: (20, 20)}.items():
        at = datetime(2011, 7, day, 19, tzinfo=HERE)
        for surface, percent in (("top", top), ("underside", below)):
            log(folder, Sighting("tomatoes", "early blight", "severity", surface=surface,
                                 percent=float(percent)), at)  # fmt: skip
    made = plan(folder, SATURDAY)
    blight = next(p for p in made.populations if p.organism == "early_blight_tomato")
    told = next(b.says for b in blight.because if "AUDPC" in b.says)
    assert "3 readings over 10 days" in told and "220 percent-days" in told
    assert "22 %" in told and "300 by steps (AUDPS)" in told
    assert any("oldest leaves" in b.says.casefold() for b in blight.because)


def humid_nights(warmth: float) -> dict:
    """Hours of an open weather service: a fortnight, humid from 19:00 to 09:00, one warmth."""
    hours = [f"2011-07-{14 + n // 24:02d}T{n % 24:02d}:00" for n in range(16 * 24)]
    wet = [hour[11:13] >= "19" or hour[11:13] < "09" for hour in hours]
    return {
        "latitude": 40.4, "longitude": -101.7, "utc_offset_seconds": -21600,
        "timezone": "America/Denver",
        "hourly_units": {"time": "iso8601", "temperature_2m": "\N{DEGREE SIGN}C",
                         "precipitation": "mm", "relative_humidity_2m": "%"},
        "hourly": {
            "time": hours,
            "temperature_2m": [warmth if one else warmth + 6 for one in wet],
            "relative_humidity_2m": [96 if one else 50 for one in wet],
            "precipitation": [0.0] * len(hours),
        },
    }  # fmt: skip


def test_every_published_count_stands_on_the_sheet_where_it_belongs(folder: Path) -> None:
    """Fourteen humid hours at 16 C each night, worked by hand from the printed tables.

    Hutton and Smith: met each day. Wallin: 13 to 15 h at 15.1 C and above are 2 values a night, and
    the seventh night still runs: 5 h known, 12 unknown ones at half, 11 h and 1 value; 13 in all.
    With fewer than five rain-favourable days more than 6 ask for every 5 days. TOM-CAST has more
    than the 35 of a first spray. Powdery mildew asks for no wetness and has no line.
    """
    file = folder / "hours.json"
    file.write_text(json.dumps(humid_nights(16.0)), "utf-8")
    take(folder, file, at=FRIDAY)
    made = plan(folder, SATURDAY)
    told = " ".join(w for w in made.warnings if "eather" in w)
    assert "late blight" in told and "full Smith period" in told and "two days running" in told
    assert "protection every 5 days (13 values in a week)" in told
    assert "downy mildew of cucurbits: 14 of the last 14 nights" in told
    early = told[told.index("early blight of tomato") :]
    assert "severity values" in early[:60] and "Septoria" in told
    assert "powdery mildew" not in told
