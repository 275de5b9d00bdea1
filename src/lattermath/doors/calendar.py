"""`calendar`: the coming visits and the limits as a file that any calendar takes in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, OnDay, PlotFolder, UnitsAsked


def calendar(
    file: Annotated[Path, Parameter(help="Where to write it, such as plot.ics.")],
    /,
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    units: UnitsAsked = "metric",
) -> int:
    """The coming visits, and what must not be picked or entered until when, for a calendar."""
    from lattermath.desk import plan_visit
    from lattermath.doors.planning_ahead import made_plan
    from lattermath.record.whole_file import write_whole
    from lattermath.sheets import calendar_words as c
    from lattermath.sheets.calendar_file import calendar_file
    from lattermath.sheets.calendar_items import calendar_items
    from lattermath.vocabulary.counted import counted

    made = made_plan(plot, on)
    held = calendar_items(made, units, plan_visit.plan_before(plot, made))
    if not held:
        answering.say(c.NOTHING)
        return answering.NOTHING
    write_whole(file, calendar_file(made, held))
    visits = sum(item.busy for item in held)
    told = {"visits": counted(visits, "visits"), "limits": counted(len(held) - visits, "limits")}
    answering.say(c.WRITTEN.format(file=file, **told))
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (calendar, "calendar", "lattermath calendar plot.ics"),
)
