"""A real browser at a plot that `lattermath serve` really serves.

Where playwright is not installed (requirements/browser.txt) or no Chromium is found, these tests
are not collected, and the run says so at its end (tests/conftest.py).
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.browser.watching import Server, Watched, newest, opened, watch

from lattermath.desk.demo import demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
collect_ignore_glob = [] if CHROMIUM and find_spec("playwright") else ["test_*.py"]
DAY = "2011-07-30"
QUIET = ["--disable-background-networking", "--disable-component-update", "--no-first-run"]
# A name of the house, as a router would tell it; it leads nowhere but here.
NAMED = ["--host-resolver-rules=MAP plot.test 127.0.0.1"]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, kept from asking anybody anything."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        # A container's root has no sandbox; the pages are our own.
        root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        opened = play.chromium.launch(executable_path=CHROMIUM, args=[*QUIET, *NAMED, *root])
        yield opened
        opened.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """A phone: narrow, touched, in the plot's zone."""
    with opened(browser, service_workers="block") as context:  # what it asks for is a page's own
        yield context


@pytest.fixture
def app(browser: Browser) -> Iterator[BrowserContext]:
    """The same phone, with leave to keep the pages themselves."""
    with opened(browser) as context:
        yield context


@pytest.fixture
def watched(phone: BrowserContext) -> Watched:
    """A page of the phone, with all it asks for."""
    return watch(phone.new_page())


@pytest.fixture(scope="session")
def serving() -> Iterator[Callable[[Path, str], str]]:
    """A function that serves a plot as of a day, and gives the address."""
    with ExitStack() as running:

        def serve(folder: Path, day: str) -> str:
            server = Server(folder, day)
            running.callback(server.end)
            return server.start()

        yield serve


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's plot."""
    return demo(tmp_path_factory.mktemp("browser") / "plot").folder


@pytest.fixture(scope="session")
def home(folder: Path, serving: Callable[[Path, str], str]) -> str:
    """The demonstration's plot, served, its first plan made."""
    address = serving(folder, DAY)
    newest(address, 0)
    return address
