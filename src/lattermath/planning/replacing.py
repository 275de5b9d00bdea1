"""Turns verdicts into work: what to set out, what to pull, and where the plant goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from lattermath.planning.fate_reasons import PEST_NEAR, UNTREATED
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.blanks import GoesIn
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Amount, Part, Task, Verdict
from lattermath.vocabulary.plot import Planting, StandbyLot
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital

MINUTES_A_PLANT_SET_OUT = 3.5  # judgement: hole, water, firm, collar
MINUTES_A_PLANT_PULLED = 1.5  # judgement: bag, cut, carry
MINUTES_TO_SOW = 10.0  # judgement
WATER_TO_SET_OUT_L = 1.0  # common practice: a litre a plant, in the hole
TIDE_OVER_DAYS = 21  # common practice: the young plants bear two to three weeks after setting out
WASH_FIRST = "Wash hands and trowel after the sick plants."  # common practice


@dataclass(frozen=True, slots=True)
class Replacement:
    """One replacing to be done at this visit: what comes out, what goes in, and where."""

    verdict: Verdict
    old: Planting | None  # None: the ground is bare already
    lot: StandbyLot | None
    crop: str  # crop id of what goes in
    crop_name: str
    ground: str  # bed as the grower calls it
    bed: str | None  # its key
    plants: int
    sick: bool = False  # what comes out carries a pest or mildew
    keep: int = 0  # of the old plants, how many stay to tide over
    waste: str = ""  # the garden's own rule on what is pulled
    besides: str = ""  # what else is done as it comes out
    cannot_wait: bool = False  # the cups coil, or it is too late, before the next visit


def replacing_tasks(visit: date, replacement: Replacement) -> list[Task]:
    """Give the pulling and the setting out (or sowing) that one verdict asks for."""
    tasks: list[Task] = []
    if replacement.old is not None and replacement.old.plants > replacement.keep:
        tasks.append(_pull(visit, replacement, replacement.old))
    from_cups = replacement.verdict.choice in ("set out standby now", "wait for the lot")
    if from_cups and replacement.lot is not None:
        tasks.append(_set_out(visit, replacement, replacement.lot))
    elif replacement.verdict.choice in ("direct sow", "another crop"):
        tasks.append(_sow(visit, replacement))
    return tasks


def _part(replacement: Replacement) -> Part:
    """What follows sick plants follows them in the evening too: the ground must be free first."""
    return "sick plants last" if replacement.sick else "replace"


def _set_out(visit: date, replacement: Replacement, lot: StandbyLot) -> Task:
    wait = replacement.verdict.decide_by
    late = f" Too late after about {short(wait)}." if wait is not None else ""
    return Task(
        id=task_id(visit, "set out", lot.key, replacement.ground),
        kind="set out",
        part=_part(replacement),
        planting=None if replacement.old is None else replacement.old.key,
        says=(
            f"Put {replacement.plants} {replacement.crop_name} from the cups in "
            f"{replacement.ground}: water in, shade four days, slug collars.{late}"
        ),
        minutes=round(MINUTES_A_PLANT_SET_OUT * replacement.plants),
        amounts=(
            Amount("plants", replacement.plants, "plants"),
            Amount("water", WATER_TO_SET_OUT_L * replacement.plants, "l", "common-practice"),
        ),
        cautions=(
            *((WASH_FIRST,) if replacement.sick else ()),
            "Set out in the evening, look each plant through for eggs and scales first.",
            *_near(replacement),
        ),
        because=(
            *replacement.verdict.because,
            Because(
                "young plants settle overnight; sun on the first day wilts them",
                who="our caution",
                rests_on=(f"plot:lot/{lot.key}",),
            ),
        ),
        if_skipped=f"the {replacement.crop_name} in cups coil" if replacement.cannot_wait else "",
        must=replacement.cannot_wait,
        goes_in=_goes_in(replacement, lot),
    )


def _near(replacement: Replacement) -> Iterator[str]:
    """What lives near by on plants of its own and on these: never set beside it untold.

    One is enough where it is done; the others stand among the reasons.
    """
    told = [one.says for one in replacement.verdict.because if PEST_NEAR in one.rests_on]
    for says in sorted(told, key=lambda one: UNTREATED not in one)[:1]:
        yield f"{capital(says)}: look under these at every visit."


def _goes_in(replacement: Replacement, lot: StandbyLot | None = None) -> GoesIn:
    return GoesIn(
        crop=replacement.crop if lot is None else lot.crop,
        called=replacement.crop_name,
        bed=replacement.bed,
        lot=None if lot is None else lot.key,
    )


def _pull(visit: date, replacement: Replacement, old: Planting) -> Task:
    count = old.plants - replacement.keep
    which = "all" if replacement.keep == 0 else f"the {count} worst"
    bag = (
        "bag each standing, then cut. Off the plot, not compost"
        if replacement.sick
        else ("cut at the foot, leave the roots. Compost")
    )
    keep = (
        f" Keep {replacement.keep} to tide you over, {TIDE_OVER_DAYS // 7} weeks."
        if replacement.keep
        else ""
    )
    besides = f" {replacement.besides}." if replacement.besides else ""
    sealed = ("Bag only in the evening and take it off the plot at once; nothing sprayed inside.",)
    rule = (f"The garden's rule: {replacement.waste}",) if replacement.waste else ()
    return Task(
        id=task_id(visit, "pull", old.key, None),
        kind="pull",
        part=_part(replacement),
        planting=old.key,
        says=f"{old.name}: {which}, {bag}.{keep}{besides}",
        minutes=max(3.0, round(MINUTES_A_PLANT_PULLED * count)),
        amounts=(Amount("plants", count, "plants"),),
        cautions=(*(sealed if replacement.sick else ()), *rule),
        because=replacement.verdict.because,
        if_skipped=f"{old.name} go on feeding what lives on them" if replacement.sick else "",
        must=replacement.cannot_wait,
    )


def _sow(visit: date, replacement: Replacement) -> Task:
    by = replacement.verdict.decide_by or visit + timedelta(days=7)
    return Task(
        id=task_id(visit, "sow", replacement.crop, replacement.ground),
        kind="sow",
        part=_part(replacement),
        planting=None if replacement.old is None else replacement.old.key,
        says=(
            f"Sow {replacement.crop_name} in {replacement.ground}. "
            f"Too late after about {short(by)}."
        ),
        minutes=MINUTES_TO_SOW,
        amounts=(Amount("water", 5.0, "l", "common-practice"),),
        cautions=(WASH_FIRST,) if replacement.sick else (),
        because=replacement.verdict.because,
        if_skipped=f"{replacement.ground} stands empty",
        must=replacement.cannot_wait,
        goes_in=_goes_in(replacement),
    )
