"""A treatment that pays only with one elsewhere: it hangs on the look there, and on that one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.planning.label_cases import evening
from tests.planning.test_sprays_of_one_evening import BEANS, PEAS, TUESDAY, Rules, laid, spray

from lattermath.planning.evening_order import fit, short_of_time
from lattermath.planning.evening_sprays import found_on, urgent_looks, with_numbers
from lattermath.planning.treating import joined
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.ruling import Because, Ruling

PEAS_LATER = replace(spray(PEAS, 5.0, sure=False), sure=True)
BEANS_WITH = replace(
    spray(BEANS, 14.0, sure=True), only_if=found_on("the look finds aphids", PEAS), look_at=PEAS
)
LOOK = Task("look", "look", "look", "Peas: turn 10 leaves.", 4.0, planting="peas")


def test_it_waits_for_the_look_at_the_other_and_says_where() -> None:
    visit, sprays = laid([BEANS_WITH, PEAS_LATER], replace(LOOK, must=True))
    (beans,) = [task for task in visit.tasks if task.planting == "beans"]
    assert beans.says.startswith("Only if the look finds aphids on peas: soap")
    assert beans.look_at == beans.decided_at == "peas"
    assert not sprays.refused


def test_where_the_other_may_not_be_treated_it_is_not_made_either() -> None:
    class NoPeas(Rules):
        def rule(self, planting: Any, *more: Any, **named: Any) -> Ruling:
            if planting.key == "peas":
                return Ruling((Because("barred", holds=False),))
            return super().rule(planting, *more, **named)

    visit, sprays = laid([BEANS_WITH, PEAS_LATER], rules=NoPeas())
    assert not [task for task in visit.tasks if task.kind == "treat"]
    said = [because.says for bar in sprays.refused for because in bar.because]
    assert any(says.startswith("it pays only together with") for says in said)
    alone, _ = laid([replace(BEANS_WITH, only_if="", look_at=None), PEAS_LATER], rules=NoPeas())
    assert [task.planting for task in alone.tasks if task.kind == "treat"] == ["beans"]


def test_when_time_is_short_the_look_is_named_with_it() -> None:
    visit, _ = laid([BEANS_WITH, PEAS_LATER])
    treats = [task for task in visit.tasks if task.kind == "treat"]
    held = urgent_looks([LOOK, *treats])
    assert short_of_time(held) == "Do 1, 2 and 3."
    found = fit(held, evening(TUESDAY), 300)
    assert {task.planting for task in found.tasks} == {"peas", "beans"}
    no_room = fit([t for t in held if t.planting != "peas" or t.kind == "look"], NIGHT, 300)
    assert [task.kind for task in no_room.tasks] == ["look"]


def test_what_is_sure_for_another_reason_does_not_wait() -> None:
    mites = replace(spray(BEANS, 9.0, sure=True), target="mite", target_name="mites")
    (both,) = joined([BEANS_WITH, mites])
    assert both.only_if == "" and both.look_at is None
    (too,) = joined([replace(mites, only_if="the look finds mites"), BEANS_WITH])
    (told,) = with_numbers([too], (), ())
    assert told.only_if == "the look finds mites, or aphids on peas"


NIGHT = evening(TUESDAY)
