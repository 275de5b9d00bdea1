"""Applications of one mode of action in a row: no run is longer than a label in it allows.

All that one planting got is written down as a string of marks, one an application: its own kind,
a change of mode, or neither. A run is a stretch of the string without a change.
"""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.audit.course_check import UNKNOWN_LIST, code_of, kind_of, of_one_mode
from lattermath.audit.ledger import Application
from lattermath.vocabulary.errors import Fault


def check_repeats(applied: list[Application]) -> Iterator[Fault]:
    """Every application of the plan, in the run that the journal and the plan make of it."""
    for a in applied:
        if a.task is None or a.label is None:
            continue
        run = _run(a, [b for b in applied if b.planting == a.planting])
        labels = {b.label.key: b.label for b in run if b.label is not None}
        for label in labels.values():
            line = label.consecutive_max
            if len(run) > 1 and line.state == "not copied":
                yield Fault("repeats what no copied line allows", a.where, label.name)
            elif line.value is not None and len(run) > line.value:
                yield Fault(
                    "comes too often in a row",
                    a.where,
                    f"{a.planting}: {len(run)} times, {label.name} allows {line.value}",
                    "Put another mode of action in between.",
                )


def _run(a: Application, row: list[Application]) -> list[Application]:
    """The applications that count with `a`: its kin since the last change and up to the next."""
    run: list[Application] = []
    for b in sorted(row, key=lambda b: b.begins):
        if b is a or _kin(a, b):
            run.append(b)
        elif _change(a, b):
            if a in run:
                break
            run = []
    return run


def _kin(a: Application, b: Application) -> bool:
    if not b.leaves_something:
        return False
    same = b.product is None or b.product == a.product or b.active == a.active
    return same or of_one_mode(a, b)


def _change(a: Application, b: Application) -> bool:
    """A product of another known mode of the same list."""
    known = kind_of(b) == kind_of(a) not in ("bait", UNKNOWN_LIST)
    return b.label is not None and code_of(b) != "" and known
