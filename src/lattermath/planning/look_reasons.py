"""Why a planting is looked at, and what the look is worth, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from lattermath.planning.ten_leaves import LEAVES
from lattermath.planning.told_apart import reckoned
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.ruling import Because

if TYPE_CHECKING:
    from lattermath.planning.watch import Watch
    from lattermath.planning.worth_of_look import LookWorth

RECKONED = "computed:courses on the same futures, after each count that might be made"
MIXED = (
    "all ten are counted out: these leaves are of two heights, for what else is counted on them, "
    "and no early stop is reckoned for that"
)
EYES = "computed:clumping of insects and error of a look (judgement)"


def rounded(minutes: float) -> str:
    """Minutes of work, no finer than they are known."""
    return f"{minutes:.0f}" if minutes >= 0.95 else f"{minutes:.1f}" if minutes >= 0.1 else "0"


def look_reasons(watch: Watch, apart: Mapping[str, str]) -> Iterator[Because]:
    """Why a planting is looked at for one thing, and what a look there can tell."""
    last = (
        "never looked at"
        if watch.last_looked is None
        else f"last looked at {short(watch.last_looked)}"
    )
    if watch.card is not None:  # what flew onto it tells little of what sits on the leaves
        last = f"caught on a card on {short(watch.card)}, the {watch.units} {last}"
    says = f"{watch.planting.name}, {watch.organism_name}: {last}"
    yield Because(says, rests_on=(f"plot:planting/{watch.planting.key}",))
    yield from watch.because
    yield from (one.because for one in watch.awaited)
    if watch.now is not None:
        yield watch.now.because
    if watch.worth is not None:
        if watch.worth.minutes >= 1:
            yield Because(
                _worth_says(watch.worth, apart.get(watch.organism, "")), rests_on=(RECKONED,)
            )
        yield from reckoned(watch, apart)  # whatever it is worth, a stop was told
        if watch.mixed:
            yield Because(MIXED, rests_on=(EYES,), aside=True)
    every = watch.units == "plants" and watch.planting.plants <= LEAVES
    if watch.tells and not every:  # where all of them are looked at, ten are no sample
        yield Because(f"ten {watch.units} are {watch.tells}", rests_on=(EYES,))
    if watch.neighbour_of_sick:
        yield Because(
            f"{watch.organism_name} adults flushed by work settle on plants close by",
            rests_on=(f"table:organisms/{watch.organism}/disturbance.flush_fraction",),
        )


def _worth_says(worth: LookWorth, of: str = "") -> str:
    """What the look is worth, and the count at which the grower would turn.

    of : what is counted, where one look counts two that share a word.
    """
    at = f" at {of}" if of else ""
    says = f"the look{at} is worth about {rounded(worth.minutes)} min of work"
    if worth.severity is not None:
        turn = f"from {worth.severity:g} % of the leaf" if worth.severity else "where any is seen"
        return f"{says}: {worth.above} {turn}, else {worth.below}"
    if worth.turns_at is None:
        return says
    turn = f"{worth.above} from {worth.turns_at} in all on {worth.of}"
    if worth.ways and worth.ways[0].kind == "some":
        turn = f"{turn}, for which {worth.ways[0].many[-1]} with any stand"
    return f"{says}: {turn}, below {worth.below}"
