"""Plans of random plots: each passes the audit, and says what must always hold."""

from pathlib import Path

import pytest
from tests.seasons.random_plots import throw

from lattermath.desk.plan_visit import plan
from lattermath.sheets.back_of_sheet import text_back
from lattermath.sheets.visit_sheet import text_sheet

pytestmark = pytest.mark.usefixtures("few_draws")


@pytest.mark.parametrize("seed", range(12))
def test_a_plan_comes_out_that_the_audit_lets_pass(seed: int, tmp_path: Path) -> None:
    today = throw(seed, tmp_path)
    made = plan(tmp_path, today)
    front = text_sheet(made, made.plot)
    back = text_back(made, made.plot)
    assert max(map(len, (front + back).splitlines())) <= 78
    for visit in made.visits:
        assert all(task.starts is None or task.starts >= visit.arrive for task in visit.tasks)
        pulled = {task.planting for task in visit.tasks if task.kind == "pull"}
        treated = {task.planting for task in visit.tasks if task.kind == "treat"}
        assert not pulled & treated
    for verdict in made.verdicts:
        assert all(o.kg.low <= o.kg.median <= o.kg.high for o in verdict.options)
        assert sum(o.chance_best for o in verdict.options) == pytest.approx(1.0)
