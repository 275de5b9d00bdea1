"""The form for a look at cups: how many came up, and the roots of one turned out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, get_args

from lattermath.desk import log_names
from lattermath.doors.web.log_fields import Blank, Filled
from lattermath.sheets import page_words as p
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import CupCheck, Roots
from lattermath.vocabulary.plot import Plot

ROOTS = tuple(zip(get_args(Roots), p.ROOT_CLASSES, strict=True))


class OfPlot(Protocol):
    """What the blanks need to know."""

    @property
    def plot(self) -> Plot:
        """The plot with its lots."""


def blanks(asked: OfPlot) -> Sequence[Blank]:
    """The lot, cups with a plant, cups looked at, and the roots."""
    lots = tuple((lot.key, lot.called) for lot in asked.plot.lots)
    return (
        Blank("lot", "Which cups", "choice", lots),
        Blank("up", "Came up", "amount", hint=p.CAME_UP, required=False),
        Blank("of", "Of cups looked at", "amount", hint=p.ALL_CUPS, required=False),
        Blank("roots", "A cup turned out", "choice", ROOTS, required=False),
    )


def read(form: Filled, asked: OfPlot) -> CupCheck:
    """A look at cups; InputError for words that are no answer."""
    lot = log_names.lot_key(asked.plot, form.asked("lot", "the lot"))
    up, said = form.number("up"), form.one("roots")
    roots: Roots | None = next((one for one in get_args(Roots) if one == said), None)
    if said and roots is None:
        raise InputError(Fault("no such answer", "roots", said, "Choose few, filling or coiled."))
    return CupCheck(lot, up, log_names.cups_of(asked.plot, lot, up, form.number("of")), roots)
