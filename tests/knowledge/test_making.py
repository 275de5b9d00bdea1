"""The script that made the tables: nothing lost, nothing claimed beyond what was seen."""

from __future__ import annotations

import tomllib

import pytest

from lattermath.knowledge.making import dialects, typed, walk
from lattermath.knowledge.making.corrections import mend_row
from lattermath.knowledge.making.dialects import Judge, Source

ROW = tomllib.loads("""
lower_c = { v = 8.3, range = [7, 9], alt = [{ v = 2.9, src = "b", note = "no" }], src = "a" }
days = { lo = 4, hi = 8, src = "a" }
pct = [1, 2]
ready = { value = 3, lo = 2, hi = 5, source = "a" }
exponent = { y = 0.8, y_lo = 0.7, y_hi = 1.0, src = "a" }
where = { egg = "leaf", crawler_mm = 5, crawler_src = "b", src = "a" }
stages = ["egg", "adult"]
empty = ""
wet = { v = false, src = "a" }
hosts = { bean = 1.0, src = ["a", "b"] }
""")


def walked():
    return {leaf.path: leaf for leaf in walk.row_leaves(ROW)}


def test_the_walk_keeps_every_number_and_word_of_a_row():
    leaves = walked()
    assert sum(leaf.stated for leaf in leaves.values() if not leaf.is_text) == 16
    assert walk.count_numbers(ROW) == 16
    words = sum(leaf.is_text for leaf in leaves.values()) + sum(x.merged for x in leaves.values())
    assert words == walk.count_words(ROW) == 5


def test_the_walk_gives_dotted_paths_ranges_and_provenance():
    leaves = walked()
    assert (leaves["lower_c"].low, leaves["lower_c"].value, leaves["lower_c"].high) == (7, 8.3, 9)
    assert leaves["lower_c.alt[0]"].said == "b" and leaves["lower_c.alt[0]"].note == "no"
    assert leaves["days"].value == 6 and leaves["days"].note == walk.MIDDLE_OURS
    assert leaves["ready"].value == 3 and leaves["ready"].note == ""
    assert (leaves["exponent.y"].low, leaves["exponent.y"].high) == (0.7, 1.0)
    assert leaves["where.crawler_mm"].said == "b" and leaves["where.egg"].said == "a"
    assert leaves["stages[1]"].value == "adult" and leaves["wet"].value == "no"
    assert leaves["hosts.bean"].said == ["a", "b"]
    assert "empty" not in leaves


def test_a_list_that_nobody_explained_is_refused():
    with pytest.raises(ValueError, match="nobody explained"):
        list(walk.row_leaves({"odd": [1, 2, 3, 4]}))
    with pytest.raises(ValueError, match="nobody explained"):
        list(walk.row_leaves({"falling": [2, 1]}))


JUDGE = Judge(
    {
        "page": Source("page", "A page", "published", "source"),
        "brief": Source("brief", "An abstract", "published", "abstract"),
        "copy": Source("copy", "A copy", "published", "second-hand"),
        "unread": Source("unread", "A book", "published", "no"),
        "line": Source("line", "A line", "derived", "no"),
    }
)


@pytest.mark.parametrize(
    ("said", "path", "standing", "seen", "source"),
    [
        ("page", "x", "published", "source", "page"),
        ("page (Table 12)", "x", "published", "source", "page"),
        ("page; brief; copy", "x", "published", "second-hand", "page"),
        (["brief", "page"], "x", "published", "abstract", "brief"),
        ("unread", "x", "memory", "no", "unread"),
        ("page; rest memory", "x", "memory", "no", "page"),
        (["page", "memory_general"], "x", "memory", "no", "page"),
        (["page", "practice"], "x", "common-practice", "no", "page"),
        ("practice; page", "x", "common-practice", "no", ""),
        ("memory; page gives 9", "x", "memory", "no", ""),
        ("derived (3 x 2); page gives 1, left out", "x", "derived", "no", ""),
        ("page 60-75 (dd derived)", "a.days", "published", "source", "page"),
        ("page 60-75 (dd derived)", "a.dd", "derived", "no", ""),
        ("line; page", "x", "derived", "no", "line"),
        ("a page of some firm", "x", "published", "source", "page"),
        ("some leaflet", "x", "published", "second-hand", dialects.UNNAMED),
        ({"status": "published-read", "source": "brief"}, "x", "published", "abstract", "brief"),
        ({"status": "published-recalled", "source": "page"}, "x", "memory", "no", "page"),
        ({"status": "judgement", "source": "judgement"}, "x", "judgement", "no", ""),
        (None, "x", "memory", "no", ""),
    ],
)
def test_the_weakest_standing_named_is_the_one_a_value_gets(said, path, standing, seen, source):
    origin = JUDGE.origin(said, path)
    assert (origin.standing, origin.seen, origin.source) == (standing, seen, source)


def test_words_that_say_more_than_a_key_are_kept():
    assert JUDGE.origin("page (Table 12)", "x").locator == "Table 12"
    assert JUDGE.origin("page (Table 12)", "x").note == ""
    assert JUDGE.origin("page: 4 of 9 plots", "x").note == "as given: page: 4 of 9 plots"
    assert JUDGE.origin("page; brief", "x").note == "with brief"


@pytest.mark.parametrize(
    ("words", "seen"),
    [
        ("read", "source"),
        ("read (archived page)", "source"),
        ("read (abstract, first page)", "abstract"),
        ("read (Table 1, partly)", "abstract"),
        ("excerpt; rows from memory", "abstract"),
        ("read (as transcribed in an open library)", "second-hand"),
        ("not verified", "no"),
        ("-", "no"),
    ],
)
def test_what_was_seen_is_read_from_the_words_used_for_it(words, seen):
    assert dialects.seen_of(words) == seen


def test_duration_and_range_side_by_side_become_one_figure():
    row = mend_row("organisms", {"dev_days": [{"stage": "larva", "d": 15, "range": [11, 33]}]})
    (leaf,) = [x for x in walk.row_leaves(row) if not x.is_text]
    assert (leaf.path, leaf.low, leaf.value, leaf.high) == ("dev_days[0].d", 11, 15, 33)


def test_none_germinated_and_not_tested_are_kept_apart():
    checks = """## A1. x
| crop | 0 | 5 | 10 | 15 | 20 | 25 | 30 | 35 | 40 C | fitted tb, dd |
|---|---|---|---|---|---|---|---|---|---|---|
| bean_snap | NG | - | NG | 16 | 11 | 8 | 6 | 6 | NG | 6.4, 144 |
## A2. y"""
    rows, numbers = typed.germination_rows(checks)
    bean = rows["bean_snap"]
    assert bean["days.t0"]["text"] == "none germinated" and "days.t5" not in bean
    assert bean["days.t15"]["v"] == 16 and bean["tb"]["v"] == 6.4
    assert numbers == 5 + 2 + 4 + 5 + 5 + 2
