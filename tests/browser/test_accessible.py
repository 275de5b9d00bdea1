"""axe-core finds nothing serious or critical on any page, narrow and wide, by day and at dusk."""

from __future__ import annotations

import hashlib
import tomllib
from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page

from lattermath.doors.web.set_up_sections import SECTIONS
from lattermath.sheets.page_words import PAGES

AXE = Path(__file__).parent / "axe"
ASKED = (
    *(address for address, _, _ in PAGES),
    "/log/spots",
    "/log/treated",
    "/look?planting=aubergines&seen=white+specks",
    *(f"/set-up/{key}" for key in (*SECTIONS, "weather", "months", "shelf", "shelf/new")),
    "/nowhere",
    "/take-away.html",
)
BAD = ("serious", "critical")


def test_axe_is_the_one_that_was_taken() -> None:
    told = tomllib.loads((AXE / "vendor.toml").read_text("utf-8"))
    for name, digest in told["sha256"].items():
        assert hashlib.sha256((AXE / name).read_bytes()).hexdigest() == digest


def found(page: Page) -> dict[str, str]:
    """What axe finds that is serious or critical, everything unfolded: rule, and where first."""
    page.evaluate((AXE / "axe.min.js").read_text("utf-8"))
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    told = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return {
        one["id"]: one["nodes"][0]["html"] for one in told["violations"] if one["impact"] in BAD
    }


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("wide", [320, 1280])
def test_nothing_serious_on_any_page(
    home: str, browser: Browser, wide: int, mode: Literal["light", "dark"]
) -> None:
    context = browser.new_context(viewport={"width": wide, "height": 900}, color_scheme=mode)
    page = context.new_page()
    wrong = {}
    for address in ASKED:
        page.goto(f"{home}{address}", wait_until="load")
        if faults := found(page):
            wrong[address] = faults
    context.close()
    assert not wrong


@pytest.mark.parametrize("size", [1.0, 1.5])
def test_nothing_scrolls_sideways_on_the_narrowest_phone(
    home: str, browser: Browser, size: float
) -> None:
    """At 320 px, all unfolded, also with letters half as large again."""
    context = browser.new_context(viewport={"width": 320, "height": 700})
    page, wide = context.new_page(), {}
    for address in ASKED:
        page.goto(f"{home}{address}", wait_until="load")
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        page.evaluate("size => { document.documentElement.style.fontSize = size; }", f"{size:.0%}")
        across = page.evaluate("document.documentElement.scrollWidth")
        if across > 320:
            wide[address] = across
    context.close()
    assert not wide


def test_a_fault_that_was_planted_is_found(home: str, browser: Browser) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{home}/record", wait_until="load")
    page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<img src=x>')")
    page.evaluate("document.querySelector('h1').setAttribute('aria-hidden', 'x')")
    assert "image-alt" in found(page)
    context.close()
