"""One filling of the sprayer for a visit, on a plan of the demonstration."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk.demo import Shown
from lattermath.desk.fillings import by_fillings, filled, litres_used
from lattermath.desk.log_done import log_done
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan as planned
from lattermath.knowledge.tables import load_tables
from lattermath.planning.treating import Spraying
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


def test_crops_of_two_rates_get_a_filling_each(plan: Plan) -> None:
    """The second crop's label line is a quarter of the others': nothing of its mix is theirs."""
    (visit, *_) = plan.visits
    spray = replace(sprays(plan)[0], cautions=(), only_if="the look finds some")
    three = [replace(spray, id=key, planting=key) for key in "abc"]
    visit = replace(visit, tasks=tuple(three))
    facts = three_crops(12.0, (20.0, 5.0, 20.0))
    tasks = filled(facts, visit, {}).tasks
    for task, rate in zip(tasks, (20.0, 5.0, 20.0), strict=True):
        mixed = sum(a.quantity for a in task.amounts if a.unit == "ml")
        assert 0.9 * rate <= mixed / litres(task, WATER) <= rate
        assert any("only: your label has another rate" in said for said in task.cautions)
        assert not any("less by that" in said for said in task.cautions)
    assert [task.cautions[0].partition(",")[0] for task in tasks] == [
        *("A filling of its own", "Rinse", "Rinse")
    ]
    first, second, third = filled(three_crops(12.0, (20.0, 20.0, 5.0)), visit, {}).tasks
    assert litres(first, WATER) > litres(first, OF_THE_MIX) > 0
    assert not litres(second, WATER) and litres(second, OF_THE_MIX) > 0
    assert sum(a.quantity for a in third.amounts if a.unit == "ml") / litres(third, WATER) >= 4.5
    assert any("Without a or b, less by that: «20 ml»" in said for said in first.cautions)


def test_what_shares_a_filling_is_done_together_and_mixing_anew_takes_its_minutes() -> None:
    """20, 5 and 20 in the litre: the two alike come together, the other is mixed for 8 minutes."""
    plot = three_crops(None, (20.0, 5.0, 20.0)).plot
    wanted = [
        Spraying("soap", "soap", "aphid", "aphids", one, 5.0, (), ("top",), "Soap", True)
        for one in plot.plantings
    ]
    told = by_fillings(plot.shelf, wanted)
    assert [(one.planting.key, one.minutes) for one in told] == [("a", 5), ("c", 5), ("b", 13)]
    late = [replace(one, sure=one.planting.key == "b") for one in wanted]
    assert [one.planting.key for one in by_fillings(plot.shelf, late)] == ["b", "a", "c"]


CROPS = ("cucumber_slicing", "eggplant", "tomato_indeterminate")


def a_label(rates: Sequence[float], litres_left: float | None) -> ProductLabel:
    lines = tuple(
        CropLimits(crop, rate_ml_per_l=LabelLine("value", rate), max_l_per_m2=LabelLine("none"))
        for crop, rate in zip(CROPS, rates, strict=True)
    )
    return ProductLabel("soap", "Soap", "soap", "", crops=lines, litres_left=litres_left)


def three_crops(litres_left: float | None, rates: Sequence[float]) -> Any:
    plants = tuple(Planting(key, key, crop, 6) for key, crop in zip("abc", CROPS, strict=True))
    return facts_with(plants, a_label(rates, litres_left))


def facts_with(plantings: tuple[Planting, ...], label: ProductLabel) -> Any:
    """As much of a season's facts as a filling asks for."""
    place = Place("p", 38.0, -90.0, "UTC")
    plot = Plot("plot", "", place, plantings=plantings, shelf=(label,))
    return SimpleNamespace(plot=plot, tables=load_tables(), today=date(2011, 7, 28), applied=())


def a_plot(plan: Plan, litres_left: float) -> Any:
    names = [t.planting or "" for t in sprays(plan)]
    plantings = tuple(Planting(n, n, c, 6) for n, c in zip(names, CROPS, strict=False))
    others = {t.planting for v in plan.visits for t in v.tasks if t.planting} - set(names)
    plantings += tuple(Planting(n, n, "kale", 6) for n in sorted(others))
    return facts_with(plantings, a_label((20.0, 20.0, 20.0), litres_left))


def test_a_ticked_spray_is_written_down_with_its_own_litres(plot: Path, plan: Plan) -> None:
    first = sprays(plan)[0]
    entries = log_done(plot, first.id, "as written", at=datetime(2011, 7, 30, 20, 15))
    (done,) = [e.payload for e in entries if isinstance(e.payload, Treatment)]
    assert done.litres == pytest.approx(litres(first, OF_THE_MIX))
    assert done.litres < litres(first, WATER)
