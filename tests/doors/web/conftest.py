"""The demonstration's plot and a browser at its pages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from lattermath.desk.demo import Shown
from lattermath.doors.web.app import make_app

DAY = date(2011, 7, 30)


@pytest.fixture(scope="module")
def folder(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's plot."""
    return make_demo(tmp_path_factory.mktemp("pages") / "plot").folder


@pytest.fixture(scope="module")
def client(folder: Path) -> Iterator[TestClient]:
    """A browser at the pages, once the first plan is there."""
    app = make_app(folder, on=DAY)
    with TestClient(app, base_url="http://localhost:8714") as browser:
        assert app.state.house.keeper.wait(120).plan is not None
        yield browser
