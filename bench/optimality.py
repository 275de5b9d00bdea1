"""How far from the best of all the courses are: the optimality table of docs/validation.md.

Two infested plots, little and much to lose, five to eight visits, two means on one or three
plantings. Printed for each: what nothing, the beam alone and both methods together cost, the bound
after a few and after many tangents, and the gap as a share of what could at most be saved.
"""

from __future__ import annotations

import time
from dataclasses import replace

from course_search import KINDS, task_of

from lattermath.planning.course_bound import bounded
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Task

FEW, MANY = 3, 12  # tangents


def cases() -> list[tuple[str, Task]]:
    found = []
    for organism, _, _, crops in KINDS[:2]:
        for visits, worth in ((5, 0.3), (8, 0.3), (5, 3.0), (8, 3.0)):
            task = task_of(organism, crops[0])
            stakes = replace(task.stakes, bearing=task.stakes.bearing * worth)
            day = task.belief.today
            days = tuple(range(day, day + 4 * visits, 4))
            name = f"{organism}, {visits} visits, {50 * worth:g} portions"
            found.append((name, replace(task, visits=days, stakes=stakes)))
    return found


def main() -> None:
    print("| case | nothing | found | bound | gap | bound of many | gap | seconds |")
    print("|---|---|---|---|---|---|---|---|")
    for name, task in cases():
        begun = time.perf_counter()
        found = search_course(task)
        taken = time.perf_counter() - begun
        few, many = (bounded(task, found.steps, rounds) for rounds in (FEW, MANY))
        print(
            f"| {name} | {few.nothing:.2f} | {few.reached:.2f} | {few.least:.2f} | {few.gap:.0%} "
            f"| {many.least:.2f} | {many.gap:.0%} | {taken:.1f} |",
            flush=True,
        )


if __name__ == "__main__":
    main()
