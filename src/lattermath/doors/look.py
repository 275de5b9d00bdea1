"""`look`: what to look at on a planting, and what may be behind what was seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, AsJson, OnDay, PlotFolder


def look(
    planting: Annotated[str, Parameter(help="Planting, by its name or its key.")],
    /,
    *,
    seen: Annotated[
        tuple[str, ...],
        Parameter(name="--seen", negative=(), help="What you saw, in your words. May be repeated."),
    ] = (),
    not_seen: Annotated[
        tuple[str, ...],
        Parameter(name="--not", negative=(), help="What you looked for and did not see."),
    ] = (),
    on: OnDay = None,
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """What to look at next, what may be behind it, and what to do; never certain.

    Without --seen it tells which looks say most. What is in neither --seen nor --not counts as
    not looked at.
    """
    from lattermath.desk import look as desk_look
    from lattermath.desk.look_words import as_data, told

    looked = desk_look.look(plot, planting, seen, not_seen, on)
    answering.answer(told(looked), as_data(looked), as_json)
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (look, "look", 'lattermath look kale --seen "white specks fly up" --not "sticky leaves"'),
)
