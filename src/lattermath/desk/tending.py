"""The tending of a visit: what each planting wants, the rounds, and what a fight begins with."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from lattermath.desk.frost import lost_to_frost
from lattermath.desk.leaf_disease_answers import carried_by_hands
from lattermath.desk.pest_parts import stand_of
from lattermath.desk.plan_outlook import usual_frost
from lattermath.desk.plan_tasks import WorkedOut, goes_at, goes_soon
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.tubers_wait import blighted, last_care
from lattermath.planning.care import care_tasks
from lattermath.planning.care_rounds import Tended, care_rounds, once_tasks
from lattermath.planning.potatoes import CUT, work_of
from lattermath.vocabulary.plan import Task
from lattermath.vocabulary.plot import Planting

PAYS_AFTER_DAYS = 14  # judgement: feeding, weeding, mulching and tying pay for no less than that
FULL_LEAF = 0.95  # of what the spacing allows: leaves close over the ground


def tending(
    facts: SeasonFacts, visit: date, made: WorkedOut, closed: Collection[str] = ()
) -> list[Task]:
    """Give the tending due at a visit; nobody tends what comes out or is likely to freeze.

    What comes out soon is spared all but the cutting and lifting of potatoes: nothing else pays
    before it goes.

    closed : plantings in whose beds nobody may work yet.
    """
    goes = goes_at(facts, visit, made) | lost_to_frost(facts).keys()
    stays = [p for p in facts.plot.standing() if p.key not in goes and p.key not in closed]
    fought = {key for key, one in made.crops.decisions.items() if one.verdict.verdict == "fight"}
    done = last_care(facts)
    soon = goes_soon(facts, visit, made, PAYS_AFTER_DAYS)
    cares = [
        task
        for task in care_tasks(visit, stays, done, blighted(facts), fought)
        if task.planting not in soon or work_of(task.says) is not None
    ]
    cut = {task.planting for task in cares if work_of(task.says) == CUT}
    last = carried_by_hands(facts, made.permits)
    seen = [_tended(facts, p, made, last) for p in stays if p.key not in cut | soon]
    return [
        *cares,
        *care_rounds(visit, seen, done),
        *once_tasks(visit, seen, done, usual_frost(facts)),
    ]


def _tended(
    facts: SeasonFacts, planting: Planting, made: WorkedOut, carried: Collection[str]
) -> Tended:
    bed = facts.plot.bed_of(planting)
    stand = stand_of(facts, planting)
    belief = made.crops.beliefs.get(planting.key)
    return Tended(
        planting,
        stand.ground_m2 if stand.bed_m2 is None else stand.bed_m2,
        covered=stand.size >= FULL_LEAF,
        bearing=planting.bears
        or (belief is not None and belief.stage in ("bearing", "past its peak")),
        mulched=None if bed is None else bed.mulched,
        sick=planting.key in made.pests.sick,
        carried=planting.key in carried,
    )
