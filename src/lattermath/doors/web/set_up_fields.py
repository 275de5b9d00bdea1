"""The blanks of the set-up pages: from the plot file into a form, and from a form to changes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, time
from typing import Any, Literal

from lattermath.doors.web.log_fields import Filled, Options
from lattermath.record.plot_rewriting import Address, Change
from lattermath.record.plot_units import METRIC_NAMES
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault

Kind = Literal["words", "number", "day", "choice", "yes", "several", "list", "spans"]
YES = "yes"
_THOUSANDS = re.compile(r"[+−-]?\d{1,3}(,\d{3})+")
BETWEEN = " to "  # between the first and the last day of a span


@dataclass(frozen=True, slots=True)
class Ask:
    """One key of the plot file, as a page asks for it.

    unit : in metric, and in US units where they differ.
    usual : what is reckoned with while the file says nothing.
    """

    key: str
    label: str
    kind: Kind = "words"
    hint: str = ""
    options: Options = ()
    unit: tuple[str, str] = ("", "")
    short: bool = False  # stands beside others in one line
    usual: str = ""

    def written(self, table: Mapping[str, Any], us: bool) -> str:
        """The key as it stands in a table, or as it would be written in a file of these units."""
        theirs = METRIC_NAMES.get(self.key, self.key)
        if self.key in table or theirs in table:
            return theirs if theirs in table else self.key
        return theirs if us else self.key


@dataclass(frozen=True, slots=True)
class Box:
    """One blank as a page shows it, with what is wrong with it."""

    name: str
    label: str
    kind: Kind = "words"
    hint: str = ""
    options: Options = ()
    values: tuple[str, ...] = ()
    unit: str = ""
    short: bool = False
    faults: tuple[Fault, ...] = ()

    @property
    def value(self) -> str:
        """What stands in it."""
        return self.values[0] if self.values else ""


@dataclass
class Placed:
    """Faults by the blank they belong to; what belongs to none is kept apart."""

    by_name: dict[str, list[Fault]] = field(default_factory=dict)
    others: list[Fault] = field(default_factory=list)

    def add(self, name: str, fault: Fault) -> None:
        """Put a fault beside a blank."""
        self.by_name.setdefault(name, []).append(fault)

    def over(self, boxes: Iterable[Box]) -> list[Box]:
        """The blanks, each with its faults."""
        return [replace(box, faults=tuple(self.by_name.get(box.name, ()))) for box in boxes]

    def take_others(self, names: Iterable[str]) -> None:
        """Faults of blanks that a page does not show are told at its head."""
        shown = set(names)
        for name in [name for name in self.by_name if name not in shown]:
            self.others += self.by_name.pop(name)


def boxes(
    asks: Sequence[Ask], table: Mapping[str, Any], prefix: str, us: bool, typed: Filled | None
) -> list[Box]:
    """The blanks of one table, as typed, else as the file has it."""
    made = []
    for ask in asks:
        key = ask.written(table, us)
        name = f"{prefix}.{key}"
        values = _shown(table.get(key), ask) if typed is None else typed.several(name)
        unit = ask.unit[1 if key != ask.key else 0]
        hint = ask.hint
        if ask.usual:
            hint = f"{hint} {u.USUAL.format(usual=ask.usual)}".strip()
        made.append(Box(name, ask.label, ask.kind, hint, ask.options, values, unit, ask.short))
    return made


def changes(
    asks: Sequence[Ask],
    table: Mapping[str, Any],
    filled: Filled,
    prefix: str,
    at: Address,
    us: bool,
) -> list[Change]:
    """What a form changes in a table that is there; what says the same is left as it is written."""
    made = []
    for ask in asks:
        key = ask.written(table, us)
        typed = filled.several(f"{prefix}.{key}")
        held = _shown(table.get(key), ask)
        if typed == held or (ask.kind == "several" and set(typed) == set(held)):
            continue
        made.append(Change((*at, key), value_of(typed, ask)))
    return made


def new_table(asks: Sequence[Ask], filled: Filled, prefix: str, us: bool) -> dict[str, Any]:
    """A table made of what was filled in; empty where nothing was."""
    made = {}
    for ask in asks:
        key = ask.written({}, us)
        value = value_of(filled.several(f"{prefix}.{key}"), ask)
        if value is not None and value != []:
            made[key] = value
    return made


def value_of(typed: tuple[str, ...], ask: Ask) -> Any:
    """What was typed, as the file holds it; words that are no number stay words, to be refused."""
    if not typed:
        return None
    if ask.kind == "several":
        return list(typed)
    if ask.kind == "spans":
        return _spans(typed[0])
    if ask.kind == "list":
        return [one.strip() for one in typed[0].split(",") if one.strip()]
    if ask.kind == "yes" or set(dict(ask.options)) - {""} == {YES, "no"}:
        return typed[0] == YES
    if ask.kind == "number":
        return number_of(typed[0])
    if ask.kind == "day":
        return day_of(typed[0])
    return typed[0]


def number_of(words: str) -> float | int | str:
    """A number with a point or a comma; other words as they are, also `1,500`, which may be two."""
    if _THOUSANDS.fullmatch(words):
        return words
    plain = words.replace(",", ".").replace("−", "-")
    try:
        value = float(plain)
    except ValueError:
        return words
    if not -1e12 < value < 1e12:  # also what is no number at all
        return words
    return int(value) if value == int(value) and "e" not in plain.lower() else value


def day_of(words: str) -> date | str:
    """A day written out, or words such as `mid-June`, which the file takes as they are."""
    try:
        return date.fromisoformat(words)
    except ValueError:
        return words


def _spans(words: str) -> list[list[date | str]]:
    """First and last day of each span, `10 August to 17 August, 2026-09-01 to 2026-09-05`."""
    spans = [part.strip() for part in words.split(",") if part.strip()]
    return [[day_of(day.strip()) for day in span.split(BETWEEN)] for span in spans]


def _shown(value: Any, ask: Ask) -> tuple[str, ...]:
    if value is None:
        return ()
    if isinstance(value, bool):
        yes = (YES,) if value else ("no",)
        return yes if ask.kind != "yes" or value else ()
    if isinstance(value, list) and ask.kind == "spans":
        spans = [f"{BETWEEN.join(map(str, span))}" for span in value if isinstance(span, list)]
        return (", ".join(spans),) if spans else ()
    if isinstance(value, list) and ask.kind == "list":
        return (", ".join(map(str, value)),) if value else ()
    if isinstance(value, list):
        return tuple(str(one) for one in value)
    if isinstance(value, float):
        return (f"{value:.10g}",)
    if isinstance(value, time):
        return (f"{value:%H:%M}",)
    return (str(value),)
