"""Less water to carry, less to eat: the demonstration's plot with few cans and with many."""

from __future__ import annotations

import shutil
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.desk.demo_ground import demo_ground

from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

DAY = date(2011, 7, 30)


@pytest.fixture(scope="module")
def plans(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Plan]:
    folder = demo_ground(tmp_path_factory.mktemp("dry") / "plot")
    found = {}
    for name, cans in (("few", "3"), ("many", "60")):
        copy = Path(shutil.copytree(folder, tmp_path_factory.mktemp(name) / "plot"))
        file = copy / "plot.toml"
        text = file.read_text("utf-8")
        file.write_text(text.replace("cans_a_visit = 16", f"cans_a_visit = {cans}"), "utf-8")
        start(copy, at=datetime(2011, 7, 29, 12, 0))
        found[name] = plan(copy, DAY)
    return found


def test_few_cans_cost_crop(plans: dict[str, Plan]) -> None:
    total = {
        name: sum(span.median for one in made.outlook for span in one.without)
        for name, made in plans.items()
    }
    assert total["few"] < 0.9 * total["many"]


def test_the_loss_is_said_with_a_way_out(plans: dict[str, Plan]) -> None:
    reasons = [b for v in plans["few"].verdicts for b in v.because if "goes short" in b.says]
    assert reasons and all("cans" in reason.way_out for reason in reasons)
