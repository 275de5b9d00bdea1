"""A page that is watched, a phone, and a server that is waited for."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page, Response

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


@contextmanager
def opened(browser: Browser, **options: Any) -> Iterator[BrowserContext]:
    """A phone: narrow, touched, in the plot's zone."""
    context = browser.new_context(
        viewport={"width": 360, "height": 740},
        has_touch=True,
        timezone_id="America/Denver",
        accept_downloads=True,
        **options,
    )
    context.set_default_timeout(20_000)
    yield context
    context.close()


class Server:
    """`lattermath serve` on a free port of its own, which it keeps when it is started again."""

    def __init__(self, folder: Path, day: str, *more: str) -> None:
        """Serve a plot as of a day ("": as of now), with more words if need be."""
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        words = ["serve", "--plot", str(folder), "--port", str(self.port), *more]
        words += ["--on", day] if day else []
        self._words = [sys.executable, "-m", "lattermath", *words]
        self._running: subprocess.Popen[bytes] | None = None

    def start(self) -> str:
        """Start it, and give its address once it answers."""
        self._running = subprocess.Popen(self._words, stdout=subprocess.DEVNULL)
        ends = time.monotonic() + SECONDS
        while self._running.poll() is None and time.monotonic() < ends:
            try:
                socket.create_connection(("127.0.0.1", self.port), 5).close()
            except OSError:
                time.sleep(0.1)
            else:
                return f"http://localhost:{self.port}"
        raise AssertionError("the server does not answer")

    def freeze(self) -> None:
        """Let it hear and not answer, as in the middle of its work."""
        assert self._running is not None
        self._running.send_signal(signal.SIGSTOP)

    def kill(self) -> None:
        """End it as a power cut does."""
        assert self._running is not None
        self._running.kill()
        self._running.wait()

    def end(self) -> None:
        """End it as Ctrl C does."""
        if self._running is not None and self._running.poll() is None:
            self._running.send_signal(signal.SIGINT)
            self._running.wait(SECONDS)
