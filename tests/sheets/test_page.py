from __future__ import annotations

import re
import sys
from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser

import pytest

from lattermath.sheets.page import html_sheet
from lattermath.sheets.templating import environment
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.since import Otherwise, Since


class Walk(HTMLParser):
    """Notes every tag with its attributes and whether all that opened was closed."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in {"meta", "input"}:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def walked(page: str) -> Walk:
    walk = Walk()
    walk.feed(page)
    assert walk.open == []
    return walk


def test_page_is_whole_and_asks_for_nothing_from_outside(plan: Plan) -> None:
    walk = walked(html_sheet(plan, "Plot 14"))
    for tag, attributes in walk.tags:
        assert tag not in {"script", "link", "img", "iframe"}
        assert not {"src", "href", "style", "onclick"} & set(attributes)
    assert "http" not in html_sheet(plan, "Plot 14")
    assert "url(" not in html_sheet(plan, "Plot 14")


def test_every_task_has_a_labelled_tick_box(plan: Plan) -> None:
    boxes = [a for tag, a in walked(html_sheet(plan, "Plot 14")).tags if tag == "input"]
    assert len(boxes) == 7
    for number, box in enumerate(boxes, 1):  # what is seen, the number, begins what is said
        assert (box["aria-label"] or "").startswith(f"{number} Done: ")


def test_words_of_the_grower_are_escaped(plan: Plan) -> None:
    names = tuple((key, f"<b>{name}</b> & co") for key, name in plan.names)
    page = html_sheet(replace(plan, names=names), "<script>alert(1)</script>")
    assert "<script>" not in page
    assert "&lt;b&gt;the beans" in page
    walked(page)


def test_season_rule_has_a_stalk_a_day(plan: Plan) -> None:
    page = html_sheet(plan, "Plot 14")
    path = next(p for p in re.findall(r' d="([^"]+)"', page) if p.startswith("M0.5"))
    assert plan.season is not None
    assert path.count("M") == len(plan.season.heights)
    assert "35 days are cut, 88 still stand" in page


def test_plans_without_season_or_visit_still_print(plan: Plan) -> None:
    walked(html_sheet(replace(plan, season=None), "Plot 14"))
    assert "No visit is planned." in html_sheet(replace(plan, visits=()), "Plot 14")


def test_without_the_web_extra_the_refusal_says_what_to_install(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "jinja2", None)
    environment.cache_clear()
    with pytest.raises(InputError) as refusal:
        html_sheet(plan, "Plot 14")
    assert "lattermath[web]" in refusal.value.faults[0].remedy


def luminance(colour: str) -> float:
    # WCAG 2 relative luminance as the recommendation gives it.
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_ink_on_paper_is_readable_by_day_and_dusk(plan: Plan) -> None:
    page = html_sheet(plan, "Plot 14")
    tokens = re.findall(r"--(paper|field|ink|quiet|rubric|hair): (#[0-9a-f]{6})", page)
    day, dusk = dict(tokens[:6]), dict(tokens[6:12])
    for light in (day, dusk):
        for text in ("ink", "quiet", "rubric"):
            assert contrast(light[text], light["paper"]) >= 7
        assert contrast(light["ink"], light["field"]) >= 7
        assert contrast(light["hair"], light["paper"]) >= 3
    # Contrast printed in the design note for the day: 13.86.
    assert contrast(day["ink"], day["paper"]) == pytest.approx(13.86, abs=0.01)


def test_a_frost_to_come_stands_in_a_frame_of_its_own(plan: Plan) -> None:
    visit = replace(plan.visits[0], warning="FROST LIKELY by the morning of Wed 6 Aug")
    page = html_sheet(replace(plan, visits=(visit, *plan.visits[1:])), "Plot 14")
    assert re.search(r'<p class="warning"[^>]*>FROST LIKELY by the morning of Wed 6 Aug.</p>', page)


@pytest.mark.parametrize("day", range(0, 123, 6))
def test_the_labels_of_the_season_never_meet(plan: Plan, day: int) -> None:
    """On the 288 px that a window of 320 leaves, at 8 px a letter: wider than the face sets."""
    assert plan.season is not None
    rule = replace(plan.season, today=plan.season.first + timedelta(days=day))
    page = html_sheet(replace(plan, season=rule), "Plot 14")
    found = re.findall(r'<text class="w w[bq] ?(\w*)" x="(\d+)%?" y="(\d+)">([^<]+)</text>', page)
    spans = []
    for anchor, x, row, words in found:
        width, at = 8 * len(words), 288 * int(x) / 100
        left = at - {"": 0.0, "mid": width / 2, "end": float(width)}[anchor]
        spans.append((int(row), left, left + width))
    assert len(spans) == 3
    for n, (row, left, right) in enumerate(spans):
        assert left >= 0 and right <= 288
        for other, begins, ends in spans[n + 1 :]:
            assert other != row or right <= begins or ends <= left


def test_what_is_new_stands_right_under_the_heading(plan: Plan) -> None:
    new = Since(date(2025, 8, 3), (Otherwise("added", "Squash: pull"),))
    page = html_sheet(replace(plan, since=new), "Plot 14")
    under = page.split("</h1>", 1)[1].lstrip()
    assert under.startswith('<p class="since">Since Sun 3 Aug: new: Squash: pull.</p>')
    visit = replace(plan.visits[0], minutes=1.0)
    assert "About 1 minute of work." in html_sheet(replace(plan, visits=(visit,)), "Plot 14")
