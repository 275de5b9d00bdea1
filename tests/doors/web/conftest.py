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
    """A browser at the pages, once the first plan is there.

    No newer one is made after an entry but where `replans` is asked for: each takes a core for
    seconds, and hardly a test reads it.
    """
    app = make_app(folder, on=DAY)
    keeper = app.state.house.keeper
    with (
        TestClient(app, base_url="http://localhost:8714") as browser,
        pytest.MonkeyPatch.context() as patch,
    ):
        assert keeper.wait(120).plan is not None
        patch.setattr(keeper, "_is_stale", lambda: False)
        yield browser


@pytest.fixture
def replans(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """The plan is made anew after every entry, as where it is served."""
    monkeypatch.delattr(client.app.state.house.keeper, "_is_stale")  # type: ignore[attr-defined]
