"""What the journal says was done against one insect."""

from __future__ import annotations

from lattermath.belief.life_history import LifeHistory
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Treatment


def treated(
    facts: SeasonFacts, life: LifeHistory, organism: str, keys: list[str]
) -> list[Application]:
    """The journal's treatments of these plantings that kill some stage of the organism."""
    found = []
    targets = facts.tables.crosswalk.targets.get(organism, ())
    for event in facts.events:
        done = event.payload
        if not isinstance(done, Treatment) or done.method not in facts.tables.methods:
            continue
        method = facts.tables.methods[done.method]
        effect = effect_of(method, organism, targets, life.stages)
        places = tuple(keys.index(key) for key in done.plantings if key in keys)
        if effect is not None and places:
            reach = reach_of(effect, done.surfaces, done.coverage, life.figures)
            day = facts.day_index(event.day)
            found.append(Application(day, effect, places, reach, event.serial))
    return found
