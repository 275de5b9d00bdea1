"""Nothing is skipped in silence: a test that cannot run is a test that failed.

One part is left out where it cannot be run, and the run says so: tests/browser, without playwright
(requirements/browser.txt) or a Chromium.

Property tests draw the same cases on every run, so that one tree has one verdict. To look for new
cases: python -m pytest --hypothesis-profile=seek
"""

import os
import pickle
import sqlite3
from collections.abc import Callable, Generator
from contextlib import contextmanager, suppress
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path
from shutil import copytree, which
from typing import Any

import pytest
from hypothesis import settings

from lattermath.desk import plan_stamp, season_facts
from lattermath.desk.demo import Shown, demo
from lattermath.planning import common_draws
from lattermath.record import schema

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("seek", max_examples=400, deadline=None)
settings.load_profile("steady")
TESTS = Path(__file__).parent
LONGEST = ("seasons", "desk", "doors")  # rooms whose tests make plans
ALL_DRAWS = season_facts.N_DRAWS, common_draws.SEARCH_DRAWS


@pytest.fixture(scope="session", autouse=True)
def nothing_kept_from_before(tmp_path_factory: pytest.TempPathFactory) -> Generator[None]:
    """Kept work of an earlier run must not answer for the code under test.

    What another process of this run did may: it is kept under all that it was made from.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("LATTERMATH_CACHE", str(_run(tmp_path_factory) / "kept"))
        yield


@pytest.fixture(scope="session", autouse=True)
def durable() -> Generator[Callable[[Path], sqlite3.Connection]]:
    """How a journal is opened to be durable; meanwhile none waits for the disk at every entry.

    That a power cut loses nothing is asked in the room of the record (its conftest.py); nowhere
    else could a test tell, and the wait is most of what an entry takes.
    """
    connect = schema.connect

    def at_once(path: Path) -> sqlite3.Connection:
        connection = connect(path)
        connection.execute("PRAGMA synchronous = OFF")
        return connection

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(schema, "connect", at_once)
        yield connect


@pytest.fixture(scope="session")
def make_demo(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Path], Shown]:
    """The demonstration set up and planned in a folder: made once, and copied whenever asked.

    One process of the run makes it for all.
    """
    made: list[Shown] = []
    held = _run(tmp_path_factory) / "demo"

    def make(place: Path) -> Shown:
        if not made:
            if not held.exists():
                _demo_held(held, tmp_path_factory.mktemp("demo"))
            made.append(pickle.loads((held / "shown").read_bytes()))
        copytree(held / "plot", place)
        return replace(made[0], folder=place)

    return make


def _demo_held(held: Path, place: Path) -> None:
    """Make the demonstration, and put it there whole; whose comes second is not kept."""
    with weighing(*ALL_DRAWS):  # whichever module asks first
        shown = demo(place / "plot")
    (place / "shown").write_bytes(pickle.dumps(shown))
    with suppress(OSError):  # there is one by now
        place.rename(held)


def _run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of this run, which its processes share."""
    base = tmp_path_factory.getbasetemp()
    return base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base


@pytest.fixture(scope="module")
def few_draws() -> Generator[None]:
    """Plans of this module weigh a quarter of the draws: for what must hold of any plan.

    Whatever a plan says rests on its draws alike, however many they are; where a figure is held
    against another, or the demonstration's own plan is meant, all are drawn.
    """
    with weighing(48, 24):
        yield


@contextmanager
def weighing(draws: int, searched: int) -> Generator[None]:
    """Meanwhile plans weigh so many draws, and courses are searched on so many of them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(season_facts, "N_DRAWS", draws)
        patch.setattr(plan_stamp, "N_DRAWS", draws)  # one stamp, one plan
        patch.setattr(common_draws, "SEARCH_DRAWS", searched)
        yield


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes longest goes first, so that no worker is left alone with it at the end."""
    places = {room: n for n, room in enumerate(LONGEST)}
    items.sort(key=lambda one: places.get(one.path.relative_to(TESTS).parts[0], len(places)))


def _refuse(report: Any) -> None:
    if report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, and nothing here may be skipped: {report.longrepr}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, Any, Any]:
    report = yield
    _refuse(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, Any, Any]:
    report = yield
    _refuse(report)
    return report


def pytest_terminal_summary(terminalreporter: Any) -> None:
    lacking = [] if find_spec("playwright") else ["playwright (requirements/browser.txt)"]
    lacking += [] if which("chromium") or which("chromium-browser") else ["chromium"]
    if lacking:
        terminalreporter.write_line(f"Not run: tests/browser, for want of {', '.join(lacking)}.")
