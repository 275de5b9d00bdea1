"""A page that is watched: what it asks for and complains of; and a server that is waited for."""

from __future__ import annotations

import json
import time
import urllib.request
from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from playwright.sync_api import Page, Response

SECONDS = 60


@dataclass
class Watched:
    """A page, what it asked for, and what it complained of."""

    page: Page
    answers: list[Response] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def left_the_machine(self) -> list[str]:
        """Every address asked for that is not this machine's."""
        own = ("localhost", None, "")
        return [url for url in self.asked if urlsplit(url).hostname not in own]


def watch(page: Page) -> Watched:
    """Keep what a page asks for, and what it complains of."""
    seen = Watched(page)
    page.on("request", lambda one: seen.asked.append(one.url))
    page.on("response", lambda one: seen.answers.append(one))
    page.on("pageerror", lambda fault: seen.complaints.append(str(fault)))
    page.on(
        "console", lambda one: seen.complaints.append(one.text) if one.type == "error" else None
    )
    return seen


def newest(address: str, serial: int) -> None:
    """Wait for a plan that knows the entry of that serial."""
    ends = time.monotonic() + SECONDS
    while time.monotonic() < ends:
        with urllib.request.urlopen(f"{address}/api/state", timeout=10) as answer:
            state = json.load(answer)
        if state["serial"] is not None and state["serial"] >= serial and not state["being_made"]:
            return
        time.sleep(0.2)
    raise AssertionError("no plan was made in time")
