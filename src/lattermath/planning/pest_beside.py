"""What lives near ground that may be planted, and whether it bars young plants of its hosts there.

Nothing is set out or sown beside its pest untreated. A treatment that comes before them, or on the
same evening, lifts the bar for a week, and a course that goes on for a fortnight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from lattermath.planning import fate_reasons
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

TREATED_DAYS = 7  # judgement: what was treated before that is called untreated
COURSE_DAYS = 14  # judgement: but for a course that goes on; between two of its days lie no more
MOST_MEANS = 3  # judgement: so many ways out are named


@dataclass(frozen=True, slots=True)
class PestNear:
    """What lives on one planting, and on a crop that may go in near it.

    planting, name : key of the planting, and the grower's name of it.
    what    : the pest in words.
    away_m  : how far off; None: not known, or in the same bed. [m]
    beside  : in the same bed, or hardly farther off.
    own     : it lives on what stands on that very ground: only plants that stay carry it on.
    treated : columns of the days on which it was or will be treated there, rising.
    by      : what it may be treated with there; instead: crops at hand that it does not live on.
    """

    planting: str
    name: str
    what: str
    away_m: float | None = None
    beside: bool = False
    own: bool = False
    treated: tuple[int, ...] = ()
    by: tuple[str, ...] = ()
    instead: tuple[str, ...] = ()

    def is_treated(self, column: int) -> bool:
        """Is it treated in the week up to that day, or under a course, that evening included?

        Under a course: treated in the fortnight before, and again in the one after.
        """
        before = [column - day for day in self.treated if day <= column]
        again = any(0 < day - column <= COURSE_DAYS for day in self.treated)
        return min(before, default=COURSE_DAYS + 1) <= (COURSE_DAYS if again else TREATED_DAYS)

    def bars(self, column: int, keeps: int = 0) -> bool:
        """Does it bar its hosts on that day, where so many of the old plants stay?"""
        return self.beside and (keeps > 0 or not self.own) and not self.is_treated(column)

    def told(self, column: int) -> Because:
        """The same in words, for plants that go in on that day."""
        if self.bars(column):
            return fate_reasons.of_pest_beside(
                self.name, self.planting, self.what, self.away_m, self.way_out()
            )
        treated = self.is_treated(column)
        return fate_reasons.of_pest_near(self.name, self.planting, self.what, self.away_m, treated)

    def way_out(self) -> str:
        """What would lift the bar."""
        with_what = f": {' or '.join(map(inside, self.by))}" if self.by else ""
        other = " or ".join(self.instead) or "something else"
        return (
            f"in the {TREATED_DAYS} days before, treat {inside(self.name)} against "
            f"{inside(self.what)}{with_what}; or put in {other}, which it does not live on"
        )


@dataclass(frozen=True, slots=True)
class Treated:
    """What is done against pests, by planting and organism.

    days : columns of the days on which it was or will be done, rising. What nobody follows here is
           told by "" for the organism: any product that was put on.
    by   : names of what may be used there at some coming visit.
    follows : the organisms followed here.
    """

    days: Mapping[tuple[str, str], tuple[int, ...]] = field(default_factory=dict)
    by: Mapping[tuple[str, str], tuple[str, ...]] = field(default_factory=dict)
    follows: frozenset[str] = frozenset()

    def of(self, planting: str, species: Sequence[str]) -> tuple[tuple[int, ...], tuple[str, ...]]:
        """Days and names for what may be any of these species."""
        known = [one for one in species if one in self.follows]
        days = {day for one in known or ("",) for day in self.days.get((planting, one), ())}
        by = dict.fromkeys(name for one in known for name in self.by.get((planting, one), ()))
        return tuple(sorted(days)), tuple(by)[:MOST_MEANS]


Near = Mapping[str, Sequence[PestNear]]  # by crop


def barred(near: Near | None, crop: str, column: int, keeps: int = 0) -> bool:
    """May a crop not go in on that day for what lives beside?"""
    return any(one.bars(column, keeps) for one in (near or {}).get(crop, ()))


def near_told(near: Near | None, crop: str, column: int) -> Iterator[Because]:
    """What lives near by and on that crop too, what bars it first."""
    found = [one for one in (near or {}).get(crop, ()) if not one.own]
    yield from (one.told(column) for one in sorted(found, key=lambda one: not one.bars(column)))


def bars_told(near: Near | None, crops: Mapping[str, tuple[str, int]]) -> Iterator[Because]:
    """Why crops at hand may not follow, once for each pest.

    crops : their names and the day on which they could go in, by id.
    """
    told: dict[tuple[str, str], tuple[PestNear, list[str]]] = {}
    for crop, (many, column) in crops.items():
        for one in (near or {}).get(crop, ()):
            if one.bars(column):
                told.setdefault((one.planting, one.what), (one, []))[1].append(many)
    for one, names in told.values():
        yield fate_reasons.of_barred_beside(
            " and ".join(names), one.name, one.planting, one.what, one.away_m, one.way_out()
        )
