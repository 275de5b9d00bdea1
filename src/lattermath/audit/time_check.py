"""The time of a visit: nobody is given more work than the hours there are, or it stands first.

And what is said to be done tonight is among tonight's work: nothing is decided for a visit that
has no time for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import OVER, Plan, Task, VisitPlan
from lattermath.vocabulary.plot import Plot

PULLS = "replace tonight", "take out tonight"


def check_time(plan: Plan, evenings: Iterable[Evening], plot: Plot) -> Iterator[Fault]:
    """Every visit against its hours, every verdict and course step against its visit's work."""
    stay = {one.day: (one.leave - one.arrive).total_seconds() / 60 for one in evenings}
    for visit in plan.visits:
        here = [task for task in visit.tasks if task.part != "at home"]
        dying = sum(task.minutes for task in here if task.dies)
        if OVER in visit.warning and dying > plot.visiting.minutes:
            continue
        where = f"visit {visit.date.isoformat()}"
        work = sum(task.minutes for task in here)
        waits = any(task.part == "last job" for task in here)
        most = float(plot.visiting.minutes)
        if waits and visit.date in stay:  # one is there until the last job is done
            most = max(most, stay[visit.date])
        if work > most:
            yield Fault("is given more work than there is time", where, f"{work:g} min")
    yield from _tonight(plan)


def _tonight(plan: Plan) -> Iterator[Fault]:
    """Nothing is decided, or promised by a course, for tonight and left out for want of time."""
    if not plan.visits:
        return
    tonight = plan.visits[0]
    for verdict in plan.verdicts:
        if verdict.says in PULLS and _left(tonight, verdict.planting, plan):
            yield Fault("decides for tonight what tonight has no time for", verdict.planting,
                        verdict.says)  # fmt: skip
    for population in plan.populations:
        for step in population.course:
            if step.day != tonight.date or not tonight.no_time:
                continue
            for key in step.plantings:
                if key not in step.no_time and not _treated(tonight.tasks, key, step.method):
                    told = any(key == no.planting for no in tonight.not_today)
                    if not told:
                        yield Fault("promises for tonight what is not among its work",
                                    f"course against {population.organism}", key)  # fmt: skip


def _treated(tasks: Sequence[Task], planting: str, method: str) -> bool:
    return any(t.kind == "treat" and (t.planting, t.method) == (planting, method) for t in tasks)


def _left(visit: VisitPlan, planting: str, plan: Plan) -> bool:
    """Is it among what found no time, and not among the work?"""
    if any(t.kind == "pull" and t.planting == planting for t in visit.tasks):
        return False
    name = dict(plan.names).get(planting, planting)
    return any(words.startswith(f"{name}: all,") for words in visit.left_out)
