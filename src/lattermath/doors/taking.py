"""`take-away` and `take-in`: the visit in one file, and its entries back home."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, AsJson, OnDay, PlotFolder, UnitsAsked


def take_away(
    file: Annotated[Path, Parameter(help="Where to write the page.")],
    /,
    *,
    plot: PlotFolder = HERE,
    on: OnDay = None,
    units: UnitsAsked = "metric",
) -> int:
    """The next visit as one page for a phone without signal; it keeps what you enter."""
    from lattermath.desk.stamp import stamp_digest
    from lattermath.desk.told_entries import record_of
    from lattermath.doors.planning_ahead import made_plan
    from lattermath.doors.web.take_away import take_away_page
    from lattermath.record.whole_file import write_whole

    made = made_plan(plot, on)
    page = take_away_page(made, record_of(plot), plot, units, stamp_digest(made.stamp), on)
    write_whole(file, page)
    answering.say(f"Written: {file}. Open it on the phone before you leave, and keep it open.")
    return answering.DONE


def take_in(
    file: Annotated[Path, Parameter(help="The file that the page saved; - for what is pasted.")],
    /,
    *,
    plot: PlotFolder = HERE,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """Take in the entries of a take-away page; each goes in once, however often it comes."""
    from lattermath.doors.web import take_in as entries

    text = sys.stdin.read() if str(file) == "-" else entries.read_text(file)
    told = entries.take_in(plot, entries.read_parcel(text), units)
    answering.answer(told.says, entries.as_data(told), as_json, units)
    return answering.NOTHING if told.refused else answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (take_away, "take-away", "lattermath take-away visit.html"),
    (take_in, "take-in", "lattermath take-in lattermath-entries-2016-08-05.json"),
)
