from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.front import Teller
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.plan import Outlook, Plan, Span, Stamp, Task, VisitPlan
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.since import Otherwise, Since

GOLDEN = Path(__file__).parent / "golden"
_STAMP = Stamp("c", "l", "p", "t", 1, 1, "w", "a", "p", 1)


def golden(name: str) -> str:
    return (GOLDEN / name).read_text(encoding="utf-8")


def test_front_reads_as_written(plan: Plan) -> None:
    assert text_sheet(plan, "Plot 14") == golden("front.txt")


def test_front_in_us_units(plan: Plan) -> None:
    assert text_sheet(plan, "Plot 14", "us") == golden("front_us.txt")


def test_back_reads_as_written(plan: Plan) -> None:
    assert text_back(plan, "Plot 14") == golden("back.txt")


def test_kilograms_to_come_say_that_what_is_ready_is_beside_them(plan: Plan) -> None:
    """A picking of 800 g stood beside 0.9 kg in all, and nothing said that these are two things."""
    told = " ".join(text_back(plan, "Plot 14").split())
    weighed, after = told.index("KEEP OR REPLACE"), told.index("STILL TO COME")
    assert told.count("what is ready to pick today comes on top", weighed, after) == 1
    assert told.count("what is ready today comes on top", after) == 1
    bare = text_back(replace(plan, verdicts=()), "Plot 14")
    assert "ready to pick today" not in bare


def test_what_two_reasons_say_alike_is_said_once(plan: Plan) -> None:
    """The bees' evening window stood twice in one list, for two plantings."""
    bees = [Because("for the bees' sake", holds=False, way_out=way) for way in ("stay", "come")]
    assert Teller(plan, "metric").reasons([*bees, Because("it is warm")]).count("bees") == 1


def test_weeks_in_which_nothing_comes_have_no_heading_without_rows(plan: Plan) -> None:
    """A line of "week of 8 Jun 15 Jun ..." stood alone above the weeks in which squash bears."""
    weeks = tuple(date(2025, 8, 4) + timedelta(days=7 * n) for n in range(14))
    none, some = Span(0.0, 0.0, 0.0, "kg"), Span(0.4, 1.0, 2.0, "kg")
    late = tuple(some if n >= 7 else none for n in range(14))
    made = replace(plan, outlook=(Outlook("aubergines", weeks, late, late),))
    lines = text_back(made, "Plot 14").splitlines()
    heads = [n for n, line in enumerate(lines) if line.strip().startswith("week of ")]
    assert len(heads) == 2 and "22 Sep" in lines[heads[0]] and "4 Aug" not in lines[heads[0]]
    assert all("0.4-2" in lines[n + 1] for n in heads)
    assert "what is ready today comes on top" in " ".join(lines[: heads[0]]).replace("   ", " ")


@pytest.mark.parametrize("width", [60, 78])
@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_line_is_longer_than_asked(plan: Plan, width: int, units: str) -> None:
    both = text_sheet(plan, "Plot 14", units, width) + text_back(plan, "Plot 14", units, 78)  # type: ignore[arg-type]
    front = text_sheet(plan, "Plot 14", units, width)  # type: ignore[arg-type]
    assert max(map(len, front.splitlines())) <= width
    assert max(map(len, both.splitlines())) <= 78


def test_front_shows_no_chance_id_key_or_stamp(plan: Plan) -> None:
    front = text_sheet(plan, "Plot 14")
    ids = [task.id for task in plan.visits[0].tasks]
    keys = ["cucumbers-row-2", "soft-soap", "potassium-salts", "greenhouse-whitefly"]
    for word in [*ids, *keys, plan.stamp.tables, "in 10", "linux", "seed 14"]:
        assert word not in front


def test_front_has_at_most_one_range_a_line(plan: Plan) -> None:
    for line in text_sheet(plan, "Plot 14").splitlines():
        assert len(re.findall(r"\d to \d", line)) <= 1


def test_tasks_are_numbered_on_through_all_parts_and_name_each_other(plan: Plan) -> None:
    front = text_sheet(plan, "Plot 14")
    assert re.findall(r"^([ \d]\d) ", front, flags=re.M) == [f"{n:2d}" for n in range(1, 8)]
    assert "Decides 7." in front
    assert "Only if 3 found" in front


def test_last_job_comes_after_every_other_part_whatever_the_plan_order(plan: Plan) -> None:
    front = text_sheet(plan, "Plot 14")
    heads = ["ON ARRIVAL", "PICK", "LOOK", "CARE", "REPLACE", "LAST JOB", "NOT TODAY", "DECIDED"]
    places = [front.index(f"\n{head}") for head in heads]
    assert places == sorted(places)


def test_a_barred_planting_is_named_even_where_nothing_is_to_be_picked(plan: Plan) -> None:
    visit = plan.visits[0]
    idle = replace(visit, tasks=tuple(t for t in visit.tasks if t.part != "pick"))
    front = text_sheet(replace(plan, visits=(idle,)), "Plot 14")
    assert "NOT the beans" in front


def test_unknown_clearance_is_never_shown_as_open(plan: Plan) -> None:
    beans = replace(plan.picking[0], safe_from=None)
    unknown = replace(plan, picking=(beans,))
    told = " ".join(text_sheet(unknown, "Plot 14").split())
    assert "Not known when it is clear" in told
    assert "not known when" in text_back(unknown, "Plot 14")


def test_a_plan_without_a_visit_says_so(plan: Plan) -> None:
    assert "No visit is planned." in text_sheet(replace(plan, visits=()), "Plot 14")


def test_warnings_and_rough_facts_reach_the_front(plan: Plan) -> None:
    marked = replace(plan, warnings=("Counts and model differ.",), rough=("no soil given",))
    front = text_sheet(marked, "Plot 14")
    assert "MIND: Counts and model differ." in front
    assert "ROUGH: No soil given." in front


words = st.text(st.characters(min_codepoint=32, max_codepoint=126), min_size=1, max_size=300)


@settings(max_examples=60, deadline=None)
@given(says=words, what=words, minutes=st.floats(0, 500))
def test_any_words_wrap_within_the_width(says: str, what: str, minutes: float) -> None:
    visit = VisitPlan(
        date(2025, 8, 5),
        datetime(2025, 8, 5, 18),
        datetime(2025, 8, 5, 20),
        None,
        what,
        minutes,
        (Task("x", "care", "care", says, minutes),),
        water_left=what,
        left_out=(says,),
    )
    bare = Plan(1, "P", datetime(2025, 8, 5), (visit,), (), (), (), (), (), (), _STAMP, names=())
    for line in (text_sheet(bare, "P") + text_back(bare, "P")).splitlines():
        assert len(line) <= 78


def test_cautions_of_all_stand_before_all_and_others_with_each_task(plan: Plan) -> None:
    """A task left out must not take away the caution of the next one."""
    visit = plan.visits[0]
    soap = next(task for task in visit.tasks if task.kind == "treat")
    on_tomatoes = replace(
        soap, id="t-0", only_if="", says="Soap on tomatoes", cautions=("Gloves, goggles", "No wind")
    )
    on_beans = replace(on_tomatoes, id="t-1", says="Soap on beans")
    treated = replace(visit, tasks=(soap, on_tomatoes, on_beans))
    front = text_sheet(replace(plan, visits=(treated,)), "Plot 14")
    last_job = front[front.index("LAST JOB") : front.index("NOT TODAY")]
    assert last_job.index("For each of these: Gloves, goggles.") < last_job.index(" 1 Only if")
    assert last_job.count("Gloves") == 1
    assert last_job.count("No wind.") == 2


def test_a_task_with_the_reasons_of_another_names_it(plan: Plan) -> None:
    visit = plan.visits[0]
    look = next(task for task in visit.tasks if task.kind == "look")
    again = replace(look, id="t-again", says="Peppers: turn 10 low leaves")
    both = replace(plan, visits=(replace(visit, tasks=(look, again)),))
    why = text_back(both, "Plot 14").split("PICKING")[0]
    assert "2 Peppers: turn 10 low leaves. As 1." in why


@pytest.mark.parametrize(("method", "as_one"), [("soap", True), ("water_jet", False)])
def test_a_treatment_is_told_as_another_only_of_its_own_method(
    plan: Plan, method: str, *, as_one: bool
) -> None:
    """A jet told "as 1" of a soap was given the soap's share and its label."""
    visit = plan.visits[0]
    soap = replace(next(t for t in visit.tasks if t.kind == "treat"), method="soap", only_if="")
    other = replace(soap, id="t-other", says="Other on beans", method=method)
    both = replace(plan, visits=(replace(visit, tasks=(soap, other)),))
    why = text_back(both, "Plot 14").split("PICKING")[0]
    assert ("As 1." in why) is as_one
    reason = " ".join(soap.because[0].says.split())[:30]
    assert " ".join(why.split()).lower().count(reason.lower()) == (1 if as_one else 2)


def test_who_says_so_is_said_once_for_all_its_reasons(plan: Plan) -> None:
    visit = plan.visits[0]
    look = next(task for task in visit.tasks if task.kind == "look")
    words = ("it is dry", "it is still")
    cautioned = replace(look, because=tuple(Because(says, who="our caution") for says in words))
    why = text_back(replace(plan, visits=(replace(visit, tasks=(cautioned,)),)), "Plot 14")
    assert "Our caution: it is dry; it is still." in why


def test_a_frost_to_come_has_its_own_line_and_is_something_to_do(plan: Plan) -> None:
    visit = replace(plan.visits[0], tasks=(), warning="FROST LIKELY by the morning of Wed 6 Aug")
    front = text_sheet(replace(plan, visits=(visit,), picking=()), "Plot 14")
    assert "FROST LIKELY by the morning of Wed 6 Aug." in front.splitlines()
    assert "Nothing else needs doing" in front


def test_what_is_new_is_the_first_line_under_the_heading_before_a_frost_too(plan: Plan) -> None:
    visit = replace(plan.visits[0], warning="FROST LIKELY by the morning of Wed 6 Aug")
    new = Since(date(2025, 8, 3), (Otherwise("added", "Squash: pull"),))
    head, *lines = text_sheet(replace(plan, visits=(visit,), since=new), "Plot 14").splitlines()
    assert head == "PLOT 14   TUE 5 AUG 18:55   75 minutes' work, sunset 20:34"
    assert lines[:3] == [
        "Since Sun 3 Aug: new: Squash: pull.",
        "27 C, still, dry",
        "FROST LIKELY by the morning of Wed 6 Aug.",
    ]


def test_one_minute_is_no_minutes(plan: Plan) -> None:
    visit = replace(plan.visits[0], minutes=1.0)
    front = text_sheet(replace(plan, visits=(visit,)), "Plot 14")
    assert "   1 minute's work, sunset" in front.splitlines()[0]


def test_what_is_too_long_for_paper_stays_off_the_back(plan: Plan) -> None:
    first, *rest = plan.visits[0].tasks
    more = (*first.because, Because("a short reason"), Because("a long reckoning", aside=True))
    visit = replace(plan.visits[0], tasks=(replace(first, because=more), *rest))
    said = text_back(replace(plan, visits=(visit, *plan.visits[1:])), "Plot")
    assert "short reason" in said and "long reckoning" not in said


def test_a_visit_after_an_absence_is_told_by_its_day(plan: Plan) -> None:
    """The next Saturday of the calendar lies in the absence: another one is meant."""
    first, second, *_ = plan.visits
    later = replace(second, date=second.date + timedelta(days=7))
    words = text_sheet(replace(plan, visits=(first, later)), plan.plot)
    assert f"IF YOU MISS SATURDAY {later.date.day} {later.date:%b}".upper() in words
    assert "IF YOU MISS SATURDAY:" in text_sheet(plan, plan.plot)
