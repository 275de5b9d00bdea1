"""What can be printed of a plan, by name: the sheet, what is hung up, and the pictures."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from lattermath.doors.asking import Paper, Units
from lattermath.vocabulary.plan import Plan

ToHang = Literal["labels", "tags", "helper", "picking"]
ToLookAt = Literal["plot", "season"]
Printed = Literal["sheet"] | ToHang | ToLookAt


def pdf_of(name: Printed, folder: Path, plan: Plan, units: Units, paper: Paper) -> bytes | None:
    """One of them as a PDF; None where there is nothing to put on it."""
    from lattermath.desk.paper_sheets import sheet_mark
    from lattermath.doors.pictures import charts_of, plot_of
    from lattermath.sheets.handout_file import handout_pdf
    from lattermath.sheets.handouts import handout
    from lattermath.sheets.paper import pdf_sheet
    from lattermath.sheets.printed_pictures import plot_pdf, season_pdf

    if name == "sheet":
        return pdf_sheet(plan, plan.plot, units, paper, sheet_mark(plan))
    if name == "plot":
        told = plot_of(folder, plan.as_of.date(), plan, units)
        return plot_pdf(plan.plot, told, plan.as_of, paper)
    if name == "season":
        charts = charts_of(folder, plan, units)
        return season_pdf(plan.plot, charts, plan.as_of, paper) if charts else None
    made = handout(name, plan, units)
    return None if made is None else handout_pdf(made, paper)
