"""The committed tables, tested as tables: counts, digests, units, ranges, words, sources."""

from __future__ import annotations

import hashlib
import json
import tomllib
from importlib.resources import files

import pytest

from lattermath.knowledge.columns import columns
from lattermath.knowledge.making.compile_copy import compiled_text
from lattermath.knowledge.reading import (
    COMPILED,
    digest_of,
    read_texts,
    standard,
    table_texts,
    unpack,
)
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.figure import SEEN, STANDINGS

ROOM = files("lattermath.knowledge")
COUNTS = tomllib.loads((ROOM / "making/counts.toml").read_text("utf-8"))
APART = {"rivals", "crosswalk"}
OWN = {
    "advised",
    "cause_ages",
    "cause_seasons",
    "effects",
    "habits",
    "leaf_ages",
    "watched",
    "enemies",
    "drought",
}  # written by hand: derived or judged, with no trade file to lose a number of
NAMES = sorted(
    f.name.removesuffix(".toml") for f in (ROOM / "tables").iterdir() if f.name.endswith(".toml")
)


def raw(name):
    return tomllib.loads((ROOM / f"tables/{name}.toml").read_text("utf-8"))


def cells(name):
    return [cell for row in raw(name)["row"] for cell in row["cells"].values()]


def test_every_table_is_counted_and_has_columns():
    tables = set(NAMES) - APART
    assert tables - OWN == set(COUNTS) - {"sources"} == set(columns()) - OWN


@pytest.mark.parametrize("name", [n for n in NAMES if n not in APART | OWN])
def test_no_number_of_the_trade_file_was_lost(name):
    """Numbers stated (a middle of ours is none) are as many as the trade file holds."""
    figures = [c for c in cells(name) if "v" in c]
    stated = sum(
        (0 if c.get("note", "").startswith("middle ours") else 1) + ("lo" in c) + ("hi" in c)
        for c in figures
    )
    count = COUNTS[name]
    assert stated == count["numbers_before"] == count["numbers_after"]
    assert len(figures) == count["figures"]
    assert len(cells(name)) - len(figures) == count["texts"]
    assert len(raw(name)["row"]) == count["rows"]
    if "texts_before" in count and name != "crops":  # crops: families were added, one a row
        assert count["texts_before"] == count["texts"] + count["texts_in_notes"]


def test_families_are_the_only_words_added_to_crops():
    count = COUNTS["crops"]
    assert count["texts_before"] + count["rows"] == count["texts"] + count["texts_in_notes"]


@pytest.mark.parametrize("name", [n for n in NAMES if n not in APART | OWN])
def test_no_table_was_changed_without_its_script(name):
    text = (ROOM / f"tables/{name}.toml").read_bytes()
    assert hashlib.sha256(text).hexdigest() == COUNTS[name]["sha256"]


@pytest.mark.parametrize("name", [n for n in NAMES if n not in APART])
def test_every_cell_has_provenance_and_its_column_s_unit(name):
    kinds, sources = columns()[name], raw_sources()
    for row in raw(name)["row"]:
        for column, cell in row["cells"].items():
            where = f"{name}/{row['id']}/{column}"
            assert cell["standing"] in STANDINGS, where
            assert cell.get("seen", "no") in SEEN, where
            assert cell.get("source", "") in {"", *sources}, where
            if cell["standing"] == "published":
                assert cell["source"] and cell["seen"] != "no", where
                most = sources[cell["source"]]["seen"]
                order = ["no", "second-hand", "abstract", "source"]
                assert order.index(cell["seen"]) <= order.index(most), where
            if "v" in cell:
                kind = kinds.figure(column)
                ends = (cell.get("lo", cell["v"]), cell["v"], cell.get("hi", cell["v"]))
                assert cell["unit"] == kind.unit, where
                assert kind.least <= ends[0] <= ends[1] <= ends[2] <= kind.greatest, where


def raw_sources():
    return tomllib.loads((ROOM / "sources.toml").read_text("utf-8"))


def test_every_source_is_counted_cited_and_said_to_be_seen_or_not():
    sources = raw_sources()
    assert len(sources) == COUNTS["sources"]["entries"]
    for key, source in sources.items():
        assert len(source["cite"]) > 20, key
        assert source["kind"] in STANDINGS and source["seen"] in SEEN, key


def test_the_compiled_copy_is_of_the_tables_as_written():
    assert (ROOM / COMPILED).read_text("utf-8") == compiled_text()


def test_the_compiled_copy_gives_the_same_tables_as_the_written_ones():
    texts = table_texts()
    written = read_texts(texts, digest_of(texts))
    packed = json.loads((ROOM / COMPILED).read_text("utf-8"))
    assert unpack(packed) == written
    assert standard() == written


def test_a_change_of_one_letter_changes_the_digest():
    texts = table_texts()
    before = digest_of(texts)
    texts["soils"] = texts["soils"].replace(b"0.36", b"0.37", 1)
    assert digest_of(texts) != before
    assert load_tables().digest == before


def test_a_stale_copy_is_passed_over(monkeypatch):
    """With other table text the copy's digest no longer fits, and the text itself is read."""
    texts = table_texts()
    texts["soils"] = texts["soils"].replace(b"v = 0.36", b"v = 0.37", 1)
    monkeypatch.setattr("lattermath.knowledge.reading.table_texts", lambda: texts)
    read = standard.__wrapped__()
    assert read.tables["soils"]["clay"].figure("field_capacity").value == 0.37


def test_the_tables_cannot_be_changed_in_place():
    tables = load_tables()
    with pytest.raises(TypeError):
        tables.crops["weed"] = tables.crops["kale"]
    with pytest.raises(AttributeError):
        tables.digest = ""
