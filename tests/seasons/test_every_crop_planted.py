"""Every crop of the tables begun in early July on the demonstration's weather: one sheet of all."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from tests.seasons.champion import PLACE, opened

from lattermath.desk.plan_visit import plan
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

TABLES = load_tables()
ON = date(2011, 7, 30)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    folder = Path(tmp_path_factory.mktemp("crops"))
    rows = [
        f'[[planting]]\nkey = "{crop}"\ncrop = "{crop}"\nplants = 8\n'
        f"{'sown' if held.establish == 'direct' else 'set_out'} = 2011-07-05\n"
        for crop, held in TABLES.crops.items()
    ]
    opened(folder, PLACE + "".join(rows))
    return plan(folder, ON)


def test_each_has_a_verdict_an_outlook_and_a_clearance(made: Plan) -> None:
    wanted = set(TABLES.crops)
    assert {v.planting for v in made.verdicts} == wanted
    assert {o.planting for o in made.outlook} == wanted
    assert {c.planting for c in made.picking} == wanted
    for one in made.outlook:
        spans = np.array([[s.low, s.median, s.high] for s in (*one.with_plan, *one.without)])
        assert np.isfinite(spans).all() and spans.min(initial=0.0) >= 0
        assert (np.diff(spans, axis=1) >= -1e-9).all()


def test_nothing_tender_bears_in_november(made: Plan) -> None:
    """The usual first frost there is on 28 September; in no October of the record was it spared."""
    for one in made.outlook:
        if TABLES.crops[one.planting].frost_kill_c.value >= -1.5:
            late = [s.high for week, s in zip(one.weeks, one.without, strict=True)
                    if week >= date(2011, 11, 7)]  # fmt: skip
            assert max(late, default=0.0) == 0.0, one.planting


def test_what_is_quick_bears_before_what_is_slow(made: Plan) -> None:
    """Common practice: radish and salad first, then beans and squash, corn and cabbage last."""
    first = {
        one.planting: next(
            (week for week, s in zip(one.weeks, one.without, strict=True) if s.median > 0.01),
            date.max,
        )
        for one in made.outlook
    }
    assert first["radish"] <= first["lettuce_leaf"] + (date(2011, 1, 8) - date(2011, 1, 1))
    assert first["summer_squash"] < first["melon"] < first["leek"]
    assert first["lettuce_leaf"] < first["lettuce_head"] < first["cabbage"]
    assert first["garlic"] == date.max  # nobody plants it in July


def test_a_garden_without_a_shelf_is_not_sent_to_spray(made: Plan) -> None:
    assert not [t for visit in made.visits for t in visit.tasks if t.product]
