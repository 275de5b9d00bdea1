"""A real browser at a plot that `lattermath serve` really serves.

Where playwright is not installed (requirements/browser.txt) or no Chromium is found, these tests
are not collected, and the run says so at its end (tests/conftest.py).
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from tests.browser.watching import Watched, newest, watch

from lattermath.desk.demo import demo

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
collect_ignore_glob = [] if CHROMIUM and find_spec("playwright") else ["test_*.py"]
DAY = "2011-07-30"
QUIET = ["--disable-background-networking", "--disable-component-update", "--no-first-run"]
SECONDS = 60


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, kept from asking anybody anything."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        # A container's root has no sandbox; the pages are our own.
        root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        opened = play.chromium.launch(executable_path=CHROMIUM, args=[*QUIET, *root])
        yield opened
        opened.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """A phone: narrow, touched, in the plot's zone."""
    context = browser.new_context(
        viewport={"width": 360, "height": 740},
        has_touch=True,
        timezone_id="America/Denver",
        accept_downloads=True,
    )
    context.set_default_timeout(20_000)
    yield context
    context.close()


@pytest.fixture
def watched(phone: BrowserContext) -> Watched:
    """A page of the phone, with all it asks for."""
    return watch(phone.new_page())


@pytest.fixture(scope="session")
def serving() -> Iterator[Callable[[Path, str], str]]:
    """A function that serves a plot as of a day, and gives the address."""
    with ExitStack() as running:

        def serve(folder: Path, day: str) -> str:
            with socket.socket() as free:
                free.bind(("127.0.0.1", 0))
                port = free.getsockname()[1]
            words = ["serve", "--plot", str(folder), "--port", str(port), "--on", day]
            server = running.enter_context(
                subprocess.Popen(
                    [sys.executable, "-m", "lattermath", *words], stdout=subprocess.DEVNULL
                )
            )
            running.callback(server.send_signal, signal.SIGINT)  # as Ctrl C
            address = f"http://localhost:{port}"
            _answers(address, server)
            return address

        yield serve


def _answers(address: str, server: subprocess.Popen[bytes]) -> None:
    ends = time.monotonic() + SECONDS
    while server.poll() is None and time.monotonic() < ends:
        try:
            urllib.request.urlopen(f"{address}/state", timeout=5).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise AssertionError("the server does not answer")


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
