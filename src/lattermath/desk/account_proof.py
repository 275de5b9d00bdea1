"""What counts before and after say of each treatment of insects and mites.

Leaf diseases are left out: what protects leaves takes no spots off, so more after it proves
nothing. Fewer after it proves little too (weather, age); not fewer is worth a line.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from lattermath.desk.account_reasons import Kept, aimed_at
from lattermath.desk.entry_words import called
from lattermath.knowledge.tables import Tables
from lattermath.planning.treated_beside import AFTER_DAYS, BEFORE_DAYS, SOON_DAYS
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.events import Event, Sighting, Treatment
from lattermath.vocabulary.measure import roughly
from lattermath.vocabulary.plot import Plot


@dataclass(frozen=True, slots=True)
class Proof:
    """Sentences: what did not bring the count down, and what nobody counted after."""

    failed: tuple[str, ...]
    uncounted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Look:
    event: Event
    stage: str
    a_leaf: float


def counted_after(
    events: Sequence[Event], plot: Plot, tables: Tables, plans: Sequence[Kept]
) -> Proof:
    """Hold each treatment against the last count of the week before and the first after it."""
    failed, uncounted = [], []
    for event in events:
        done = event.payload
        if not isinstance(done, Treatment):
            continue
        aims = aimed_at(event, plans, tables) & {*tables.organisms, *tables.crosswalk.kinds}
        against = tables.named(done.against or min(aims, default=""))
        for key in done.plantings if aims else ():
            looks = _looks(events, key, aims)
            after = [w for w in looks if SOON_DAYS <= (w.event.day - event.day).days <= AFTER_DAYS]
            way = called(done.product, plot) if done.product else tables.named(done.method)
            what = f"{way} on {called(key, plot)}, {said(event.day)}"
            if not after:
                uncounted.append(f"{what}: {against} not counted after it")
                continue
            words = _not_fewer(event, looks, after[0])
            if words:
                failed.append(f"{what}, against {against}: {words}")
    return Proof(tuple(failed), tuple(uncounted))


def _not_fewer(event: Event, looks: Sequence[_Look], after: _Look) -> str:
    """Both counts where the second is no lower; nothing where it is, or there was none before."""
    before = [
        w
        for w in looks
        if 0 <= (event.day - w.event.day).days <= BEFORE_DAYS
        and w.event.happened_at <= event.happened_at
        and w.stage == after.stage
    ]
    if not before or after.a_leaf < before[-1].a_leaf or after.a_leaf == 0:
        return ""
    first, then = before[-1], after
    return (
        f"no fewer after it, {roughly(first.a_leaf, 3)} a leaf on {said(first.event.day)} and "
        f"{roughly(then.a_leaf, 3)} on {said(then.event.day)} (entries {first.event.serial} and "
        f"{then.event.serial})"
    )


def _looks(events: Sequence[Event], planting: str, aims: Collection[str]) -> list[_Look]:
    """Counts on leaves of one planting, in the order in which they were made."""
    found = []
    for event in events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.planting != planting or seen.what not in aims:
            continue
        total = sum(seen.counts) if seen.counts else seen.total
        leaves = len(seen.counts) or seen.looked_at
        if seen.measure == "count" and total is not None and leaves:
            found.append(_Look(event, seen.stage, total / leaves))
    return found
