"""Blight on potatoes: cut the haulm, wait two weeks, lift; else the tubers rot in the store."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta, tzinfo

from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.plan import Amount, Clearance, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

CUT, LIFT = "cut haulm", "lift"
SET_SKIN_DAYS = 14  # common practice: skins set, and spores on the ground die, in two weeks
MINUTES_A_PLANT_CUT = 0.5  # judgement
MINUTES_A_PLANT_LIFTED = 2.0  # judgement


def blight_tasks(
    visit: date,
    plantings: Iterable[Planting],
    blighted: Collection[str],
    last_done: Mapping[tuple[str, str], date],
) -> Iterator[Task]:
    """Cutting of blighted haulm now; lifting from two weeks after it was cut.

    blighted  : keys of plantings on which late blight was seen.
    last_done : day of the last tending, by planting and work; `cut haulm` and `lift` count here.
    """
    for planting in plantings:
        if planting.crop != "potato":
            continue
        cut = last_done.get((planting.key, CUT))
        if cut is None and planting.key in blighted:
            yield _cut(visit, planting)
        lifted = (planting.key, LIFT) in last_done
        if cut is not None and not lifted and (visit - cut).days >= SET_SKIN_DAYS:
            yield _lift(visit, planting, cut)


def lifted_from(
    visit: date,
    planting: Planting,
    blighted: Collection[str],
    last_done: Mapping[tuple[str, str], date],
) -> date | None:
    """The day before which no tuber is lifted, the haulm cut at `visit` or before; None: none.

    blighted, last_done : as `blight_tasks` takes them.
    """
    cut = last_done.get((planting.key, CUT))
    if planting.crop != "potato" or (cut is None and planting.key not in blighted):
        return None
    if (planting.key, LIFT) in last_done:
        return None
    return (visit if cut is None else cut) + timedelta(days=SET_SKIN_DAYS)


def kept_in_the_ground(clear: Clearance, lift: date, zone: tzinfo) -> Clearance:
    """The clearance of potatoes whose tubers wait for the end of live blight."""
    opens = datetime.combine(lift, time(0), tzinfo=zone)
    because = Because(
        "blight: tubers lifted within two weeks of cutting the haulm catch it, and rot in the "
        "store (common practice)",
        holds=False,
        who="our caution",
        rests_on=(f"plot:planting/{clear.planting}",),
        lapses=opens,
        way_out="cut the haulm now and lift then",
    )
    unknown = not clear.clear_now and clear.safe_from is None
    safe = None if unknown else max(opens, clear.safe_from or opens, key=datetime.timestamp)
    return Clearance(clear.planting, False, safe, (because, *clear.barred_by))


def work_of(says: str) -> str | None:
    """Which of the two a task's words ask for."""
    if "Cut all haulm" in says:
        return CUT
    return LIFT if ": lift on a dry evening" in says else None


def _cut(visit: date, planting: Planting) -> Task:
    lift = visit + timedelta(days=SET_SKIN_DAYS)
    return Task(
        id=task_id(visit, "care", planting.key, CUT),
        kind="care",
        part="sick plants last",
        planting=planting.key,
        says=(
            f"{planting.name}: blight. Cut all haulm at the ground and take it off the plot. "
            f"Lift from {said(lift)}, not before."
        ),
        minutes=max(3.0, round(MINUTES_A_PLANT_CUT * planting.plants)),
        amounts=(Amount("plants", planting.plants, "plants"),),
        cautions=("In a closed bag, not to compost. Wash hands and tools before any tomato.",),
        because=(
            Because(
                "blight runs from leaf to tuber with the next rain, and tubers lifted under live "
                "blight rot in the store (common practice)",
                who="our caution",
                rests_on=(f"plot:planting/{planting.key}",),
            ),
        ),
        if_skipped=f"{planting.name} rot in the ground",
        must=True,
    )


def _lift(visit: date, planting: Planting, cut: date) -> Task:
    return Task(
        id=task_id(visit, "care", planting.key, LIFT),
        kind="care",
        part="care",
        planting=planting.key,
        says=f"{planting.name}: lift on a dry evening, leave out the brown and soft, store dark.",
        minutes=max(5.0, round(MINUTES_A_PLANT_LIFTED * planting.plants)),
        because=(
            Because(
                f"haulm cut {short(cut)}, two weeks and more ago: skins have set",
                rests_on=(f"plot:planting/{planting.key}",),
            ),
        ),
        if_skipped=f"slugs have the {inside(planting.name)}",
    )
