"""Produce that is soiled, in words: how much of what is picked, and what to do with it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.spoiled import Spoiled

LEAST_TOLD = 0.02  # judgement: one piece in fifty, below which nobody would ask
MOST_TOLD = 2  # plantings on a sheet; the others stand in the plan
COUNTED = "what is thrown away of {names} stands in the loss of yield; it is not taken off again"
APART = "what is thrown away of {names} is taken off what there will be to eat"
CLEANED = "what only wants cleaning is not lost"


def spoiled_says(found: Sequence[Spoiled], names: Sequence[str]) -> str:
    """Sentences for the sheet, the worst planting first, each with a space before it.

    names : of the plantings as the grower calls them, in the order of `found`.
    """
    return "".join(f" {_says(one, name)}" for one, name in _worst(found, names))


def spoiled_because(found: Sequence[Spoiled], names: Sequence[str]) -> Iterator[Because]:
    """What these shares rest on, and whether they are counted as lost."""
    told = _worst(found, names)
    if told:
        yield Because(CLEANED, rests_on=_rests_on(one for one, _ in told))
    for says, counted in ((COUNTED, True), (APART, False)):
        some = {n: o for o, n in told if o.counted is counted and o.thrown_if_left.high > 0}
        if some:
            said = says.format(names=" and ".join(some))
            yield Because(said, rests_on=_rests_on(some.values()))


def one_in(share: float) -> str:
    """A share of pieces as roughly as it is known: `1 in 10`; "" for next to none. [0 to 1]"""
    if share < LEAST_TOLD / 2:
        return ""
    if share >= 0.95:
        return "nearly all"
    if share >= 0.35:
        return "half" if round(10 * share) == 5 else f"{round(10 * share)} in 10"
    pieces = 1 / share
    step = 1 if pieces < 9.5 else 5 if pieces < 32.5 else 10
    return f"1 in {step * round(pieces / step)}"


def _rests_on(told: Iterable[Spoiled]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(line for one in told for line in one.rests_on))


def _worst(found: Sequence[Spoiled], names: Sequence[str]) -> list[tuple[Spoiled, str]]:
    told = [
        (one, name)
        for one, name in zip(found, names, strict=True)
        if one.soiled_if_left.median >= LEAST_TOLD
    ]
    return sorted(told, key=lambda one: -one[0].soiled_if_left.median)[:MOST_TOLD]


def _says(one: Spoiled, name: str) -> str:
    soiled, thrown = one_in(one.soiled.median), one_in(one.thrown.median)
    ends = (one_in(one.soiled.low) or "hardly any", one_in(one.soiled.high) or "hardly any")
    said = (
        f"Of what you pick on {name} in the coming four weeks {_about(soiled)} will have "
        f"{one.by} ({ends[0]} to {ends[1]}): {one.remedy}"
    )
    said += f"; {thrown} of all to throw away." if thrown else "."
    left = one_in(one.soiled_if_left.median), one_in(one.thrown_if_left.median)
    if left == (soiled, thrown):
        return said
    past = f", {left[1]} to throw away" if left[1] else ""
    return f"{said} If nothing is done: {left[0]}{past}."


def _about(share: str) -> str:
    if not share:
        return "hardly any"
    return share if share.startswith("nearly") else f"about {share}"
