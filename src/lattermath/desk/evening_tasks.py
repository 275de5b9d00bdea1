"""Lays one coming visit out: every task, in the order of the evening, within its minutes."""

from __future__ import annotations

from lattermath.desk.plan_tasks import cares, picks, replacements
from lattermath.desk.plan_water import share_tonight
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.work_out import WorkedOut
from lattermath.planning.looking import looking_tasks
from lattermath.planning.replacing import replacing_tasks
from lattermath.planning.treating import refused, treating_task
from lattermath.planning.visit_plan import Ingredients, gathered, visit_plan
from lattermath.planning.watering_tasks import water_left, watering_tasks
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import NotToday, Task, VisitPlan


def coming_visit(facts: SeasonFacts, worked: WorkedOut, number: int) -> VisitPlan:
    """Give the plan of the `number`-th coming visit, 0 for the next."""
    evening = facts.evenings[number]
    made = worked.made
    pick, barred = picks(facts, evening, made)
    change = [
        task
        for replacement in replacements(facts, evening.day, made)
        for task in replacing_tasks(evening.day, replacement)
    ]
    sprays, not_now = _treating(evening, worked)
    share, hose = share_tonight(facts, evening.day, made.crops.beliefs, worked.ground)
    tasks = gathered(
        watering_tasks(evening.day, share, hose) if number == 0 else [],
        pick,
        looking_tasks(evening.day, made.pests.watches),
        cares(facts, evening.day, made),
        change,
        sprays,
    )
    return visit_plan(
        evening,
        facts.plot.visiting.minutes,
        Ingredients(
            tasks,
            (*barred, *not_now),
            water_left(share) if number == 0 else "",
            _bring(facts, tasks),
        ),
    )


def _treating(evening: Evening, worked: WorkedOut) -> tuple[list[Task], list[NotToday]]:
    done: list[Task] = []
    refusals: list[NotToday] = []
    for spraying in worked.made.pests.sprayings.get(evening.day, ()):
        task = treating_task(evening.day, spraying)
        if task is None:
            refusals.append(refused(spraying))
        else:
            done.append(task)
    return done, refusals


def _bring(facts: SeasonFacts, tasks: tuple[Task, ...]) -> tuple[str, ...]:
    """Say what must be in the bag for these tasks."""
    labels = {label.key: label.name for label in facts.plot.shelf}
    bag: list[str] = []
    for task in tasks:
        if task.product is not None:
            bag += [labels[task.product], "sprayer", "gloves", "goggles"]
        if task.kind == "set out":
            bag += ["the young plants", "shade", "slug collars", "trowel"]
        if task.kind == "sow":
            bag.append("seed")
        if task.kind == "pull":
            bag.append("closed bags")
        if task.kind == "care" and "tie" in task.says:
            bag.append("twine")
    return tuple(bag)
