"""Before a frost: the most tender first, covers where they save, and no bar lifted."""

from __future__ import annotations

from datetime import date, datetime

from lattermath.planning.evening_order import in_order
from lattermath.planning.frost_work import Cloth, Standing, frost_work
from lattermath.vocabulary.plan import Clearance, NotToday, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

EVENING = date(2016, 10, 4)
AT = datetime.fromisoformat("2016-10-04T18:30:00+02:00")
FLEECE = Cloth()
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
    tasks, _ = frost_work(EVENING, low_c, stands(), clear(), AT, FLEECE)
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
    _, bars = frost_work(EVENING, -1.0, stands(), clear(), AT, FLEECE)
    [unsaved, left] = bars
    assert unsaved.what == "A cover will not save basil"
    assert left.what == "No cover for kale, lettuce_leaf"


def test_a_frost_lifts_no_bar() -> None:
    tasks, bars = frost_work(
        EVENING, -1.0, stands(), clear(barred="tomato_determinate"), AT, FLEECE
    )
    assert [t.planting for t in tasks if t.kind == "pick"] == ["basil"]
    [bar] = [one for one in bars if one.planting == "tomato_determinate"]
    assert bar.look_again == datetime.fromisoformat("2016-10-06T20:00:00+02:00")
    unknown, bars = frost_work(EVENING, -1.0, stands(), {}, AT, FLEECE)
    assert not [t for t in unknown if t.kind == "pick"]
    assert {one.planting for one in bars} == {"basil", "tomato_determinate", None}


def test_what_bears_nothing_is_not_picked() -> None:
    tasks, _ = frost_work(EVENING, -1.0, stands(tomato_determinate=False), clear(), AT, FLEECE)
    kinds = [(t.kind, t.planting) for t in tasks]
    assert kinds == [("pick", "basil"), ("cover", "tomato_determinate")]


def named(bars: list[NotToday]) -> list[str]:
    return [bar.what for bar in bars if bar.planting is None]


def test_everything_the_night_takes_is_named_picked_or_not() -> None:
    """At -4.5 C cloth leaves -2.5 C: neither basil (2 C) nor tomatoes (-0.5 C) live under it."""
    none = stands(basil=False, tomato_determinate=False, lettuce_leaf=False)
    tasks, bars = frost_work(EVENING, -4.5, none, {}, AT, FLEECE)
    assert [(t.kind, t.planting) for t in tasks] == [("cover", "lettuce_leaf")]
    assert named(bars)[0] == "A cover will not save basil, tomato_determinate"


def test_without_fleece_nothing_is_covered_and_that_is_said() -> None:
    tasks, bars = frost_work(EVENING, -1.0, stands(), clear(), AT, Cloth(there=False))
    assert {t.kind for t in tasks} == {"pick"}
    assert named(bars)[:2] == [
        "A cover will not save basil", "No cover is on hand for tomato_determinate",
    ]  # fmt: skip


def test_nothing_is_covered_that_nobody_takes_the_cloth_off_unless_it_may_lie_on() -> None:
    back = date(2016, 10, 13)
    mild, bars = frost_work(EVENING, -1.0, stands(), clear(), AT, Cloth(back=back))
    [cover] = [t for t in mild if t.kind == "cover"]
    assert "may stay on" in cover.says and "Thu 13 Oct" in cover.says
    hot, bars = frost_work(EVENING, -1.0, stands(), clear(), AT, Cloth(back=back, mild=False))
    assert not [t for t in hot if t.kind == "cover"]
    assert "No cover while you are away for tomato_determinate" in named(bars)
    courgettes = Standing(Planting("c", "Courgettes", "summer_squash", 3), 0.0, "x", bears=False)
    bees, bars = frost_work(EVENING, -1.0, [courgettes], {}, AT, Cloth(back=back))
    assert not bees and named(bars) == ["No cover while you are away for courgettes"]


def test_full_grown_squash_comes_in_before_it_is_ripe_with_its_stalk_and_beans_do_not() -> None:
    squash = Planting("s", "Squash", "winter_squash", 3)
    beans = Planting("b", "Beans", "bean_bush", 9)
    held = [
        Standing(squash, -0.5, "x", bears=False, colours=True),
        Standing(beans, -0.5, "y", bears=False),
    ]
    open_to = {key: Clearance(key, True, None) for key in ("s", "b")}
    tasks, _ = frost_work(EVENING, -3.0, held, open_to, AT, Cloth(there=False))
    [strip] = tasks
    assert (strip.kind, strip.planting) == ("pick", "s")
    assert "with its stalk" in strip.says and "coloured" in strip.says
    barred, bars = frost_work(EVENING, -3.0, held, {}, AT, Cloth(there=False))
    assert not barred and [bar.planting for bar in bars if bar.planting] == ["s"]


def test_what_the_night_takes_is_picked_before_what_bears_it_also_where_it_is_sick() -> None:
    """Hands go from clean plants to sick ones, but what is gone tomorrow comes first."""
    tasks, _ = frost_work(EVENING, -1.0, stands(), clear(), AT, FLEECE)
    kale = Task("k", "pick", "pick", "Kale.", 3.0, "kale")
    picks = [t for t in tasks if t.kind == "pick"]
    laid = in_order([kale, *picks], sick=["tomato_determinate"])
    assert [t.planting for t in laid] == ["basil", "tomato_determinate", "kale"]
