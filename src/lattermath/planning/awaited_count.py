"""Treatments that wait for a count: which planting tells what they took, and from when."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from lattermath.planning.treated_beside import BEFORE_DAYS, SOON_DAYS, Looked
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class Awaited:
    """One treatment that was not counted since.

    treatment : what was done and when, in words: Soap of 12 Jul.
    since     : the first day on which a count can tell what it took.
    event     : its entry; None: not written down by itself.
    """

    treatment: str
    since: date
    event: int | None = None

    @property
    def because(self) -> Because:
        """Why a count is wanted."""
        rests = () if self.event is None else (f"event:{self.event}",)
        says = f"a count from {short(self.since)} on tells what {self.treatment} took"
        return Because(says, rests_on=rests)


def awaited(name: str, day: date, event: int | None) -> Awaited:
    """A treatment of a day that no count has told of yet."""
    return Awaited(f"{name} of {short(day)}", day + timedelta(days=SOON_DAYS), event)


def tells(looks: Sequence[Looked], treated: Collection[str], day: date) -> str | None:
    """The treated planting whose next count tells most of it: counted in the days before it, as
    late and as many as can be; None: none of them was ever counted.

    looks : counts of the insect.
    day   : of the treatment.
    """
    mine = [look for look in looks if look.planting in treated]
    before = [look for look in mine if 0 <= (day - look.day).days <= BEFORE_DAYS]
    best = max(before or mine, key=lambda w: (w.day, w.mean, w.serial), default=None)
    return None if best is None else best.planting


def due(waiting: Sequence[Awaited], visit: date) -> tuple[Awaited, ...]:
    """Those of which a count at this visit tells."""
    return tuple(one for one in waiting if one.since <= visit)


def still_awaited(waiting: Sequence[Awaited], looked: date | None) -> tuple[Awaited, ...]:
    """Those of which a look of that day did not tell yet; None: there was none."""
    return tuple(one for one in waiting if looked is None or looked < one.since)
