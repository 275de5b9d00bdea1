"""`plan`, `picking`, `standby`, `why`: what to do, and the reasons."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from lattermath.doors import answering, asking
from lattermath.doors.asking import HERE, AsJson, KnownDay, OnDay, PlotFolder, UnitsAsked

if TYPE_CHECKING:  # building its records would slow every --help
    from lattermath.vocabulary.plan import Plan


def plan(
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    as_known: KnownDay = None,
    units: UnitsAsked = "metric",
    back: Annotated[bool, Parameter(negative=(), help="Print the back of the sheet too.")] = False,
    html: Annotated[Path | None, Parameter(help="Write the sheet as a page to this file.")] = None,
    pdf: Annotated[Path | None, Parameter(help="Write it as a PDF to print, to this file.")] = None,
    paper: Annotated[
        asking.Paper | None, Parameter(help="Of the PDF; a4 where units are metric.")
    ] = None,
    as_json: AsJson = False,
) -> int:
    """The sheet for the next visit: what to do, in what order, at what hour."""
    made = made_plan(plot, on, as_known)
    if html is not None:
        write_page(made, html, units)
    if pdf is not None:
        write_paper(made, pdf, units, paper, kept=as_known is None)
    if as_json:
        from lattermath.sheets.schema import plan_json

        answering.say(plan_json(made))
    else:
        say_sheet(made, units, back)
    return answering.DONE if made.visits else answering.NOTHING


def say_sheet(made: Plan, units: asking.Units, back: bool) -> None:
    """Print a plan's sheet, and its back where that was asked for."""
    from lattermath.sheets.back_of_sheet import text_back
    from lattermath.sheets.visit_sheet import text_sheet

    answering.say(text_sheet(made, made.plot, units))
    if back:
        answering.say("\n" + text_back(made, made.plot, units))


def write_page(made: Plan, file: Path, units: asking.Units) -> None:
    """Write a plan's sheet as a page, whole or not at all."""
    from lattermath.record.whole_file import write_whole
    from lattermath.sheets.page import html_sheet

    write_whole(file, html_sheet(made, made.plot, units))


def write_paper(
    made: Plan, file: Path, units: asking.Units, paper: asking.Paper | None, kept: bool
) -> None:
    """Write a plan's sheet as a PDF, whole or not at all; marked where the plan was kept."""
    from lattermath.desk.paper_sheets import sheet_mark
    from lattermath.record.whole_file import write_whole
    from lattermath.sheets.paper import pdf_sheet

    write_whole(file, pdf_sheet(made, made.plot, units, paper, sheet_mark(made) if kept else ""))


def made_plan(
    folder: Path, on: date | None, as_known: date | None = None, *, sheet: bool = True
) -> Plan:
    """The plan of today, its forecast fetched where that is turned on, or of another day."""
    from lattermath.desk import plan_visit

    with answering.progress() as progress:
        if on is None and as_known is None:
            _keep_fresh(folder)
        kept = {} if sheet or on is None else {"sheet": False}
        return plan_visit.plan(folder, on, as_known, progress, **kept)


def _keep_fresh(folder: Path) -> None:
    """Fetch the forecast where plot.toml turns that on; what failed is said and stops nothing."""
    if not (folder / "plot.toml").is_file():
        return
    from lattermath.desk.fetch_weather import keep_fresh

    for line in keep_fresh(folder):
        answering.say_aside(line)


def picking(
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    as_known: KnownDay = None,
    as_json: AsJson = False,
) -> int:
    """What may be picked, and from when the rest may be."""
    from lattermath.sheets.back_of_sheet import text_part
    from lattermath.sheets.wording import PICKING

    made = made_plan(plot, on, as_known, sheet=False)
    answering.answer([text_part(made, PICKING)], made.picking, as_json)
    return answering.DONE if made.picking else answering.NOTHING


def standby(
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    as_known: KnownDay = None,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """The cups on the bench, and what to sow at home by when."""
    from lattermath.sheets.back_of_sheet import text_part
    from lattermath.sheets.wording import STANDBY

    made = made_plan(plot, on, as_known, sheet=False)
    answering.answer([text_part(made, STANDBY, units)], made.standby, as_json)
    return answering.DONE if made.standby else answering.NOTHING


def why(
    address: Annotated[str, Parameter(help="A task, or an address such as event:17.")],
    /,
    *,
    plot: PlotFolder = HERE,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """Unfold one piece of advice to what it rests on: entries, readings, table rows, sources."""
    from lattermath.desk import why as desk_why

    lines = desk_why.why(plot, address)
    answering.answer(lines, {"address": address, "because": lines}, as_json, units)
    return answering.DONE if lines else answering.NOTHING


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (plan, "plan", "lattermath plan --back --html sheet.html"),
    (picking, "picking", "lattermath picking --on 2016-08-05"),
    (standby, "standby", "lattermath standby"),
    (why, "why", "lattermath why event:17"),
)
