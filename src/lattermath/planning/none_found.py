"""What a sheet says of an organism that was looked for and never found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.plan import Population, Span
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital

UNTREATED = Span(1.0, 1.0, 1.0, "share of untreated")


def none_found(
    organism: str,
    name: str,
    looked: Mapping[str, tuple[str, date | None]],
    serials: Sequence[int],
) -> Population:
    """Its place in a plan: nothing is said to live anywhere, and nothing is planned.

    looked  : plantings on which it was looked for, each with its name and the day of the last look;
              None where only cards hung.
    serials : of the sightings.
    """
    where = ", ".join(
        f"{called} (cards)" if day is None else f"{called} on {short(day)}"
        for called, day in looked.values()
    )
    return Population(
        organism=organism,
        plantings=tuple(looked),
        says=f"{capital(name)}: none found so far, looked for: {where}.",
        strips=(),
        course=(),
        course_says="Nothing is planned against it before a look finds some.",
        left_on_last_day=UNTREATED,
        because=(
            Because("what was looked for and not found", who="grower",
                    rests_on=tuple(f"event:{serial}" for serial in serials)),
        ),
        found=False,
    )  # fmt: skip
