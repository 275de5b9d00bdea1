"""`what-if`: the plan as it would be if something were otherwise, beside the plan as it is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, AsJson, OnDay, PlotFolder, UnitsAsked, whole


def what_if(
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    no_products: Annotated[
        bool, Parameter(negative=(), help="Nothing from a pack any more.")
    ] = False,
    without: Annotated[
        tuple[str, ...], Parameter(help="Without this product of the shelf.", negative=())
    ] = (),
    file: Annotated[
        Path | None,
        Parameter(help="A plot file read in place of plot.toml: a copy with another product."),
    ] = None,
    days: Annotated[str, Parameter(help="Visits on these weekdays only: sat, or tue,sat.")] = "",
    minutes: Annotated[int | None, Parameter(help="Minutes of work at a visit.")] = None,
    cans: Annotated[int | None, Parameter(help="Cans of water at a visit.")] = None,
    away: Annotated[
        tuple[date, date] | None, Parameter(help="Away from the first to the second day.")
    ] = None,
    frost: Annotated[
        int, Parameter(help="First frost so many days later; -7: a week earlier.")
    ] = 0,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """The difference one change would make, on the same futures; nothing of it is written down."""
    from lattermath.desk import what_if as desk
    from lattermath.doors.supposed import supposition
    from lattermath.sheets.what_if_words import text

    if minutes is not None:
        whole(minutes, "--minutes")
    if cans is not None:
        whole(cans, "--cans", 0)
    supposed = supposition(
        no_products=no_products,
        without=without,
        file=file,
        days=days,
        minutes=minutes,
        cans=cans,
        away=away,
        frost_days=frost,
    )
    with answering.progress() as progress:
        told = desk.what_if(plot, supposed, on, progress)
    answering.answer(text(told, units), told, as_json, units)
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (what_if, "what-if", "lattermath what-if --frost -7"),
)
