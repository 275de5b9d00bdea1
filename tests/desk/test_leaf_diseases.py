"""Leaf diseases logged on the demonstration's plot: what the plan then says, and never says."""

import json
import shutil
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from tests.desk.demo_ground import demo_ground

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.take_weather import take
from lattermath.knowledge.tables import load_tables
from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.front import front
from lattermath.vocabulary.events import Pulling, Sighting
from lattermath.vocabulary.plan import Plan, Task, Verdict

HERE = ZoneInfo("America/Denver")
FRIDAY = datetime(2011, 7, 29, 19, 0, tzinfo=HERE)
SATURDAY = date(2011, 7, 30)
pytestmark = pytest.mark.usefixtures("few_draws")


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_ground(Path(tmp_path_factory.mktemp("shown")) / "plot")


@pytest.fixture
def folder(shown: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(shown, tmp_path / "plot"))


def see(folder: Path, planting: str, what: str, at: datetime = FRIDAY, **over) -> None:
    log(folder, Sighting(planting, what, over.pop("measure", "severity"), **over), at)


def verdict(made: Plan, planting: str) -> Verdict:
    return next(v for v in made.verdicts if v.planting == planting)


def tasks(made: Plan, planting: str, kind: str) -> list[Task]:
    return [t for t in made.visits[0].tasks if t.planting == planting and t.kind == kind]


def test_first_spots_of_late_blight_take_single_plants_out(folder: Path) -> None:
    see(folder, "tomatoes", "late blight", measure="first seen", surface="top")
    made = plan(folder, SATURDAY)
    assert verdict(made, "tomatoes").verdict == "fight"
    assert "late blight" in verdict(made, "tomatoes").says
    out = tasks(made, "tomatoes", "pull")
    assert len(out) == 1 and out[0].must and out[0].part == "sick plants last"
    assert "Tell the plots around" in out[0].says and not out[0].amounts
    assert any("off the plot" in caution for caution in out[0].cautions)


@pytest.mark.parametrize(("percent", "turns"), [(2.0, True), (6.0, False)])
def test_how_much_is_ill_is_looked_at_while_it_decides_whether_all_of_it_goes(
    folder: Path, percent: float, turns: bool
) -> None:
    """The rule turns at one leaf in twenty, which no course of treatment knows of."""
    see(folder, "tomatoes", "late blight", surface="top", percent=percent)
    made = plan(folder, SATURDAY)
    looks = [t for t in tasks(made, "tomatoes", "look") if "stems" in t.says]
    assert len(looks) == turns
    for look in looks:
        assert look.must and "Decides whether all of it goes." in look.says
        assert look.part == "sick plants last"
        says = " ".join(reason.says for reason in look.because)
        assert "take out all of it from 5 % of the leaf, else take out what shows it" in says
    assert not any("late blight" in one and "no look" in one for one in made.visits[0].left_out)


def test_late_blight_on_stems_takes_the_planting_out_tonight(folder: Path) -> None:
    see(folder, "tomatoes", "late blight", surface="stem", percent=2.0)
    made = plan(folder, SATURDAY)
    told = verdict(made, "tomatoes")
    assert told.verdict in ("pull", "replace") and "tonight" in told.says
    out = tasks(made, "tomatoes", "pull")
    assert [a.quantity for a in out[0].amounts] == [7] and out[0].must
    assert (
        "unless it is barred from picking" in out[0].says and "Tell the plots around" in out[0].says
    )
    assert not tasks(made, "tomatoes", "care")
    shown = front(made, "14", "metric")
    assert shown is not None
    assert not any(line.startswith("Let run") and "tomatoes" in line for line in shown.decided)


def test_what_comes_out_tonight_is_not_to_be_looked_at_again(folder: Path) -> None:
    """Once: "take out tonight", "look again at the next visit", "fill it … sound and in flower"."""
    see(folder, "tomatoes", "late blight", surface="top", percent=20.0)
    made = plan(folder, SATURDAY)
    assert verdict(made, "tomatoes").verdict in ("pull", "replace")
    blight = next(p for p in made.populations if p.organism == "late_blight")
    assert "Taken out tonight for it: Cordon tomatoes." in blight.course_says
    assert blight.course_says.endswith("Look at Aubergines again at the next visit.")
    assert not any("is sound" in b.says for b in verdict(made, "tomatoes").because)
    back = " ".join(text_back(made, "14", "metric").split())
    told = back.partition("KEEP OR REPLACE")[2].partition("Cordon tomatoes: ")[2]
    assert told.startswith(("take out. Something in its place", "replace. Something in its place"))


def test_a_later_clean_look_ends_it(folder: Path) -> None:
    see(folder, "tomatoes", "late blight", datetime(2011, 7, 27, 19, tzinfo=HERE), percent=12.0)
    see(folder, "tomatoes", "late blight", level="none", looked_at=20)
    made = plan(folder, SATURDAY)
    assert verdict(made, "tomatoes").verdict == "let run"
    assert not tasks(made, "tomatoes", "pull")


def test_once_plants_were_pulled_the_task_is_done(folder: Path) -> None:
    see(folder, "tomatoes", "late blight", measure="first seen", surface="top")
    log(folder, Pulling("tomatoes", 1, "bagged off the plot"), FRIDAY)
    assert not tasks(plan(folder, SATURDAY), "tomatoes", "pull")


def test_nobody_is_told_to_wet_leaves_that_are_spotted(folder: Path) -> None:
    """The jet against whitefly is planned on the melons; with spots on them it is not."""

    def jets(made: Plan) -> set[str | None]:
        courses = {p for one in made.populations for s in one.course for p in s.plantings
                   if s.method == "water_jet"}  # fmt: skip
        return courses | {
            t.planting for v in made.visits for t in v.tasks if t.method == "water_jet"
        }

    for planting in ("melon", "aubergines", "cucumbers", "tomatoes"):
        see(folder, planting, "brown leaf spots", measure="first seen", surface="top")
    made = plan(folder, SATURDAY)
    assert not jets(made)
    words = [w for w in made.warnings if "brown leaf spots" in w.casefold()]
    assert len(words) == 4 and all("not reckoned" in w and "leaves dry" in w for w in words)
    assert all('--seen "brown leaf spots"' in w and "no figures" not in w for w in words)


# What is seen at one look, each on a planting of its own: one plan answers for all of it.
LOOKS = (
    {"early_blight_tomato": "tomatoes", "bean_rust": "beans", "cucurbit_downy_mildew": "cucumbers"},
    {"septoria_leaf_spot_tomato": "tomatoes", "angular_leaf_spot_cucurbits": "cucumbers"},
    {"bacterial_spot": "tomatoes"},
)


@pytest.fixture(scope="module")
def looked(shown: Path, tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Plan]:
    """The plan after the look at which a disease was seen, made once for all of that look."""
    made: dict[int, Plan] = {}

    def look(disease: str) -> Plan:
        (n,) = [n for n, seen in enumerate(LOOKS) if disease in seen]
        if n not in made:
            folder = Path(shutil.copytree(shown, tmp_path_factory.mktemp("look") / "plot"))
            for one, planting in LOOKS[n].items():
                see(folder, planting, one, percent=8.0, surface="whole")
            made[n] = plan(folder, SATURDAY)
        return made[n]

    return look


@pytest.mark.parametrize(
    ("planting", "disease", "followed"),
    [
        ("tomatoes", "early_blight_tomato", True),
        ("tomatoes", "septoria_leaf_spot_tomato", True),
        ("beans", "bean_rust", True),
        ("cucumbers", "cucurbit_downy_mildew", True),
        ("tomatoes", "bacterial_spot", False),
        ("cucumbers", "angular_leaf_spot_cucurbits", False),
    ],
)
def test_what_has_figures_is_followed_and_the_rest_says_so(
    looked: Callable[[str], Plan], planting: str, disease: str, followed: bool
) -> None:
    made, name = looked(disease), load_tables().diseases[disease].name.casefold()
    population = [p for p in made.populations if p.organism == disease]
    assert bool(population) is followed
    if followed:
        assert [strip.name for strip in population[0].strips] == ["tops", "undersides"]
        assert planting in population[0].plantings
    else:
        assert any(
            "not reckoned, no figures" in warning and name in warning.casefold()
            for warning in made.warnings
        )
    told = verdict(made, planting)
    if told.verdict == "let run":
        treated = "the course against" in told.says and name in told.says.casefold()
        assert told.minds and (treated or "is on it" in told.says)


def test_wilt_has_no_spray_and_a_test(folder: Path) -> None:
    see(folder, "melon", "bacterial wilt", measure="first seen", surface="whole")
    made = plan(folder, SATURDAY)
    out = tasks(made, "melon", "pull")
    assert len(out) == 1 and "Threads" in out[0].says
    assert not any(p.organism == "bacterial_wilt_cucurbits" for p in made.populations)


def hours(first: str, days: int, humid_until: int) -> dict:
    """Hours of an open weather service: 13 to 23 C, humid from 21:00 to `humid_until`."""
    stamps = [np.datetime64(first) + np.timedelta64(n, "h") for n in range(days * 24)]
    clock = [n % 24 for n in range(days * 24)]
    return {
        "latitude": 40.4, "longitude": -101.7, "utc_offset_seconds": -21600,
        "timezone": "America/Denver",
        "hourly_units": {"time": "iso8601", "temperature_2m": "°C", "precipitation": "mm",
                         "relative_humidity_2m": "%"},
        "hourly": {
            "time": [str(stamp)[:16] for stamp in stamps],
            "temperature_2m": [18 - 5 * float(np.cos((h - 15) * np.pi / 12)) * -1 for h in clock],
            "relative_humidity_2m": [96 if h < humid_until or h >= 21 else 55 for h in clock],
            "precipitation": [0.0] * len(clock),
        },
    }  # fmt: skip


def lines(made: Plan, words: str) -> list[str]:
    return [w for w in made.warnings if "eather" in w and words in w]


@pytest.mark.parametrize(("humid_until", "lets"), [(8, True), (1, False)])
def test_measured_hours_say_what_the_weather_lets_in(
    folder: Path, humid_until: int, lets: bool
) -> None:
    """Eleven humid hours every night for a fortnight are Smith periods; four let nothing in."""
    file = folder / "hours.json"
    file.write_text(json.dumps(hours("2011-07-14T00:00", 16, humid_until)), "utf-8")
    take(folder, file, at=FRIDAY)
    made = plan(folder, SATURDAY)
    told = lines(made, "late blight")
    assert bool(told) is lets
    looks = [
        t for v in made.visits for t in v.tasks
        if t.kind == "look" and any("late blight" in b.says for b in t.because)
    ]  # fmt: skip
    left_out = [w for v in made.visits for w in v.left_out if "look at stems" in w]
    assert bool(looks or left_out) is lets
    if lets:
        assert "hours measured" in told[0] and "Cordon tomatoes" in told[0]
        assert "lets in" in told[0] and "Smith" in told[0]


def test_a_clean_look_does_not_change_the_weather(folder: Path) -> None:
    file = folder / "hours.json"
    file.write_text(json.dumps(hours("2011-07-14T00:00", 16, 8)), "utf-8")
    take(folder, file, at=FRIDAY)
    see(folder, "tomatoes", "late blight", level="none", looked_at=20)
    made = plan(folder, SATURDAY)
    assert lines(made, "late blight")
    fresh = [t for t in tasks(made, "tomatoes", "look") if "look at stems" in t.says]
    assert not fresh  # looked at yesterday


def test_a_dry_hot_fortnight_lets_no_blight_in_and_says_what_heat_does(folder: Path) -> None:
    made = plan(folder, SATURDAY)
    assert not lines(made, "late blight")
    heat = [w for w in made.warnings if "too hot for flowers" in w]
    assert len(heat) == 1 and "Cordon tomatoes" in heat[0] and "no spray" in heat[0]


def test_plans_stay_the_same_from_run_to_run(folder: Path) -> None:
    see(folder, "tomatoes", "early_blight_tomato", percent=8.0)
    one, other = (plan(folder, SATURDAY) for _ in range(2))
    assert one.populations == other.populations and one.verdicts == other.verdicts
