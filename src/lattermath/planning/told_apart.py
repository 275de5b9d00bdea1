"""What a look counts, in words: two species that share a word are told apart by their names.

Each species has a number of its own, since each is reckoned by itself. Two numbers under one word
would leave a grower guessing which of them to go by.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Protocol

from lattermath.planning import ways_told
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.blanks import Wanted
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import verb

EITHER = "Kinds you cannot tell apart count together: the lower number decides."
APART = "computed:courses on the same futures, of each species by itself"


class Counted(Protocol):
    """What is counted of one species on a planting, and what the count is worth."""

    @property
    def organism(self) -> str:
        """Its id."""

    @property
    def organism_name(self) -> str:
        """Its name."""

    @property
    def worth(self) -> LookWorth | None:
        """What a look is worth; None where it is not reckoned."""

    @property
    def unseen(self) -> float:
        """Above 0 where nobody saw it yet: then no number is told."""

    @property
    def what(self) -> str:
        """What is counted, in the plural."""

    @property
    def units(self) -> str:
        """What it is counted on."""


def stops(group: Sequence[Counted]) -> str:
    """When to stop each count of a look, said once for each thing counted.

    group : of one planting.
    """
    apart = told_apart(group)
    told = dict.fromkeys(
        ways_told.stops_at(watch.worth, apart.get(watch.organism, watch.what), watch.units)
        for watch in group
        if not watch.unseen
    )
    turning = [w for w in group if w.organism in apart and w.worth and w.worth.turns_at]
    either = EITHER if len(turning) > 1 else ""
    return "".join(f" {one}" for one in (*told, either) if one)


def without_number(waiting: Sequence[Counted], apart: Mapping[str, str]) -> str:
    """What a look must find for a treatment where no number of its own turns it: any at all.

    waiting : what a treatment waits for, of one planting. apart : as of `told_apart`.
    """
    told = dict.fromkeys(
        apart.get(watch.organism, watch.what)
        for watch in waiting
        if not ways_told.finds_enough(watch.worth, watch.what, watch.units, some=True)
    )
    return "".join(f" Any {what}: treat." for what in told)


def told_apart(group: Sequence[Counted]) -> Mapping[str, str]:
    """By organism, what is counted with its species, where one word would have several numbers.

    group : of one planting.
    """
    by_words: dict[tuple[str, str], dict[str, str]] = {}
    names = {watch.organism: watch.organism_name for watch in group}
    for watch in group:
        if not watch.unseen and (says := ways_told.stops_at(watch.worth, watch.what, watch.units)):
            by_words.setdefault((watch.what, watch.units), {})[watch.organism] = says
    return {
        organism: f"{what} ({names[organism]})"
        for (what, _), told in by_words.items()
        if len(set(told.values())) > 1
        for organism in told
    }


def blank_of(wanted: Wanted, group: Sequence[Counted], apart: Mapping[str, str]) -> Wanted:
    """A blank of a look, with its species where the look tells two by one word apart."""
    if wanted.organism not in apart:
        return wanted
    name = next(one.organism_name for one in group if one.organism == wanted.organism)
    return replace(wanted, says=f"{wanted.says} ({name})")


def reckoned(watch: Counted, apart: Mapping[str, str]) -> Iterator[Because]:
    """Why a species has a number of its own, and what each way of looking for it does."""
    name = watch.organism_name
    if watch.organism in apart:
        yield Because(
            f"{name} {verb(name, 'has', 'have')} a number apart: what was seen here, how fast each "
            "kind breeds and what each costs this crop are reckoned by themselves",
            rests_on=(APART,),
        )
    if watch.worth is not None:
        yield from ways_told.reckoned(watch.worth, watch.units)
