"""The crops of a plan: what each planting is, what it will bear, and keep or replace."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np

from lattermath.belief.crop_belief import CropBelief, believe
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import LotBelief, believe_lot
from lattermath.desk.crop_season import believe_planting
from lattermath.desk.drought import dried
from lattermath.desk.permits import Permits
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.soil_rest import soil_rests
from lattermath.planning.bare_ground import Filling, fill
from lattermath.planning.fates import Care, Choices, FateOutlook
from lattermath.planning.ground import Ground, ground_of, with_neighbours
from lattermath.planning.keep_or_replace import (
    Again,
    Decision,
    Table,
    decide,
    rest_of_plot,
    until_seen,
)
from lattermath.vocabulary.plot import Bed, Planting

LEAST_FREE_M2 = 1.0  # judgement: less between plants is not a piece of ground


@dataclass(frozen=True, slots=True)
class CropPlans:
    """Beliefs about plantings and lots, and one decision for each planting and bare bed."""

    season: GrowingSeason
    beliefs: Mapping[str, CropBelief]
    lots: tuple[LotBelief, ...]
    decisions: Mapping[str, Decision]
    fillings: Mapping[str, Filling]  # by bed
    asked: Mapping[str, tuple[Choices, Table]] = field(default_factory=dict)  # of each decision
    bare: Mapping[str, tuple[Choices, Table]] = field(default_factory=dict)  # beds left bare

    def pulled(self, facts: SeasonFacts) -> dict[str, date]:
        """The day on which each planting that is replaced comes out."""
        return {
            key: facts.first + timedelta(days=decision.chosen.begins)
            for key, decision in self.decisions.items()
            if decision.verdict.verdict in ("replace", "pull")
            and decision.chosen.begins is not None
        }


def decide_crops(
    facts: SeasonFacts,
    season: GrowingSeason,
    beliefs: Mapping[str, CropBelief],
    lots: tuple[LotBelief, ...],
    cares: Mapping[str, Care],
    permits: Permits,
    *,
    dated: bool = True,
    rough: bool = False,
) -> CropPlans:
    """Fill bare ground, then decide each planting, each knowing what was decided before it.

    A lot given to one is not offered to the next, and what one bed will bear counts as eaten when
    the next is decided: two beds are not both sown for the same portions. Bare ground comes first:
    a lot set out there costs nothing that stands.

    dated : find the last day of each replacement; without it, for a first look at them all.
    rough : for a first look; else nothing is taken out for insects that nobody saw on it.
    """
    free = [lot for lot in lots if not lot.lost]
    fillings: dict[str, Filling] = {}
    decisions: dict[str, Decision] = {}

    def table(besides: str) -> Table:
        decided = {key: one.chosen for key, one in decisions.items()}
        filled = [one.chosen for one in fillings.values()]
        everything = list(beliefs.values())
        household = facts.plot.household
        rest = rest_of_plot(everything, besides, household, season, decided, filled)
        return Table(household, rest)

    bare: dict[str, tuple[Choices, Table]] = {}
    for bed in facts.plot.bare_beds():
        empty = _nothing(facts, season, bed)
        care = cares.get(empty.planting.key, Care())
        choices = _choices(facts, season, empty, free, care, permits)
        filling = fill(choices, table(""))
        if filling is None:
            bare[bed.key] = (choices, table(""))
        else:
            fillings[bed.key] = filling
            free = without_taken(free, filling.chosen)
    asked: dict[str, tuple[Choices, Table]] = {}
    for key in _most_pressing(beliefs):
        choices = _choices(facts, season, beliefs[key], free, cares.get(key, Care()), permits)
        again = afresh(facts, beliefs[key], tuple(free))
        beside = table(key)
        asked[key] = (choices if rough else until_seen(choices, beside), beside)
        decisions[key] = decide(*asked[key], again, dated=dated)
        free = without_taken(free, decisions[key].chosen)
    ordered = {key: decisions[key] for key in beliefs}
    return CropPlans(season, beliefs, lots, ordered, fillings, asked, bare)


def afresh(facts: SeasonFacts, belief: CropBelief, free: tuple[LotBelief, ...]) -> Again:
    """Give how one planting and the free lots are worked out afresh when two fates lie close."""
    planting = belief.planting

    def anew(wide: GrowingSeason) -> tuple[CropBelief, tuple[LotBelief, ...]]:
        lots = tuple(believe_lot(lot.lot, wide) for lot in free)
        again = believe_planting(facts, planting, wide)
        if belief.water is not None:
            times = len(again.kg) // len(belief.kg)
            again = dried(again, np.tile(belief.water, (times, 1)))
        return again, lots

    return anew


def part_bare(
    facts: SeasonFacts, crops: CropPlans, permits: Permits, bed: Bed, care: Care
) -> tuple[Choices, Table] | None:
    """The part of a bed that its plantings leave, by their spacing; None where it is hardly any.

    Weighed with seed alone beside all that was decided: the cups are given out by then.

    care : what lives beside it.
    """
    decided = {key: one.chosen for key, one in crops.decisions.items()}
    free = bed.area_m2 - sum(_needs(facts, crops, key) for key in crops.beliefs
                             if crops.beliefs[key].planting.bed == bed.key)  # fmt: skip
    if free < LEAST_FREE_M2:
        return None
    choices = _choices(facts, crops.season, _nothing(facts, crops.season, bed), [], care, permits)
    choices = replace(choices, ground=replace(choices.ground, area_m2=free))
    filled = [one.chosen for one in crops.fillings.values()]
    household = facts.plot.household
    rest = rest_of_plot(list(crops.beliefs.values()), "", household, crops.season, decided, filled)
    return choices, Table(household, rest)


def _needs(facts: SeasonFacts, crops: CropPlans, key: str) -> float:
    """Ground that a planting takes, or what follows it where that is more. [m2]"""
    planting, chosen = crops.beliefs[key].planting, crops.decisions[key].chosen
    rows = facts.tables.crops
    stays = (chosen.keeps if chosen.crop else planting.plants) * rows[planting.crop].plant_ground_m2
    goes_in = chosen.plants * rows[chosen.crop].plant_ground_m2 if chosen.crop else 0.0
    return max(planting.plants * rows[planting.crop].plant_ground_m2, stays + goes_in)


def _choices(
    facts: SeasonFacts,
    season: GrowingSeason,
    belief: CropBelief,
    lots: list[LotBelief],
    care: Care,
    permits: Permits,
) -> Choices:
    return Choices(
        belief=belief,
        season=season,
        ground=_ground(facts, belief, permits),
        visits=tuple(facts.day_index(day) for day in facts.visits),
        dice=facts.dice,
        lots=tuple(lots),
        packets=facts.plot.tin.packets,
        care=care,
        fleece="fleece" in facts.plot.means.on_hand,
    )


def _ground(facts: SeasonFacts, belief: CropBelief, permits: Permits) -> Ground:
    """The ground of a planting or a bare bed, with what bars planting there at the next visit."""
    bed, planting = facts.plot.bed_of(belief.planting), belief.planting
    ground = ground_of(facts.plot, planting, belief.traits)
    if planting.plants == 0 and bed is not None:
        ground = Ground(bed.area_m2, "", "", bed.name)
    elif bed is not None:
        crops = facts.tables.crops
        others = sum(
            one.plants * crops[one.crop].plant_ground_m2
            for one in facts.plot.standing()
            if one.bed == planting.bed and one.key != planting.key
        )
        ground = with_neighbours(ground, bed.area_m2, others)
    place = planting.bed or planting.key
    rests = tuple(rest for rest in soil_rests(facts) if rest.place == place)
    ground = replace(ground, rests=rests)
    if not facts.evenings:
        return ground
    return replace(ground, bar=permits.bar_on_ground(planting, facts.evenings[0].arrive))


def _nothing(facts: SeasonFacts, season: GrowingSeason, bed: Bed) -> CropBelief:
    """Give bare ground as a planting of no plants, so that the same fates can be weighed."""
    crops = [lot.crop for lot in facts.plot.lots] + [p.crop for p in facts.plot.tin.packets]
    crop = crops[0] if crops else "chard"
    return believe(Planting(f"bare {bed.key}", bed.name, crop, 0, bed.key), season, [], facts.dice)


def _most_pressing(beliefs: Mapping[str, CropBelief]) -> list[str]:
    """Worn plantings first: they have the first call on what waits in cups."""
    order = {"failing": 0, "worn": 1, "tired": 2, "sound": 3}
    return sorted(beliefs, key=lambda key: (order[beliefs[key].planting.vigour], key))


def without_taken(lots: Sequence[LotBelief], chosen: FateOutlook) -> list[LotBelief]:
    """The lots without the plants that one outlook takes."""
    if chosen.lot is None:
        return list(lots)
    left = []
    for lot in lots:
        if lot.lot.key != chosen.lot:
            left.append(lot)
        elif lot.lot.plants > chosen.plants:
            left.append(replace(lot, lot=replace(lot.lot, plants=lot.lot.plants - chosen.plants)))
    return left
