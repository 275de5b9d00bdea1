"""The demonstration's plot and a browser at its pages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.doors.web.planned import planned

from lattermath.desk.demo import Shown
from lattermath.doors.web.app import make_app

DAY = date(2011, 7, 30)


@pytest.fixture(scope="module")
def shown(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Shown:
    """The demonstration's plot with its plan."""
    return make_demo(tmp_path_factory.mktemp("pages") / "plot")


@pytest.fixture(scope="module")
def folder(shown: Shown) -> Path:
    """The demonstration's plot."""
    return shown.folder


@pytest.fixture(scope="module")
def client(shown: Shown) -> Iterator[TestClient]:
    """A browser at the pages with their first plan, and no newer one."""
    app = planned(make_app(shown.folder, on=DAY), shown.plan)
    with TestClient(app, base_url="http://localhost:8714") as browser:
        yield browser
