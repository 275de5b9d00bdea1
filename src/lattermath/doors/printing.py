"""`print`: bench labels, bed tags, the helper's card, the picking list."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, OnDay, Paper, PlotFolder, UnitsAsked
from lattermath.vocabulary.errors import Fault, InputError

Kind = Literal["labels", "tags", "helper", "picking"]


def print_out(
    what: Annotated[Kind, Parameter(help="labels, tags, helper or picking.")],
    file: Annotated[Path, Parameter(help="Where to write it: a name that ends in .pdf or .html.")],
    /,
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    units: UnitsAsked = "metric",
    paper: Annotated[
        Paper | None, Parameter(help="a4 or letter; a4 where units are metric.")
    ] = None,
) -> int:
    """Paper to hang up or hand out: labels for cups, tags for beds, a helper's card, a list."""
    from lattermath.doors.planning_ahead import made_plan
    from lattermath.doors.writing import write_whole
    from lattermath.sheets import handout_words as h
    from lattermath.sheets.handout_file import handout_page, handout_pdf
    from lattermath.sheets.handouts import handout
    from lattermath.sheets.typesetting import paper_for

    ending = file.suffix.lower()
    if ending not in (".pdf", ".html", ".htm"):
        raise InputError(Fault(h.ENDING, h.WHERE, file.name, h.ENDING_REMEDY))
    made = handout(what, made_plan(plot, on), units)
    if made is None:
        answering.say(h.NOTHING[what])
        return answering.NOTHING
    sheet = paper_for(units, paper)
    write_whole(file, handout_pdf(made, sheet) if ending == ".pdf" else handout_page(made, sheet))
    answering.say(h.WRITTEN.format(file=file))
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (print_out, "print", "lattermath print tags tags.pdf"),
)
