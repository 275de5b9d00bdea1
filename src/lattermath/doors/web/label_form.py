"""A label copied line by line: its blanks from the plot file, and a form of it as changes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, get_args

from lattermath.desk.label_slips import LineTyped
from lattermath.desk.set_up import PlotText
from lattermath.doors.web.log_fields import Filled, words
from lattermath.doors.web.set_up_fields import (
    Ask,
    Box,
    Placed,
    boxes,
    changes,
    new_table,
    number_of,
)
from lattermath.doors.web.set_up_sections import YES_NO
from lattermath.record.plot_products import PRODUCT_LINES
from lattermath.record.plot_rewriting import Change
from lattermath.record.plot_words import BLOOM
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.label import Over, Scope

FRESH_CROPS = 2
CROP_LINES = (
    "pre_harvest_days",
    "retreat_days",
    "season_max",
    "rate_ml_per_l",
    "max_l_per_m2",
    "plant_back_days",
)
PACK = (
    Ask("name", u.PACK_NAME),
    Ask("active", u.PACK_ACTIVE, hint=u.PACK_ACTIVE_HINT),
    Ask("group", u.PACK_GROUP, hint=u.PACK_GROUP_HINT, short=True),
    Ask("country", u.COUNTRY, hint=u.PACK_COUNTRY_HINT, short=True),
    Ask("form", u.PACK_FORM, "choice", options=words(("spray", "dust", "bait", "granule"))),
    Ask("measured_in", u.PACK_MEASURED, "choice", options=(("ml", "ml"), ("g", "g"))),
    Ask("sold_to_amateurs", u.PACK_AMATEURS, "choice", options=YES_NO),
    Ask("organic_input", u.PACK_ORGANIC, "choice", options=YES_NO),
    Ask("litres_left", u.PACK_LEFT, "number", u.PACK_LEFT_HINT, unit=("litres", "gallons")),
    Ask("first_aid", u.PACK_FIRST_AID),
)  # fmt: skip
SCOPES = (
    Ask("season_max_scope", u.SCOPE, "choice", options=words(get_args(Scope))),
    Ask("season_max_over", u.OVER, "choice", options=words(get_args(Over))),
)


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One line of the label as the page shows it. `none`: the label gives none, and I looked."""

    key: str
    value: Box
    words: Box
    none: bool
    sure: bool
    asked: bool = False  # something is asked about it


@dataclass
class Form:
    """What a form would change, what was typed of each line, and what is wrong already."""

    changes: list[Change] = field(default_factory=list)
    typed: list[LineTyped] = field(default_factory=list)
    placed: Placed = field(default_factory=Placed)
    crops: dict[str, str] = field(default_factory=dict)  # crop word to the prefix of its blanks
    asked: set[str] = field(default_factory=set)  # blanks that are only asked about


def crop_rows(row: Mapping[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Word and lines of each crop of a product, then empty ones."""
    held = row.get("crops", {})
    there = [(word, one) for word, one in held.items() if isinstance(one, dict)]
    return there + [("", {})] * FRESH_CROPS


def written_key(key: str, table: Mapping[str, Any], us: bool) -> str:
    """The name under which a line stands, or would be written."""
    return Ask(key, "").written(table, us)


def lines(
    keys: tuple[str, ...], table: Mapping[str, Any], prefix: str, us: bool, typed: Filled | None
) -> Iterator[ShownLine]:
    """The lines of a product or a crop, as typed or else as the file has them."""
    for key in keys:
        at = written_key(key, table, us)
        name = f"{prefix}.{at}"
        value, said, none = _held(table.get(at))
        if typed is not None:
            value, said = typed.one(name), typed.one(f"{name}.words")
            none = bool(typed.one(f"{name}.none"))
        kind = "choice" if key == "bloom" else "number"
        options = (*words(BLOOM), ("", u.LINE_EMPTY)) if key == "bloom" else ()
        yield ShownLine(
            key,
            Box(name, u.LABEL_LINES[at], kind, "", options, (value,) if value else ()),  # type: ignore[arg-type]
            Box(f"{name}.words", u.LABEL_WORDS, values=(said,) if said else ()),
            none,
            typed is not None and bool(typed.one(f"{name}.sure")),
        )


def _held(line: Any) -> tuple[str, str, bool]:
    """Value and words of a line of the file, and whether the label gives none."""
    value, said = (
        (line.get("value"), str(line.get("words", ""))) if isinstance(line, dict) else (line, "")
    )
    if value is None:
        return "", said, False
    if value == "none":
        return "", said, True
    return (f"{value:.10g}" if isinstance(value, float) else str(value)), said, False


def read(filled: Filled, held: PlotText, n: int) -> Form:
    """What a form of the n-th product changes; a number as many as there are is a new one."""
    form = Form()
    rows = held.rows("shelf")
    if n >= len(rows):
        _read_new(filled, held.us, len(rows), form)
        return form
    row = rows[n]
    form.changes += changes(PACK, row, filled, "shelf", ("shelf", n), held.us)
    for key, value in _lines_typed(PRODUCT_LINES, row, "shelf", held.us, filled, form).items():
        form.changes.append(Change(("shelf", n, key), value))
    for number, (word, table) in enumerate(crop_rows(row)):
        prefix = f"crop.{number}"
        typed_word = word or filled.one(f"{prefix}.word")
        if word and filled.one(f"{prefix}.out"):
            form.changes.append(Change(("shelf", n, "crops", word), None))
            continue
        told = _lines_typed(CROP_LINES, table, prefix, held.us, filled, form, typed_word)
        if word:
            form.crops[word] = prefix
            scopes = changes(SCOPES, table, filled, prefix, ("shelf", n, "crops", word), held.us)
            form.changes += scopes if "season_max" in {**table, **told} else []
            form.changes += [Change(("shelf", n, "crops", word, k), v) for k, v in told.items()]
        elif typed_word:
            form.crops[typed_word] = prefix
            form.changes.append(
                Change(("shelf", n, "crops", typed_word), _with_scopes(told, filled, prefix))
            )
        elif told:
            _crop_missing(prefix, form)
    _no_crops(filled, row, ("shelf", n), form)
    return form


def _read_new(filled: Filled, us: bool, n: int, form: Form) -> None:
    table = new_table(PACK, filled, "shelf", us)
    table |= _lines_typed(PRODUCT_LINES, {}, "shelf", us, filled, form)
    crops: dict[str, Any] = {}
    for number in range(FRESH_CROPS):
        prefix = f"crop.{number}"
        word = filled.one(f"{prefix}.word")
        told = _lines_typed(CROP_LINES, {}, prefix, us, filled, form, word)
        if word:
            form.crops[word] = prefix
            crops[word] = _with_scopes(told, filled, prefix)
        elif told:
            _crop_missing(prefix, form)
    if filled.one("shelf.crops_line"):
        table["crops_line"] = "none"
    if crops:
        table["crops"] = crops
    form.changes.append(Change(("shelf", n), table))


def _with_scopes(told: dict[str, Any], filled: Filled, prefix: str) -> dict[str, Any]:
    return told | (new_table(SCOPES, filled, prefix, False) if "season_max" in told else {})


def _crop_missing(prefix: str, form: Form) -> None:
    fault = Fault(u.CROP_NEEDED, "crop", "", u.CROP_NEEDED_REMEDY)
    form.placed.add(f"{prefix}.word", fault)


def _no_crops(
    filled: Filled, row: Mapping[str, Any], at: tuple[str | int, ...], form: Form
) -> None:
    said = bool(filled.one("shelf.crops_line"))
    if said != (row.get("crops_line") == "none"):
        form.changes.append(Change((*at, "crops_line"), "none" if said else None))


def _lines_typed(
    keys: tuple[str, ...],
    table: Mapping[str, Any],
    prefix: str,
    us: bool,
    filled: Filled,
    form: Form,
    crop: str = "",
) -> dict[str, Any]:
    """The lines that differ from the file, as the file would hold them; None takes one away."""
    told: dict[str, Any] = {}
    for key in keys:
        at = written_key(key, table, us)
        name = f"{prefix}.{at}"
        value, said = filled.one(name), filled.one(f"{name}.words")
        none = bool(filled.one(f"{name}.none"))
        if none and value:
            form.placed.add(name, Fault(u.BOTH, name, value, u.BOTH_REMEDY))
        if said and not value and not none:
            form.placed.add(name, Fault(u.WORDS_ALONE, name, said, u.WORDS_ALONE_REMEDY))
        number = number_of(value) if value and key != "bloom" else value
        if isinstance(number, int | float) and not none and not filled.one(f"{name}.sure"):
            form.typed.append(LineTyped(name, at, number, said, crop))
        if (value, said, none) == _held(table.get(at)):
            continue
        line: Any = "none" if none else number if value else None
        told[at] = {"value": line, "words": said} if said and line is not None else line
    return {key: line for key, line in told.items() if line is not None or key in table}


def scope_boxes(table: Mapping[str, Any], prefix: str, us: bool, typed: Filled | None) -> list[Box]:
    """The blanks that say what the most treatments are counted for."""
    return boxes(SCOPES, table, prefix, us, typed)


def pack_boxes(held: PlotText, n: int, typed: Filled | None) -> list[Box]:
    """The blanks of the pack itself."""
    rows = held.rows("shelf")
    return boxes(PACK, rows[n] if n < len(rows) else {}, "shelf", held.us, typed)
