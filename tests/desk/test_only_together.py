"""Whether a spraying of a sure bed waits for the look at another: beside plain simulation."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from types import SimpleNamespace
from typing import Any

import pytest
from tests.belief.cluster_cases import believe, scales, stands
from tests.planning.test_course_search import SOAP, cost_of, task

from lattermath.desk import only_together
from lattermath.desk.only_together import with_company
from lattermath.planning.course_task import Step, application
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.plot import Planting

DAY = date(2025, 8, 5)
PLANTINGS = (
    Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"),
    Planting("aubergines", "Aubergines", "eggplant", 5, "b"),
)


def spraying(planting: Planting, only_if: str = "") -> Spraying:
    return Spraying("soap", "soap", "whitefly", "whitefly", planting, 5.0, (), ("top",), "Soap",
                    sprayed=True, only_if=only_if, sure=not only_if)  # fmt: skip


WORK = ((DAY, spraying(PLANTINGS[0])), (DAY, spraying(PLANTINGS[1], "the look finds scales")))


def case(mixing: float, portions: float) -> Any:
    """Few scales where somebody looked, many where nobody did; soap on both at the first visit."""
    homes = stands(*PLANTINGS)
    seen = [(48, scales(homes[0].key, 4)), (48, scales(homes[1].key, 200))]
    soap = replace(SOAP, minutes_once=mixing)
    asked = task(believe(seen, homes=homes), (soap,), portions=portions)
    found = SimpleNamespace(steps=(Step(0, soap, (0, 1)),))
    return SimpleNamespace(task=asked, found=found)


@pytest.mark.parametrize("mixing", [1.0, 10.0, 60.0])
@pytest.mark.parametrize("portions", [5.0, 60.0, 3000.0])
def test_what_is_worse_alone_than_nothing_waits_for_the_look_that_makes_it_pay(
    mixing: float, portions: float
) -> None:
    one = case(mixing, portions)
    (step,) = one.found.steps
    alone = cost_of(one.task, (replace(step, places=(0,)),))
    nothing = cost_of(one.task, ())
    (_, first), (_, second) = with_company(one, WORK)
    if alone > nothing:
        assert first.only_if == "the look finds scales on aubergines"
        assert first.look_at == PLANTINGS[1] and first.sure and second.sure
    else:
        assert first.only_if == "" and first.look_at is None and not second.sure
    assert second.only_if == "the look finds scales" and second.look_at is None


def test_both_answers_are_met() -> None:
    found = {
        with_company(case(mixing, portions), WORK)[0][1].look_at is None
        for mixing in (1.0, 60.0) for portions in (5.0, 3000.0)
    }  # fmt: skip
    assert found == {True, False}


def test_where_all_are_sure_or_all_wait_nothing_changes() -> None:
    one = case(60.0, 5.0)
    sure = tuple((day, replace(spray, only_if="", sure=True)) for day, spray in WORK)
    assert with_company(one, sure) == sure
    wait = tuple((day, replace(spray, only_if="the look finds scales")) for day, spray in WORK)
    assert with_company(one, wait) == wait


def test_work_against_others_is_sure_only_where_it_pays_for_this_one_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Beside the cost of the same soap as a course of its own, simulated plainly."""
    met = {
        _pays_as_simulated(monkeypatch, minutes, portions)
        for minutes in (1.0, 10.0, 60.0) for portions in (5.0, 60.0, 3000.0)
    }  # fmt: skip
    assert met == {True, False}


def _pays_as_simulated(patch: pytest.MonkeyPatch, minutes: float, portions: float) -> bool:
    soap = replace(SOAP, minutes_once=minutes, minutes=0.0)
    homes = stands(*PLANTINGS)
    asked = task(believe([(48, scales(homes[0].key, 40))], homes=homes), (soap,), portions=portions)
    step = Step(0, soap, (0,))
    pays = cost_of(asked, (step,)) < cost_of(asked, ())
    here = replace(spraying(PLANTINGS[0]), method=soap.method, product=soap.product)
    one = (DAY, replace(here, minutes=minutes))
    done = application(step, asked.visits[0], asked.belief)

    def beside(_: Any, others: Any) -> Any:
        return replace(asked.belief, applied=(*asked.belief.applied, *(done for _ in others)))

    patch.setattr(only_together, "belief_of", beside)
    searched: Any = SimpleNamespace(task=asked, found=SimpleNamespace(steps=()), others=(one,))
    assert only_together.pays_by_itself(searched, (one,)) == pays
    return pays
