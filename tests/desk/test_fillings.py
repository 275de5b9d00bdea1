"""One filling of the sprayer for a visit, on a plan of the demonstration."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.demo import Shown
from lattermath.desk.fillings import filled, litres_used
from lattermath.desk.log_done import log_done
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan as planned
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting, Treatment
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plan import OF_THE_MIX, WATER, Plan, Task
from lattermath.vocabulary.plot import Planting, Plot

pytestmark = pytest.mark.usefixtures("few_draws")


@pytest.fixture(scope="module")
def plot(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("filling") / "demo"
    make_demo(folder)
    old = Sighting("tomatoes", "greenhouse_whitefly", "count", "nymph", counts=(60,) * 8)
    log(folder, old, datetime(2011, 7, 12, 19, 0))
    return folder


@pytest.fixture(scope="module")
def plan(plot: Path) -> Plan:
    return planned(plot, date(2011, 7, 30))


def sprays(plan: Plan, visit: int = 0) -> list[Task]:
    return [t for t in plan.visits[visit].tasks if t.product is not None]


def litres(task: Task, what: str) -> float:
    return sum(a.quantity for a in task.amounts if a.what == what)


def test_a_product_is_mixed_once_and_shared_out(plan: Plan) -> None:
    first, *rest = sprays(plan)
    assert rest
    assert {t.product for t in rest} == {first.product}
    assert not any(litres(task, WATER) for task in rest)
    shares = [litres(task, OF_THE_MIX) for task in (first, *rest)]
    assert all(share > 0 for share in shares)
    assert sum(shares) == pytest.approx(litres(first, WATER), abs=0.002)
    assert any(caution.startswith("Mix once for all: ") for caution in first.cautions)


def test_what_only_a_look_decides_can_be_left_out_of_the_mix(plan: Plan) -> None:
    first, *rest = sprays(plan)
    waits = any(task.only_if for task in (first, *rest))
    assert waits == any("in each litre" in caution for caution in first.cautions)
    assert waits


def test_no_more_is_mixed_over_all_visits_than_is_left(plan: Plan) -> None:
    used = litres_used(plan.visits)["soap"]
    assert 0 < used <= 12
    (visit, *_) = plan.visits
    facts = a_plot(plan, litres_left=2.0)
    little = filled(facts, visit, {"soap": 1.5})
    first = next(t for t in little.tasks if t.product is not None)
    assert litres(first, WATER) == pytest.approx(0.5)
    assert any("no more of it is left" in caution for caution in first.cautions)
    none = filled(facts, visit, {"soap": 2.0})
    first = next(t for t in none.tasks if t.product is not None)
    assert litres(first, WATER) == 0
    assert any(caution.startswith("Nothing of it is left") for caution in first.cautions)


def a_plot(plan: Plan, litres_left: float) -> Any:
    """As much of a season's facts as a filling asks for."""
    names = [t.planting or "" for t in sprays(plan)]
    crops = ("cucumber_slicing", "eggplant", "tomato_indeterminate")
    plantings = tuple(Planting(n, n, c, 6) for n, c in zip(names, crops, strict=False))
    others = {t.planting for v in plan.visits for t in v.tasks if t.planting} - set(names)
    plantings += tuple(Planting(n, n, "kale", 6) for n in sorted(others))
    lines = {"rate_ml_per_l": LabelLine("value", 20.0), "max_l_per_m2": LabelLine("none")}
    soap = ProductLabel(
        "soap", "Soap", "soap", "", crops=tuple(CropLimits(c, **lines) for c in crops),
        litres_left=litres_left,
    )  # fmt: skip
    plot = Plot("plot", "", Place("p", 38.0, -90.0, "UTC"), plantings=plantings, shelf=(soap,))
    return SimpleNamespace(plot=plot, tables=load_tables(), today=date(2011, 7, 28), applied=())


def test_a_ticked_spray_is_written_down_with_its_own_litres(plot: Path, plan: Plan) -> None:
    first = sprays(plan)[0]
    entries = log_done(plot, first.id, "as written", at=datetime(2011, 7, 30, 20, 15))
    (done,) = [e.payload for e in entries if isinstance(e.payload, Treatment)]
    assert done.litres == pytest.approx(litres(first, OF_THE_MIX))
    assert done.litres < litres(first, WATER)
