"""Which looks decide a treatment of the same evening, and what they must find for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from lattermath.planning.treating import Spraying
from lattermath.planning.watch import Watch
from lattermath.planning.ways_told import finds_enough

By = tuple[str, str]  # key of the planting that is looked at, id of what is looked for


def decided_by_looks(
    day: date, watches: Iterable[Watch], wanted: Iterable[Spraying]
) -> list[Watch]:
    """The watches of an evening; those whose treatment is made whatever they find decide nothing.

    wanted : the treatments of that evening, each of them joined against all that it is for.
    """
    held = list(wanted)
    waits = {by for one in held if one.only_if for by in _by(one)}
    sure = {by for one in held if not one.only_if for by in _by(one)} - waits
    return [
        _undecided(watch)
        if watch.decides_on == day and (watch.planting.key, watch.organism) in sure
        else watch
        for watch in watches
    ]


def without_number(visit: date, deciding: Sequence[Watch], apart: Mapping[str, str]) -> str:
    """What a look must find for a treatment where no number of its own turns it: any at all.

    apart : by organism, what is counted with its species, where one word would mean two.
    """
    told = dict.fromkeys(
        apart.get(watch.organism, watch.what)
        for watch in deciding
        if watch.decides_on == visit
        and not finds_enough(watch.worth, watch.what, watch.units, some=True)
    )
    return "".join(f" Any {what}: treat." for what in told)


def _by(one: Spraying) -> Iterator[By]:
    yield (one.look_at or one.planting).key, one.target
    for target, look_at in zip(one.targets_too, one.looks_too, strict=True):
        yield (look_at or one.planting).key, target


def _undecided(watch: Watch) -> Watch:
    """The watch with no number told at which to treat, for it is treated anyway."""
    worth = watch.worth
    if worth is not None:
        worth = replace(
            worth, turns_at=None, above="", below="", none_on=None, ways=(), enough=None
        )
    return replace(watch, decides="", decides_on=None, worth=worth)
