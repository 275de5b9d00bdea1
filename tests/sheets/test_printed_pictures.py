"""Plot and charts on paper, measured on pictures of the pages as with a ruler."""

from __future__ import annotations

import importlib.util
import io
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from pypdf import PdfReader

from lattermath.sheets import picture_words as w
from lattermath.sheets.plot_drawing import plot_svg
from lattermath.sheets.plot_views import plot_page
from lattermath.sheets.printed_pictures import _SHEET, plot_pdf, plot_told, season_pdf
from lattermath.sheets.season_charts import season_charts
from lattermath.sheets.typesetting import Paper, typeset
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.plot import Bed, Planting, Plot

_SPEC = importlib.util.spec_from_file_location("png", Path(__file__).parent / "png.py")
assert _SPEC is not None and _SPEC.loader is not None
_PNG = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(_PNG)

DOTS_A_MM = 10  # of the pictures
DARK = 3 * 110
PLOT = Plot(
    "Plot <14>",
    "",
    Place("here", 50.8, 4.4, "Europe/Brussels"),
    beds=(
        Bed("a", "bed A", 0.0, 0.0, 4.0, 1.2),
        Bed("b", "bed <b>B</b>", 0.0, 2.0, 4.0, 1.2),
    ),
    plantings=(Planting("beans", "Beans", "bean_pole", 12, "a"),),  # drawn in one line, not dashes
)


def told(plan: Plan | None, beds: tuple[Bed, ...] = PLOT.beds) -> dict[str, Any]:
    return plot_page(plan, replace(PLOT, beds=beds), {}, "metric")


def picture(held: dict[str, Any], paper: Paper = "a4") -> NDArray[np.bool_]:
    asked = {"format": "png", "ppi": 25.4 * DOTS_A_MM}
    page = typeset(_SHEET, plot_told("Plot <14>", held, paper), **asked)
    first = page[0] if isinstance(page, list) else page
    return np.asarray(_PNG.pixels(first).sum(2) < DARK)


def runs(row: NDArray[np.bool_]) -> list[int]:
    """Lengths of the unbroken dark runs of a row of dots."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], row, [False])).astype(int)))
    return list(edges[1::2] - edges[::2])


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_bar_is_a_hundred_millimetres_and_the_ground_to_its_scale(paper: Paper) -> None:
    """Beds of 4.0 by 1.2 m at the scale that the page names."""
    held = told(None)
    assert held["drawing"]["on_paper"] == 50  # 4.6 m of ground would be 184 mm at 1 to 25
    dark = picture(held, paper)
    across = {length / DOTS_A_MM for row in dark for length in runs(row)}
    assert any(abs(length - 100.0) <= 0.4 for length in across), sorted(across)[-5:]
    line = 0.55  # the outline is two units of 0.274 mm wide, and half of it lies outside
    down = {length / DOTS_A_MM for row in dark.T for length in runs(row)}
    assert any(abs(length - (4000 / 50 + line)) <= 0.3 for length in across)
    assert any(abs(length - (1200 / 50 + line)) <= 0.3 for length in down)


def test_a_larger_plot_is_drawn_smaller_and_fits(plan: Plan) -> None:
    far = told(plan, (*PLOT.beds, Bed("c", "bed C", 14.0, 20.0, 4.0, 1.2)))
    assert far["drawing"]["on_paper"] == 200
    reader = PdfReader(io.BytesIO(plot_pdf("Plot 14", far, plan.as_of, "a4")))
    assert "1 to 200." in reader.pages[0].extract_text()
    assert w.BAR in " ".join(reader.pages[0].extract_text().split())


def test_names_are_words_and_no_markup(plan: Plan) -> None:
    held = told(plan)
    drawn = plot_svg(held["drawing"])
    assert "<b>" not in drawn and "&lt;b&gt;B" in drawn
    paper = PdfReader(io.BytesIO(plot_pdf("Plot <14>", held, plan.as_of, "a4"))).pages[0]
    assert "bed <b>B</b>" in " ".join(paper.extract_text().split())


def test_same_plan_same_bytes_and_tagged(plan: Plan) -> None:
    held, charts = told(plan), season_charts(plan, (), "metric")
    assert len(charts) >= 2
    for made, again, later in (
        [plot_pdf("P", held, plan.as_of + timedelta(hours=h), "a4") for h in (0, 0, 1)],
        [season_pdf("P", charts, plan.as_of + timedelta(hours=h), "a4") for h in (0, 0, 1)],
    ):
        assert made == again and made != later
        root = PdfReader(io.BytesIO(made)).trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]


def test_every_chart_is_printed_with_its_outcome(plan: Plan) -> None:
    charts = season_charts(plan, (), "metric")
    reader = PdfReader(io.BytesIO(season_pdf("Plot 14", charts, plan.as_of, "a4")))
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    for chart in charts:
        assert chart.title in text and chart.says[0] in text


def test_without_a_place_it_says_so(plan: Plan) -> None:
    reader = PdfReader(io.BytesIO(plot_pdf("P", told(plan, ()), plan.as_of, "a4")))
    assert "there is nothing to draw to scale" in " ".join(reader.pages[0].extract_text().split())
