"""The pictures of water and warmth: drawn, said and tabled is what the plan holds."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from datetime import date, timedelta
from typing import Any
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from lattermath.sheets.chart import Chart, csv_text, in_parts
from lattermath.sheets.chart_drawing import svg
from lattermath.sheets.printed_pictures import MOST_PANELS, season_pdf
from lattermath.sheets.season_charts import season_charts
from lattermath.sheets.season_views import season_page
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.season_series import (
    Gain,
    HeatCourse,
    HeatMark,
    Strip,
    Trace,
    Until,
    WaterCourse,
)

TODAY = date(2025, 8, 5)  # of the invented plan
BEHIND = tuple(TODAY - timedelta(days=n) for n in range(4, -1, -1))
AHEAD = tuple(TODAY + timedelta(days=n) for n in range(5))


def water(key: str, dry: int | None, planned: float = 0.0) -> WaterCourse:
    """40 mm that shrink by 4 a day on 5 m2; due below 20 of 50."""
    left = tuple(40.0 - 4 * n for n in range(9))
    more = tuple(v + planned for v in left[4:])
    by = None if dry is None else TODAY + timedelta(days=dry)
    gains = [Gain(BEHIND[1], 6.0, "rain"), Gain(BEHIND[2], 3.0, "poured")]
    gains += [Gain(TODAY, planned, "planned")] if planned else []
    return WaterCourse(
        key,
        5.0,
        Trace("water left", BEHIND, left[:5], left[:5], left[:5], "mm"),
        Strip(
            "water left", AHEAD, more, tuple(v - 1 for v in more), tuple(v + 1 for v in more),
            left[4:] if planned else (), "mm",
        ),
        (20.0,) * 9,
        (50.0,) * 9,
        tuple(gains),
        Until(by, by, by),
    )  # fmt: skip


def heat(of: str, *marks: HeatMark, begins: Any = "first seen") -> HeatCourse:
    sums = tuple(10.0 * n for n in range(9))
    return HeatCourse(
        of, BEHIND[0], begins, 8.3, 30.0, "single-sine, horizontal",
        Trace("degree-days", BEHIND, sums[:5], sums[:5], sums[:5], "C d"),
        Strip("degree-days", AHEAD, sums[4:], sums[4:], tuple(v + 2 for v in sums[4:]), (), "C d"),
        marks,
    )  # fmt: skip


HATCH = HeatMark("hatch", 60.0, Until(AHEAD[1], AHEAD[2], AHEAD[3]))
GROWN = HeatMark("grown", 75.0, Until(AHEAD[3], AHEAD[4], None))


@pytest.fixture
def watered(plan: Plan) -> Plan:
    """The invented plan with water of two plantings, and warmth."""
    return replace(
        plan,
        water=(water("beans", 1, 9.0), water("tomatoes", None)),
        heat=(heat("greenhouse-whitefly", HATCH, GROWN),),
    )


def charts(plan: Plan, units: Any = "metric") -> dict[str, Chart]:
    return {chart.key: chart for chart in season_charts(plan, (), units)}


def rows(chart: Chart) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(csv_text(chart))))


def test_the_file_has_every_number_in_litres(watered: Plan) -> None:
    told = [r for r in rows(charts(watered)["water"]) if r["strip"] == "The beans"]
    ahead = [float(r["middle"]) for r in told if r["nothing done"]]
    assert ahead == [5 * (40 - 4 * n + 9) for n in range(4, 9)]
    bare = [float(r["nothing done"]) for r in told if r["nothing done"]]
    assert bare == [5 * (40.0 - 4 * n) for n in range(4, 9)]
    came = {r["what"]: r["middle"] for r in told if "litres " in r["what"] and r["middle"]}
    assert came["30 litres of rain"] == "30.0" and came["15 litres poured"] == "15.0"
    assert came["45 litres planned"] == "45.0"
    due = {r["from"]: r["middle"] for r in told if r["what"] == "water below 100, litres"}
    assert len(due) == 9 and set(due.values()) == {"100.0"}


def test_the_words_alone_say_who_is_short_when_and_how_much(watered: Plan) -> None:
    said = charts(watered)["water"].says
    assert said[0] == (
        "First to run short if watered as planned and not after: the beans, about Wed 6 Aug."
    )
    assert said[1] == (
        "The beans: 120 of 250 litres, water below 100. "
        "With 45 on Tue 5 Aug: short about Wed 6 Aug."
    )
    assert said[2].endswith("litres, water below 100. Not short before Sat 9 Aug.")
    dry = replace(watered, water=(water("tomatoes", None),))
    assert charts(dry)["water"].says[0] == "None runs short before Sat 9 Aug, watered or not."


def test_gallons_and_fahrenheit_for_those_who_ask(watered: Plan) -> None:
    metric, us = charts(watered), charts(watered, "us")
    assert us["water"].title == "Water in the ground, gallons"
    for name, factor in (("water", 1 / 3.785411784), ("warmth", 1.8)):
        plain, turned = (
            [float(r["middle"]) for r in rows(one[name]) if r["middle"]] for one in (metric, us)
        )
        assert turned == pytest.approx([value * factor for value in plain])
    assert "above 47 °F" in us["warmth"].panels[0].name


def test_warmth_says_what_it_brings_and_when(watered: Plan) -> None:
    (said,) = charts(watered)["warmth"].says
    assert said == (
        "Greenhouse whitefly: what is laid today hatches about Thu 7 Aug (6 to 8 Aug), "
        "20 degree-days on, and is grown about Sat 9 Aug (from Fri 8 Aug, perhaps never), "
        "35 degree-days on. 40 degree-days above 8.3 °C so far, since first seen on 1 Aug."
    )
    young = replace(watered, heat=(heat("bean-aphid", GROWN),))
    assert "what is born today is grown" in charts(young)["warmth"].outcome
    crop = heat("tomatoes", HeatMark("first pick", 60.0, HATCH.when), begins="set out")
    says = charts(replace(watered, heat=(crop,)))["warmth"].outcome
    assert "the first picking comes about Thu 7 Aug" in says and "since set out on 1 Aug" in says


def test_the_line_and_its_limit_are_drawn_where_their_numbers_lie(watered: Plan) -> None:
    """Read back from the drawing: the limit at 100 litres cuts the axis where 100 lies."""
    chart = charts(watered)["water"]
    drawn = svg(replace(chart, panels=chart.panels[:1]))
    ElementTree.fromstring(drawn)
    top, foot = (
        float(re.search(pattern, drawn)[1])  # type: ignore[index]
        for pattern in (
            r'class="hairline" d="M[\d.]+ ([\d.]+)H',
            r'class="k k2" d="M[\d.]+ ([\d.]+)H',
        )
    )
    limit = re.search(r'class="k k2 fine" d="M([\d.]+) ([\d.]+)l', drawn)
    assert limit
    read = 200 * (foot - float(limit[2])) / (foot - top)  # the axis ends at 200
    assert ">200</text>" in drawn and read == pytest.approx(100.0, abs=1.0)
    assert drawn.count('class="blank"') == 2 and drawn.count('class="solid"') == 2  # and a pointer


def test_every_column_and_line_is_in_the_page_s_tables(watered: Plan) -> None:
    (one,) = (c for c in season_page(season_charts(watered, (), "metric")) if c["key"] == "water")
    table = next(t for t in one["tables"] if not t["numbers"])
    told = {row[1]: row[2] for row in table["rows"] if row[0] == "The beans"}
    assert told["15 litres poured"] == "Sun 3 Aug"
    assert told["growth suffers below 100 litres"] == "Fri 1 Aug to Sat 9 Aug"
    assert told["short by about then"] == "Wed 6 Aug"


def test_thirty_plantings_fit_on_paper_in_pieces(watered: Plan) -> None:
    """Nothing runs off a page: every name is printed, and no piece has more than its panels."""
    keys = [f"bed {n}" for n in range(30)]
    many = replace(watered, water=tuple(water(key, 1) for key in keys), heat=())
    chart = charts(many)["water"]
    parts = list(in_parts(chart, MOST_PANELS))
    assert [len(part.panels) for part in parts] == [7, 7, 7, 7, 2]
    assert [name for part in parts for name in part.panels] == list(chart.panels)
    assert [one.key for one in in_parts(replace(chart, panels=chart.panels[:3]), 7)] == ["water"]
    for paper in ("a4", "letter"):
        pdf = PdfReader(io.BytesIO(season_pdf("P", [chart], many.as_of, paper)))  # type: ignore[arg-type]
        told = " ".join(page.extract_text() for page in pdf.pages)
        assert all(key.capitalize() in told for key in keys)


def test_a_plan_without_them_draws_neither(plan: Plan) -> None:
    assert not {"water", "warmth"} & set(charts(plan))
