"""The seasonal maximum as the label words it: of product, active or group, on crop, ground or year.

A new treatment must keep its own label's maximum, and that of every label already used whose count
it adds to: a second product of one active is a treatment more for the first, also where it holds
another beside it. Washed off or not,
each counts; one that nobody knows may have been any. Source: rule `retreat_and_maximum`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.rotation import mode_number
from lattermath.planning.treatment_request import TreatmentRequest, applied_to, on_ground
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import CropLimits, ProductLabel
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

YEAR_DAYS = 365  # "a year" as any twelve months: never fewer treatments than the calendar year's


@dataclass(frozen=True, slots=True)
class Maximum:
    """One label's maximum for one crop, and the treatment from which it is counted."""

    label: ProductLabel
    limits: CropLimits
    treatment: Applied

    @property
    def address(self) -> tuple[str, ...]:
        """Where the figure stands."""
        line = f"label:{self.label.key}/{self.limits.crop}/season_max"
        return line, "rule:retreat_and_maximum"


def season_maximum(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Neither this label's maximum nor that of one used before is passed by this treatment."""
    if r.label is None or r.limits is None or not r.limits.season_max.known:
        return
    this = applied_to(r.planting, r.method.key, r.label.key, r.label, r.ends)
    own = Maximum(r.label, r.limits, this)
    if r.limits.season_max.value is None:
        yield Because("the label prints no maximum", who="label", rests_on=own.address)
    kept = [
        _kept(maximum, this, r.applied, r.starts, c)
        for maximum in (own, *_others(r))
        if maximum.limits.season_max.value is not None and _counted(maximum, (this,), r.starts, c)
    ]
    for n, reason in enumerate(_once_each(kept)):
        if n == 0 or not reason.holds:
            yield reason


def _once_each(kept: Sequence[Because]) -> Iterator[Because]:
    """Each once, with the last of its ends; without one where any has none."""
    ends: dict[Because, list[datetime | None]] = {}
    for reason in kept:
        endless = reason if reason.lapses is None else replace(reason, lapses=None)
        ends.setdefault(endless, []).append(reason.lapses)
    for reason, found in ends.items():
        known = [end for end in found if end is not None]
        last = max(known, key=datetime.timestamp) if len(known) == len(found) else None
        yield reason if last is None else replace(reason, lapses=last)


def _others(r: TreatmentRequest) -> Iterator[Maximum]:
    """The maxima of what was already used, or is planned to be, anywhere on this plot."""
    for a in r.applied:
        label = r.labels.get(a.product or "")
        limits = None if label is None else label.limits_for(a.crop)
        if label is not None and limits is not None:
            yield Maximum(label, limits, a)


def _kept(
    m: Maximum, this: Applied, others: Sequence[Applied], clock: datetime, c: Cautions
) -> Because:
    number = _number(m, (this, *others), clock, c)
    most = m.limits.season_max.value or 0
    scope = {"product": m.label.name, "active": m.label.active, "group": f"group {m.label.group}"}
    holds = number <= most
    lapses = None
    if not holds and most > 0 and m.limits.season_max_over != "crop":
        lapses = _free_from(m, this, others, clock, c)
    return Because(
        f"treatment {number} of at most {most} with {scope[m.limits.season_max_scope]}",
        holds=holds,
        who="label",
        rests_on=m.address,
        lapses=lapses,
        way_out="" if holds else "no more of it: another way, or replace the plants",
    )


def _number(m: Maximum, rows: Iterable[Applied], clock: datetime, c: Cautions) -> int:
    counted = _counted(m, rows, clock, c)
    return times_used((_local(a.at, clock), a.planting) for a in counted)


def _free_from(
    m: Maximum, this: Applied, others: Sequence[Applied], clock: datetime, c: Cautions
) -> datetime | None:
    """First day on which so many are more than a year back that this one may be made."""
    days = {_local(a.at, clock) + timedelta(days=YEAR_DAYS + 1) for a in others}
    for day in sorted(day for day in days if day > _local(this.at, clock)):
        start = datetime.combine(day, time(), tzinfo=clock.tzinfo)
        moved = replace(this, at=start)
        own = replace(m, treatment=moved) if m.treatment is this else m
        counts = any(a is moved for a in _counted(own, (moved,), clock, c))
        if not counts or _number(own, (moved, *others), clock, c) <= (
            m.limits.season_max.value or 0
        ):
            return start
    return None


def _counted(m: Maximum, rows: Iterable[Applied], clock: datetime, c: Cautions) -> list[Applied]:
    """The treatments that this label counts together with the one it is counted from."""
    found = [a for a in rows if _in_scope(a, m, c)]
    if m.limits.season_max_over == "crop":
        return [a for a in found if a.planting == m.treatment.planting]
    if not found:
        return []
    ground = Planting(m.treatment.planting, "", m.treatment.crop, 0, bed=m.treatment.bed)
    day = _local(m.treatment.at, clock)
    return [a for a in found if _near(a, m, ground) and _in_a_year(_local(a.at, clock), day)]


def _in_scope(a: Applied, m: Maximum, c: Cautions) -> bool:
    if a.product == m.label.key or unknown_product(a, c):
        return True
    if m.limits.season_max_scope == "product":
        return False
    same = share_an_active(a.active, m.label.active)
    if same or m.limits.season_max_scope != "group":
        return same
    return bool(m.label.group) and mode_number(a.group) == mode_number(m.label.group)


def share_an_active(one: str, other: str) -> bool:
    """Do two products hold an active in common? Of several the ids stand in one, with `and` or
    without: pyrethrins_and_fatty_acids, pyrethrins_fatty_acids."""
    return _holds(one, other) or _holds(other, one)


def _holds(product: str, other: str) -> bool:
    """Does a product hold any active of another one?"""
    return any(f"_{part}_" in f"_{product}_" for part in other.split("_and_") if part)


def _near(a: Applied, m: Maximum, ground: Planting) -> bool:
    """On its ground, or on this crop anywhere where the label counts by the year."""
    anywhere = m.limits.season_max_over == "year" and a.crop == m.treatment.crop
    return anywhere or bool(on_ground((a,), ground))


def _in_a_year(day: date, other: date) -> bool:
    return abs((day - other).days) <= YEAR_DAYS


def times_used(rows: Iterable[tuple[date, str]]) -> int:
    """Treatments as a label counts them: one evening over several plantings is one treatment."""
    by_day: dict[date, int] = {}
    for (day, _), times in Counter(rows).items():
        by_day[day] = max(times, by_day.get(day, 0))
    return sum(by_day.values())


def unknown_product(a: Applied, c: Cautions) -> bool:
    """True when something from a pack was used, and nobody noted which."""
    return a.product is None and c.facts(a.method).needs_label


def _local(at: datetime, clock: datetime) -> date:
    return at.astimezone(clock.tzinfo).date()
