"""Water kept off leaves where it matters: why at the foot, and why in the morning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from lattermath.planning.sick_leaves import SickLeaves
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import are_many, capital, listed, verb

WAY = "water at the foot, in the morning"


@dataclass(frozen=True, slots=True)
class WetEvenings:
    """What watering did to the leaves of one planting in the last fortnight.

    evenings : days on which water went over the leaves and stayed into the night.
    hours    : wetness of those nights, low and high, the night's own dew among it. [h]
    unsaid   : days on which nobody said how water was given.
    serials  : entries that say so.
    """

    name: str
    evenings: tuple[date, ...] = ()
    hours: tuple[float, float] = (0.0, 0.0)
    unsaid: tuple[date, ...] = ()
    serials: tuple[int, ...] = ()


def why_at_the_foot(
    wet: WetEvenings | None, sick: Sequence[SickLeaves], lets_in: str = ""
) -> Because | None:
    """Why a planting is watered at the foot, in the morning; None where nothing hangs on it.

    lets_in : a disease that wet leaves would let in on it, by name; "" for none.
    """
    ill = [one for one in sick if one.splash]
    evenings = () if wet is None else wet.evenings
    if not ill and not (evenings and lets_in):
        return None
    parts = [f"{one.name} {verb(one.name)} on it and wet leaves {_feed(one)}" for one in ill[:1]]
    if evenings and wet is not None:
        parts.append(f"{_watered(wet)}, so that leaves stayed wet {_hours(wet)}")
    if not ill:
        parts.append(f"that lets in {lets_in}")
    rests = [f"event:{one.serial}" for one in ill]
    rests += [] if wet is None else [f"event:{serial}" for serial in wet.serials[-3:]]
    says = f"{'; '.join(parts)}. So {WAY}"
    return Because(says, who="our caution", rests_on=tuple(rests))


def _feed(sick: SickLeaves) -> str:
    """What wet leaves do for it; where it has only the grower's own words, if it is a disease."""
    them = "them" if are_many(sick.name) else "it"
    return f"feed {them}" if sick.known else f"would feed {them} if a disease makes {them}"


def evening_line(wet: Sequence[WetEvenings], lets_in: str) -> str:
    """The line of a sheet where leaves were watered in the evening; "" where none were.

    lets_in : what it lets in there, by name.
    """
    late = [one for one in wet if one.evenings]
    if not late:
        return ""
    worst = max(late, key=lambda one: (len(one.evenings), one.hours[1]))
    names = listed([one.name for one in late])
    return (
        f"{capital(names)}: {_watered(worst)}, leaves wet {_hours(worst)} each time: that lets in "
        f"{lets_in}. {capital(WAY)}."
    )


def unsaid_words(wet: Sequence[WetEvenings]) -> str:
    """What is added to a figure where nobody said how water was given."""
    return "whether watering wet the leaves was not said" if any(o.unsaid for o in wet) else ""


def _watered(wet: WetEvenings) -> str:
    number = len(wet.evenings)
    if number == 1:
        return f"watered over the leaves late on {said(wet.evenings[0])}"
    return f"watered over the leaves late on {number} days, last {said(wet.evenings[-1])}"


def _hours(wet: WetEvenings) -> str:
    low, high = (round(hours) for hours in wet.hours)
    return f"about {counted(low, 'hours')}" if low == high else f"about {low} to {high} hours"
