"""The evening before a frost: what to pick, the most tender first, what to cover, what to leave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from lattermath.belief.crop_growth import COVER_KEEPS_C
from lattermath.planning.means import NEEDS_BEES
from lattermath.planning.picking_clearance import not_known
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Clearance, NotToday, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

WITH_FLEECE = ", with fleece on cold nights"  # of a planting that is let run, covered
CLOSE_C = 1.0  # judgement: a night may be so much colder than is expected of it
MINUTES_TO_STRIP = 8.0  # judgement: a planting stripped in a hurry
MINUTES_TO_COVER = 5.0  # judgement: cloth over one planting, edges weighted
RIPENS_INDOORS = ("tomato", "pepper")  # common practice: full-grown green fruit colours inside
WITH_STALK = ("winter_squash", "pumpkin")  # common practice: without its stalk it does not keep
COME_IN = (*RIPENS_INDOORS, *WITH_STALK)  # full-grown fruit of these is of use before it is ripe
COVER = (
    "cover before dusk, the cloth to the ground, off the leaves where it can be; off again when it "
    "thaws"
)


STAYS_ON = (
    "cover before dusk, the cloth to the ground, off the leaves where it can be, the edges "
    "weighted; it may stay on, no day is too hot for it before you are back on"
)
UNSAVED = "A cover will not save"
NO_COVER = "No cover is on hand for"


@dataclass(frozen=True, slots=True)
class Cloth:
    """The fleece before a frost: whether there is any, and who takes it off when it thaws.

    back : the day of coming back, where nobody is there on the morning of the frost; None: there.
    mild : no day until then is so hot that plants cook under it.
    """

    there: bool = True
    back: date | None = None
    mild: bool = True

    def carries(self, one: Standing, low_c: float) -> bool:
        """Tell whether a planting is to be covered, and lives through the night so."""
        return self.there and low_c + COVER_KEEPS_C > one.kill_c and self.may_lie_on(one.planting)

    def may_lie_on(self, planting: Planting) -> bool:
        """Tell whether somebody takes it off in time, or it may stay on until then."""
        shut = planting.crop in NEEDS_BEES and planting.in_bloom is not False
        return self.back is None or (self.mild and not shut)


@dataclass(frozen=True, slots=True)
class Standing:
    """A planting before a frost: the leaf temperature that ends it, and whether it bears. [C]"""

    planting: Planting
    kill_c: float
    address: str  # of that figure
    bears: bool
    colours: bool = False  # bears nothing ripe yet, and full-grown fruit hangs that ripens off it


def frost_work(
    visit: date,
    low_c: float,
    stands: Sequence[Standing],
    clearances: Mapping[str, Clearance],
    at: datetime,
    cloth: Cloth,
) -> tuple[list[Task], list[NotToday]]:
    """Give the work before a night that falls to `low_c` at the leaves, and what is left alone.

    What the night would kill is picked, the most tender first and before what bears the night,
    unless its picking is barred; a frost lifts no bar. Fruit that is full-grown and ripens inside
    counts as what bears. What a cover on hand carries over is covered, what it cannot save is
    picked and named, and what bears the night is left.
    """
    in_danger = sorted(
        (one for one in stands if one.kill_c >= low_c - CLOSE_C),
        key=lambda one: (-one.kill_c, one.planting.name),
    )
    tasks: list[Task] = []
    bars: list[NotToday] = []
    for one in in_danger:
        saved = cloth.carries(one, low_c)
        gives = one.bears or one.colours
        if gives and _clear(clearances.get(one.planting.key), at):
            tasks.append(_strip(visit, one, low_c))
        elif gives:
            bars.append(_barred(one, clearances.get(one.planting.key)))
        if saved:
            tasks.append(_cover(visit, one, low_c, cloth))
    bars += _not_covered(in_danger, low_c, cloth)
    left = [one for one in stands if one not in in_danger]
    if left and in_danger:
        bars.append(_left(left, low_c))
    return tasks, bars


def _clear(clearance: Clearance | None, at: datetime) -> bool:
    """Nothing unknown is ever clear."""
    if clearance is None:
        return False
    return clearance.clear_now or (clearance.safe_from is not None and clearance.safe_from <= at)


def _strip(visit: date, one: Standing, low_c: float) -> Task:
    beyond = low_c + COVER_KEEPS_C <= one.kill_c
    last = " A cover does not save it." if beyond else ""
    return Task(
        id=task_id(visit, "pick", one.planting.key, None),
        kind="pick",
        part="on arrival",  # before what bears the night, whatever sits on it
        planting=one.planting.key,
        says=f"{one.planting.name}: before the frost, {_of_use(one)}.{last}",
        minutes=MINUTES_TO_STRIP,
        cautions=("Rinse under running water before eating.",),
        because=(_danger(one, low_c),),
        if_skipped=f"{inside(one.planting.name)} freeze with all that hangs on them",
        must=True,
        dies=True,
    )


def _of_use(one: Standing) -> str:
    """What of it comes in: of what keeps or ripens inside, more than is ready."""
    if one.planting.crop.startswith(RIPENS_INDOORS):
        return (
            "all that is of use, full-grown green ones too: they ripen indoors"
            if one.bears
            else "all full-grown green ones: they ripen indoors"
        )
    if one.planting.crop.startswith(WITH_STALK):
        return (
            "all that is of use, each with its stalk"
            if one.bears
            else "all that is full-grown or has coloured, each with its stalk. What a nail marks "
            "does not keep: eat it first"
        )
    return "all that is of use"


def _cover(visit: date, one: Standing, low_c: float, cloth: Cloth) -> Task:
    does = COVER if cloth.back is None else f"{STAYS_ON} {said(cloth.back)}"
    return Task(
        id=task_id(visit, "cover", one.planting.key, None),
        kind="cover",
        part="care",
        planting=one.planting.key,
        says=f"{one.planting.name}: {does}.",
        minutes=MINUTES_TO_COVER,
        because=(
            _danger(one, low_c),
            Because(f"a cover keeps about {measure(COVER_KEEPS_C, 'C apart')} off"),
        ),
        if_skipped=f"{inside(one.planting.name)} freeze",
        must=True,
        dies=True,
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


def _not_covered(in_danger: Sequence[Standing], low_c: float, cloth: Cloth) -> Iterator[NotToday]:
    """Name what the night may take uncovered, by why no cover is laid over it."""
    beyond = [one for one in in_danger if low_c + COVER_KEEPS_C <= one.kill_c]
    others = [one for one in in_danger if one not in beyond]
    low, keeps = measure(round(low_c, 1), "C"), measure(COVER_KEEPS_C, "C apart")
    if beyond:
        reason = f"a cover keeps about {keeps} off, and leaves may fall to about {low}"
        yield _unsaved(UNSAVED, beyond, Because(reason))
    if others and not cloth.there:
        reason = "no fleece is written down, and leaves may fall to about " + low
        none = Because(reason, rests_on=("plot:means",), way_out="write fleece down if you have it")
        yield _unsaved(NO_COVER, others, none)
    elif alone := [one for one in others if not cloth.carries(one, low_c)]:
        back = said(cloth.back) if cloth.back is not None else "then"
        nobody = Because(
            f"nobody would take it off before {back}",
            rests_on=("plot:visiting",),
            way_out="let a helper cover on the evening before, and take it off when it thaws",
        )
        yield _unsaved("No cover while you are away for", alone, nobody)


def _unsaved(says: str, which: Sequence[Standing], because: Because) -> NotToday:
    names = ", ".join(inside(one.planting.name) for one in which)
    rests_on = (*because.rests_on, *(f"table:{one.address}" for one in which))
    return NotToday(f"{says} {names}", None, (replace(because, holds=False, rests_on=rests_on),))


def _left(left: Sequence[Standing], low_c: float) -> NotToday:
    names = ", ".join(inside(one.planting.name) for one in left)
    low = measure(round(low_c, 1), "C")
    reason = Because(
        f"they bear more than the {low} that leaves may fall to",
        rests_on=tuple(f"table:{one.address}" for one in left),
    )
    return NotToday(what=f"No cover for {names}", planting=None, because=(reason,))


def for_nothing(ending: Sequence[Standing], morning: date) -> NotToday:
    """Why what the night is likely to end gets no water, and nothing is counted there."""
    names = ", ".join(inside(one.planting.name) for one in ending)
    why = Because(
        f"the frost by {said(morning)} is likely to end them, whatever is done",
        holds=False,
        rests_on=tuple(f"table:{one.address}" for one in ending),
    )
    return NotToday(f"No water, no count and no treatment for {names}", None, (why,))
