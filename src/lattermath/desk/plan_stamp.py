"""The stamp of a plan, from its facts."""

from __future__ import annotations

from lattermath.desk.dice import SEED
from lattermath.desk.season_facts import N_DRAWS, SeasonFacts
from lattermath.desk.stamp import stamp
from lattermath.vocabulary.plan import Stamp


def stamp_of(facts: SeasonFacts, previous: str) -> Stamp:
    """The stamp of the plan of these facts."""
    return stamp(
        tables=facts.tables.digest,
        seed=SEED,
        serial=facts.serial,
        weather=facts.record.until(facts.today).digest,
        as_of=facts.now,
        plot=facts.plot,
        budget=N_DRAWS,
        previous=previous,
    )
