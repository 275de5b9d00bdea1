"""Until when a treatment closes the bed and the crop, on the task itself: where it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, tzinfo

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import clearance_of, picking_over, re_entry_over
from lattermath.planning.treatment_request import applied_to, as_treated, on_ground
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.evening import OUT_UNTIL, Applied
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting

NEVER_SAID = "; no picking, since it is not known when it is clear of what was used before"


def with_hours_out(
    task: Task,
    planting: Planting,
    others: Sequence[Applied],
    shelf: Sequence[ProductLabel],
    zone: tzinfo,
    cautions: Cautions,
) -> Task:
    """Give the task with the hour until which people and pets stay out, first of its cautions.

    others : treatments before it, and those of the same visit; the latest of all clearances counts.

    Never before the label's re-entry, nor before it is dry. A task without its hours, or under a
    label whose line was not copied, is given back as it is: the rulings refuse it.
    """
    label = next((one for one in shelf if one.key == task.product), None)
    if task.ends is None or label is None:
        return task
    out = re_entry_over(task.ends, label, zone, cautions)
    if out is None:
        return task
    mine = applied_to(planting, task.method or "", label.key, label, task.ends)
    both = [*others, mine]
    ends = max((a.at for a in both), key=datetime.timestamp)
    till = ""
    if picking_over(task.ends, label, planting.crop, zone, cautions) is not None:
        pick = clearance_of(planting, both, shelf, ends, zone, cautions).safe_from
        till = (
            NEVER_SAID
            if pick is None
            else f"; no picking before {said_with_hour(pick, task.ends.date())}"
        )
    out = max(out, *_entries(planting, others, shelf, zone, cautions), key=datetime.timestamp)
    says = f"{OUT_UNTIL} {said_with_hour(out, task.ends.date())}{till}."
    kept = (caution for caution in task.cautions if not caution.startswith(OUT_UNTIL))
    return replace(task, cautions=(says, *kept))


def _entries(
    planting: Planting,
    others: Sequence[Applied],
    shelf: Sequence[ProductLabel],
    zone: tzinfo,
    cautions: Cautions,
) -> list[datetime]:
    """When others that were used on this ground let people in again, where that is known.

    Where it is not known nobody is let in to treat either.
    """
    labels = {label.key: label for label in shelf}
    found = [
        re_entry_over(a.at, label, zone, cautions)
        for a in on_ground(others, planting)
        if (label := as_treated(a, labels)) is not None
    ]
    return [over for over in found if over is not None] or [datetime.min.replace(tzinfo=zone)]
