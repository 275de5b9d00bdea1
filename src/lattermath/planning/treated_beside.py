"""Counts on treated plants beside counts on untreated ones, where they can be compared at all.

A formula of before and after is asked only of plantings that were each counted on both sides of the
treatment, by the same stage and surface; another planting's level is never taken for its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import product
from math import isnan

from lattermath.science.efficacy import Efficacy, changes_compared, survivors_compared

BEFORE_DAYS, SOON_DAYS, AFTER_DAYS = 7, 2, 14  # judgement: looks that speak of a treatment
APART_DAYS = 3  # judgement: days between two looks in which what is untreated goes its own way


@dataclass(frozen=True, slots=True)
class Looked:
    """One count on one planting: insects on each leaf, or their mean where only a sum is known.

    what : stages and surface that were counted; only the same are compared.
    """

    day: date
    planting: str
    crop: str
    what: tuple[str, ...]
    a_leaf: tuple[float, ...]
    serial: int

    @property
    def mean(self) -> float:
        """Insects a leaf."""
        return sum(self.a_leaf) / len(self.a_leaf)


@dataclass(frozen=True, slots=True)
class Beside:
    """What a treatment took, and the looks it was reckoned from, the untreated ones last."""

    found: Efficacy
    how: str
    looks: tuple[Looked, ...]

    @property
    def treated(self) -> str:
        """The planting that was treated."""
        return self.looks[0].planting

    @property
    def untreated(self) -> str:
        """The planting that was not."""
        return self.looks[-1].planting


def beside_untreated(
    looks: Sequence[Looked], applied: Sequence[tuple[date, str]], day: date, treated: set[str]
) -> Beside | None:
    """Treated beside untreated plants by the formula the counts allow; None: none is comparable.

    applied : every treatment of this insect, by day and planting.
    day     : of the treatment asked about.
    treated : the plantings that had it.
    """
    done = {(day, key) for key in treated}
    others = [one for one in applied if one not in done]
    mine = list(_around([w for w in looks if w.planting in treated], day))
    untreated = list(_around([w for w in looks if w.planting not in treated], day))
    pairs = [
        (a, b)
        for a, b in product(mine, untreated)
        if _alike(a, b) and _by_itself(a, others) and _by_itself(b, others)
    ]
    for a, b in sorted(pairs, key=lambda pair: _unlike(*pair)):
        found = changes_compared(a[0].a_leaf, a[1].a_leaf, b[0].a_leaf, b[1].a_leaf)
        if not isnan(found.percent):
            return Beside(found, "before and after, after Henderson and Tilton", (*a, *b))
    return _after_only(looks, others, day, treated)


_Pair = tuple[Looked, Looked]


def _around(looks: Sequence[Looked], day: date) -> Iterator[_Pair]:
    """Looks at one planting for the same, in the week before a treatment and in two after it."""
    for one, other in product(looks, looks):
        same = (one.planting, one.what) == (other.planting, other.what)
        before, after = (day - one.day).days, (other.day - day).days
        if same and 0 <= before <= BEFORE_DAYS and SOON_DAYS <= after <= AFTER_DAYS:
            yield one, other


def _alike(a: _Pair, b: _Pair) -> bool:
    near = all(abs((x.day - y.day).days) <= APART_DAYS for x, y in zip(a, b, strict=True))
    return a[0].what == b[0].what and near


def _by_itself(pair: _Pair, others: Sequence[tuple[date, str]]) -> bool:
    """Was nothing else done there between the two looks?"""
    first, last = pair[0].day, pair[1].day
    return not any(key == pair[0].planting and first <= when <= last for when, key in others)


def _unlike(a: _Pair, b: _Pair) -> tuple[object, ...]:
    """The same crop first, then the nearest days, the soonest after, and the most leaves."""
    apart = sum(abs((x.day - y.day).days) for x, y in zip(a, b, strict=True))
    fewest = min(len(look.a_leaf) for look in (*a, *b))
    serials = [look.serial for look in (*a, *b)]
    return a[0].crop != b[0].crop, apart, a[1].day, -a[0].day.toordinal(), -fewest, serials


def _after_only(
    looks: Sequence[Looked], others: Sequence[tuple[date, str]], day: date, treated: set[str]
) -> Beside | None:
    """Two plantings of one crop counted on the same evening after it."""
    after = [w for w in looks if SOON_DAYS <= (w.day - day).days <= AFTER_DAYS]
    for a, b in product(after, after):
        if a.planting not in treated or b.planting in treated:
            continue
        same = (a.day, a.crop, a.what) == (b.day, b.crop, b.what)
        mixed = any(
            key in (a.planting, b.planting) and abs((when - day).days) <= AFTER_DAYS
            for when, key in others
        )
        if not same or mixed:
            continue
        found = survivors_compared(a.a_leaf, b.a_leaf)
        if not isnan(found.percent):
            return Beside(found, "after only, after Abbott", (a, b))
    return None
