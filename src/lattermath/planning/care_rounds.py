"""Tending that goes round the beds: weeding, feeding, mulching; and taking out tips in time.

Intervals are common practice, minutes judgement, nothing here has a source. A round takes the most
overdue first and no more than it has minutes for; the rest is due again at the next visit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Amount, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

WEED, FEED, MULCH, TOP = "weed", "feed", "mulch", "top"
FOR = " for "  # an amount of a round names its planting after this
MOST_MINUTES = 15.0  # judgement: longer than that a round is left for another evening
LAST_FLOWERS_DAYS = 45  # common practice: a tomato wants about so long from flower to colour
MULCH_BEFORE_FROST_DAYS = 30  # judgement: later it keeps ground cold and houses slugs
ESTABLISHED_DAYS = 21  # common practice: mulch when the plants stand above it and ground is warm

WASH_AFTER = "Only while the leaves are dry. Wash hands and tools after."  # common practice
MULCH_SAYS = "mulch, a hand deep, clear of the stems"
TOP_SAYS = "take out the tips, two leaves above the last fruit that has set"

FED = frozenset(
    {
        *("tomato_indeterminate", "tomato_determinate", "eggplant", "pepper_sweet"),
        *("cucumber_slicing", "cucumber_pickling", "summer_squash", "winter_squash", "melon"),
    }
)
MULCHED = FED | {"broccoli", "cauliflower", "cabbage", "kale", "bean_pole", "runner_bean"}
TOPPED = frozenset({"tomato_indeterminate", "melon", "winter_squash"})


@dataclass(frozen=True, slots=True)
class Tended:
    """One planting as a round sees it. `covered`: its leaves close over the ground."""

    planting: Planting
    ground_m2: float
    covered: bool
    bearing: bool
    mulched: bool | None = None  # None: it stands in no bed
    sick: bool = False  # it comes last in a round, and so carries nothing on
    carried: bool = False  # hands carry its disease: it gets a round of its own, last of all

    @property
    def name(self) -> str:
        """Its name inside a sentence."""
        return inside(self.planting.name)


@dataclass(frozen=True, slots=True)
class Round:
    """One kind of tending. `every` gives the days between two, None where it is not wanted."""

    work: str
    says: str
    minutes_a_m2: float
    every: Callable[[Tended], int | None]
    because: str
    if_skipped: str
    caution: str = ""


def _weeding(one: Tended) -> int:
    return 28 if one.mulched else 21 if one.covered else 10


def _feeding(one: Tended) -> int | None:
    return 14 if one.planting.crop in FED and one.bearing else None


ROUNDS = (
    Round(
        WEED,
        "Weed",
        1.5,
        _weeding,
        "weeds take water and light, shelter slugs, and carry aphids, mites and viruses",
        "weeds seed, and carry what is fought on the crop",
    ),
    Round(
        FEED,
        "Feed",
        0.7,
        _feeding,
        "plants that bear want potash; hungry ones stop flowering, overfed ones grow soft leaf "
        "for aphids",
        "they bear less",
        "With what the garden allows, as its pack says, on damp ground, never on dry.",
    ),
)


def care_rounds(
    visit: date, tended: Sequence[Tended], last_done: Mapping[tuple[str, str], date]
) -> list[Task]:
    """The rounds due at a visit. `last_done` is keyed by (planting, work)."""
    tasks = []
    for one in ROUNDS:
        days = ((_due(visit, one, t, last_done), t) for t in tended)
        ready = [(day, t.planting.key, t) for day, t in days if day is not None and day <= visit]
        due = sorted(ready, key=lambda row: row[:2])
        chosen = _within_minutes([(day, t) for day, _, t in due], one)
        clean = [pair for pair in chosen if not pair[1].carried]
        if clean:
            tasks.append(_task(visit, one, sorted(clean, key=lambda pair: pair[1].sick)))
        if last := [pair for pair in chosen if pair[1].carried]:
            tasks.append(_last_of_all(visit, _task(visit, one, last), one))
    return tasks


def _due(
    visit: date, one: Round, t: Tended, last_done: Mapping[tuple[str, str], date]
) -> date | None:
    days = one.every(t)
    if days is None:
        return None
    began = last_done.get((t.planting.key, one.work)) or t.planting.started
    return visit if began is None else began + timedelta(days=days)


def _minutes(one: Round, t: Tended) -> float:
    return max(1.0, one.minutes_a_m2 * t.ground_m2)


def _within_minutes(due: Sequence[tuple[date, Tended]], one: Round) -> list[tuple[date, Tended]]:
    """The most overdue, as many as there are minutes for, and at least one."""
    chosen: list[tuple[date, Tended]] = []
    spent = 0.0
    for day, t in due:
        spent += _minutes(one, t)
        if chosen and spent > MOST_MINUTES:
            break
        chosen.append((day, t))
    return chosen


def _task(visit: date, one: Round, chosen: Sequence[tuple[date, Tended]]) -> Task:
    first = min(day for day, _ in chosen)
    each = ", ".join(f"{t.name} {short(day)}" for day, t in chosen)
    return Task(
        id=task_id(visit, "care", None, one.work),
        kind="care",
        part="care",
        says=f"{one.says}: {', '.join(t.name for _, t in chosen)}.",
        minutes=float(round(max(3.0, sum(_minutes(one, t) for _, t in chosen)))),
        amounts=tuple(
            Amount(f"{one.work}{FOR}{t.name}", round(t.ground_m2, 2), "m2", "derived")
            for _, t in chosen
        ),
        cautions=(one.caution,) if one.caution else (),
        because=(
            Because(
                f"{one.because}; due: {each} (common practice)",
                rests_on=(
                    *(f"plot:planting/{t.planting.key}" for _, t in chosen),
                    "computed:care intervals, common practice without a source",
                ),
            ),
        ),
        if_skipped=one.if_skipped,
        due=first,
    )


def _last_of_all(visit: date, task: Task, one: Round) -> Task:
    """The part of a round that touches plants whose disease hands carry."""
    return replace(
        task,
        id=task_id(visit, "care", None, f"{one.work} last"),
        part="sick plants last",
        says=f"{one.says} last{task.says.removeprefix(one.says)}",
        cautions=(*task.cautions, WASH_AFTER),
    )


def once_tasks(
    visit: date,
    tended: Iterable[Tended],
    last_done: Mapping[tuple[str, str], date],
    frost: date | None,
) -> Iterator[Task]:
    """What is done once: mulch under what stands, and tips out while the last flowers can ripen.

    frost : usual day of the first frost; None: not known, and then nothing is topped.
    """
    beds: set[str | None] = set()
    for t in tended:
        mulch = _mulching(visit, t, last_done, frost)
        if mulch is not None and t.planting.bed not in beds:  # one mulching covers the bed
            beds.add(t.planting.bed)
            yield mulch
        top = _topping(visit, t, last_done, frost)
        if top is not None:
            yield top


def done_once(says: str) -> str | None:
    """Which of the two a task's words ask for."""
    return {MULCH_SAYS: MULCH, TOP_SAYS: TOP}.get(says)


def _mulching(
    visit: date, t: Tended, last_done: Mapping[tuple[str, str], date], frost: date | None
) -> Task | None:
    started = t.planting.started
    if t.mulched is not False or started is None or t.planting.crop not in MULCHED:
        return None
    due = started + timedelta(days=ESTABLISHED_DAYS)
    late = frost is not None and (frost - visit).days < MULCH_BEFORE_FROST_DAYS
    if visit < due or late or (t.planting.key, MULCH) in last_done:
        return None
    return _once(
        visit, t, MULCH, due, 2.0 * t.ground_m2,
        f"{t.planting.name}: {MULCH_SAYS}.",
        "bare ground loses about a can a square metre in a hot week, splashes blight on low "
        "leaves and grows weeds",
        "Water first. Not where slugs eat.",
    )  # fmt: skip


def _topping(
    visit: date, t: Tended, last_done: Mapping[tuple[str, str], date], frost: date | None
) -> Task | None:
    if frost is None or t.planting.crop not in TOPPED or (t.planting.key, TOP) in last_done:
        return None
    due = frost - timedelta(days=LAST_FLOWERS_DAYS)
    if not due <= visit < frost:
        return None
    return _once(
        visit, t, TOP, due, 0.5 * t.planting.plants,
        f"{t.planting.name}: {TOP_SAYS}.",
        f"what flowers from now on will not ripen before frost, usual about {short(frost)}",
        "",
    )  # fmt: skip


def _once(
    visit: date, t: Tended, work: str, due: date, minutes: float, says: str, why: str, caution: str
) -> Task:
    return Task(
        id=task_id(visit, "care", t.planting.key, work),
        kind="care",
        part="care",
        planting=t.planting.key,
        says=says,
        minutes=float(round(max(3.0, minutes))),
        cautions=(caution,) if caution else (),
        because=(
            Because(
                f"{why}; due {short(due)}, once (common practice)",
                rests_on=(
                    f"plot:planting/{t.planting.key}",
                    "computed:care intervals, common practice without a source",
                ),
            ),
        ),
        due=due,
    )
