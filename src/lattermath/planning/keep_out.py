"""Until when a treatment closes the bed and the crop, on the task itself: where it is done."""

from __future__ import annotations

from dataclasses import replace
from datetime import tzinfo

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import picking_over, re_entry_over
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.evening import OUT_UNTIL
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import Task


def with_hours_out(
    task: Task, label: ProductLabel, crop: str, zone: tzinfo, cautions: Cautions
) -> Task:
    """Give the task with the hour until which people and pets stay out, first of its cautions.

    Never before the label's re-entry, nor before it is dry. A task without its hours, or under a
    label whose line was not copied, is given back as it is: the rulings refuse it.
    """
    out = None if task.ends is None else re_entry_over(task.ends, label, zone, cautions)
    if task.ends is None or out is None:
        return task
    pick = picking_over(task.ends, label, crop, zone, cautions)
    till = "" if pick is None else f"; no picking before {said_with_hour(pick)}"
    says = f"{OUT_UNTIL} {said_with_hour(out)}{till}."
    others = (caution for caution in task.cautions if not caution.startswith(OUT_UNTIL))
    return replace(task, cautions=(says, *others))
