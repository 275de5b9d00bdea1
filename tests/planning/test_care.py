"""Tending: what is due when, in what order, and what a fight begins with. Common practice."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from lattermath.planning.care import FIGHT_FIRST, care_tasks, work_said
from lattermath.planning.care_rounds import (
    FOR,
    MOST_MINUTES,
    Tended,
    care_rounds,
    done_once,
    once_tasks,
)
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting

DAY = date(2026, 8, 4)
FROST = date(2026, 10, 10)


def ago(days: int) -> date:
    return DAY - timedelta(days=days)


def planting(key: str, crop: str, **over: Any) -> Planting:
    facts: dict[str, Any] = {"bed": "A", "set_out": ago(60)}
    return Planting(key, key.capitalize(), crop, 6, **(facts | over))


TOMATOES = planting("tomatoes", "tomato_indeterminate")
COURGETTES = planting("courgettes", "summer_squash")
BEANS = planting("beans", "bean_bush", set_out=None, sown=ago(15))


def seen(one: Planting, m2: float = 2.0, **over: Any) -> Tended:
    facts: dict[str, Any] = {"covered": True, "bearing": True, "mulched": True}
    return Tended(one, m2, **(facts | over))


def rounds(*tended: Tended, done: dict[tuple[str, str], date] | None = None) -> dict[str, Task]:
    tasks = care_rounds(DAY, tended, done or {})
    return {task.says.partition(":")[0]: task for task in tasks}


@pytest.mark.parametrize(
    ("covered", "mulched", "every"), [(False, False, 10), (True, False, 21), (True, True, 28)]
)
def test_weeds_are_due_sooner_on_open_ground(covered: bool, mulched: bool, every: int) -> None:
    one = seen(BEANS, covered=covered, mulched=mulched)
    assert "Weed" in rounds(one, done={("beans", "weed"): ago(every)})
    assert "Weed" not in rounds(one, done={("beans", "weed"): ago(every - 1)})


def test_a_round_says_when_each_was_due_and_names_them_for_the_record() -> None:
    weeds = rounds(
        seen(TOMATOES, bearing=False),
        seen(COURGETTES, bearing=False),
        done={("tomatoes", "weed"): ago(40), ("courgettes", "weed"): ago(30)},
    )["Weed"]
    assert weeds.says == "Weed: tomatoes, courgettes."  # the most overdue first
    assert weeds.due == ago(12)
    assert "due: tomatoes 23 Jul, courgettes 2 Aug" in weeds.because[0].says
    assert [a.what for a in weeds.amounts] == [f"weed{FOR}tomatoes", f"weed{FOR}courgettes"]
    assert weeds.minutes == 6  # 4 m2 at a minute and a half


def test_sick_plants_come_last_in_a_round() -> None:
    weeds = rounds(seen(TOMATOES, sick=True), seen(BEANS, covered=False, mulched=False))["Weed"]
    assert weeds.says == "Weed: beans, tomatoes."


def test_what_hands_carry_on_has_a_round_of_its_own_after_the_clean_work() -> None:
    blighted = seen(planting("potatoes", "potato"), sick=True, carried=True)
    clean, last = care_rounds(DAY, [blighted, seen(TOMATOES, bearing=False)], {})
    assert (clean.says, clean.part) == ("Weed: tomatoes.", "care")
    assert (last.says, last.part) == ("Weed last: potatoes.", "sick plants last")
    assert "potatoes" not in clean.because[0].says and clean.id != last.id
    assert [a.what for a in last.amounts] == [f"weed{FOR}potatoes"]  # a tick logs it all the same
    assert any("Wash hands" in caution for caution in last.cautions)


def test_a_round_takes_no_more_than_its_minutes_and_the_most_overdue() -> None:
    many = [seen(planting(f"row {n}", "kale", set_out=ago(60 + n)), 4.0) for n in range(6)]
    weeds = rounds(*many)["Weed"]
    assert weeds.says == "Weed: row 5, row 4."
    assert weeds.minutes <= MOST_MINUTES
    alone = rounds(seen(BEANS, 40.0, covered=False, mulched=False))["Weed"]
    assert alone.minutes == 60  # one that is longer than any round is still said


def test_only_what_bears_is_fed_and_beans_never() -> None:
    fed = rounds(seen(TOMATOES), seen(BEANS), seen(COURGETTES, bearing=False))["Feed"]
    assert fed.says == "Feed: tomatoes."
    assert any("pack" in caution for caution in fed.cautions)
    assert "Feed" not in rounds(seen(TOMATOES), done={("tomatoes", "feed"): ago(13)})


def once(*tended: Tended, on: date = DAY, frost: date | None = FROST, **done: date) -> list[Task]:
    past = {(key, work): day for work, day in done.items() for key in ("tomatoes", "courgettes")}
    return list(once_tasks(on, tended, past, frost))


def test_bare_beds_are_mulched_once_when_plants_stand_above_it() -> None:
    both = (seen(COURGETTES, mulched=False), seen(TOMATOES, mulched=False))
    (mulch,) = once(*both)  # one bed
    assert mulch.due == ago(60 - 21)
    assert work_said(mulch.says) == "mulch"
    young = seen(planting("kale", "kale", set_out=ago(20)), mulched=False)
    assert once(young) == []
    assert once(seen(COURGETTES)) == once(seen(COURGETTES, mulched=None)) == []
    assert once(seen(COURGETTES, mulched=False), mulch=ago(5)) == []
    assert once(seen(COURGETTES, mulched=False), on=FROST - timedelta(days=29)) == []
    assert once(seen(BEANS, mulched=False)) == []


def test_tips_come_out_while_the_last_flowers_can_still_ripen() -> None:
    due = FROST - timedelta(days=45)
    (top,) = once(seen(TOMATOES), on=due)
    assert (top.due, top.minutes) == (due, 3)
    assert work_said(top.says) == "top"
    assert "frost" in top.because[0].says
    assert once(seen(TOMATOES), on=due - timedelta(days=1)) == []
    assert once(seen(TOMATOES), on=FROST) == once(seen(TOMATOES), on=due, frost=None) == []
    assert once(seen(TOMATOES), on=due, top=ago(1)) == []
    assert once(seen(COURGETTES), on=due) == []


def test_words_that_are_no_task_once_done() -> None:
    assert done_once("tie in") is None


def works(fought: tuple[str, ...] = (), **over: Any) -> dict[str, Task]:
    tasks = care_tasks(DAY, [planting("tomatoes", "tomato_indeterminate", **over)], {}, (), fought)
    return {work_said(task.says): task for task in tasks}


def test_a_fight_begins_with_the_worn_leaves() -> None:
    assert set(works()) == {"tie and side-shoot"}
    worn = works(vigour="worn")["strip"]
    assert not worn.must
    fight = works(("tomatoes",))["strip"]
    assert fight.must
    assert fight.because[0].says.startswith(FIGHT_FIRST)
    assert not works(("tomatoes",))["tie and side-shoot"].must


@pytest.mark.parametrize(
    "crop", ["bean_bush", "eggplant", "pepper_sweet", "kale", "chard", "broccoli", "melon"]
)
def test_a_fight_begins_so_on_every_crop_that_bears_on_through(crop: str) -> None:
    for fought in ((), ("bed",)):
        tasks = care_tasks(DAY, [planting("bed", crop)], {}, (), fought)
        must = [task for task in tasks if task.must]
        assert len(must) == len(fought)
        assert all(t.minutes > 0 and t.because[0].says.startswith(FIGHT_FIRST) for t in must)


def test_tending_has_minutes_a_due_day_and_a_because() -> None:
    last = {("tomatoes", "tie and side-shoot"): ago(9)}
    (task,) = care_tasks(DAY, [TOMATOES], last)
    assert (task.due, task.minutes) == (ago(2), 6)
    assert "last done 26 Jul, due 2 Aug" in task.because[0].says
    assert care_tasks(DAY, [TOMATOES], {("tomatoes", "tie and side-shoot"): ago(6)}) == []
