"""What a policy of a season trial may choose at a visit."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.plan import Task


@dataclass(frozen=True, slots=True)
class Change:
    """One pulling, setting out or sowing in place; its task says what kind, and of what planting.

    plants : pulled (0: all), set out, or seeds sown; of what is set out, as many as there are.
    """

    task: Task
    plants: int = 0
    crop: str = ""
    bed: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """What a policy does at one visit.

    tasks   : treatments to do, each for one planting.
    changes : what is pulled, set out and sown, in this order.
    barred  : plantings it would have treated and may not.
    left    : tasks of the plan that the trial could not carry out.
    faults  : what the audit found in the plan itself, which was then not given.
    """

    tasks: tuple[Task, ...] = ()
    changes: tuple[Change, ...] = ()
    barred: int = 0
    left: int = 0
    faults: tuple[Fault, ...] = ()
