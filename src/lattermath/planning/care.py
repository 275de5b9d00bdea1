"""Tending that keeps plants bearing: tying, side shoots, stripping, hoeing."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from lattermath.planning.care_rounds import done_once
from lattermath.planning.potatoes import blight_tasks, work_of
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class CareRow:
    """One kind of tending: for which crops, how often, how long. Common practice, no source."""

    work: str
    says: str
    crops: frozenset[str]
    every_days: int
    minutes_a_plant: float
    because: str
    only_worn: bool = False


CUCURBITS = frozenset(
    {"cucumber_slicing", "cucumber_pickling", "summer_squash", "winter_squash", "melon"}
)

# Intervals are common practice; minutes are judgement.
ROWS: tuple[CareRow, ...] = (
    CareRow(
        "tie and side-shoot",
        "tie in, take out side shoots",
        frozenset({"tomato_indeterminate"}),
        7,
        1.0,
        "a cordon left a week breaks or shades its own fruit",
    ),
    CareRow(
        "tie",
        "tie in",
        frozenset({"tomato_determinate", "eggplant", "pepper_sweet", "cucumber_slicing"}),
        10,
        0.5,
        "fruit off the ground stays clean",
    ),
    CareRow(
        "strip",
        "take off yellow and dead leaves, and fruit gone to seed",
        CUCURBITS,
        7,
        1.5,
        "a worn plant carries on only when it is not feeding old leaves and marrows",
        only_worn=True,
    ),
    CareRow(
        "strip",
        "take off yellow and spotted leaves below the lowest truss",
        frozenset({"tomato_indeterminate", "tomato_determinate"}),
        10,
        1.0,
        "old low leaves feed nothing, and are where blight and mites begin",
        only_worn=True,
    ),
    CareRow(
        "strip",
        "take off yellow and eaten leaves at the foot, and pods gone hard",
        frozenset({"bean_bush", "bean_pole", "runner_bean"}),
        10,
        0.3,
        "old leaves feed nothing and hold mites and rust; a pod left to ripen stops the plant",
        only_worn=True,
    ),
    CareRow(
        "strip",
        "take off yellow leaves at the foot, and fruit gone dull",
        frozenset({"eggplant", "pepper_sweet"}),
        10,
        0.8,
        "old low leaves are where mites and scales sit thickest; fruit gone dull slows the plant",
        only_worn=True,
    ),
    CareRow(
        "strip",
        "pick off yellow and eaten outer leaves",
        frozenset(
            {
                "chard",
                "kale",
                "collard",
                "cabbage",
                "broccoli",
                "cauliflower",
                "brussels_sprouts",
                "bok_choy",
                "chinese_cabbage",
                "kohlrabi",
            }
        ),
        7,
        0.5,
        "old outer leaves feed nothing, and carry eggs, whitefly scales and aphids",
        only_worn=True,
    ),
)
FIGHT_FIRST = "a fight begins with this; a treatment is only one part of it"

WORN = ("tired", "worn", "failing")


def care_tasks(
    visit: date,
    plantings: Iterable[Planting],
    last_done: Mapping[tuple[str, str], date],
    blighted: Collection[str] = (),
    fought: Collection[str] = (),
) -> list[Task]:
    """Give the tending due at this visit. `last_done` is keyed by (planting, work).

    blighted : keys of plantings on which late blight was seen.
    fought   : keys of plantings whose verdict is *fight*: their worn leaves come off first.
    """
    standing = tuple(plantings)
    due: list[Task] = list(blight_tasks(visit, standing, blighted, last_done))
    for planting in standing:
        for row in ROWS:
            last = last_done.get((planting.key, row.work))
            fight = planting.key in fought and row.only_worn
            if _due(visit, planting, row, last, fight):
                due.append(_task(visit, planting, row, last, fight))
    return due


def work_said(says: str) -> str:
    """The kind of tending that a task's words ask for: that of its row, or its own first words."""
    if (of_potatoes := work_of(says)) is not None:
        return of_potatoes
    wanted = says.partition(": ")[2].rstrip(".")
    if (once := done_once(wanted)) is not None:
        return once
    return next((row.work for row in ROWS if row.says == wanted), wanted.partition(". ")[0])


def _due(visit: date, planting: Planting, row: CareRow, last: date | None, fight: bool) -> bool:
    wanted = not row.only_worn or fight or planting.vigour in WORN
    if planting.crop not in row.crops or not wanted:
        return False
    return last is None or (visit - last).days >= row.every_days


def _task(visit: date, planting: Planting, row: CareRow, last: date | None, fight: bool) -> Task:
    due = visit if last is None else last + timedelta(days=row.every_days)
    when = "not done yet this season" if last is None else f"last done {short(last)}"
    first = f"{FIGHT_FIRST}: " if fight else ""
    return Task(
        id=task_id(visit, "care", planting.key, row.work),
        kind="care",
        part="care",
        planting=planting.key,
        says=f"{planting.name}: {row.says}.",
        minutes=max(3.0, round(row.minutes_a_plant * planting.plants)),
        because=(
            Because(
                f"{first}{row.because}; {when}, due {short(due)}, "
                f"wanted every {counted(row.every_days, 'days').removeprefix('1 ')} "
                "(common practice)",
                rests_on=(
                    f"plot:planting/{planting.key}",
                    "computed:care intervals, common practice without a source",
                ),
            ),
        ),
        must=fight,
        due=due,
    )
