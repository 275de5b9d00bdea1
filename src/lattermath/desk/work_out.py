"""Works out crops, pests, water and standby lots from the facts of a plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.soil import BedSoil
from lattermath.desk.crop_season import believe_crops, believe_lots, growing_season
from lattermath.desk.plan_crops import decide_crops
from lattermath.desk.plan_outlook import let_run
from lattermath.desk.plan_pests import plan_pests
from lattermath.desk.plan_picking import clearances
from lattermath.desk.plan_standby import standby
from lattermath.desk.plan_tasks import Made
from lattermath.desk.plan_water import soils
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.own_cautions import Cautions, own_cautions

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """Everything a visit is laid out from."""

    made: Made
    ground: Mapping[str, BedSoil]
    cautions: Cautions
    unplanned: Mapping[str, NDArray[np.float64]]  # daily kg if nothing is done, (n_draws, n_left)
    warnings: tuple[str, ...]


def work_out(facts: SeasonFacts, tell: Progress) -> WorkedOut:
    """Work it all out; `tell` hears what is being done and how far it is."""
    cautions = own_cautions(facts.tables)
    tell("growing the crops", 0.1)
    season = growing_season(facts)
    beliefs = believe_crops(facts, season)
    lots = believe_lots(facts, season)
    ground = soils(facts, beliefs)
    tell("following what lives on them", 0.25)
    pests = plan_pests(facts, beliefs, cautions)
    tell("weighing keep or replace", 0.6)
    crops = decide_crops(facts, season, beliefs, lots, pests.cares)
    made = Made(
        crops=crops,
        pests=pests,
        clearances=clearances(facts, cautions, facts.now),
        standby=standby(facts, crops),
    )
    unplanned = {
        key: let_run(belief, _left(pests.cares, key), facts.today_index)
        for key, belief in beliefs.items()
    }
    return WorkedOut(made, ground, cautions, unplanned, _warnings(facts, beliefs, ground))


def _left(cares: Mapping[str, object], key: str) -> NDArray[np.float64] | None:
    care = cares.get(key)
    return None if care is None else getattr(care, "left", None)


def _warnings(
    facts: SeasonFacts, beliefs: Mapping[str, object], ground: Mapping[str, BedSoil]
) -> tuple[str, ...]:
    """Say where what was seen and what was expected disagree, and what the sky rests on."""
    told = [facts.runs.says[:1].upper() + facts.runs.says[1:] + "."]
    for belief in [*beliefs.values(), *ground.values()]:
        words = getattr(belief, "disagrees", "")
        if words:
            told.append(words)
    return tuple(told)
