"""Looks at treated plants beside looks at untreated ones, where they can be compared at all.

A formula of before and after is asked only of plantings that were each looked at on both sides of
the treatment, for the same stage and surface; another planting's level is never taken for its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import product
from math import isnan
from typing import Generic, Protocol, TypeVar

from lattermath.science.efficacy import Efficacy, changes_compared, survivors_compared

BEFORE_DAYS, SOON_DAYS, AFTER_DAYS = 7, 2, 14  # judgement: looks that speak of a treatment
APART_DAYS = 3  # judgement: days between two looks in which what is untreated goes its own way
FEWER, TWICE = (
    20.0,
    -100.0,
)  # judgement: a range from clearly fewer to twice as many is no answer. [%]


class Look(Protocol):
    """A look at one planting; `what` was looked for, only the same are compared."""

    @property
    def day(self) -> date:
        """When."""

    @property
    def planting(self) -> str:
        """Where, by key."""

    @property
    def crop(self) -> str:
        """What grows there."""

    @property
    def what(self) -> tuple[str, ...]:
        """Stages, surface."""

    @property
    def n_leaves(self) -> int:
        """On how many leaves."""

    @property
    def serial(self) -> int:
        """Of its entry."""


L = TypeVar("L", bound=Look)


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

    @property
    def n_leaves(self) -> int:
        """Leaves that were counted."""
        return len(self.a_leaf)


@dataclass(frozen=True, slots=True)
class Beside(Generic[L]):
    """What a treatment took, and the looks it was reckoned from, the untreated ones last."""

    found: Efficacy
    how: str
    looks: tuple[L, ...]

    @property
    def treated(self) -> str:
        """The planting that was treated."""
        return self.looks[0].planting

    @property
    def untreated(self) -> str:
        """The planting that was not."""
        return self.looks[-1].planting


@dataclass(frozen=True, slots=True)
class Comparing(Generic[L]):
    """The formulas that compare one kind of looks, and when a look can speak of a treatment.

    both  : treated before and after, untreated before and after.
    after : treated and untreated after.
    soon_days, late_days : first and last day after a treatment that speaks of it. [d]
    newest : take the last looks that can be compared; else the first after the treatment, before
             insects have come anew. Spots stay, and the last look shows all that was kept off.
    open   : whether what a formula gave is no answer; another pair is asked first then.
    """

    both: Callable[[L, L, L, L], Efficacy]
    after: Callable[[L, L], Efficacy]
    soon_days: int = SOON_DAYS
    late_days: int = AFTER_DAYS
    newest: bool = False
    open: Callable[[Efficacy], bool] = lambda _: False


def tells_nothing(found: Efficacy) -> bool:
    """Whether the range of a comparison holds fewer by a fifth and twice as many alike."""
    low, high = found.low_percent, found.high_percent
    return low is not None and high is not None and low < TWICE and high > FEWER


COUNTS: Comparing[Looked] = Comparing(
    lambda tb, ta, cb, ca: changes_compared(tb.a_leaf, ta.a_leaf, cb.a_leaf, ca.a_leaf),
    lambda ta, ca: survivors_compared(ta.a_leaf, ca.a_leaf),
    open=tells_nothing,
)


def beside_untreated(
    looks: Sequence[L],
    applied: Sequence[tuple[date, str]],
    day: date,
    treated: set[str],
    by: Comparing[L],
) -> Beside[L] | None:
    """Treated beside untreated plants by the formula the looks allow; None: none is comparable.

    applied : every treatment of this organism, by day and planting.
    day     : of the treatment asked about.
    treated : the plantings that had it.
    by      : how they are compared.
    """
    open_ones = []
    for a, b in _pairs(looks, applied, day, treated, by):
        found = by.both(*a, *b)
        told = Beside(found, "before and after, after Henderson and Tilton", (*a, *b))
        if not isnan(found.percent) and not by.open(found):
            return told
        open_ones += [] if isnan(found.percent) else [told]
    others = _others(applied, day, treated)
    return next(iter(open_ones), None) or _after_only(looks, others, day, treated, by)


def not_compared(
    looks: Sequence[L],
    applied: Sequence[tuple[date, str]],
    day: date,
    treated: set[str],
    by: Comparing[L],
) -> Iterator[Beside[L]]:
    """Pairs that no formula compares, as one of their looks found none, the likest first.

    Arguments as of `beside_untreated`; what is found is NaN.
    """
    for a, b in _pairs(looks, applied, day, treated, by):
        found = by.both(*a, *b)
        if isnan(found.percent):
            yield Beside(found, "before and after", (*a, *b))


def _pairs(
    looks: Sequence[L],
    applied: Sequence[tuple[date, str]],
    day: date,
    treated: set[str],
    by: Comparing[L],
) -> list[tuple[tuple[L, L], tuple[L, L]]]:
    """Looks before and after at a treated and at an untreated planting, the likest first."""
    others = _others(applied, day, treated)
    mine = list(_around([w for w in looks if w.planting in treated], day, by))
    untreated = list(_around([w for w in looks if w.planting not in treated], day, by))
    pairs = [
        (a, b)
        for a, b in product(mine, untreated)
        if _alike(a, b) and _by_itself(a, others) and _by_itself(b, others)
    ]
    return sorted(pairs, key=lambda pair: _unlike(*pair, newest=by.newest))


def _others(
    applied: Sequence[tuple[date, str]], day: date, treated: set[str]
) -> list[tuple[date, str]]:
    """Every treatment but the one that is asked about."""
    return [one for one in applied if one not in {(day, key) for key in treated}]


def before_and_after(
    looks: Sequence[L],
    applied: Sequence[tuple[date, str]],
    day: date,
    treated: set[str],
    by: Comparing[L],
) -> tuple[L, L] | None:
    """The looks at one treated planting nearest before and after a treatment; None: there are no
    two for the same between which nothing else was done. Arguments as of `beside_untreated`."""
    others = _others(applied, day, treated)
    pairs = _around([w for w in looks if w.planting in treated], day, by)
    alone = [pair for pair in pairs if _by_itself(pair, others)]
    return min(
        alone,
        key=lambda p: (p[1].day, -p[0].day.toordinal(), p[0].serial, p[1].serial),
        default=None,
    )


def _around(looks: Sequence[L], day: date, by: Comparing[L]) -> Iterator[tuple[L, L]]:
    """Looks at one planting for the same, in the week before a treatment and in two after it."""
    for one, other in product(looks, looks):
        same = (one.planting, one.what) == (other.planting, other.what)
        before, after = (day - one.day).days, (other.day - day).days
        if same and 0 <= before <= BEFORE_DAYS and by.soon_days <= after <= by.late_days:
            yield one, other


def _alike(a: tuple[L, L], b: tuple[L, L]) -> bool:
    near = all(abs((x.day - y.day).days) <= APART_DAYS for x, y in zip(a, b, strict=True))
    return a[0].what == b[0].what and near


def _by_itself(pair: tuple[L, L], others: Sequence[tuple[date, str]]) -> bool:
    """Was nothing else done there between the two looks?

    Whoever counts and treats on one evening counts first: the count speaks of what was done before.
    """
    first, last = pair[0].day, pair[1].day
    return not any(key == pair[0].planting and first <= when < last for when, key in others)


def _unlike(a: tuple[L, L], b: tuple[L, L], *, newest: bool) -> tuple[object, ...]:
    """The same crop first, then the nearest days, the soonest after, and the most leaves; or the
    newest before the nearest days."""
    apart = sum(abs((x.day - y.day).days) for x, y in zip(a, b, strict=True))
    fewest = min(look.n_leaves for look in (*a, *b))
    serials = [look.serial for look in (*a, *b)]
    last = -min(a[1].day, b[1].day).toordinal() if newest else 0
    before = -a[0].day.toordinal()
    return a[0].crop != b[0].crop, last, apart, a[1].day, before, -fewest, serials


def _after_only(
    looks: Sequence[L],
    others: Sequence[tuple[date, str]],
    day: date,
    treated: set[str],
    by: Comparing[L],
) -> Beside[L] | None:
    """Two plantings of one crop looked at on the same evening after it."""
    after = [w for w in looks if by.soon_days <= (w.day - day).days <= by.late_days]
    after.sort(key=lambda w: w.day, reverse=by.newest)
    for a, b in product(after, after):
        if a.planting not in treated or b.planting in treated:
            continue
        same = (a.day, a.crop, a.what) == (b.day, b.crop, b.what)
        mixed = any(
            key in (a.planting, b.planting)
            and (day - when).days <= by.late_days
            and when < a.day  # as `_by_itself`
            for when, key in others
        )
        if not same or mixed:
            continue
        found = by.after(a, b)
        if not isnan(found.percent):
            return Beside(found, "after only, after Abbott", (a, b))
    return None
