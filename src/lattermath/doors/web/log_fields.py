"""The blanks of a form: what may be chosen or written, and what was written last."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

from lattermath.doors import asking
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Plot

Kind = Literal["choice", "several", "words", "amount", "leaves"]
Options = tuple[tuple[str, str], ...]  # value, and what it says


@dataclass(frozen=True, slots=True)
class Blank:
    """One blank of a form. `values` is what stands in it."""

    name: str
    label: str
    kind: Kind = "words"
    options: Options = ()
    values: tuple[str, ...] = ()
    hint: str = ""
    required: bool = True


class Filled:
    """A form as it came in: words by blank."""

    def __init__(self, pairs: Iterable[tuple[str, str]]) -> None:
        """Keep the words of each blank in their order, outer blanks off."""
        self._held: dict[str, list[str]] = {}
        for name, words in pairs:
            self._held.setdefault(name, []).append(words.strip())

    def one(self, name: str) -> str:
        """What was written; empty where nothing was."""
        return next(iter(self._held.get(name, ())), "")

    def asked(self, name: str, label: str) -> str:
        """What was written; InputError where nothing was."""
        words = self.one(name)
        if not words:
            raise InputError(Fault(f"{label} is missing", name, "", "Fill it in."))
        return words

    def several(self, name: str) -> tuple[str, ...]:
        """All that was chosen or written, what was left empty left out."""
        return tuple(words for words in self._held.get(name, ()) if words)

    def number(self, name: str) -> int | None:
        """A whole number; None where nothing was written. InputError for anything else."""
        words = self.one(name)
        if not words:
            return None
        if not words.isdecimal() or len(words) > 9:
            raise InputError(Fault("this is no whole number", name, words, "Write it as 12."))
        return int(words)

    def hour(self, name: str) -> datetime | None:
        """A day and hour by the plot's clock; None where nothing was written."""
        return asking.instant(self.one(name))

    def over(self, blanks: Sequence[Blank]) -> list[Blank]:
        """The blanks with what was written in them."""
        return [replace(b, values=tuple(self._held.get(b.name, b.values))) for b in blanks]


def plantings(plot: Plot, neighbours: bool = True) -> Options:
    """Plantings that stand, the neighbour's last."""
    there = [
        p for p in plot.plantings if p.pulled is None and (neighbours or not p.neighbours_plot)
    ]
    ranked = sorted(there, key=lambda one: one.neighbours_plot)
    return tuple((p.key, p.name) for p in ranked)


def beds(plot: Plot) -> Options:
    """Beds of the plot."""
    return tuple((bed.key, bed.name) for bed in plot.beds)


def words(known: Iterable[str]) -> Options:
    """Words to choose among that say themselves."""
    return tuple((word, word) for word in known)


def prefilled(blanks: Sequence[Blank], known: Mapping[str, str]) -> list[Blank]:
    """The blanks with what is known already."""
    return [replace(b, values=(known[b.name],)) if known.get(b.name) else b for b in blanks]
