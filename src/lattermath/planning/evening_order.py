"""The order of the evening: what comes first, what fits, and at what hour."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from lattermath.planning.daylight import WAIT, wants_light
from lattermath.planning.daylight import dawn_of as first_light
from lattermath.planning.means import ON_ARRIVAL
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import Part, Task, TaskKind

PARTS: tuple[Part, ...] = (
    "on arrival",
    "pick",
    "look",
    "care",
    "replace",
    "sick plants last",
    "last job",
    "at home",
)

# Which kind gives way first when the minutes run out: the highest number. Judgement.
GIVES_WAY: dict[TaskKind, int] = {
    "water": 1,
    "treat": 1,
    "cover": 1,
    "set out": 2,
    "pull": 2,
    "sow": 2,
    "pick": 3,
    "look": 4,
    "care": 5,
}
# What waits for a look that may find nothing comes after work that is due anyway, and after the
# look itself, which comes before the other looks. Judgement.
DECIDING_LOOK, CONDITIONAL = 3.3, 3.6


CHANGES: tuple[TaskKind, ...] = ("set out", "sow", "pull")
SICK: Part = "sick plants last"
ARRIVING: Part = "on arrival"
CLEAN_FIRST: tuple[Part, ...] = ("pick", "look")
FIRST_AT_SICK: dict[TaskKind, int] = {"look": 0, "care": 1}  # then what is pulled or treated there


@dataclass(frozen=True, slots=True)
class Ordered:
    """The tasks of one visit in their order, and what did not fit."""

    tasks: tuple[Task, ...]
    left_out: tuple[Task, ...]
    minutes: float


def last_job_hours(evening: Evening, minutes: float) -> tuple[datetime, datetime] | None:
    """Give the hours of the last job: as late as the light and the gate allow; None: no light."""
    end = evening.leave if evening.civil_dusk is None else min(evening.leave, evening.civil_dusk)
    start = end - timedelta(minutes=minutes)
    return (start, end) if start >= evening.arrive else None


def in_order(
    tasks: Iterable[Task], sick: Collection[str] = (), carried: Collection[str] = ()
) -> list[Task]:
    """Sort tasks into the order of the evening; within a part, the order they were given in.

    sick    : keys of plantings that carry something. Hands and clothes take it on, so what
              touches these comes after all clean ones: within picking and looking, and with
              tending last.
    carried : those of them with a disease that hands carry: their looks too come after all that
              is done at any other planting, and then their tending.

    Leaves hosed down come before all else on arrival: they must be dry before dark; then looks
    that stand there because light is short, the clean plantings first. A look on which something
    done on arrival hangs goes before it.
    """
    given = list(tasks)
    asked = {task.decided_at for task in given if task.only_if and task.part == ARRIVING}
    tended = [
        replace(task, part=SICK)
        if (task.part == "care" and task.planting in sick)
        or (task.part == "look" and task.planting in carried)
        else task
        for task in (_look_first(task, asked) for task in given)
    ]

    def last_of_all(task: Task) -> tuple[bool, int]:
        if task.part != SICK:
            return False, 0
        # A round has no planting, and stands among the sick only where hands carry their disease.
        touched = task.planting in carried or (task.planting is None and task.kind == "care")
        return touched, FIRST_AT_SICK.get(task.kind, len(FIRST_AT_SICK))

    return sorted(
        tended,
        key=lambda task: (
            PARTS.index(task.part),
            task.part in CLEAN_FIRST and task.planting in sick,
            last_of_all(task),
            not (task.part == ARRIVING and task.kind == "look" and task.planting in asked),
            task.method not in ON_ARRIVAL,
            task.part == ARRIVING and task.kind != "look",
            task.part == ARRIVING and task.planting in sick,
        ),
    )


def _look_first(task: Task, asked: Collection[str | None]) -> Task:
    if task.kind == "look" and task.planting is not None and task.planting in asked:
        return replace(task, part=ARRIVING)
    return task


def fit(
    tasks: Sequence[Task],
    evening: Evening,
    minutes: float,
    sick: Collection[str] = (),
    carried: Collection[str] = (),
) -> Ordered:
    """Keep what fits into `minutes`, or before the last job, and give each task its hour."""
    here = [task for task in tasks if task.part != "at home"]
    chosen: list[Task] = []
    spent = 0.0
    for task in sorted(here, key=_keeps_its_place(here)):
        if not _may_be_decided(task, chosen, here):
            continue
        room = _room_before(task, chosen, here, evening)
        wanted = spent + task.minutes <= minutes or task.must or room is not None
        if wanted and (room is None or room >= 0):
            chosen.append(task)
            spent += task.minutes
    chosen = _in_pairs(chosen, here)
    spent = sum(task.minutes for task in chosen)
    left = tuple(task for task in here if task not in chosen)
    home = [task for task in tasks if task.part == "at home"]
    return Ordered(tuple(_with_hours(in_order(chosen, sick, carried), evening) + home), left, spent)


def _room_before(
    task: Task, chosen: Sequence[Task], here: Sequence[Task], evening: Evening
) -> float | None:
    """Minutes still free before the last job if this is done too; None where no last job waits.

    One stands about for the last job anyway, so what fits before it is done; and nothing, however
    urgent, pushes it into the dark.
    """
    last = sum(one.minutes for one in here if one.part == "last job")
    hours = last_job_hours(evening, last)
    if not last or hours is None or task.part == "last job":
        return None
    early = sum(one.minutes for one in chosen if one.part != "last job")
    return (hours[0] - evening.arrive) / timedelta(minutes=1) - early - task.minutes


def _in_pairs(chosen: Sequence[Task], here: Sequence[Task]) -> list[Task]:
    """Nothing goes in where the old plants still stand, nor comes out with nothing to follow; and
    what waits for what a look finds elsewhere is not done without the treatment there."""

    def complete(task: Task) -> bool:
        if task.kind == "treat" and task.look_at is not None:
            return any(t.kind == "treat" and t.planting == task.look_at for t in chosen)
        if task.kind not in CHANGES or task.planting is None:
            return True
        pair = [t for t in here if t.kind in CHANGES and t.planting == task.planting]
        return all(other in chosen for other in pair)

    return [task for task in chosen if complete(task)]


def _may_be_decided(task: Task, chosen: Sequence[Task], here: Sequence[Task]) -> bool:
    """Is the look taken on which it hangs? Without it nobody knows whether it is to be done."""
    looks = [t for t in here if t.kind == "look" and t.planting == task.decided_at]
    return not (task.only_if and looks) or any(look in chosen for look in looks)


def _keeps_its_place(here: Sequence[Task]) -> Callable[[Task], tuple[bool, float]]:
    """The order in which tasks keep their places: what is left to the last gives way first."""
    asked = {task.decided_at for task in here if task.only_if}

    def place(task: Task) -> tuple[bool, float]:
        way: float = GIVES_WAY[task.kind]
        if task.must:
            return False, 1 if task.kind == "look" else way + 0.5 * bool(task.only_if)
        if task.kind == "look" and task.planting in asked:
            return True, DECIDING_LOOK
        return True, CONDITIONAL if task.only_if else way

    return place


def _with_hours(tasks: Sequence[Task], evening: Evening) -> list[Task]:
    """Run the clock from arrival; the last jobs, one after the other, end when the visit does."""
    early = [task for task in tasks if task.part != "last job"]
    last = [task for task in tasks if task.part == "last job"]
    timed = _one_after_the_other(early, evening.arrive, first_light(evening))
    clock = timed[-1].ends if timed and timed[-1].ends is not None else evening.arrive
    hours = last_job_hours(evening, sum(task.minutes for task in last))
    start = clock if hours is None else max(clock, hours[0])
    return timed + _one_after_the_other(last, start)


def _one_after_the_other(
    tasks: Sequence[Task], clock: datetime, light: datetime | None = None
) -> list[Task]:
    """Hours one after the other; what wants light waits for it where that is near."""
    timed = []
    for task in tasks:
        if light is not None and wants_light(task) and clock < light <= clock + WAIT:
            clock = light
        end = clock + timedelta(minutes=task.minutes)
        timed.append(replace(task, starts=clock, ends=end))
        clock = end
    return timed


def short_of_time(tasks: Sequence[Task]) -> str:
    """Say which numbers to do when time is short: the musts, at most four."""
    numbered = [task for task in tasks if task.part != "at home"]
    musts = [n for n, task in enumerate(numbered, start=1) if task.must][:4]
    if not musts:
        return "Nothing here cannot wait." if numbered else ""
    if len(musts) == 1:
        return f"Do {musts[0]}."
    return f"Do {', '.join(map(str, musts[:-1]))} and {musts[-1]}."


def if_missed(tasks: Sequence[Task]) -> str:
    """Say what missing a visit costs: the losses of its tasks, the musts first, at most three."""
    losses = [
        task.if_skipped
        for task in sorted(tasks, key=_keeps_its_place(tasks))
        if task.if_skipped and task.part != "at home"
    ]
    return "; ".join(list(dict.fromkeys(losses))[:3]) or "nothing that cannot be made good"
