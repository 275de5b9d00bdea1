"""The picks that the coming visits really make, and what a missed one or a bar costs a planting."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.formed import kept_of_formed
from lattermath.desk.crop_season import last_picked
from lattermath.desk.permits import Permits
from lattermath.desk.pest_parts import PestPlans, bearing_portions
from lattermath.desk.picks_barred import PickBars, arrival, never_clear
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.barred_picks import Picks, waits_days
from lattermath.planning.fates import Care
from lattermath.planning.picking_clearance import clearance_of
from lattermath.science.picking_rounds import eaten_share
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plan import Verdict
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

if TYPE_CHECKING:
    from lattermath.desk.plan_crops import CropPlans


def with_picks(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], pests: PestPlans, permits: Permits
) -> PestPlans:
    """The same plans, with what the visits leave unpicked taken off both shares of a planting.

    A planting let run is barred by what was done already, one that is fought also by what its
    courses will do. Of a crop that does not pass size, only what is lost while it is barred goes.
    """
    cares = dict(pests.cares)
    for key, belief in beliefs.items():
        if key in cares:
            cares[key] = _of_formed(belief, cares[key])
        if not facts.visits:
            continue
        left = eaten_of(facts, belief, permits, ())
        planned = tuple(_planned(facts, belief.planting, pests, permits))
        fought = eaten_of(facts, belief, permits, planned) if planned else left
        if belief.traits.hangs_days is None and left.all() and fought.all():
            continue  # nothing is barred long enough
        care = cares.get(key, Care())
        seen = care.seen
        if seen is not None:
            seen = replace(seen, left=_times(seen.left, left), fought=_times(seen.fought, fought))
        cares[key] = replace(
            care, left=_times(care.left, left), fought=_times(care.fought, fought), seen=seen
        )
    return replace(pests, cares=cares)


def _of_formed(belief: CropBelief, care: Care) -> Care:
    """What pests leave of tubers and roots that are there, and of those still to form."""

    def there(share: NDArray[np.float64] | None) -> NDArray[np.float64] | None:
        return None if share is None else kept_of_formed(belief, share)

    seen = care.seen
    if seen is not None:
        seen = replace(seen, left=there(seen.left), fought=there(seen.fought))
    return replace(care, left=there(care.left), fought=there(care.fought), seen=seen)


def say_never_clear(facts: SeasonFacts, crops: CropPlans, permits: Permits) -> CropPlans:
    """The decisions, with why no picking of a planting is reckoned where none is known to clear."""
    decisions = {
        key: replace(one, verdict=_with_never_clear(facts, one.verdict, permits))
        for key, one in crops.decisions.items()
    }
    return replace(crops, decisions=decisions)


def _with_never_clear(facts: SeasonFacts, verdict: Verdict, permits: Permits) -> Verdict:
    never = never_clear(facts, verdict.planting, permits.cautions)
    if never is None:
        return verdict
    why = f"{inside(never.says)}, so no picking of it is reckoned"
    told = Because(why, who=never.who, rests_on=never.rests_on, way_out=never.way_out)
    says = f"{verdict.says}; {why}"
    return replace(verdict, says=says, minds=True, because=(told, *verdict.because))


def pick_bars(facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits) -> PickBars:
    """The coming pickings of all that bears, as they stand barred by what was done."""
    picks = {
        key: _coming(facts, belief, permits) for key, belief in beliefs.items() if facts.visits
    }
    return PickBars(
        facts, permits.cautions, {key: one for key, one in picks.items() if one.kg.any()}
    )


def _coming(facts: SeasonFacts, belief: CropBelief, permits: Permits) -> Picks:
    planting, zone = belief.planting, ZoneInfo(facts.plot.place.time_zone)
    kg = belief.kg[:, facts.today_index :]
    daily = (kg * bearing_if_left(belief.condition, kg.shape[1])).mean(0)
    columns = {(visit - facts.today).days: arrival(facts, visit) for visit in facts.visits}
    shelf, cautions = facts.plot.shelf, permits.cautions
    barred = frozenset(
        column
        for column, at in columns.items()
        if not clearance_of(planting, facts.applied, shelf, at, zone, cautions).clear_now
    )
    last = last_picked(facts, planting)
    return Picks(
        planting.name,
        bearing_portions(facts, belief),
        daily,
        tuple(columns),
        barred,
        waits_days(belief.traits),
        belief.traits.slows,
        None if last is None else (last - facts.today).days,
    )


def eaten_of(
    facts: SeasonFacts, belief: CropBelief, permits: Permits, planned: Sequence[Applied]
) -> NDArray[np.float64]:
    """Share of the crop of each day from today on that is eaten, (n_draws, n_left)."""
    traits = belief.traits
    picks: list[int] = []
    barred: list[int] = []
    for visit in facts.visits:
        column = (visit - facts.today).days
        clear = _clear(facts, belief.planting, permits, planned, arrival(facts, visit))
        (picks if clear else barred).append(column)
    last = last_picked(facts, belief.planting)
    fruiting = belief.kg[:, facts.today_index :] > 0
    since = None if last is None else (last - facts.today).days
    waits, slows = waits_days(traits), traits.slows
    had = eaten_share(fruiting, picks, barred, waits, slows, since)
    if traits.hangs_days is not None or not barred:
        return had if traits.hangs_days is not None else np.ones_like(had)
    # What waits on the plant waits out an absence too, but not one that lies under a bar.
    never = never_clear(facts, belief.planting.key, permits.cautions, planned)
    ends = fruiting.shape[1] if never is not None else 0
    under = _between(picks, barred, ends)
    all_ = eaten_share(fruiting, sorted({*picks, *barred, *under}), (), waits, slows, since)
    return np.asarray(1.0 - (all_ - had))


def _between(picks: Sequence[int], barred: Sequence[int], ends: int) -> Iterable[int]:
    """The days from one barred visit to the next, and from the last one until `ends`.

    A bar at both is by a treatment of the first or before it, so it stands between them too.
    """
    visits = sorted([*picks, *barred])
    for first, then in zip(visits, [*visits[1:], ends + 1], strict=True):
        if first in barred and (then in barred or first == visits[-1]):
            yield from range(first, then)


def _clear(
    facts: SeasonFacts,
    planting: Planting,
    permits: Permits,
    planned: Sequence[Applied],
    at: datetime,
) -> bool:
    zone = ZoneInfo(facts.plot.place.time_zone)
    made = (*facts.applied, *planned)
    shelf = facts.plot.shelf
    return clearance_of(planting, made, shelf, at, zone, permits.cautions).clear_now


def _planned(
    facts: SeasonFacts, planting: Planting, pests: PestPlans, permits: Permits
) -> Iterable[Applied]:
    """The treatments that the courses mean to make on this planting, at the end of their visit."""
    for day, sprayings in pests.sprayings.items():
        ends = arrival(facts, day) + timedelta(minutes=facts.plot.visiting.minutes)
        for one in sprayings:
            if one.planting.key == planting.key:
                yield permits.applied(planting, one.method, one.product, ends)


def _times(share: NDArray[np.float64] | None, picked: NDArray[np.float64]) -> NDArray[np.float64]:
    return picked if share is None else share * picked
