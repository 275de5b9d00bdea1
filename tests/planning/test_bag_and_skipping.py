"""What a visit's tasks ask for is in the bag, and every task says what leaving it out means."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from lattermath.planning.bag import bag
from lattermath.planning.evening_order import if_missed
from lattermath.planning.skipping import with_skipped
from lattermath.vocabulary.plan import Task, TaskKind

DAY = date(2026, 7, 28)


def task(kind: TaskKind, says: str = "x", **more: object) -> Task:
    return Task("id", kind, "care", says, 5.0, **more)  # type: ignore[arg-type]


def test_gloves_of_a_caution_are_in_the_bag() -> None:
    says = "courgettes: take off what passes size."
    off = task("care", says, cautions=("Gloves. Off the plot.",))
    assert "gloves" in bag([off], {}) and "shears" in bag([off], {})
    assert "gloves" not in bag([task("pick")], {})


def test_every_tool_of_the_work_is_in_the_bag_once() -> None:
    spray = task("treat", product="soap", method="soap")
    work = [spray, task("pick"), task("pick"), task("care", "Weed: beans."), task("water")]
    found = bag(work, {"soap": "Soap"})
    assert {"Soap", "sprayer", "gloves", "goggles", "knife", "hoe", "watering can"} <= set(found)
    assert len(found) == len(set(found))
    assert "bags" in bag([task("treat", method="bag_enclosure")], {})


KINDS: tuple[TaskKind, ...] = (
    *("water", "pick", "look", "care", "set out", "sow", "pull", "cover", "treat"),
)


@pytest.mark.parametrize("kind", KINDS)
def test_no_task_is_without_what_leaving_it_out_means(kind: TaskKind) -> None:
    (told,) = with_skipped([task(kind)], DAY + timedelta(days=2))
    assert "Thu 30 Jul" in told.if_skipped
    (alone,) = with_skipped([task(kind)], None)
    assert alone.if_skipped and "None" not in alone.if_skipped and "  " not in alone.if_skipped
    (kept,) = with_skipped([task(kind, if_skipped="they dry up")], DAY)
    assert kept.if_skipped == "they dry up"


def test_what_only_waits_is_no_loss_of_a_missed_visit() -> None:
    assert if_missed([task("look")]) == "nothing that cannot be made good"
