"""Before a frost: the most tender first, covers where they save, and no bar lifted."""

from __future__ import annotations

from datetime import date, datetime

from lattermath.planning.frost_work import Standing, frost_work
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

EVENING = date(2016, 10, 4)
AT = datetime.fromisoformat("2016-10-04T18:30:00+02:00")
KILLS = {"basil": 2.0, "tomato_determinate": -0.5, "lettuce_leaf": -5.0, "kale": -12.0}


def stands(**bears: bool) -> list[Standing]:
    return [
        Standing(Planting(crop, crop.capitalize(), crop, 4), kill, f"crops/{crop}/frost.kill_c",
                 bears.get(crop, True))
        for crop, kill in reversed(KILLS.items())
    ]  # fmt: skip


def clear(*, barred: str = "") -> dict[str, Clearance]:
    why = (Because("treated on Sunday", holds=False, who="label"),)
    shut = Clearance(barred, False, datetime.fromisoformat("2016-10-06T20:00:00+02:00"), why)
    return {key: shut if key == barred else Clearance(key, True, None) for key in KILLS}


def work(low_c: float, **more: object) -> list[tuple[str, str | None]]:
    tasks, _ = frost_work(EVENING, low_c, stands(), clear(), AT)
    return [(task.kind, task.planting) for task in tasks]


def test_a_light_frost_takes_basil_and_a_cover_carries_tomatoes_over() -> None:
    """-1 C at the leaves: basil dies at 2 C, more than a cover keeps; tomatoes at -0.5 C live under
    one at 1 C; lettuce and kale bear it."""
    assert work(-1.0) == [
        ("pick", "basil"), ("pick", "tomato_determinate"), ("cover", "tomato_determinate"),
    ]  # fmt: skip


def test_a_hard_frost_is_beyond_a_cover_and_reaches_lettuce() -> None:
    """-4.5 C, and it may be a degree colder: tomatoes die under cloth at -2.5 C, lettuce lives."""
    assert work(-4.5) == [
        ("pick", "basil"), ("pick", "tomato_determinate"),
        ("pick", "lettuce_leaf"), ("cover", "lettuce_leaf"),
    ]  # fmt: skip


def test_what_bears_the_night_is_said_to_need_no_cover() -> None:
    _, bars = frost_work(EVENING, -1.0, stands(), clear(), AT)
    [left] = bars
    assert left.what == "No cover for kale, lettuce_leaf"


def test_a_frost_lifts_no_bar() -> None:
    tasks, bars = frost_work(EVENING, -1.0, stands(), clear(barred="tomato_determinate"), AT)
    assert [t.planting for t in tasks if t.kind == "pick"] == ["basil"]
    [bar] = [one for one in bars if one.planting == "tomato_determinate"]
    assert bar.look_again == datetime.fromisoformat("2016-10-06T20:00:00+02:00")
    unknown, bars = frost_work(EVENING, -1.0, stands(), {}, AT)
    assert not [t for t in unknown if t.kind == "pick"]
    assert {one.planting for one in bars} == {"basil", "tomato_determinate", None}


def test_what_bears_nothing_is_not_picked() -> None:
    tasks, _ = frost_work(EVENING, -1.0, stands(tomato_determinate=False), clear(), AT)
    kinds = [(t.kind, t.planting) for t in tasks]
    assert kinds == [("pick", "basil"), ("cover", "tomato_determinate")]
