"""The script that made the tables: nothing lost, nothing claimed beyond what was seen."""

from __future__ import annotations

import tomllib

import pytest

from lattermath.knowledge.cells import MIDDLE_OURS
from lattermath.knowledge.columns import columns
from lattermath.knowledge.making import dialects, translate, typed, walk
from lattermath.knowledge.making.corrections import mend_row
from lattermath.knowledge.making.dialects import Judge, Source
from lattermath.knowledge.making.rivals import rivals_of
from lattermath.knowledge.making.write import write_rivals, write_sources, write_table
from lattermath.knowledge.rivals import read_rivals
from lattermath.knowledge.rows import read_rows
from lattermath.knowledge.sources import read_sources
from lattermath.vocabulary.errors import TableError

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
    assert leaves["days"].value == 6 and leaves["days"].note == MIDDLE_OURS
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


PESTS = tomllib.loads("""
[whitefly]
latin = "Aleyrodes imaginaria"
lower_c = { v = 10.0, range = [8, 12], src = "page" }
total_dd = { v = 300, alt = [{ base = 9.0, dd = 330, src = "copy" }], src = "page", note = "ours" }
dev_days = [{ stage = "larva", t = "August", d = 15, range = [11, 33], src = "page" }]
stages = ["egg", "adult"]
""")
PEST_JUDGE = Judge({k: v for k, v in JUDGE.sources.items() if k in ("page", "copy")})


def test_a_row_goes_through_script_file_and_reader_without_loss(tmp_path):
    rows, count = translate._translate("organisms", PESTS, PEST_JUDGE)
    assert count["numbers_before"] == 9 == translate.count_cells(rows)["numbers_after"]
    path = tmp_path / "organisms.toml"
    write_table(path, rows, set())
    raw = tomllib.loads(path.read_text("utf-8"))["row"]
    assert {row["id"]: row["cells"] for row in raw} == rows
    read = read_rows(raw, columns()["organisms"], {"page", "copy"})["whitefly"]
    assert read.figure("lower_c").span == (8, 12)
    assert read.figure("dev_days[0].d").span == (11, 33)
    assert read.figure("total_dd.alt[0].dd").origin.seen == "second-hand"
    assert read.listed("stages") == ("egg", "adult")


def test_the_script_refuses_to_lose_words_or_to_write_a_figure_twice(monkeypatch):
    def forgetful(table, row):
        return {k: v for k, v in row.items() if k != "stages"}

    monkeypatch.setattr(translate, "mend_row", forgetful)
    with pytest.raises(translate.Lost, match="organisms"):
        translate._translate("organisms", PESTS, PEST_JUDGE)
    monkeypatch.undo()
    twice = {"whitefly": {"lower_c": {"v": 10.0, "src": "page", "t": 1, "t_lo": 0, "t_hi": 2}}}
    with pytest.raises(translate.Lost, match="no figure column"):
        translate._translate("organisms", twice, PEST_JUDGE)


def test_rival_lines_are_found_and_read_back(tmp_path):
    rows, _ = translate._translate("organisms", PESTS, PEST_JUDGE)
    path = tmp_path / "rivals.toml"
    write_rivals(path, rivals_of({"organisms": rows, "crops": {}}))
    standard, other = read_rivals(tomllib.loads(path.read_text("utf-8"))["rival"])
    assert standard.default and standard.reason == "ours"
    assert other.name == "copy"
    assert other.takes == {"lower_c": "total_dd.alt[0].base", "total_dd": "total_dd.alt[0].dd"}


@pytest.mark.parametrize(
    "entries",
    [
        [{"table": "t", "row": "r", "name": "a", "takes": {}, "default": True}],
        [{"table": "t", "row": "r", "name": "a", "takes": {}}],
        [
            {"table": "t", "row": "r", "name": n, "takes": {}, "default": True, "reason": "x"}
            for n in "ab"
        ],
    ],
)
def test_rivals_need_one_default_with_its_reason(entries):
    with pytest.raises(TableError):
        read_rivals(entries)


def test_sources_of_all_four_files_are_read_in_their_own_words(tmp_path):
    found = {
        **dialects.crop_sources(
            {"a": {"kind": "published", "read": "read (abstract)", "cite": "A"}}
        ),
        **dialects.pest_sources({"b": {"status": "read_dataset", "text": "B"}}),
        **dialects.treatment_sources({"c": {"cite": "C", "read": "excerpt"}}),
        **dialects.disease_sources({"d": "Secondary page (page read)", "e": "A book (recalled)"}),
    }
    seen = {key: source.seen for key, source in found.items()}
    assert list(seen.values()) == ["abstract", "second-hand", "abstract", "second-hand", "no"]
    path = tmp_path / "sources.toml"
    write_sources(path, found)
    read = read_sources(tomllib.loads(path.read_text("utf-8")))
    assert read["b"].cite == "B" and read["e"].seen == "no"
