"""The evening before a frost: what to pick, the most tender first, what to cover, what to leave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from lattermath.belief.crop_growth import COVER_KEEPS_C
from lattermath.planning.picking_clearance import not_known
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Clearance, NotToday, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

CLOSE_C = 1.0  # judgement: a night may be so much colder than is expected of it
MINUTES_TO_STRIP = 8.0  # judgement: a planting stripped in a hurry
MINUTES_TO_COVER = 5.0  # judgement: cloth over one planting, edges weighted
RIPENS_INDOORS = ("tomato", "pepper")  # common practice: full-grown green fruit colours inside
WITH_STALK = ("winter_squash", "pumpkin")  # common practice: without its stalk it does not keep
COVER = (
    "cover before dusk, the cloth to the ground, off the leaves where it can be; off again when it "
    "thaws"
)


@dataclass(frozen=True, slots=True)
class Standing:
    """A planting before a frost: the leaf temperature that ends it, and whether it bears. [C]"""

    planting: Planting
    kill_c: float
    address: str  # of that figure
    bears: bool


def frost_work(
    visit: date,
    low_c: float,
    stands: Sequence[Standing],
    clearances: Mapping[str, Clearance],
    at: datetime,
) -> tuple[list[Task], list[NotToday]]:
    """Give the work before a night that falls to `low_c` at the leaves, and what is left alone.

    What the night would kill is picked, the most tender first, unless its picking is barred; a
    frost lifts no bar. What a cover carries over is covered, what it cannot save is only picked,
    and what bears the night is left.
    """
    in_danger = [one for one in stands if one.kill_c >= low_c - CLOSE_C]
    tasks: list[Task] = []
    bars: list[NotToday] = []
    for one in sorted(in_danger, key=lambda s: (-s.kill_c, s.planting.name)):
        saved = low_c + COVER_KEEPS_C > one.kill_c
        if one.bears and _clear(clearances.get(one.planting.key), at):
            tasks.append(_strip(visit, one, low_c, saved=saved))
        elif one.bears:
            bars.append(_barred(one, clearances.get(one.planting.key)))
        if saved:
            tasks.append(_cover(visit, one, low_c))
    left = [one for one in stands if one not in in_danger]
    if left and in_danger:
        bars.append(_left(left, low_c))
    return tasks, bars


def _clear(clearance: Clearance | None, at: datetime) -> bool:
    """Nothing unknown is ever clear."""
    if clearance is None:
        return False
    return clearance.clear_now or (clearance.safe_from is not None and clearance.safe_from <= at)


def _strip(visit: date, one: Standing, low_c: float, *, saved: bool) -> Task:
    crop = one.planting.crop
    also = (
        ", full-grown green ones too: they ripen indoors" if crop.startswith(RIPENS_INDOORS) else ""
    )
    also = ", each with its stalk" if crop.startswith(WITH_STALK) else also
    last = "" if saved else " A cover does not save it."
    return Task(
        id=task_id(visit, "pick", one.planting.key, None),
        kind="pick",
        part="pick",
        planting=one.planting.key,
        says=f"{one.planting.name}: before the frost, all that is of use{also}.{last}",
        minutes=MINUTES_TO_STRIP,
        cautions=("Rinse under running water before eating.",),
        because=(_danger(one, low_c),),
        if_skipped=f"{inside(one.planting.name)} freeze with all that hangs on them",
        must=True,
    )


def _cover(visit: date, one: Standing, low_c: float) -> Task:
    return Task(
        id=task_id(visit, "cover", one.planting.key, None),
        kind="cover",
        part="care",
        planting=one.planting.key,
        says=f"{one.planting.name}: {COVER}.",
        minutes=MINUTES_TO_COVER,
        because=(
            _danger(one, low_c),
            Because(f"a cover keeps about {measure(COVER_KEEPS_C, 'C apart')} off"),
        ),
        if_skipped=f"{inside(one.planting.name)} freeze",
        must=True,
    )


def _danger(one: Standing, low_c: float) -> Because:
    return Because(
        f"leaves fall to about {measure(round(low_c, 1), 'C')} in a clear, still night, and "
        f"{measure(one.kill_c, 'C')} ends {inside(one.planting.name)}",
        rests_on=(f"table:{one.address}", f"plot:planting/{one.planting.key}"),
    )


def _barred(one: Standing, clearance: Clearance | None) -> NotToday:
    unknown = not_known()
    return NotToday(
        what=f"Not the {inside(one.planting.name)}, frost or no frost",
        planting=one.planting.key,
        because=(unknown,) if clearance is None else clearance.barred_by or (unknown,),
        look_again=None if clearance is None else clearance.safe_from,
    )


def _left(left: Sequence[Standing], low_c: float) -> NotToday:
    names = ", ".join(inside(one.planting.name) for one in left)
    low = measure(round(low_c, 1), "C")
    reason = Because(
        f"they bear more than the {low} that leaves may fall to",
        rests_on=tuple(f"table:{one.address}" for one in left),
    )
    return NotToday(what=f"No cover for {names}", planting=None, because=(reason,))
