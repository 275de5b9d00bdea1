"""`print`: bench labels, bed tags, the helper's card, the picking list, account and record."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, OnDay, Paper, PlotFolder, Units, UnitsAsked
from lattermath.doors.papers import ToHang, ToLookAt
from lattermath.vocabulary.errors import Fault, InputError

ToRead = Literal["account", "record"]


def print_out(
    what: Annotated[
        ToHang | ToRead | ToLookAt,
        Parameter(help="labels, tags, helper, picking, account, record, plot or season."),
    ],
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
    """Paper to hang up or hand out: labels, tags, a helper's card, a list, the season's account."""
    from lattermath.doors.papers import pdf_of
    from lattermath.doors.planning_ahead import made_plan
    from lattermath.record.whole_file import write_whole
    from lattermath.sheets import handout_words as h
    from lattermath.sheets import picture_words as v
    from lattermath.sheets.typesetting import paper_for

    ending = file.suffix.lower()
    if ending not in (".pdf", ".html", ".htm"):
        raise InputError(Fault(h.ENDING, h.WHERE, file.name, h.ENDING_REMEDY))
    sheet, as_pdf = paper_for(units, paper), ending == ".pdf"
    if what == "account" or what == "record":  # the type checker reads this
        write_whole(file, _booklet(what, plot, on, units, sheet, as_pdf))
        answering.say(h.WRITTEN.format(file=file))
        return answering.DONE
    if what == "plot" or what == "season":
        if not as_pdf:
            raise InputError(Fault(v.PDF_ONLY, h.WHERE, file.name, v.PDF_ONLY_REMEDY))
        picture = pdf_of(what, plot, made_plan(plot, on), units, sheet)
        if picture is None:
            answering.say(v.NO_CHARTS)
            return answering.NOTHING
        write_whole(file, picture)
        answering.say(h.WRITTEN.format(file=file))
        return answering.DONE
    made = _handout(what, plot, on, units, sheet, as_pdf)
    if made is None:
        answering.say(h.NOTHING[what])
        return answering.NOTHING
    write_whole(file, made)
    answering.say(h.WRITTEN.format(file=file))
    return answering.DONE


def _booklet(
    what: ToRead, plot: Path, on: date | None, units: Units, paper: Paper, as_pdf: bool
) -> str | bytes:
    """The account or the record; it needs no plan."""
    from lattermath.desk.photos import photos_at
    from lattermath.doors.handing_over import account_of, record_of_season
    from lattermath.sheets.booklet import booklet_page, booklet_pdf

    photos = photos_at(plot)
    made = (account_of if what == "account" else record_of_season)(plot, on, units)
    return booklet_pdf(made, paper, photos) if as_pdf else booklet_page(made, paper, photos)


def _handout(
    what: ToHang, plot: Path, on: date | None, units: Units, paper: Paper, as_pdf: bool
) -> str | bytes | None:
    """What is hung up, from the plan; None where there is nothing to put on it."""
    from lattermath.doors.papers import pdf_of
    from lattermath.doors.planning_ahead import made_plan
    from lattermath.sheets.handout_file import handout_page
    from lattermath.sheets.handouts import handout

    plan = made_plan(plot, on)
    if as_pdf:
        return pdf_of(what, plot, plan, units, paper)
    made = handout(what, plan, units)
    return None if made is None else handout_page(made, paper)


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (print_out, "print", "lattermath print tags tags.pdf"),
)
