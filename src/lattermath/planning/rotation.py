"""Modes of action over generations: no group on two generations running.

A group that is used opens a window of one generation, or 15 days where that is longer. Within the
window it may be repeated, as far as the label goes; then it rests for one whole window. A
single-site fungicide is never used twice in a row, whatever the days between.
Source: rule `rotate_by_generation`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.ruling import Because

KIN = frozenset({"neem_oil", "azadirachtin"})  # rule rotate_by_generation, in its words


@dataclass(frozen=True, slots=True)
class Mode:
    """A mode of action: whose list, and the number or code in it."""

    scheme: str
    number: str

    def meets(self, other: Mode) -> bool:
        """Same group; a list nobody named may be either."""
        lists = {self.scheme, other.scheme}
        return self.number == other.number and (len(lists) == 1 or "unknown" in lists)


def code(group: str) -> str:
    """A group as the lists print it: `m2` and `M02` are one; words in brackets are left out."""
    word = group.split("(")[0].upper().replace(" ", "")
    found = re.fullmatch(r"(B?M)(\d+)", word)
    return f"{found[1]}{int(found[2]):02d}" if found else word


@cache
def _codes(groups: frozenset[str]) -> frozenset[str]:
    return frozenset(code(group) for group in groups)


def mode_number(group: str) -> str:
    """A group without its subgroup letter: 1A and 1B are both 1, 3A is 3; codes stay whole."""
    found = re.fullmatch(r"(\d+)[A-Z]?", code(group))
    return found[1] if found else code(group)


def mode_of(active: str, group: str, c: Cautions) -> Mode | None:
    """The mode of action to compare; None where the comparison is waived.

    A label that prints no group has its active's, as the table has it; what it prints goes first.
    """
    group = group if code(group) else c.facts(active).group or _of_a_part(active, c)
    number = code(group)
    soap_or_oil = c.burns_in_heat(active) and not _of_a_part(active, c)  # by any name
    exempt = active in c.exempt_methods or soap_or_oil
    if exempt or not number or number in _codes(c.exempt_groups):
        return None
    lettered = re.fullmatch(r"\d+[A-Z]", number) is not None  # only one list has letters
    return Mode("IRAC" if lettered else c.facts(active).scheme, mode_number(group))


def _of_a_part(active: str, c: Cautions) -> str:
    """The group of one of several actives in a product that the tables do not have as such."""
    parts = (facts for key, facts in c.methods.items() if f"_{key}_" in f"_{active}_")
    groups = (facts.group for facts in parts if not c.burns_in_heat(facts.key))
    return next((group for group in groups if code(group) not in _codes(c.exempt_groups)), "")


def rotation(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """No mode of action over two generations running, no single-site fungicide twice in a row."""
    if r.label is None:
        return
    mode = mode_of(r.label.active, r.label.group, c)
    if mode is None:
        yield Because(
            f"{r.label.name}: {_group(r.label.group)} need not change between generations"
            + _otherwise(r.label, c),
            who="our caution",
            rests_on=("rule:rotate_by_generation",),
        )
        yield from _kin(r)
        return
    if mode.scheme != "FRAC":
        yield _generations(r, mode, c)
    if mode.scheme != "IRAC":
        yield _in_a_row(r, mode, c)


def _otherwise(label: ProductLabel, c: Cautions) -> str:
    """A word where the table has a group that would have to change, and the label another."""
    known = c.facts(label.active).group
    if not code(label.group) or mode_of(label.active, known, c) is None:
        return ""
    return f"; our table has {known} for {label.active.replace('_', ' ')}: look at the label again"


def _group(group: str) -> str:
    return f"group {group}" if group else "it has no group number and"


def _generations(r: TreatmentRequest, mode: Mode, c: Cautions) -> Because:
    day, zone = r.starts.date(), r.starts.tzinfo
    used = [
        a.at.astimezone(zone).date()
        for a in r.applied
        if a.planting == r.planting.key
        and (met := mode_of(a.active, a.group, c)) is not None
        and met.meets(mode)
    ]
    window = max(r.generation_days or 0.0, c.shortest_window_days)
    late = [
        d for d in refused_days([*used, day], window, r.generation_days is not None) if d >= day
    ]
    lapses = _rested(used, day, window) if late and r.generation_days is not None else None
    group = f"group {mode.number}"
    history = f"{group} last used {said(max(used))}" if used else f"{group} not used here before"
    known = (
        f"{counted(window, 'days')} to a generation"
        if r.generation_days
        else "generation not known"
    )
    return Because(
        f"{history}; {known}",
        holds=not late,
        who="our caution",
        rests_on=("rule:rotate_by_generation", f"label:{r.label.key if r.label else ''}/group"),
        lapses=None if lapses is None else datetime.combine(lapses, time(), tzinfo=zone),
        way_out="change to another group for this generation, or water, hands, soap"
        if late
        else "",
    )


def refused_days(days: Iterable[date], window: float, generation_known: bool = True) -> list[date]:
    """Days of one group that fall into a generation right after one that met it.

    The first use opens a window; a use within it is a repeat, a use in the window after it is
    refused, a use later opens a new window. Where the generation is not known, every use after
    the shortest window is refused, because the generation may be longer.
    """
    refused: list[date] = []
    opened: date | None = None
    for day in sorted(days):
        gone = 0 if opened is None else (day - opened).days
        if opened is None or gone >= 2 * window:
            opened = day if generation_known or opened is None else opened
        if opened != day and gone >= window:
            refused.append(day)
            opened = day if generation_known else opened
    return refused


def _rested(used: list[date], day: date, window: float) -> date | None:
    """First day on which the group has rested for a whole window; None past two years."""
    tries = (day + timedelta(days=n) for n in range(1, 731))
    return next((d for d in tries if d not in refused_days([*used, d], window)), None)


def _in_a_row(r: TreatmentRequest, mode: Mode, c: Cautions) -> Because:
    """The fungicide before this one, and the one after, must be another group."""
    row = _fungicides(r, mode, c)
    before = [met for at, met in row if at < r.starts.timestamp()][-1:]
    after = [met for at, met in row if at > r.starts.timestamp()][:1]
    twice = any(met is not None and met.meets(mode) for met in (*before, *after))
    return Because(
        f"code {mode.number} {'would be used twice' if twice else 'is not used twice'} in a row",
        holds=not twice,
        who="our caution",
        rests_on=("rule:rotate_by_generation",),
        way_out="use a multi-site fungicide, such as sulfur, in between" if twice else "",
    )


def _fungicides(r: TreatmentRequest, mode: Mode, c: Cautions) -> list[tuple[float, Mode | None]]:
    """Fungicides this planting got, in order. What may not be a fungicide is no change of group."""
    modes = [(a, mode_of(a.active, a.group, c)) for a in r.applied if a.planting == r.planting.key]
    row = [
        (a.at.timestamp(), met)
        for a, met in modes
        if c.facts(a.active).scheme == "FRAC" or (met is not None and met.meets(mode))
    ]
    return sorted(row, key=lambda entry: entry[0])


def _kin(r: TreatmentRequest) -> Iterator[Because]:
    before = [a for a in r.earlier if a.planting == r.planting.key]
    last = max(before, key=lambda a: a.at.timestamp(), default=None)
    if r.label and last and {r.label.active, last.active} == KIN:
        yield Because(
            "neem oil and azadirachtin are kin: this is no change of mode of action",
            who="our caution",
            rests_on=("rule:rotate_by_generation",),
        )
