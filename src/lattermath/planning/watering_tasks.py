"""The shared-out water as work: who gets how many cans, in which order, and what is left."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from lattermath.planning.task_ids import task_id
from lattermath.planning.watering import BedShare, WaterShare
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import Amount, Task
from lattermath.vocabulary.ruling import Because, Ruling
from lattermath.vocabulary.sentence import capital, listed

ROUND = "round"
MINUTES_A_CAN = 2.0  # judgement: to the tap and back with two at a time, poured slowly
MUST_WATER = 0.5  # judgement: more likely than not to go short before the next visit
MINUTES_A_HOSE = 3.0  # judgement: roll out and away
HOSE_LITRES_A_MINUTE = 10.0  # judgement: a garden tap, gently
CAUTION = "At the foot, not over the leaves: wet leaves at nightfall bring blight and mildew."


def watering_tasks(
    visit: date,
    share: WaterShare,
    hose: Ruling | None = None,
    first: Collection[str] = (),
    later: Collection[str] = (),
) -> list[Task]:
    """Give the watering of one visit: a line for each wilted planting, one for all the rest.

    first : plantings with a line of their own as well, since they are to be sprayed after it.
    later : plantings of the round that come after it, in a line of their own.
    """
    given = [one for one in share.shares if one.given_litres > 0]
    apart = [one for one in given if one.need.wilted or one.need.key in first]
    rest = [one for one in given if one not in apart and one.need.key not in later]
    tasks = [_apart(visit, one, share) for one in apart]
    if rest:
        tasks.append(_round(visit, rest, share, hose))
    after = [one for one in given if one not in apart and one.need.key in later]
    return tasks + [_apart(visit, one, share, after=True) for one in after]


def next_to_wait(
    watering: Sequence[Task], no_time: Collection[str], share: WaterShare
) -> str | None:
    """The planting of a round without time that waits, the last to lose anything; None: none.

    What goes short soonest and likeliest is watered first; of the like what takes fewer litres, so
    that more of them are.
    """
    short = {
        amount.planting
        for task in watering
        if task.planting is None and task.id in no_time
        for amount in task.amounts
    }
    rest = [one for one in share.shares if one.need.key in short]
    return max(rest, key=_waits).need.key if len(rest) > 1 else None


def _waits(one: BedShare) -> tuple[bool, bool, int, float]:
    """The last to lose anything sorts last; what is to be sprayed comes first, on moist soil."""
    thirst = -round(10 * one.chance_unwatered)
    return not one.need.sprayed, not _urgent(one), thirst, one.given_litres


def _urgent(one: BedShare) -> bool:
    return one.need.turn <= 1 or one.chance_unwatered >= MUST_WATER


def water_left(share: WaterShare) -> str:
    """Say where the water goes and what is left, in cans; empty when nothing is watered."""
    given = [one for one in share.shares if one.given_litres > 0]
    if share.by_hose or not share.shares:
        return ""
    parts = [f"{_cans_or_litres(one.given_litres, share)} to {one.need.name}" for one in given]
    if share.spare_cans:
        parts.append(f"{cans(share.spare_cans)} spare")
    short = [one.need.name for one in share.gone_short]
    tail = f" Not enough for {listed(short)}." if short else ""
    return f"{capital(listed(parts))}.{tail}" if parts else tail.strip()


def cans(number: float) -> str:
    """Say a number of cans: `half a can`, `1 can`, `2 and a half cans`."""
    whole, half = divmod(round(2 * number), 2)
    if not whole:
        return "half a can" if half else "no can"
    if half:
        return f"{whole} and a half cans"
    return f"{whole} can" if whole == 1 else f"{whole} cans"


def _apart(visit: date, one: BedShare, share: WaterShare, *, after: bool = False) -> Task:
    amount = _cans_or_litres(one.given_litres, share)
    why = "wilted" if one.need.wilted else "before they are sprayed"
    why = "after the others" if after else why
    return Task(
        id=task_id(visit, "water", one.need.key, None),
        kind="water",
        part="on arrival",
        planting=one.need.key,
        says=f"Water: {one.need.name}, {why}, {amount} at the foot.",
        minutes=_minutes(one.given_litres, share, out=after),
        amounts=(Amount("water", one.given_litres, "l", planting=one.need.key),),
        because=one.because,
        if_skipped=f"{one.need.name} {'dry up' if one.need.wilted else 'go short of water'}",
        must=not after or _urgent(one),
        dies=one.need.wilted,
    )


def _round(visit: date, rest: Sequence[BedShare], share: WaterShare, hose: Ruling | None) -> Task:
    parts = [f"{one.need.name} {_cans_or_litres(one.given_litres, share)}" for one in rest]
    urgent = [one for one in rest if one.need.turn <= 1]
    reasons = tuple(reason for one in rest for reason in one.because)
    # A hose that may not be used is a fact about the work, not a bar on watering by can.
    bars = (
        () if hose is None else tuple(Because(b.says, True, b.who, b.rests_on) for b in hose.bars)
    )
    return Task(
        id=task_id(visit, "water", None, ROUND),
        kind="water",
        part="on arrival",
        says=f"Water at the foot{' with the hose' if share.by_hose else ''}: {', '.join(parts)}.",
        minutes=_minutes(sum(one.given_litres for one in rest), share),
        amounts=tuple(
            Amount(f"water for {o.need.name}", o.given_litres, "l", planting=o.need.key)
            for o in rest
        ),
        cautions=(CAUTION,),
        because=(*reasons, *bars),
        if_skipped=f"{listed([one.need.name for one in (urgent or rest)])} go short of water",
        dies=any(one.need.wilted for one in rest),
        must=any(map(_urgent, rest)),
    )


def _minutes(litres: float, share: WaterShare, *, out: bool = False) -> float:
    """Minutes to pour so much. out: the hose lies there already."""
    if share.by_hose:
        roll = 0.0 if out else MINUTES_A_HOSE
        return float(round(roll + litres / HOSE_LITRES_A_MINUTE))
    return float(round(MINUTES_A_CAN * litres / share.can_litres))


def _cans_or_litres(litres: float, share: WaterShare) -> str:
    if share.by_hose:
        return f"about {measure(litres, 'l')}"
    return cans(litres / share.can_litres)
