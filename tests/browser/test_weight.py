"""What the pages weigh, whom they ask, and how soon the server answers."""

from __future__ import annotations

import gzip
import json
import time
import urllib.request
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext
from tests.browser.watching import newest, watch

from lattermath.desk.told_entries import record_of
from lattermath.record.ids import uuid7
from lattermath.sheets.page_words import PAGES

MOST = 150_000  # bytes, compressed, charts left out
MOST_MS = 200
ASKED = ("/", "/log", "/picking", "/standby", "/record", "/plot", "/shelf")
ROUNDS = 4


@pytest.mark.parametrize("address", [*(address for address, _, _ in PAGES), "/take-away.html"])
def test_a_page_is_light_and_asks_nobody_else(
    home: str, phone: BrowserContext, address: str
) -> None:
    seen = watch(phone.new_page())
    seen.page.goto(f"{home}{address}", wait_until="networkidle")
    weight = sum(len(gzip.compress(answer.body())) for answer in seen.answers)
    assert 1_000 < weight < MOST
    assert seen.answers and all(answer.status == 200 for answer in seen.answers)
    assert not seen.left_the_machine() and not seen.complaints
    wide = seen.page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 360, "nothing scrolls sideways on a phone"


def test_the_server_answers_soon_while_a_plan_is_worked_out(home: str, folder: Path) -> None:
    """The 95th percentile over pages and parts, each asked while a plan is really being made."""
    took: list[float] = []
    for number in range(ROUNDS):
        told = {
            "kind": "counted",
            "id": uuid7(1_311_000_700_000 + number, bytes(10)),
            "planting": "melon",
            "what": "whitefly",
            "counts": [number, 3],
        }
        body = json.dumps(told).encode()
        asked = urllib.request.Request(
            f"{home}/api/log", body, {"content-type": "application/json"}
        )
        with urllib.request.urlopen(asked) as answer:
            serial = json.load(answer)["entries"][0]["serial"]
        for address in (*ASKED, *ASKED):
            took.append(_milliseconds(f"{home}{address}"))
        assert _being_made(home), "the plan was done before the pages were"
        newest(home, serial)
    ranked = sorted(took)
    assert ranked[int(0.95 * len(ranked))] < MOST_MS, ranked
    assert record_of(folder).entries[0].serial == serial


def _milliseconds(address: str) -> float:
    begun = time.perf_counter()
    with urllib.request.urlopen(address, timeout=20) as answer:
        answer.read()
    return (time.perf_counter() - begun) * 1000


def _being_made(home: str) -> bool:
    with urllib.request.urlopen(f"{home}/state") as answer:
        return bool(json.load(answer)["being_made"])
