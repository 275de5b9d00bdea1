"""Makes the tables from the trade files: python -m lattermath.knowledge.making.translate FOLDER.

Counts the numbers and words before and after and refuses to lose one; the count is written to
counts.toml beside this file, and tests recount the committed tables against it.
"""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path
from typing import Any

from lattermath.knowledge.cells import MIDDLE_OURS
from lattermath.knowledge.columns import columns
from lattermath.knowledge.making import diagnosis, dialects, typed, walk
from lattermath.knowledge.making.corrections import (
    EXTRA_SOURCES,
    RIVAL_FIGURES,
    SOURCE_SEEN,
    mend_row,
    rephrase,
)
from lattermath.knowledge.making.dialects import Judge, Source
from lattermath.knowledge.making.rivals import rivals_of
from lattermath.knowledge.making.warmth import mend_warmth, own_figures
from lattermath.knowledge.making.write import write_counts, write_rivals, write_sources, write_table

HERE = Path(__file__).parent
ROOM = HERE.parent
IDENTITY = ("id", "hard")
NAMES = {"name", "latin", "kind", "class", "pathogen"}  # what a thing is called: common knowledge
Cells = dict[str, dict[str, Any]]
Rows = dict[str, Cells]


class Lost(RuntimeError):
    """A figure of the trade files is missing from the tables."""


def main(folder: Path) -> None:
    """Translate all trade files found in `folder` and write tables, sources and counts."""
    trade = {name: _read(folder / f"{name}.toml") for name in ("crops", "pests", "treatments")}
    trade |= {name: _read(folder / f"{name}.toml") for name in ("diseases", "diagnosis")}
    trade["more"] = _read(HERE / "diagnosis_more.toml")
    added = _read(HERE / "added.toml")
    trade["crops"]["crop"] |= added["crop"]
    trade["crops"]["produce"] = added["produce"]
    for method in trade["treatments"]["method"]:
        method["efficacy"] += added["efficacy"].get(method["id"], [])
    for organism, hosts in added["hosts"].items():
        trade["pests"]["pest"][organism]["hosts"] |= hosts
    judges = _judges(trade)
    counts: dict[str, dict[str, int | str]] = {}
    tables: dict[str, Rows] = {}
    hard: dict[str, set[str]] = {}
    for table, (file, rows) in _tables(trade).items():
        tables[table], counts[table] = _translate(table, rows, judges[file])
        hard[table] = {key for key, row in rows.items() if row.get("hard") is True}
    for crop, family in typed.families():
        tables["crops"][crop]["family"] = {"text": family, "standing": "common-practice"}
    tables["soils"] = typed.soil_rows()
    counts["soils"] = {"numbers_before": typed.SOIL_NUMBERS_IN_PROSE}
    tables["germination"], numbers = typed.germination_rows(
        (folder / "checks-crops.md").read_text("utf-8")
    )
    counts["germination"] = {"numbers_before": numbers}
    for table, translated in tables.items():
        counts[table] |= count_cells(translated)
        if counts[table]["numbers_before"] != counts[table]["numbers_after"]:
            raise Lost(f"{table}: {counts[table]}")
        path = ROOM / "tables" / f"{table}.toml"
        write_table(path, translated, hard.get(table, set()))
        counts[table]["sha256"] = sha256(path.read_bytes()).hexdigest()
    _all_of_the_key(trade, counts)
    sources = _sources(judges, tables)
    write_sources(ROOM / "sources.toml", sources)
    write_rivals(ROOM / "tables" / "rivals.toml", rivals_of(tables))
    counts["sources"] = {"entries": len(sources)}
    write_counts(HERE / "counts.toml", counts)


def _read(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text("utf-8"))


def _judges(trade: Mapping[str, Any]) -> dict[str, Judge]:
    found = {
        "crops": dialects.crop_sources(trade["crops"]["sources"]),
        "pests": dialects.pest_sources(trade["pests"]["sources"]),
        "treatments": dialects.treatment_sources(trade["treatments"]["source"]),
        "diseases": dialects.disease_sources(trade["diseases"]["source"]),
    }
    found["diagnosis"] = diagnosis.sources(trade["diagnosis"], trade["more"])
    found["diagnosis"] |= {k: s for k, s in found["diseases"].items() if k in found["diagnosis"]}
    for sources in found.values():
        sources |= {source.key: source for source in EXTRA_SOURCES}
        for key, seen in SOURCE_SEEN.items():
            if key in sources:
                sources[key].seen = seen
    return {file: Judge(sources) for file, sources in found.items()}


def _tables(trade: Mapping[str, Any]) -> dict[str, tuple[str, dict[str, dict[str, Any]]]]:
    crops, pests, treatments, diseases = (
        trade[name] for name in ("crops", "pests", "treatments", "diseases")
    )
    infection = diseases["generic_infection_model"]
    by_id = {row["id"]: dict(row) for row in diseases["disease"]}
    for key, row in infection["param"].items():
        by_id[key]["infection"] = row
    model = {k: v for k, v in infection.items() if k != "param"}
    return {
        "crops": ("crops", crops["crop"]),
        "produce": ("crops", crops["produce"]),
        "gap_fillers": (
            "crops",
            {f"{low}-{high} weeks": row for row in crops["gap_filler"]
             for low, high in [row["weeks_to_frost"]]},
        ),
        "crop_constants": ("crops", {"rules": crops["rules"], "cups": crops["cups"],
            "reference": {k: {"value": crops[k], "source": "judgement"}
                          for k in ("ref_mean_c", "nursery_ref_mean_c")}}),
        "organisms": ("pests", pests["pest"]),
        "pest_constants": (
            "pests", {"defaults": pests["defaults"], "trade_facts": pests["trade_facts"]}
        ),
        "methods": ("treatments", _by_id(treatments["method"])),
        "rules": ("treatments", _by_id(treatments["rule"])),
        "folk_practices": ("treatments", _by_id(treatments["folk_practice"])),
        "treatment_constants": ("treatments", {"meta": treatments["meta"]}),
        "diseases": ("diseases", by_id),
        "disorders": ("diseases", _by_id(diseases["disorder"])),
        "disease_constants": ("diseases", {**diseases["rule"], "infection_model": model}),
        **{name: ("diagnosis", rows) for name, rows in
           diagnosis.rows_of(trade["diagnosis"], trade["more"]).items()},
    }  # fmt: skip


def _all_of_the_key(trade: Mapping[str, Any], counts: Mapping[str, Mapping[str, Any]]) -> None:
    """Every number of the key and of what was added to it stands in one of its five tables.

    A leak of our own takes the place of the file's.
    """
    held = sum(walk.count_numbers(trade[name]) for name in ("diagnosis", "more"))
    held -= walk.count_numbers(trade["more"]["is_the_trouble"])
    made = sum(int(counts[table]["numbers_after"]) for table in diagnosis.TABLES)
    if held != made:
        raise Lost(f"diagnosis: {held} numbers before, {made} after")


def _by_id(rows: Iterable[Mapping[str, Any]]) -> dict[str, dict[str, Any]]:
    return {row["id"]: dict(row) for row in rows}


def _translate(
    table: str, rows: Mapping[str, dict[str, Any]], judge: Judge
) -> tuple[Rows, dict[str, int | str]]:
    """All rows of one table, with the numbers and words the trade file held."""
    out: Rows = {}
    before = words = merged = 0
    for key, raw in rows.items():
        row = {k: v for k, v in raw.items() if k not in IDENTITY}
        before += walk.count_numbers(row)
        words += walk.count_words(row)
        row = mend_warmth(table, key, mend_row(table, row))
        ours = RIVAL_FIGURES.get((table, key), {}) | own_figures(table, key)
        row |= ours
        before += walk.count_numbers(ours)
        out[key] = {}
        for leaf in walk.row_leaves(row):
            merged += leaf.merged
            if leaf.path in out[key]:
                raise Lost(f"{table}/{key}/{leaf.path} is there twice")
            out[key][leaf.path] = _cell(table, leaf, judge)
    if words != merged + sum("text" in c for cells in out.values() for c in cells.values()):
        raise Lost(f"{table}: {words} texts before")
    return out, {"numbers_before": before, "texts_before": words, "texts_in_notes": merged}


def _cell(table: str, leaf: walk.Raw, judge: Judge) -> dict[str, Any]:
    text = str(leaf.value) if leaf.is_text else ""
    said = rephrase(leaf.said)
    if leaf.is_text and said is None and leaf.path in NAMES:
        said = "practice"
        judge = Judge(
            {**judge.sources, "practice": Source("practice", "", "common-practice", "no")}
        )
    origin = asdict(judge.origin(said, leaf.path, text))
    notes = [part for part in (leaf.note, origin.pop("note")) if part]
    cell: dict[str, Any] = {"text": text} if leaf.is_text else _number(table, leaf)
    cell |= {k: v for k, v in origin.items() if v and (k, v) != ("seen", "no")}
    if notes:
        cell["note"] = "; ".join(notes)
    return cell


def _number(table: str, leaf: walk.Raw) -> dict[str, Any]:
    column = columns()[table].figure(leaf.path)
    if column is None:
        raise Lost(f"columns.toml has no figure column {table}/{leaf.path}")
    ends = {"lo": leaf.low, "hi": leaf.high}
    return {
        "v": leaf.value, **{k: v for k, v in ends.items() if v is not None}, "unit": column.unit
    }  # fmt: skip


def count_cells(rows: Mapping[str, Mapping[str, Mapping[str, Any]]]) -> dict[str, int]:
    """Figures, the numbers stated in them, and texts. A middle of ours is no stated number."""
    cells = [cell for row in rows.values() for cell in row.values()]
    figures = [cell for cell in cells if "v" in cell]
    stated = sum(
        (not str(c.get("note", "")).startswith(MIDDLE_OURS)) + ("lo" in c) + ("hi" in c)
        for c in figures
    )
    return {
        "rows": len(rows),
        "figures": len(figures),
        "numbers_after": stated,
        "texts": len(cells) - len(figures),
    }


def _sources(judges: Mapping[str, Judge], tables: Mapping[str, Rows]) -> dict[str, Source]:
    """Every source of the trade files but the bare words (memory, practice and so on)."""
    merged: dict[str, Source] = {}
    for judge in judges.values():
        for key, source in judge.sources.items():
            if key not in dialects.WORDS:
                merged.setdefault(key, source)
    used = {c.get("source", "") for rows in tables.values() for r in rows.values()
            for c in r.values()} - {""}  # fmt: skip
    if missing := used - merged.keys():
        raise Lost(f"sources used and not known: {sorted(missing)}")
    return dict(sorted(merged.items()))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
