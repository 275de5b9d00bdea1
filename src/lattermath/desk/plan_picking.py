"""The picking of a plan: clearance of each planting, and what should be ready at the visit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.picking_fit import LONGEST_WAIT_DAYS
from lattermath.desk.crop_season import last_picked
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.tubers_wait import tubers_kept
from lattermath.planning.garden_limits import may_plant
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import clearance_of, may_enter
from lattermath.planning.picking_tasks import WORTH_PICKING_KG, Bearing
from lattermath.planning.treatment_request import bare
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plan import Clearance, NotToday
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.sentence import inside

# When the thing is worth cutting, and what a missed visit makes of it: common practice, no source.
READY_SIZE = {
    "summer_squash": "over «12 cm»",
    "cucumber_slicing": "as long as a hand",
    "cucumber_pickling": "as long as a finger",
    "bean_bush": "while they snap",
    "bean_pole": "while they snap",
    "runner_bean": "while they snap",
    "okra": "under «10 cm»",
}
RUNS_OVER = {
    "summer_squash": "run to marrows",
    "cucumber_slicing": "go yellow and slow the plant",
    "cucumber_pickling": "go yellow and slow the plant",
    "bean_bush": "go stringy and the plant stops",
    "bean_pole": "go stringy and the plant stops",
    "runner_bean": "go stringy and the plant stops",
    "okra": "go woody",
    "sweet_corn": "go starchy",
}


def clearances(
    facts: SeasonFacts, cautions: Cautions, now: datetime, planned: Sequence[Applied] = ()
) -> dict[str, Clearance]:
    """Say of each own planting from when it may be picked, as things stand at `now`.

    Potatoes with blight wait in the ground until the haulm is two weeks gone.

    planned : treatments of this plan that will have been made by then.
    """
    zone = ZoneInfo(facts.plot.place.time_zone)
    found = {
        planting.key: clearance_of(
            planting, (*facts.applied, *planned), facts.plot.shelf, now, zone, cautions
        )
        for planting in facts.plot.standing()
    }
    return tubers_kept(facts, found, now)


def closed_beds(
    facts: SeasonFacts, cautions: Cautions, at: datetime, planned: Sequence[Applied] = ()
) -> dict[str, NotToday]:
    """Say which own plantings nobody may work at, since re-entry is not over or not known."""
    zone = ZoneInfo(facts.plot.place.time_zone)
    applied, shelf = (*facts.applied, *planned), facts.plot.shelf
    found = {}
    for planting in facts.plot.standing():
        ruling = may_enter(planting, applied, shelf, at, zone, cautions)
        if not ruling.allowed:
            words = f"{planting.name}: keep out"
            found[planting.key] = NotToday(words, planting.key, ruling.bars, ruling.ask_again)
    return found


def closed_ground(
    facts: SeasonFacts, cautions: Cautions, at: datetime, planned: Sequence[Applied] = ()
) -> dict[str, NotToday]:
    """Say which beds, by key, nobody may work in. Pulling what was sprayed opens no ground."""
    zone = ZoneInfo(facts.plot.place.time_zone)
    applied, shelf = (*facts.applied, *planned), facts.plot.shelf
    found = {}
    for bed in facts.plot.beds:
        ruling = may_enter(bare(bed), applied, shelf, at, zone, cautions)
        if not ruling.allowed:
            words = f"{bed.name}: keep out"
            found[bed.key] = NotToday(words, None, ruling.bars, ruling.ask_again)
    return found


def not_yet_planted(
    facts: SeasonFacts, cautions: Cautions, at: datetime, planned: Sequence[Applied] = ()
) -> dict[str, NotToday]:
    """Say into which beds, by key, nothing may be sown or set out: re-entry, plant-back."""
    applied, shelf = (*facts.applied, *planned), facts.plot.shelf
    found = {}
    for bed in facts.plot.beds:
        ruling = may_plant(bare(bed), at, applied, shelf, cautions)
        if not ruling.allowed:
            words = f"{bed.name}: nothing goes in yet"
            found[bed.key] = NotToday(words, None, ruling.bars, ruling.ask_again)
    return found


def bearings(
    facts: SeasonFacts,
    visit: date,
    beliefs: Mapping[str, CropBelief],
    sick: frozenset[str],
    planned: Mapping[str, date],
) -> list[Bearing]:
    """Say what each planting should have ready at a visit, after the last picking of it.

    planned : days on which visits before this one will have picked, by planting.
    """
    found = []
    for key, belief in beliefs.items():
        good, past = _hanging(facts, visit, belief, planned.get(key))
        low, median, high = _tenths(belief, good)
        past_kg = _tenths(belief, past)[1]
        if high <= 0 and past_kg <= 0:
            continue
        planting = belief.planting
        over = RUNS_OVER.get(planting.crop, "")
        found.append(
            Bearing(
                planting=planting,
                kg=median,
                kg_low=low,
                kg_high=high,
                size=READY_SIZE.get(planting.crop, ""),
                runs_over=f"{_lower(planting)} {over}" if over else "",
                past_kg=past_kg,
                passes=_passes(facts, belief, slice(past.start, good.stop)),
                picked=last_picked(facts, planting) is not None or key in planned,
                sick=key in sick,
            )
        )
    return found


def _hanging(
    facts: SeasonFacts, visit: date, belief: CropBelief, planned: date | None
) -> tuple[slice, slice]:
    """Days whose crop is at its size at a visit, and days whose crop has passed it."""
    since = visit - timedelta(days=LONGEST_WAIT_DAYS)
    last = last_picked(facts, belief.planting)
    first = max(since, planned or since, last or since)
    hangs = belief.traits.hangs_days
    fit = first if hangs is None else max(first, visit - timedelta(days=int(hangs)))
    if last is None and planned is None:  # nobody wrote a picking down: none is said to be missed
        first = fit
    end = max(facts.day_index(visit), 0)
    return slice(max(facts.day_index(fit), 0), end), slice(
        max(facts.day_index(first), 0), max(facts.day_index(fit), 0)
    )


def _passes(facts: SeasonFacts, belief: CropBelief, days: slice) -> date | None:
    """The day from which the first handful that grew ready on these days is past size.

    None for crops that wait on the plant, and where there is less than a handful, in the median.
    """
    hangs = belief.traits.hangs_days
    grown = belief.kg[:, days] * bearing_if_left(belief.condition, 1)
    ready = np.median(grown.cumsum(axis=1), axis=0) >= WORTH_PICKING_KG
    if hangs is None or not ready.any():
        return None
    return facts.first + timedelta(days=days.start + int(ready.argmax()) + int(hangs) + 1)


def _tenths(belief: CropBelief, days: slice) -> tuple[float, float, float]:
    """10th, 50th and 90th percentile of what grew ready on these days. [kg]"""
    kg = belief.kg[:, days].sum(axis=1) * bearing_if_left(belief.condition, 1)[:, 0]
    low, median, high = np.percentile(kg, (10, 50, 90))
    return float(low), float(median), float(high)


def _lower(planting: Planting) -> str:
    return inside(planting.name)
