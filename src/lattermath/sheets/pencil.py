"""The blanks beside a task, to fill in by pencil: on the sheet and on the page that mirrors it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.vocabulary.blanks import Wanted


@dataclass(frozen=True, slots=True)
class Blank:
    """One blank: under which name its answer is read, and the word printed beside it."""

    name: str
    says: str


def blanks_of(
    kind: str, method: str | None, product: str | None, wanted: Sequence[Wanted], units: Units
) -> tuple[Blank, ...]:
    """What is written down of a task of this kind, in the grower's units.

    wanted : the figures that a look brings home.
    """
    names = w.BLANKS.get(kind, ())
    if kind == "treat" and product is None:
        names = w.BY_HAND.get(method or "", w.HAND_STARTED)
    if kind == "look":
        figures = tuple(Blank(seen(n), one.says) for n, one in enumerate(wanted))
        return (*(Blank(name, looked_at(wanted)) for name in names), *figures)
    told = w.US_BLANKS if units == "us" else {}
    return tuple(Blank(name, told.get(name, name)) for name in names)


def looked_at(wanted: Sequence[Wanted]) -> str:
    """The word for what a look counts on: leaves, plants, flowers, or several of them."""
    on = {"plants" if one.plants else "flowers" if one.flowers else "leaves" for one in wanted}
    first, *more = (w.LOOKED_AT[kind] for kind in w.LOOKED_AT if kind in (on or {"leaves"}))
    return " or ".join((first, *(word.lower() for word in more)))


def seen(place: int) -> str:
    """The name of the blank for the figure that a look asks for in this place, from 0."""
    return f"seen {place}"
