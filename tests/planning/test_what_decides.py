"""A look says that it decides a treatment only where the treatment waits for what it finds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import product

import pytest

from lattermath.planning.looking import decided_by_looks, looking_tasks
from lattermath.planning.treating import Spraying
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting

VISIT = date(2025, 7, 24)
ZUKES = Planting("zukes", "Zukes", "courgette", 4, "short")
PEAS = Planting("peas", "Peas", "pea", 40, "long")
BEETLE, BUG = "striped_cucumber_beetle", "squash_bug"
PICK = Spraying("hand_pick", None, BEETLE, "beetle", ZUKES, 6.0, (), ("top",), "Pick off",
                sprayed=False, only_if="the look finds any beetles", sure=False)  # fmt: skip


def watch(organism: str = BEETLE, planting: Planting = ZUKES, **more: object) -> Watch:
    one = Watch(organism, organism, planting, None, suspected=True, decides="the treatment",
                decides_on=VISIT, worth=LookWorth(9.0, 0.4, 6, "treat", "leave it"))  # fmt: skip
    return replace(one, **more)


def both(only_if: str, *, look_at: Planting | None = None) -> Spraying:
    return replace(PICK, only_if=only_if, targets_too=(BUG,), finds_too=(only_if,),
                   looks_too=(look_at,))  # fmt: skip


def says(watches: list[Watch], wanted: list[Spraying]) -> str:
    decided = decided_by_looks(VISIT, watches, wanted)
    return " ".join(task.says for task in looking_tasks(VISIT, decided))


@pytest.mark.parametrize(("waits", "organism"), list(product([True, False], [BEETLE, BUG])))
def test_it_decides_what_waits_for_it_and_nothing_that_is_done_anyway(
    waits: bool, organism: str
) -> None:
    told = says([watch(organism)], [both(PICK.only_if if waits else "")])
    assert ("Decides the treatment" in told) == waits
    assert ("treat from 6 in all" in told) == waits


def test_what_waits_for_a_look_elsewhere_is_decided_there() -> None:
    told = says([watch(BEETLE, PEAS)], [replace(PICK, look_at=PEAS)])
    assert told.startswith("Peas") and "Decides the treatment" in told


def test_a_look_that_decides_names_its_number_or_that_any_will_do() -> None:
    """Four plants, all looked over: a number or "any", and never "decides" without either."""
    for worth in (None, LookWorth(0.0, 0.0), LookWorth(9.0, 0.4, 6, "treat", "leave it")):
        told = says([watch(worth=worth)], [PICK])
        assert "Decides the treatment" in told
        assert ("treat from 6 in all" in told) == bool(worth and worth.turns_at)
        assert ("Any beetles: treat." in told) == (not (worth and worth.turns_at))


def test_of_another_evening_nothing_is_undone() -> None:
    later = watch(decides_on=VISIT + timedelta(days=3))
    assert decided_by_looks(VISIT, [later], [both("")]) == [later]
    assert decided_by_looks(VISIT, [watch()], []) == [watch()]


@pytest.mark.parametrize("plants", [4, 10, 11, 60])
def test_where_every_plant_is_looked_at_ten_are_called_no_sample(plants: int) -> None:
    one = watch(planting=replace(ZUKES, plants=plants), tells="not enough to say heavy or clear")
    (task,) = looking_tasks(VISIT, [one])
    told = any("ten plants are not enough" in reason.says for reason in task.because)
    assert told == (plants > 10)
    mites = watch("twospotted_spider_mite", one.planting, tells="not enough to say heavy or clear")
    (task,) = looking_tasks(VISIT, [mites])
    assert any("ten leaves are not enough" in reason.says for reason in task.because)
