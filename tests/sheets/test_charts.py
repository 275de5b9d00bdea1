"""The season's charts: what is drawn, said and tabled is what the plan and the record hold."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import accumulate, pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from lattermath.sheets import chart_drawing
from lattermath.sheets.chart import Chart, Course, Panel, Upright, chart_words, csv_text
from lattermath.sheets.chart_drawing import FILE_STYLE, LETTER, nice_top, svg
from lattermath.sheets.season_charts import season_charts
from lattermath.sheets.season_views import season_page
from lattermath.vocabulary.events import Event, Payload, Picking, Sighting, Treatment
from lattermath.vocabulary.plan import Outlook, Plan, Span
from lattermath.vocabulary.season_series import DaySpan, Trace

TODAY = date(2025, 8, 5)  # of the invented plan
LOOK = Path(chart_drawing.__file__).parent / "static" / "look.css"


def event(serial: int, day: date, payload: Payload) -> Event:
    at = datetime(day.year, day.month, day.day, 23, 0, tzinfo=UTC)  # 18:00 by the plot's clock
    return Event(serial, f"id-{serial}", "any", 1, at, "America/Chicago", at, payload)


EVENTS = (
    event(1, date(2025, 7, 15), Picking("courgettes", 1.5)),
    event(2, date(2025, 7, 17), Picking("courgettes", 0.5)),
    event(3, date(2025, 7, 24), Picking("tomatoes", 0.25)),
    event(4, date(2025, 7, 25), Picking("tomatoes", None, 6)),
    event(5, date(2025, 7, 28), Treatment(("aubergines",), "soap", "soft-soap")),
    event(6, date(2025, 8, 1), Sighting("aubergines", "greenhouse-whitefly", "count", total=4)),
    event(7, date(2025, 8, 3), Treatment(("beans",), "pyrethrins", None, "bean-aphid")),
)


@pytest.fixture
def seasoned(plan: Plan) -> Plan:
    """The invented plan with what the pictures draw."""
    days = tuple(TODAY - timedelta(days=14 - n) for n in range(15))
    flies = replace(
        plan.populations[0],
        so_far=tuple(
            Trace(s.name, days, (s.median[0],) * 15, (s.low[0],) * 15, (s.high[0],) * 15, s.unit)
            for s in plan.populations[0].strips
        ),
        hatch=DaySpan(date(2025, 8, 11), date(2025, 8, 12), date(2025, 8, 14)),
    )
    weeks = tuple(date(2025, 8, 4) + timedelta(weeks=n) for n in range(4))
    whole = tuple(Span(low, low + 1, low + 3, "kg") for low in (1.0, 2.0, 1.5, 0.0))
    without = tuple(replace(span, median=span.median / 2) for span in whole)
    return replace(plan, populations=(flies,), harvest=Outlook("", weeks, whole, without))


def charts(plan: Plan, units: Any = "metric") -> dict[str, Chart]:
    return {chart.key: chart for chart in season_charts(plan, EVENTS, units)}


def rows(chart: Chart) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(csv_text(chart))))


def test_every_chart_is_whole_on_the_page_and_as_a_file(seasoned: Plan) -> None:
    found = charts(seasoned)
    assert set(found) == {"harvest", "days", "greenhouse-whitefly"}
    for chart in found.values():
        for alone in (False, True):
            drawn = svg(chart, alone)
            root = ElementTree.fromstring(drawn)
            assert root.attrib["role"] == "img"
            assert chart.title in drawn
            assert len(chart.outcome) > 20
            assert " style=" not in drawn
            assert "url(" not in drawn
            assert ("<style>" in drawn) == alone


def test_a_grower_s_words_are_never_markup(seasoned: Plan) -> None:
    names = tuple((key, '<b onload="x">&') for key, _ in seasoned.names)
    for chart in charts(replace(seasoned, names=names)).values():
        drawn = svg(chart, alone=True)
        ElementTree.fromstring(drawn)
        assert "<b" not in drawn


def test_the_numbers_of_a_picture_are_those_of_the_plan_to_the_last_figure(seasoned: Plan) -> None:
    told = rows(charts(seasoned)["greenhouse-whitefly"])
    for strip in seasoned.populations[0].strips:
        ahead = [r for r in told if r["strip"] == strip.name and r["nothing done"]]
        assert [date.fromisoformat(r["from"]) for r in ahead] == list(strip.days)
        for name, numbers in (
            ("low", strip.low),
            ("middle", strip.median),
            ("high", strip.high),
            ("nothing done", strip.without),
        ):
            assert tuple(float(r[name]) for r in ahead) == numbers


def test_what_is_picked_is_what_was_weighed_and_what_comes_is_the_plan_s(seasoned: Plan) -> None:
    told = [r for r in rows(charts(seasoned)["harvest"]) if r["strip"] == "Whole plot"]
    picked = {r["from"]: float(r["middle"]) for r in told if not r["low"]}
    assert picked == {"2025-07-14": 2.0, "2025-07-21": 0.25}
    coming = [r for r in told if r["low"]]
    assert [float(r["high"]) for r in coming] == [4.0, 5.0, 4.5, 3.0]
    assert coming[0]["from"] == "2025-08-05"  # of this week only what is left
    assert "pieces" in charts(seasoned)["harvest"].note


def test_pounds_for_those_who_ask_in_pounds(seasoned: Plan) -> None:
    metric, us = (rows(charts(seasoned, units)["harvest"]) for units in ("metric", "us"))
    assert us[0]["what"] == "lb"
    assert float(us[0]["middle"]) == pytest.approx(float(metric[0]["middle"]) / 0.45359237)


def test_the_line_passes_through_its_numbers() -> None:
    """Read back from the drawing: 10 at the first day, 20 at the last, on an axis to 20."""
    days = tuple(TODAY + timedelta(days=n) for n in range(11))
    middle = tuple(10.0 + n for n in range(11))
    course = Course(days, tuple(v - 5 for v in middle), middle, middle)
    chart = Chart(
        "one", "One", "", ("It rises.",), days[0], days[-1], (Panel("eggs", "", (course,)),)
    )
    drawn = svg(chart)
    heavy = re.search(r'class="k k3" d="([^"]+)"', drawn)
    foot = re.search(r'class="k k2" d="M([\d.]+) ([\d.]+)H([\d.]+)"', drawn)
    top = re.search(r'class="hairline" d="M[\d.]+ ([\d.]+)H', drawn)
    assert heavy and foot and top
    steps = [tuple(map(float, step.split())) for step in heavy[1][1:].split("l")]
    points = list(accumulate(steps, lambda at, step: (at[0] + step[0], at[1] + step[1])))
    height = float(foot[2]) - float(top[1])
    read = [20 * (float(foot[2]) - y) / height for _, y in points]
    assert read == pytest.approx(middle, abs=0.05)
    xs = [x for x, _ in points]
    assert xs[0] == pytest.approx(float(foot[1]), abs=0.1)
    assert xs[-1] == pytest.approx(float(foot[3]), abs=0.1)
    widths = [b - a for a, b in pairwise(xs)]
    assert max(widths) - min(widths) <= 0.2


@pytest.mark.parametrize(
    ("value", "top"), [(0, 1), (0.012, 0.015), (1, 1), (1.01, 1.5), (37, 40), (101, 150), (9, 10)]
)
def test_an_axis_ends_at_the_next_round_number(value: float, top: float) -> None:
    assert nice_top(value) == pytest.approx(top)


def test_treatments_are_numbered_in_order_done_before_planned(seasoned: Plan) -> None:
    marks = [u for u in charts(seasoned)["greenhouse-whitefly"].uprights if u.says]
    assert [u.label for u in marks] == ["1", "2", "3"]
    assert [u.sign for u in marks] == ["done", "planned", "planned"]
    assert marks[0].says == "Mon 28 Jul, done: Aubergines: soft soap."
    assert marks[1].day == TODAY
    assert not any("beans" in u.says.lower() for u in marks)  # that was against another


def test_the_hatch_is_marked_where_the_eggs_are_and_said(seasoned: Plan) -> None:
    chart = charts(seasoned)["greenhouse-whitefly"]
    marked = [panel.name for panel in chart.panels if panel.between]
    assert marked == ["eggs"]
    assert chart.panels[0].between == (date(2025, 8, 11), date(2025, 8, 14))
    assert "11 Aug to 14 Aug" in chart.note
    without = replace(seasoned.populations[0], hatch=None)
    again = charts(replace(seasoned, populations=(without,)))["greenhouse-whitefly"]
    assert "Dotted" not in again.note


def test_the_days_say_what_is_barred_looked_at_treated_and_to_decide(seasoned: Plan) -> None:
    told = {(r["strip"], r["what"]): r for r in rows(charts(seasoned)["days"])}
    bar = told["The beans", "Not to be picked before Thu 7 Aug 20:00."]
    assert (bar["from"], bar["to"]) == ("2025-08-05", "2025-08-07")
    assert told["The beans", "treated with pyrethrins"]["from"] == "2025-08-03"
    decide = told["Row 2 cucumbers", "last day on which replacing or filling pays"]
    assert decide["from"] == "2025-08-13"
    assert told["To sow: chard", "last day to sow"]


def test_an_unknown_clearance_bars_to_the_end(seasoned: Plan) -> None:
    unknown = replace(seasoned.picking[0], safe_from=None)
    chart = charts(replace(seasoned, picking=(unknown,)))["days"]
    assert chart.panels[0].stretches[0].last == chart.last
    assert "not known until when" in chart.outcome


@pytest.mark.parametrize("gap", [1, 2, 3, 9])
def test_labels_of_days_that_follow_close_do_not_meet(gap: int) -> None:
    uprights = tuple(
        Upright(TODAY + timedelta(days=gap * n), "planned", str(n + 1)) for n in range(3)
    )
    panel = Panel("eggs", "", (Course((TODAY,), (1.0,), (1.0,), (1.0,)),))
    last = TODAY + timedelta(days=60)
    drawn = svg(Chart("one", "One", "", (), TODAY, last, (panel,), uprights))
    found = re.findall(r'class="w mid" x="([\d.]+)" y="([\d.]+)">(\d)<', drawn)
    assert [words for *_, words in found] == ["1", "2", "3"]
    for n, (x, y, _) in enumerate(found):
        for x2, y2, _ in found[n + 1 :]:
            assert y != y2 or abs(float(x) - float(x2)) >= LETTER


def test_a_file_has_the_colours_of_the_day() -> None:
    tokens = re.findall(r"--(paper|field|ink|quiet|rubric|hair): (#[0-9a-f]{6})", LOOK.read_text())
    day = dict(tokens[:6])
    assert {day["paper"], day["ink"], day["hair"], "#ffffff"} >= {
        colour if len(colour) == 7 else "#ffffff"
        for colour in re.findall(r"#[0-9a-f]+", FILE_STYLE)
    }
    assert day["ink"] in FILE_STYLE and day["paper"] in FILE_STYLE


def test_the_page_has_words_and_a_table_for_each_picture(seasoned: Plan) -> None:
    for one in season_page(season_charts(seasoned, EVENTS, "metric")):
        assert one["says"] and one["note"] and one["tables"]
        for table in one["tables"]:
            assert all(len(row) == len(table["heads"]) for row in table["rows"])


def test_a_chart_in_words_is_its_title_and_its_outcome(seasoned: Plan) -> None:
    lines = chart_words(charts(seasoned)["harvest"])
    assert lines[0] == "Harvest by week, kg:"
    assert "Most in the week of 11 Aug: about 2 to 5 kg" in " ".join(" ".join(lines).split())


def test_a_plan_that_holds_none_of_it_draws_none(plan: Plan) -> None:
    bare = replace(plan, populations=(), picking=(), verdicts=(), standby=())
    assert season_charts(bare, (), "metric") == []
