"""Tables of the plot's own folder: they add and choose; they never loosen a hard rule."""

from __future__ import annotations

import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import TableError

NEW_SOURCE = """
[sources]
my_notebook = { cite = "Own notebook, three seasons", kind = "common-practice", seen = "source" }
"""
CHOICE = """
[[default]]
table = "organisms"
row = "sweetpotato_whitefly"
rival = "wangtsai1996"
reason = "the plot grows mostly aubergines, and this line was measured on them"
"""
OWN_FIGURE = """
[[figure]]
table = "crops"
row = "kale"
column = "t_base_c"
reason = "three seasons of own dates fit 5.5"
cell = { v = 5.5, lo = 4.5, hi = 6.5, unit = "C", standing = "judgement", source = "my_notebook" }
"""
NEW_ROW = """
[[row]]
table = "crops"
id = "mizuna"
[row.cells]
name = { text = "Mizuna", standing = "common-practice" }
family = { text = "Brassicaceae", standing = "common-practice" }
establish = { text = "either", standing = "judgement" }
t_base_c = { v = 7, unit = "C", standing = "judgement" }

[words.crops]
"japanese greens" = "mizuna"
"""
RULE_FIGURE = """
[[figure]]
table = "rules"
row = "sulfur_oil_gap"
column = "gap_days"
reason = "I never had trouble"
cell = { v = 3, unit = "d", standing = "judgement" }
"""
RULE_ROW = """
[[row]]
table = "rules"
id = "bloom"
[row.cells]
text = { text = "spray when you like", standing = "judgement" }
"""


def lay(folder, *parts):
    for n, part in enumerate(parts):
        (folder / f"{n}.toml").write_text(part, encoding="utf-8")
    return load_tables(folder)


def test_no_folder_and_an_empty_folder_give_the_standard_tables(tmp_path):
    standard = load_tables()
    assert load_tables(tmp_path) is standard
    assert load_tables(tmp_path / "tables") is standard


def test_a_chosen_rival_becomes_default_with_its_reason_and_the_former_stays_beside(tmp_path):
    standard, laid = load_tables(), lay(tmp_path, CHOICE)
    whitefly = laid.organisms["sweetpotato_whitefly"]
    assert whitefly.lower_c.value == 12.71 and whitefly.total_dd.value == 222.6
    assert whitefly.total_dd.origin.source == "wangtsai1996"
    assert "mostly aubergines" in whitefly.total_dd.origin.note
    assert whitefly.row.figure("lower_c.standard").value == 10.2
    assert standard.organisms["sweetpotato_whitefly"].lower_c.value == 10.2
    assert laid.digest != standard.digest


def test_all_fourteen_whitefly_lines_can_be_chosen(tmp_path):
    rivals = [r for r in load_tables().rivals if r.row == "sweetpotato_whitefly"]
    assert sum(r.default for r in rivals) == 1 and len(rivals) == 15
    for n, rival in enumerate(r for r in rivals if not r.default):
        folder = tmp_path / str(n)
        folder.mkdir()
        laid = lay(folder, CHOICE.replace("wangtsai1996", rival.name))
        row = laid.rows["organisms"]["sweetpotato_whitefly"]
        assert row.figure("lower_c").value == row.figure(f"published_regressions[{n}].base").value
        assert row.figure("total_dd").value == row.figure(f"published_regressions[{n}].dd").value


def test_an_own_figure_becomes_default_beside_the_standard_one(tmp_path):
    laid = lay(tmp_path, NEW_SOURCE + OWN_FIGURE)
    kale = laid.crops["kale"]
    assert (kale.t_base.value, kale.t_base.span) == (5.5, (4.5, 6.5))
    assert kale.t_base.address == "crops/kale/t_base_c"
    assert kale.row.figure("t_base_c.standard").value == 4.4
    assert laid.sources["my_notebook"].kind == "common-practice"


def test_a_new_row_is_known_to_the_crosswalk(tmp_path):
    laid = lay(tmp_path, NEW_ROW)
    assert laid.crops["mizuna"].t_base.value == 7
    assert laid.crosswalk.crop("Mizuna") == "mizuna"
    assert laid.crosswalk.crop("Japanese greens") == "mizuna"
    with pytest.raises(TableError, match="the table has no such figure"):
        _ = laid.crops["mizuna"].kc_mid


def test_the_digest_follows_the_text_of_the_overlay(tmp_path):
    first = lay(tmp_path, CHOICE).digest
    assert lay(tmp_path, CHOICE).digest == first
    assert lay(tmp_path, CHOICE + "# a remark\n").digest != first


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (RULE_FIGURE, "a hard rule is never changed"),
        (RULE_ROW, "this row exists already"),
        (CHOICE.replace("reason =", "why ="), "a choice needs its reason"),
        (CHOICE.replace("wangtsai1996", "somebody"), "no such rival"),
        (CHOICE.replace("sweetpotato_whitefly", "unicorn"), "no such row"),
        (CHOICE.replace('"organisms"', '"insects"'), "no such table"),
        (OWN_FIGURE, "no such source"),
        (NEW_SOURCE + OWN_FIGURE.replace('unit = "C"', 'unit = "F"'), "wrong unit"),
        (NEW_SOURCE + OWN_FIGURE.replace("t_base_c", "t_bass_c"), "unknown column"),
        (NEW_ROW.replace('"mizuna"\n[', '"kale"\n['), "this row exists already"),
        (NEW_ROW.replace(', standing = "judgement" }\n\n', " }\n\n"), "no provenance"),
        (NEW_SOURCE.replace("my_notebook", "fao56"), "a source of this key exists"),
        ("[rules]\nbloom = 1\n", "unknown part"),
        ('[words.crops]\nrocket = "kale"\n', "this word has a meaning already"),
        ('[words.hosts]\nkale = ["radish"]\n', "this word has a meaning already"),
        ("[words.colours]\nred = 'x'\n", "no such list of words"),
        ("this is not toml", "not readable as TOML"),
        ("row = 3\n", "write [[row]], one block each"),
    ],
)
def test_an_overlay_is_refused_with_its_file_or_row_named(tmp_path, text, says):
    with pytest.raises(TableError) as refusal:
        lay(tmp_path, text)
    assert any(says in fault.what for fault in refusal.value.faults)
    assert all(fault.where.startswith("0.toml") for fault in refusal.value.faults)


@pytest.mark.parametrize("rule", [r for r in load_tables().rules.values() if r.hard])
def test_no_figure_of_any_hard_rule_can_be_touched(tmp_path, rule):
    text = RULE_FIGURE.replace("sulfur_oil_gap", rule.id)
    with pytest.raises(TableError, match="a hard rule is never changed"):
        lay(tmp_path, text)


def test_a_rule_that_is_no_must_not_may_be_given_an_own_figure(tmp_path):
    (soft,) = [r for r in load_tables().rules.values() if not r.hard]
    laid = lay(tmp_path, RULE_FIGURE.replace("sulfur_oil_gap", soft.id))
    assert laid.rules[soft.id].row.figure("gap_days").value == 3
