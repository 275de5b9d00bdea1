"""A started plot, and the set-up pages' forms sent as a browser without scripts would."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from difflib import ndiff
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from lattermath.desk.plan_keeper import PlanKeeper
from lattermath.desk.start import start
from lattermath.doors.web.app import make_app

DAY = date(2026, 7, 26)
BEGUN = datetime(2026, 7, 25, 8, tzinfo=UTC)
OWN = """# by hand
format = 1

[place]
latitude = 51.5   # off the map
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "late October"

# next the path
[[bed]]
name = "North bed"
length_m = 4
width_m = 1.2  # measured twice

[[planting]]
crop = "courgette"
set_out = "early June" # or so

[[planting]]
name = "Beans"
crop = "climbing bean"
sown = "mid-May"

[[week]]
first = 2026-07-25
highs_c = [24, 26] # from the shed
lows_c = [13, 14]
"""


class Blanks(HTMLParser):
    """What a browser would send of the page's main form, as it stands."""

    def __init__(self) -> None:
        super().__init__()
        self.inside = False
        self.held: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        if tag == "form":
            self.inside = "set-up" in told.get("class", "")
        if tag == "input" and self.inside and told.get("name"):
            chosen = told.get("type") not in ("radio", "checkbox") or "checked" in told
            if chosen:
                self.held.append((told["name"], told.get("value", "")))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = False


def blanks(client: TestClient, section: str) -> dict[str, Any]:
    parser = Blanks()
    parser.feed(client.get(f"/set-up/{section}").text)
    held: dict[str, Any] = {}
    for name, value in parser.held:
        held.setdefault(name, []).append(value)
    return held


def send(client: TestClient, section: str, told: dict[str, Any]) -> tuple[int, str]:
    """Send a page's form with some blanks otherwise; status, and the page as words."""
    filled = {**blanks(client, section), **told}
    answer = client.post(f"/set-up/{section}", data=filled, follow_redirects=False)
    return answer.status_code, unescape(answer.text)


def beside(page: str, name: str) -> str:
    found = re.search(rf'id="{re.escape(name)}-slip">(.*?)</div>', page, re.DOTALL)
    return re.sub(r"<[^>]+>", "", found[1]) if found else ""


def text(folder: Path) -> str:
    return (folder / "plot.toml").read_text("utf-8")


def lines(folder: Path) -> list[str]:
    """What changed in the file, line by line."""
    told = ndiff(OWN.splitlines(), text(folder).splitlines())
    return [line[0] + line[2:] for line in told if line[0] in "+-"]


def started(folder: Path, own: str = OWN) -> Path:
    """A plot started with a plot file."""
    (folder / "plot.toml").write_text(own, "utf-8")
    start(folder, BEGUN)
    return folder


def at_pages(folder: Path, patch: pytest.MonkeyPatch) -> TestClient:
    """A browser at the pages. No plan is begun: one a test would wait for its turn for minutes."""
    patch.setattr(PlanKeeper, "_begin", lambda _: None)
    return TestClient(make_app(folder, on=DAY), base_url="http://localhost:8714")
