"""The PDF, read back by another program's reader and measured on pictures of its pages."""

from __future__ import annotations

import importlib.util
import io
import re
import sys
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PageObject, PdfReader

from lattermath.sheets import paper
from lattermath.sheets.paper import pdf_sheet
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.since import Otherwise, Since

_SPEC = importlib.util.spec_from_file_location("png", Path(__file__).parent / "png.py")
assert _SPEC is not None and _SPEC.loader is not None
_PNG = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_PNG)

MM_A_POINT = 25.4 / 72
DOTS_AN_INCH = 96  # at 72 the gaps of a dashed box can fall between the dots
DOTS_A_MM = DOTS_AN_INCH / 25.4
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; US Letter 8.5 x 11 in


def read(made: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(made))


def words(text: str) -> str:
    """Text with every run of white space as one space, and no break inside a word."""
    return " ".join(text.split())


@cache
def pictures(plan: Plan, named: paper.Paper = "a4") -> tuple[NDArray[np.int64], ...]:
    told = paper._told(plan, "Plot 14", "metric", named)
    return tuple(_PNG.pixels(page) for page in paper._typeset(told, format="png", ppi=DOTS_AN_INCH))


def squares(page: NDArray[np.int64], side_mm: float) -> int:
    """Upright strokes about as long as a tick box is high, at the left edge of the type."""
    dark = page.sum(2) < 3 * 200
    edge = dark[:, round(12 * DOTS_A_MM) : round(15 * DOTS_A_MM)].any(1)
    runs = re.findall("1+", "".join("1" if there else "0" for there in edge))
    return sum(abs(len(run) / DOTS_A_MM - side_mm) < 1.0 for run in runs)


def long(plan: Plan, times: int) -> Plan:
    """The same plan with so many more tasks to care for."""
    first = plan.visits[0]
    care = next(task for task in first.tasks if task.part == "care")
    more = tuple(replace(care, id=f"more-{n}") for n in range(times))
    visits = (replace(first, tasks=(*first.tasks, *more)), *plan.visits[1:])
    return replace(plan, visits=visits)


def test_same_plan_same_bytes_and_another_hour_other_bytes(plan: Plan) -> None:
    made = pdf_sheet(plan, "Plot 14")
    assert made == pdf_sheet(plan, "Plot 14")
    assert made != pdf_sheet(replace(plan, as_of=plan.as_of + timedelta(hours=1)), "Plot 14")


@pytest.mark.parametrize("named", ["a4", "letter"])
def test_one_leaf_front_and_back(plan: Plan, named: paper.Paper) -> None:
    pages = read(pdf_sheet(plan, "Plot 14", paper=named)).pages
    assert len(pages) == 2
    for page in pages:
        size = [float(side) * MM_A_POINT for side in page.mediabox[2:]]
        assert size == pytest.approx(PAPERS[named], abs=0.1)


def test_paper_follows_the_units_unless_it_is_named(plan: Plan) -> None:
    wide = {
        units: float(read(pdf_sheet(plan, "Plot 14", units)).pages[0].mediabox[2]) * MM_A_POINT
        for units in ("metric", "us")
    }
    assert wide == pytest.approx({"metric": 210.0, "us": 215.9}, abs=0.1)


def test_front_says_all_that_the_text_sheet_says(plan: Plan) -> None:
    """Every word of the text sheet but its marks of layout stands on the front, in each part."""
    front = read(pdf_sheet(plan, "Plot 14")).pages[0].extract_text()
    found = set(re.findall(r"\w+(?::\w+)*", front.lower()))
    text = text_sheet(plan, "Plot 14").replace("TUE 5 AUG", "Tuesday 5 August")
    assert set(re.findall(r"\w+(?::\w+)*", text.lower())) <= found | {"work"}


def test_what_is_new_stands_right_under_the_heading_before_a_frost(plan: Plan) -> None:
    frost = replace(plan.visits[0], warning="FROST LIKELY by the morning of Wed 6 Aug")
    new = Since(date(2025, 8, 3), (Otherwise("added", "Squash: pull"),))
    made = replace(plan, visits=(frost, *plan.visits[1:]), since=new)
    front = words(read(pdf_sheet(made, "Plot 14")).pages[0].extract_text())
    since = front.index("Since Sun 3 Aug: new: Squash: pull.")
    assert since < front.index("FROST LIKELY") < front.index("Short of time")
    assert len(front[:since]) < 60, "nothing but the heading comes before it"


def test_every_task_stands_with_its_number_on_the_front(plan: Plan) -> None:
    front = words(read(pdf_sheet(plan, "Plot 14")).pages[0].extract_text())
    for says in (
        "Water: cucumbers row 2, wilted, 2 cans at the foot.",
        "Courgettes over 12 cm, cucumbers row 1, basil tips.",
        "Aubergines: turn 10 low leaves, count pale scales. Decides 7.",
        "Tie in tomatoes, take out side shoots, hoe bed C.",
        "Put 4 cucumbers from the cups in bed D",
        "Row 2: bag each of the two worst standing, then cut.",
        "Only if 3 found 5 or more a leaf: soap, undersides of aubergines",
        "Gloves, goggles. Children and dog away until dry.",
        "Not the beans: treated Sun 3 Aug (label). Clear Thu 7 Aug 20:00.",
    ):
        assert says in front
    assert "t-9a1" not in front, "no id on the front"


def test_back_has_the_reasons_and_the_stamp(plan: Plan) -> None:
    back = words(read(pdf_sheet(plan, "Plot 14")).pages[1].extract_text())
    for says in ("Why", "Only wetted scales die", "tables 77c1", "The label in your hand is"):
        assert says in back


def test_a_screen_reader_is_told_title_language_and_structure(plan: Plan) -> None:
    made = read(pdf_sheet(plan, "Plot 14", "us"))
    root = made.trailer["/Root"]
    assert made.metadata is not None and made.metadata.title == "Plot 14, Tue 5 Aug"
    assert root["/Lang"] == "en-US" and root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root and "pdfuaid" in root["/Metadata"].get_data().decode()
    assert b"35 days are cut, 88 still stand" in words(str(tree(root))).encode()


def tree(node: object) -> list[object]:
    """What stands in for pictures, from everywhere below a node of the structure."""
    found: list[object] = []
    waiting = [node["/StructTreeRoot"]]  # type: ignore[index]
    while waiting:
        here = waiting.pop()
        here = here.get_object() if hasattr(here, "get_object") else here
        if isinstance(here, list):
            waiting += here
        elif isinstance(here, dict):
            found += [here["/Alt"]] if "/Alt" in here else []
            waiting += [here["/K"]] if "/K" in here else []
    return found


def test_words_of_the_grower_are_no_markup(plan: Plan) -> None:
    name = '*x* #panic("no") $y$ <b> `c` // d @e \\ [f]'
    names = tuple((key, f"{told} {name}") for key, told in plan.names)
    front = words(read(pdf_sheet(replace(plan, names=names), name)).pages[0].extract_text())
    assert front.count('*x* #panic("no") $y$ <b> `c` // d @e') >= 2


def test_black_on_white_with_room_for_the_printer(plan: Plan) -> None:
    for named, (wide, high) in PAPERS.items():
        for page in pictures(plan, named):  # type: ignore[arg-type]
            assert page.shape[:2] == pytest.approx((high * DOTS_A_MM, wide * DOTS_A_MM), abs=1)
            assert np.ptp(page, axis=2).max() == 0, "no colour"
            assert page.min() < 60 and page.mean() > 200, "dark words on white"
            rim = round(9 * DOTS_A_MM)
            inked = np.argwhere(page.sum(2) < 3 * 250)
            least, most = inked.min(0), inked.max(0)
            assert (least >= rim).all() and (most < np.array(page.shape[:2]) - rim).all()


def test_each_task_has_a_box_to_tick(plan: Plan) -> None:
    """Seven tasks, the last with a dashed box, for it depends on what the look finds."""
    assert squares(pictures(plan)[0], 6.2) == 6
    care_only = replace(plan, visits=(replace(plan.visits[0], tasks=plan.visits[0].tasks[4:5]),))
    assert squares(pictures(care_only)[0], 6.2) == 1


def test_type_shrinks_until_the_front_is_one_page(plan: Plan) -> None:
    for more in (0, 12, 16):
        made = read(pdf_sheet(long(plan, more), "Plot 14"))
        assert len(made.pages) == 2
        assert made.pages[0].extract_text().count("Tie in tomatoes") == more + 1


def test_a_visit_too_long_for_one_page_loses_nothing(plan: Plan) -> None:
    made = read(pdf_sheet(long(plan, 60), "Plot 14"))
    text = "".join(page.extract_text() for page in made.pages)
    assert len(made.pages) > 2 and text.count("Tie in tomatoes") == 61


def sizes(page: PageObject) -> list[float]:
    """The size of each letter that stands on a page. [pt]"""
    found = []

    def told(text: str, outer: list[float], inner: list[float], _: object, size: float) -> None:
        scale = np.hypot(inner[2], inner[3]) * np.hypot(outer[2], outer[3])
        found.extend([float(size * scale)] * len(text.strip()))

    page.extract_text(visitor_text=told)
    return found


@pytest.mark.parametrize("more", [0, 12, 20, 60])
def test_no_letter_is_smaller_than_eight_points(plan: Plan, more: int) -> None:
    for page in read(pdf_sheet(long(plan, more), "Plot 14")).pages:
        assert min(sizes(page)) > 8 - 1e-6


def test_a_front_that_goes_on_says_so_at_its_head_and_is_set_larger(plan: Plan) -> None:
    fits, goes_on = (read(pdf_sheet(long(plan, n), "Plot 14")).pages for n in (0, 32))
    assert "goes on overleaf" not in words(fits[0].extract_text())
    assert "Turn over." in words(fits[0].extract_text())
    head, after = (words(page.extract_text()) for page in goes_on[:2])
    assert head.index("A long visit: it goes on overleaf.") < head.index("On arrival")
    assert "Why? On the next leaf." in after and "Turn over" not in head + after
    assert len(goes_on) == 3 and "Why, and what was reckoned" in goes_on[2].extract_text()
    assert np.median(sizes(goes_on[0])) > 9


def test_blanks_are_in_the_units_of_the_sheet(plan: Plan) -> None:
    metric, us = (
        words(read(pdf_sheet(plan, "Plot 14", units)).pages[0].extract_text())
        for units in ("metric", "us")
    )
    assert "Start litres undersides wetted" in metric
    assert "Start gallons undersides wetted" in us and "litres" not in us


@pytest.mark.parametrize(
    ("method", "asked"),
    [("prune_leaves", "Start leaves taken off"), ("hand_pick", "Start found"), ("vacuum", "Start")],
)
def test_hand_work_asks_for_what_fits_it(plan: Plan, method: str, asked: str) -> None:
    """Nothing is poured where leaves are taken off, and no litres are asked for."""
    first = plan.visits[0]
    tasks = tuple(
        replace(task, product=None, method=method, amounts=()) if task.kind == "treat" else task
        for task in first.tasks
    )
    by_hand = replace(plan, visits=(replace(first, tasks=tasks), *plan.visits[1:]))
    told = words(read(pdf_sheet(by_hand, "Plot 14")).pages[0].extract_text())
    assert asked in told and "undersides wetted" not in told and "Start litres" not in told


def test_plans_without_season_or_visit_still_print(plan: Plan) -> None:
    assert len(read(pdf_sheet(replace(plan, season=None), "Plot 14")).pages) == 2
    bare = read(pdf_sheet(replace(plan, visits=()), "Plot 14")).pages[0].extract_text()
    assert "No visit is planned." in words(bare)


def test_a_letter_without_a_shape_is_refused_and_named(plan: Plan) -> None:
    with pytest.raises(InputError) as refusal:
        pdf_sheet(plan, "Plot 🍅")
    (fault,) = refusal.value.faults
    assert fault.value == "🍅" and "--html" in fault.remedy


def test_without_the_print_extra_the_refusal_says_what_to_install(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(InputError) as refusal:
        pdf_sheet(plan, "Plot 14")
    (fault,) = refusal.value.faults
    assert "--pdf" in fault.where and "lattermath[print]" in fault.remedy
