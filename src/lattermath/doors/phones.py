"""`phones`: who beyond this machine may use the plot, and taking their leave away."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering
from lattermath.doors.asking import HERE, AsJson, PlotFolder


def phones(
    *,
    revoke: Annotated[str, Parameter(help="Take leave away: a name, a key, or all.")] = "",
    calendar: Annotated[
        str, Parameter(help="Make an address that a calendar of this name may read.")
    ] = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """List the phones, programs and calendars that may use the plot, or take leave away."""
    from lattermath.desk import paired_phones
    from lattermath.sheets import phone_words as h
    from lattermath.vocabulary.calendar import said_with_hour

    if revoke:
        gone = paired_phones.revoke(plot, revoke)
        lines = [h.REVOKED_LINE.format(name=one.name) for one in gone] or [h.NONE_PAIRED]
        answering.answer(lines, gone, as_json)
        return answering.DONE if gone else answering.NOTHING
    if calendar:
        path = paired_phones.calendar_path(paired_phones.admit(plot, calendar, "calendar"))
        answering.answer([h.CALENDAR_LINE.format(path=path)], {"path": path}, as_json)
        return answering.DONE
    found = paired_phones.paired(plot)
    lines = [
        h.PHONE_LINE.format(
            key=one.key,
            name=one.name,
            kind=h.KIND_OF[one.kind],
            paired=said_with_hour(one.paired_at.astimezone()),
            seen=said_with_hour(one.seen_at.astimezone()),
        )
        for one in found
    ]
    answering.answer(lines or [h.NONE_PAIRED], found, as_json)
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = (
    (phones, "phones", "lattermath phones --revoke Anna"),
)
