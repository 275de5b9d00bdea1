"""The demonstration's plot, worked out and held against what its journal and labels say by hand."""

import csv
import io
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from lattermath.desk.demo import Shown
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan as planned
from lattermath.sheets.figures import said_in
from lattermath.sheets.front import in_order
from lattermath.sheets.paper import pdf_sheet
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plan import Plan, Population, Task, VisitPlan

HERE = ZoneInfo("America/Denver")
SOAP_GAP_DAYS = 5  # typed from the invented label in the demonstration's plot.toml


@pytest.fixture(scope="module")
def plan(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return make_demo(Path(tmp_path_factory.mktemp("shown")) / "plot").plan


def tonight(plan: Plan) -> VisitPlan:
    return plan.visits[0]


def population(plan: Plan, organism: str) -> Population:
    return next(p for p in plan.populations if p.organism.startswith(organism))


def sprayed(task: Task) -> bool:
    return task.kind == "treat" and task.product is not None


def test_the_beans_wait_three_days_to_the_minute(plan: Plan) -> None:
    """Treated 28 July 20:05, three days on the label: 31 July 20:05."""
    beans = next(clear for clear in plan.picking if clear.planting == "beans")
    assert not beans.clear_now
    assert beans.safe_from == datetime(2011, 7, 31, 20, 5, tzinfo=HERE)
    assert not [t for t in tonight(plan).tasks if t.kind == "pick" and t.planting == "beans"]


def test_the_task_that_the_readme_unfolds_rests_on_count_table_and_label(plan: Plan) -> None:
    """Its number there, and the three kinds of reason that are promised beside it."""
    readme = (Path(__file__).resolve().parents[2] / "README.md").read_text("utf-8")
    [number] = re.findall(r"lattermath why (\d+) --plot my-demo", readme)
    task = in_order(tonight(plan).tasks)[int(number) - 1]
    assert sprayed(task) and task.planting == "aubergines"
    rests_on = {address.partition(":")[0] for one in task.because for address in one.rests_on}
    assert {"event", "table", "label"} <= rests_on


def test_no_spray_is_blamed_for_a_count_on_plants_that_had_none(plan: Plan) -> None:
    """The aubergines were never sprayed before the count of 28 July; the melons were."""
    told = population(plan, "greenhouse_whitefly")
    assert not told.disagrees or told.disagrees.startswith("Aubergines: 1064 counted")
    assert not [one for one in told.may_be if "spray" in one.what] and "spray" not in told.to_tell


def test_every_other_planting_may_be_picked(plan: Plan) -> None:
    assert {c.planting for c in plan.picking if not c.clear_now} == {"beans"}


def test_the_spray_is_the_last_job_before_leaving(plan: Plan) -> None:
    for visit in plan.visits:
        done = [t for t in visit.tasks if t.part != "at home"]
        sprays = [n for n, task in enumerate(done) if sprayed(task)]
        assert sprays == list(range(len(done) - len(sprays), len(done)))


def test_the_work_fits_the_time(plan: Plan) -> None:
    for visit in plan.visits:
        latest = max((t.ends for t in visit.tasks if t.ends), default=visit.arrive)
        assert latest <= visit.leave
    assert tonight(plan).left_out  # the demonstration's evening is too short on purpose


def test_no_product_comes_back_before_its_label_allows(plan: Plan) -> None:
    days: dict[str, list[date]] = {}
    for step in population(plan, "greenhouse").course:
        if step.product == "soap":
            for key in step.plantings:
                days.setdefault(key, []).append(step.day)
    assert days
    for treated in days.values():
        gaps = [later - sooner for sooner, later in pairwise(treated)]
        assert all(gap >= timedelta(days=SOAP_GAP_DAYS) for gap in gaps)


def _sprayed_on(plan: Plan) -> list[date]:
    course = [s for s in population(plan, "greenhouse").course if "aubergines" in s.plantings]
    return sorted({step.day for step in course if step.product == "soap"})


@pytest.mark.xfail(strict=True, reason="ten days apart here; see validation.md")
def test_what_is_done_against_whitefly_is_done_again_within_a_week(plan: Plan) -> None:
    """Common practice: sprays five to seven days apart at this warmth."""
    sprays = _sprayed_on(plan)
    assert len(sprays) >= 2 and all(5 <= (b - a).days <= 7 for a, b in pairwise(sprays))


def test_what_the_first_spray_spares_is_met_before_it_lays(plan: Plan) -> None:
    """Soap spares eggs. From egg to adult takes 21 days at 25 C on tomato (a grower's note in the
    tables): within half of that what was an egg is a scale, and has laid nothing."""
    sprays = _sprayed_on(plan)
    assert len(sprays) >= 2 and all(5 <= (b - a).days <= 11 for a, b in pairwise(sprays))


def test_sulfur_waits_for_a_cooler_evening_and_says_why(plan: Plan) -> None:
    mildew = population(plan, "cucurbit")
    first = [step.day for step in mildew.course if step.product == "sulfur"]
    assert all(day > tonight(plan).date for day in first)
    bars = [why.says for why in mildew.because if not why.holds]
    assert any("28" in says and "not above" in says for says in bars)


def test_whiteflies_are_followed_over_the_fence(plan: Plan) -> None:
    """Adults flushed here settle on the neighbour's tomatoes two metres off, and come back."""
    connected = population(plan, "greenhouse").plantings
    assert "aubergines" in connected
    assert any("next" in key or "neighbour" in key for key in connected)
    treated = {t.planting for visit in plan.visits for t in visit.tasks if t.kind == "treat"}
    assert not [key for key in treated if key and ("next" in key or "neighbour" in key)]


def test_what_is_let_run_and_treated_all_the_same_says_so(plan: Plan) -> None:
    treated = {key for p in plan.populations for step in p.course for key in step.plantings}
    told = {v.planting: v.says for v in plan.verdicts if v.verdict == "let run"}
    both = treated & set(told)
    assert "aubergines" in both
    assert all("the course against" in told[key] or " is on it" in told[key] for key in both)


@pytest.mark.usefixtures("few_draws")
def test_nobody_works_at_what_an_earlier_visit_pulled(
    make_demo: Callable[[Path], Shown], tmp_path: Path
) -> None:
    """With blight on the tomatoes, which therefore come out at the first visit."""
    made = make_demo(tmp_path / "plot")
    blight = Sighting("tomatoes", "late_blight", "severity", percent=20.0)
    log(made.folder, blight, datetime(2011, 7, 30, 17, 0))
    gone: set[str] = set()
    for visit in planned(made.folder, date(2011, 7, 30)).visits:
        for task in visit.tasks:
            assert task.planting not in gone or task.kind in ("set out", "sow")
        gone |= {
            task.planting
            for task in visit.tasks
            if task.kind == "pull" and task.planting and ": all" in task.says
        }
    assert "tomatoes" in gone


def test_nothing_goes_in_where_the_old_plants_still_stand(plan: Plan) -> None:
    for visit in plan.visits:
        order = [(task.kind, task.planting) for task in visit.tasks]
        for n, (kind, planting) in enumerate(order):
            assert kind != "pull" or ("set out", planting) not in order[:n]


def test_each_lot_of_cups_is_given_away_once(plan: Plan) -> None:
    put = [t for visit in plan.visits for t in visit.tasks if t.kind == "set out"]
    assert put
    courgettes = sum(
        a.quantity for t in put if "courgettes" in t.says for a in t.amounts if a.what == "plants"
    )
    assert courgettes <= 5  # as many as the plot file has in cups


def test_everything_advised_has_a_reason_that_rests_on_something(plan: Plan) -> None:
    for visit in plan.visits:
        for task in visit.tasks:
            assert any(why.rests_on for why in task.because), task.says


def test_nothing_is_promised_after_the_latest_hard_frost_on_record(plan: Plan) -> None:
    """Counted from the station's own file: no year before 2011 kept above -2 C for longer."""
    ends = max(first_hard_frosts().values()).replace(year=2011)
    for outlook in plan.outlook:
        for week, kg in zip(outlook.weeks, outlook.with_plan, strict=True):
            assert week <= ends or kg.high == 0, (outlook.planting, week)


def first_hard_frosts() -> dict[int, date]:
    """First day from August on with a minimum of -2 C or less, as if all in one year."""
    text = (files("lattermath") / "demo" / "champion.csv").read_text("utf-8")
    found: dict[int, date] = {}
    for row in csv.DictReader(line for line in text.splitlines() if not line.startswith("#")):
        day, low = date.fromisoformat(row["date"]), row["tmin_c"]
        if day.year < 2011 and day.month >= 8 and low and float(low) <= -2:
            found.setdefault(day.year, day.replace(year=2011))
    return found


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_printed_front_is_one_page_and_loses_no_caution(plan: Plan, units: str) -> None:
    """A4 where units are metric, US Letter where they are not; a full visit with a spray."""
    first = tonight(plan)
    more = {("beans", "look"), ("tomatoes", "look")}  # with them it is too long for US Letter
    tasks = tuple(task for task in first.tasks if (task.planting, task.kind) not in more)
    assert any(map(sprayed, tasks)) and len(tasks) >= 12
    plan = replace(plan, visits=(replace(first, tasks=tasks), *plan.visits[1:]))
    pages = PdfReader(io.BytesIO(pdf_sheet(plan, "Plot 14", units))).pages  # type: ignore[arg-type]
    front, after = (" ".join(page.extract_text().split()) for page in pages[:2])
    assert "Turn over." in front and after.startswith("Why, and what was reckoned")
    for task in tonight(plan).tasks:
        for caution in task.cautions:
            assert said_in(caution, units)[1:].rstrip(".") in front  # type: ignore[arg-type]
    assert "Also seen" in front


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_visit_too_long_for_one_page_says_so_and_loses_nothing(plan: Plan, units: str) -> None:
    """With its treatment on two plantings more it goes on overleaf, on A4 too."""
    first = tonight(plan)
    (spray,) = filter(sprayed, first.tasks)
    more = [replace(spray, id=f"{spray.id}{n}", planting=n) for n in ("melon", "cucumbers")]
    plan = replace(plan, visits=(replace(first, tasks=(*first.tasks, *more)), *plan.visits[1:]))
    pages = PdfReader(io.BytesIO(pdf_sheet(plan, "Plot 14", units))).pages  # type: ignore[arg-type]
    front, after = (" ".join(page.extract_text().split()) for page in pages[:2])
    assert "it goes on overleaf" in front and "Turn over." not in front
    for task in tonight(plan).tasks:
        for caution in task.cautions:
            assert said_in(caution, units)[1:].rstrip(".") in f"{front} {after}"  # type: ignore[arg-type]
