"""The one reader: what it gives, and everything it refuses."""

from __future__ import annotations

import pytest

from lattermath.knowledge.cells import Text, read_cell
from lattermath.knowledge.columns import columns, read_columns
from lattermath.knowledge.rows import read_rows
from lattermath.knowledge.sources import read_sources
from lattermath.vocabulary.errors import TableError

CROPS = columns()["crops"]
KNOWN = {"fao56"}
GOOD = {
    "v": 1.15,
    "lo": 1.1,
    "hi": 1.2,
    "unit": "1",
    "standing": "published",
    "seen": "second-hand",
    "source": "fao56",
    "locator": "Table 12",
}


def read(cell, column="kc.mid"):
    return read_cell(cell, CROPS, "tomato", column, KNOWN)


def without(key):
    return {k: v for k, v in GOOD.items() if k != key}


def test_a_cell_gives_its_number_spread_unit_and_origin():
    figure = read(GOOD)
    assert (figure.value, figure.low, figure.high, figure.unit) == (1.15, 1.1, 1.2, "1")
    assert figure.origin.standing == "published" and figure.origin.locator == "Table 12"
    assert figure.address == "crops/tomato/kc.mid"


def test_a_spread_that_is_not_stated_stays_unstated_and_is_never_exact():
    figure = read({k: v for k, v in GOOD.items() if k not in ("lo", "hi")})
    assert figure.low is None and figure.high is None


def test_words_are_cells_too():
    text = read({"text": "good", "standing": "memory"}, "nursery.transplants")
    assert isinstance(text, Text) and text.value == "good" and text.origin.standing == "memory"


@pytest.mark.parametrize(
    ("cell", "column", "says"),
    [
        (without("standing"), "kc.mid", "no provenance"),
        (without("source"), "kc.mid", "'published' needs a source that was seen"),
        ({**GOOD, "seen": "no"}, "kc.mid", "'published' needs a source that was seen"),
        ({**GOOD, "standing": "certain"}, "kc.mid", "'certain' is none of"),
        ({**GOOD, "source": "nobody"}, "kc.mid", "no such source"),
        ({**GOOD, "unit": "mm"}, "kc.mid", "wrong unit"),
        (without("unit"), "kc.mid", "wrong unit"),
        ({**GOOD, "lo": 1.16}, "kc.mid", "outside its own range"),
        ({**GOOD, "hi": 1.14}, "kc.mid", "outside its own range"),
        ({**GOOD, "v": 4, "lo": 1, "hi": 5}, "kc.mid", "beyond what this column can mean"),
        ({**GOOD, "hi": 9.0}, "kc.mid", "beyond what this column can mean"),
        ({**GOOD, "v": "1.15"}, "kc.mid", "not a number"),
        ({**GOOD, "v": True}, "kc.mid", "not a number"),
        ({**GOOD, "v": float("nan")}, "kc.mid", "not a number"),
        (without("v"), "kc.mid", "no value"),
        ({**GOOD, "value": 1.15}, "kc.mid", "unknown key in a cell"),
        (GOOD, "kd.mid", "unknown column"),
        (1.15, "kc.mid", "bare value"),
        ({"text": "excellent", "standing": "memory"}, "nursery.transplants", "not one of this"),
        ({"text": " ", "standing": "memory"}, "name", "words are wanted"),
        ({"text": "Tomato"}, "name", "no provenance"),
        ({"text": "Tomato", "standing": "memory"}, "nom", "unknown column"),
    ],
)
def test_the_reader_refuses_and_says_where(cell, column, says):
    with pytest.raises(TableError) as refusal:
        read(cell, column)
    (fault,) = refusal.value.faults
    assert says in fault.what
    assert fault.where == f"crops/tomato/{column}"
    assert fault.remedy


def test_a_row_that_appears_twice_is_refused_by_name():
    row = {"id": "tomato", "cells": {"kc.mid": GOOD}}
    with pytest.raises(TableError, match="crops/tomato: this row appears twice"):
        read_rows([row, row], CROPS, KNOWN)


def test_every_fault_of_a_table_is_told_at_once():
    rows = [
        {"id": "a", "cells": {"kc.mid": without("standing"), "kc.ini": {**GOOD, "unit": "mm"}}},
        {"id": "b", "cells": {"kc.mid": {**GOOD, "source": "nobody"}}},
        {"cells": {}},
        {"id": "c", "cells": {}, "colour": "red"},
    ]
    with pytest.raises(TableError) as refusal:
        read_rows(rows, CROPS, KNOWN)
    assert len(refusal.value.faults) == 5


def test_the_first_column_pattern_that_fits_rules():
    kinds = read_columns(
        {
            "units": {"C": [0, 40], "d": [0, 9]},
            "t": {"figures": {"a.t": "C", "a.*": "d", "b[].d": ["d", 0, 5]}, "texts": {}},
        }
    )["t"]
    assert kinds.figure("a.t").unit == "C"
    assert kinds.figure("a.x").unit == "d"
    assert kinds.figure("b[12].d").greatest == 5
    assert kinds.figure("b[12].e") is None and kinds.figure("axt") is None


@pytest.mark.parametrize(
    "entry",
    [
        {"kind": "published", "seen": "source"},
        {"cite": "A", "kind": "gospel", "seen": "source"},
        {"cite": "A", "kind": "published", "seen": "once"},
        {"cite": "A", "kind": "published", "seen": "source", "colour": "red"},
        "A",
    ],
)
def test_a_source_without_citation_or_with_unknown_words_is_refused(entry):
    with pytest.raises(TableError, match="sources/key"):
        read_sources({"key": entry})
