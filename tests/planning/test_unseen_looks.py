"""Looks for what may have come unseen: few, seldom, after what is known, on the leaves turned."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date, timedelta

from lattermath.planning.looking import (
    MOST_UNSEEN,
    UNSEEN_AGAIN_DAYS,
    after_looks,
    looking_tasks,
    not_worth_looking,
)
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting

VISIT = date(2025, 8, 5)
WHITEFLY, APHIDS, MITES = "greenhouse_whitefly", "melon_aphid", "twospotted_spider_mite"
BEETLES = "flea_beetles"


def unseen(key: str, organism: str, cost: float, plants: int = 6, **more: object) -> Watch:
    planting = Planting(key, key.title(), "kale", plants)
    one = Watch(organism, organism, planting, None, suspected=False, unseen=cost)
    return replace(one, **more)


def known(key: str, minutes: float) -> Watch:
    worth = LookWorth(minutes, 0.2, 12, "treat", "leave it")
    planting = Planting(key, key.title(), "kale", 6)
    ago = VISIT - timedelta(days=8)
    return Watch(WHITEFLY, "whitefly", planting, ago, suspected=True, worth=worth)


def looked_for(*watches: Watch, day: date = VISIT) -> list[tuple[str | None, set[str]]]:
    tasks = looking_tasks(day, watches)
    return [(task.planting, {one.organism for one in task.wanted}) for task in tasks]


def test_a_plot_where_nothing_was_ever_seen_has_looks_the_costliest_first() -> None:
    few = [unseen(key, APHIDS, cost) for key, cost in (("a", 0.1), ("b", 0.9), ("c", 0.5))]
    assert looked_for(*few) == [("b", {APHIDS}), ("c", {APHIDS})]
    assert len(looked_for(*few)) == MOST_UNSEEN and not not_worth_looking(VISIT, few)


def test_what_was_never_looked_for_comes_before_what_was() -> None:
    """Four things, three at a time, ten days apart: the slow fourth gets its turn."""
    four = [unseen("a", what, 1.0) for what in (APHIDS, MITES, "cucurbit_powdery_mildew")]
    four.append(unseen("a", WHITEFLY, 0.001))
    first = looking_tasks(VISIT, four)
    ((_, things),) = looked_for(*four)
    assert WHITEFLY not in things
    after = after_looks(four, [(VISIT, first[0])])
    ((_, things),) = looked_for(*after, day=VISIT + timedelta(days=UNSEEN_AGAIN_DAYS))
    assert WHITEFLY in things and len(things) == 3


def test_what_is_known_comes_first_however_little_it_is_worth() -> None:
    assert [key for key, _ in looked_for(unseen("a", APHIDS, 1.0), known("b", 5.0))] == ["b", "a"]
    busy = [known(key, 9.0) for key in "bcd"]
    more = [unseen(key, APHIDS, 1.0) for key in "efg"]
    assert [key for key, _ in looked_for(*busy, *more)] == ["b", "c", "d", "e"]


def test_each_planting_about_every_ten_days_and_not_at_every_visit() -> None:
    """Three visits a week for six weeks, each look done: counted by hand."""
    watches = [unseen(key, what, 0.5) for key in "abcd" for what in (APHIDS, MITES)]
    days: dict[str | None, list[date]] = {}
    done = []
    for n in range(18):
        day = VISIT + timedelta(days=7 * (n // 3) + 2 * (n % 3))
        tasks = looking_tasks(day, after_looks(watches, done))
        assert len(tasks) <= MOST_UNSEEN
        done += [(day, task) for task in tasks]
        for task in tasks:
            days.setdefault(task.planting, []).append(day)
    assert set(days) == set("abcd")
    for seen in days.values():
        gaps = [(b - a).days for a, b in itertools.pairwise(seen)]
        assert gaps and all(UNSEEN_AGAIN_DAYS <= gap <= 14 for gap in gaps)


def test_a_look_for_one_thing_at_few_leaves_counts_for_the_leaves() -> None:
    lately = VISIT - timedelta(days=3)
    assert looked_for(unseen("a", MITES, 0.5, walked=lately)) == []
    assert looked_for(unseen("a", MITES, 0.5, walked=lately - timedelta(days=9))) != []


def test_a_planting_looked_over_tonight_is_left_alone_tonight() -> None:
    counted = unseen("a", APHIDS, 0.5, last_looked=VISIT, walked=VISIT)
    assert looked_for(counted, unseen("a", BEETLES, 0.5)) == []
    later = VISIT + timedelta(days=2)
    assert looked_for(counted, unseen("a", BEETLES, 0.5), day=later) == [("a", {BEETLES})]


def test_leaves_that_are_turned_anyway_are_turned_for_it_too() -> None:
    lately = VISIT - timedelta(days=3)
    more = unseen("a", MITES, 0.5, walked=lately)
    assert looked_for(known("a", 9.0), more) == [("a", {WHITEFLY, MITES})]
    again = replace(more, last_looked=lately)
    assert looked_for(known("a", 9.0), again) == [("a", {WHITEFLY})]


def test_at_most_three_things_and_not_leaves_and_plants_at_once() -> None:
    many = [unseen("a", what, 0.5) for what in (APHIDS, MITES, "green_peach_aphid", WHITEFLY)]
    ((_, things),) = looked_for(*many)
    assert len(things) == 3
    mixed = [unseen("a", APHIDS, 0.5), unseen("a", BEETLES, 0.4)]
    assert looked_for(*mixed) == [("a", {APHIDS})]
    done = [(VISIT, task) for task in looking_tasks(VISIT, mixed)]
    after = VISIT + timedelta(days=2)
    assert looked_for(*after_looks(mixed, done), day=after) == [("a", {BEETLES})]
