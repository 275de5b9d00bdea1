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
from lattermath.vocabulary.sentence import listed

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

# Which kind gives way first when the minutes run out: the highest number. Judgement. Water goes
# before treatments: it has no price beside theirs, and a dry plant bears no spray and little else.
GIVES_WAY: dict[TaskKind, int] = {
    "water": 0,
    "treat": 1,
    "cover": 1,
    "set out": 2,
    "pull": 2,
    "sow": 2,
    "pick": 3,
    "look": 4,
    "care": 5,
}
# What waits for a look that may find nothing comes after work that is due anyway; with the look,
# before what only stands and waits. Judgement.
DECIDING_LOOK, CONDITIONAL = 3.3, 3.6
STANDS = 3.8  # a picking of which nothing is lost: it stands and waits for the next visit
UNFOLLOWED = 3.9  # a look whose treatment finds no time; it still tells something


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
    end = _end_of_last_job(evening)
    start = end - timedelta(minutes=minutes)
    return (start, end) if start >= evening.arrive else None


def _end_of_last_job(evening: Evening) -> datetime:
    return evening.leave if evening.civil_dusk is None else min(evening.leave, evening.civil_dusk)


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
    that stand there because light is short, the clean plantings first. A look at what is treated on
    arrival goes before it: what is left afterwards is no count of what was there.
    """
    given = list(tasks)
    early = [task for task in given if task.kind == "treat" and task.part == ARRIVING]
    asked = {task.decided_at for task in early} | {task.planting for task in early}
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
    """Keep what fits into `minutes`, or before the last job, and give each task its hour.

    What dies tonight is kept whatever the minutes. All else, musts among it, gives way in order:
    what need not be done first, then by kind, of treatments those that save least a minute.
    """
    here = [task for task in tasks if task.part != "at home"]
    able = _pressing(here)
    while True:
        chosen = _chosen(able, evening, minutes)
        late = [task for task in able if task.part == "last job" and task not in chosen]
        if not late:
            break
        able = [task for task in able if task not in late]  # nobody waits for what is not done
    ids = [task.id for task in chosen]
    kept = [task for task in here if task.id in ids]
    kept.sort(key=lambda task: _turn(task, ids))
    left = tuple(task for task in here if task.id not in ids)
    home = [task for task in tasks if task.part == "at home"]
    timed = _with_hours(in_order(kept, sick, carried), evening)
    return Ordered(tuple(timed + home), left, _minutes(kept))


def _turn(task: Task, ids: Sequence[str]) -> int:
    """What keeps its place first is done first; sprays stay in the order of their fillings."""
    if task.part != "last job":
        return ids.index(task.id)
    return len(ids) + (1 if task.kind == "treat" else 0 if task.must else 2)


def _pressing(here: Sequence[Task]) -> list[Task]:
    """The work with more of it counted as musts: treatments that save more a minute than one.

    Where nothing was seen yet the chance of it is in what they save; their looks go with them.
    """
    musts = [_a_minute(t) for t in here if t.kind == "treat" and t.must and t.worth]
    least = min(musts, default=float("inf"))
    more = {t.id for t in here if t.kind == "treat" and _a_minute(t) > least}
    asked = {t.decided_at for t in here if t.id in more and t.only_if}
    more |= {t.id for t in here if t.kind == "look" and t.planting in asked}
    return [replace(task, must=True) if task.id in more else task for task in here]


def _chosen(here: Sequence[Task], evening: Evening, minutes: float) -> list[Task]:
    chosen: list[Task] = []
    place = _keeps_its_place(here)
    units = [(place(task), task, _pair(task, here)) for task in here]
    units += [
        ((True, True, UNFOLLOWED, 0.0, False), task, [task])
        for _, task, pair in units
        if task.kind == "look" and not task.must and len(pair) > 1
    ]
    units.sort(key=lambda unit: unit[0])
    first = [(task, pair) for _, task, pair in units]
    alone = [(task, [task]) for task, _ in first if task.kind == "look"]  # it tells something
    for task, pair in (*first, *alone):
        unit = [one for one in pair if one not in chosen]
        if task in chosen or not _may_be_decided(task, chosen, here):
            continue
        if task.dies or _fits(unit, chosen, here, evening, minutes):
            chosen += unit
    return [task for task in chosen if _has_company(task, chosen)]


def _has_company(task: Task, chosen: Sequence[Task]) -> bool:
    """What waits for what a look finds elsewhere is not done without the treatment there."""
    return task.look_at is None or any(
        one.kind == "treat" and one.planting == task.look_at for one in chosen
    )


def _fits(
    unit: Sequence[Task],
    chosen: Sequence[Task],
    here: Sequence[Task],
    evening: Evening,
    minutes: float,
) -> bool:
    """Is there time for these together beside what is chosen?

    A last job waits for its hour, so that time until one leaves is there for it if it must be.
    Thirst does not wait for it: what then finds no time is the last job.
    """
    long, spent = _minutes(unit), _minutes(chosen)
    if all(one.kind == "water" and one.must for one in unit):
        return spent + long <= minutes
    last, must = (any(t.part == "last job" for t in unit), any(t.must for t in unit))
    if last:
        end = _end_of_last_job(evening)
        stay = (end - evening.arrive) / timedelta(minutes=1)
        return spent + long <= (max(minutes, stay) if must else minutes)
    room = _room_before(unit, chosen, here, evening)
    return spent + long <= minutes if room is None else room >= 0


def _minutes(tasks: Iterable[Task]) -> float:
    return sum(task.minutes for task in tasks)


def _room_before(
    unit: Sequence[Task], chosen: Sequence[Task], here: Sequence[Task], evening: Evening
) -> float | None:
    """Minutes still free before the last job if this is done too; None where no last job waits.

    One stands about for the last job anyway, so what fits before it is done; and nothing that can
    wait, however urgent, pushes it into the dark.
    """
    last = _minutes(one for one in here if one.part == "last job")
    hours = last_job_hours(evening, last)
    if not last or hours is None:
        return None
    early = _minutes(one for one in chosen if one.part != "last job")
    return (hours[0] - evening.arrive) / timedelta(minutes=1) - early - _minutes(unit)


def _pair(task: Task, here: Sequence[Task]) -> list[Task]:
    """The task and what is done with it or not at all.

    Nothing goes in where the old plants still stand, nor comes out with nothing to follow; and a
    look goes before others only with what it decides, an urgent one with urgent work.
    """
    hang = [t for t in here if t.only_if and t.must >= task.must and t.decided_at == task.planting]
    if task.kind == "look" and hang:
        return [task, max(hang, key=_a_minute)]
    if task.kind not in CHANGES or task.planting is None:
        return [task]
    return [t for t in here if t.kind in CHANGES and t.planting == task.planting]


def _may_be_decided(task: Task, chosen: Sequence[Task], here: Sequence[Task]) -> bool:
    """Is the look taken on which it hangs? Without it nobody knows whether it is to be done."""
    looks = [t for t in here if t.kind == "look" and t.planting == task.decided_at]
    return not (task.only_if and looks) or any(look in chosen for look in looks)


def _keeps_its_place(
    here: Sequence[Task],
) -> Callable[[Task], tuple[bool, bool, float, float, bool]]:
    """The order in which tasks keep their places: what is left to the last gives way first.

    A look that decides urgent work goes with the most that hangs on it, and what is ready with the
    treatment that closes its planting to picking.
    """
    asked = {task.decided_at for task in here if task.only_if}
    closing = {t.planting for t in here if t.kind == "treat" and t.product and t.must}
    replaced = {t.planting for t in here if t.kind in ("set out", "sow")}
    saves: dict[str | None, float] = {}
    urgent: dict[str | None, float] = {}
    for task in here:
        if task.kind == "treat":
            saves[task.planting] = max(saves.get(task.planting, 0.0), _a_minute(task))
            if task.must:
                way = _of_kind(task, replaced)
                urgent[task.planting] = min(urgent.get(task.planting, way), way)

    def place(task: Task) -> tuple[bool, bool, float, float, bool]:
        way, must = _of_kind(task, replaced), task.must
        rate = _a_minute(task)
        if task.kind == "look" and must:
            way, rate = urgent.get(task.planting, 1.0), saves.get(task.planting, 0.0)
        elif task.kind == "look" and task.planting in asked:
            way = DECIDING_LOOK
        elif task.kind == "pick" and task.planting in closing:
            way, rate, must = urgent[task.planting], saves[task.planting], True
        return not task.dies, not must, way, -rate, task.kind == "treat"

    return place


def _of_kind(task: Task, replaced: Collection[str | None]) -> float:
    if task.must:
        sick = task.kind == "pull" and task.planting not in replaced  # a disease runs on from it
        return 1.0 if sick else GIVES_WAY[task.kind] + 0.5 * bool(task.only_if)
    if task.kind == "pick" and not task.if_skipped:  # then nothing is lost by leaving it
        return STANDS
    return CONDITIONAL if task.only_if else GIVES_WAY[task.kind]


def _a_minute(task: Task) -> float:
    """What it is reckoned to save in a minute of work. [portions/min]"""
    return (task.worth or 0.0) / max(task.minutes, 1.0)


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
    """Say which to do when time is short: musts and the looks they wait for, four at most."""
    numbered = [task for task in tasks if task.part != "at home"]
    asked = {task.decided_at for task in numbered if task.must and task.only_if}
    musts = [
        n
        for n, task in enumerate(numbered, start=1)
        if task.must or (task.kind == "look" and task.planting in asked)
    ][:4]
    if not musts:
        return "Nothing here cannot wait." if numbered else ""
    return f"Do {listed([str(n) for n in musts])}."


def if_missed(tasks: Sequence[Task]) -> str:
    """Say what missing a visit costs: the losses of its tasks, the musts first, at most three."""
    losses = [
        task.if_skipped
        for task in sorted(tasks, key=_keeps_its_place(tasks))
        if task.if_skipped and task.part != "at home"
    ]
    return "; ".join(list(dict.fromkeys(losses))[:3]) or "nothing that cannot be made good"
