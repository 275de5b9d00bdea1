"""What else a planting's ground can bear: young plants or seed, on all of it or on the worst half.

Every fate gives what the same ground bears from today on in every draw: the old plants until they
come out, then the new ones, and beside them what stays of the old.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from lattermath.belief.after_season import Stands, stands_after
from lattermath.belief.crop_growth import (
    Begun,
    Draws,
    bearing_kg,
    begun_on,
    picked_kg,
    picking_age,
)
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning import fate_reasons, first_weeks
from lattermath.planning.fates import (
    Choices,
    DrawDays,
    FateOutlook,
    GoesIn,
    kept,
    kept_of_new,
    pulling_minutes,
)
from lattermath.planning.pest_beside import barred, near_told
from lattermath.planning.replacing import (
    MINUTES_A_PLANT_SET_OUT,
    MINUTES_TO_SOW,
    WATER_TO_SET_OUT_L,
)
from lattermath.planning.season_left import ComingUp, comes_up, gap_crops
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import Fate
from lattermath.vocabulary.plot import SeedPacket
from lattermath.vocabulary.ruling import Because

# All judgement: how many of the plants set out or sown come to bear.
TAKES = {"good": 0.95, "fair": 0.90, "poor": 0.75}
SOWN_TAKES = 0.85
NEW_PLANT_WATERINGS = 4  # of each new plant, before its roots find water
LITRES_TO_SOW = 5.0
PLANT_SD = 0.25  # judgement: plants of one planting beside one another, log of what they bear
# Judgement: of a plant's ground; in less it is not set. Beside plants that stay it needs all of it.
LEAST_ROOM = 0.5
LEAST_LEFT = 1e-6  # of the yield; below it a course has nothing to save


def replacing_at(
    choices: Choices, visit: int, among: Collection[GoesIn] | None = None
) -> list[FateOutlook]:
    """The fates in which something else takes the ground, begun at the visit of that column.

    Each is told for all plants, and for the worst half where the better half may stay: none is
    kept of what carries a pest or must go. Nothing is begun that nobody will water in its first
    two weeks, and nothing beside its pest untreated.

    among : only these crops and lots; None: whatever cups and tin allow.
    """
    near = choices.care.near
    if choices.care.look_first and choices.care.must_go is None:
        return []  # nobody saw on it what it would come out for
    return [
        one
        for one in told_at(choices, visit, among)
        if one.begins is None or not barred(near, one.crop, one.begins, one.keeps)
    ]


def told_at(
    choices: Choices, visit: int, among: Collection[GoesIn] | None = None
) -> list[FateOutlook]:
    """The same with what may not go in there beside its pest, which tells so among its reasons."""
    if choices.belief.haulm_off:
        return []  # tubers lie there until their skins have set, whatever the ground would give
    key = (visit, None if among is None else frozenset(among))
    return choices.fates(key, lambda: _replacing_at(choices, visit, among))


def may_begin(choices: Choices) -> tuple[int, ...]:
    """Columns of the coming visits whose new plants somebody waters in their first two weeks."""
    last = choices.season.weather.n_days - 1
    return tuple(v for v in choices.visits if first_weeks.is_watered(choices.visits, v, last=last))


def _replacing_at(
    choices: Choices, visit: int, among: Collection[GoesIn] | None
) -> list[FateOutlook]:
    gone = choices.care.must_go

    def wanted(crop: str, lot: str | None) -> bool:
        if gone is not None and crop in gone.not_again:
            return False
        return among is None or (crop, lot) in among

    fates: list[FateOutlook] = []
    for keeps in _may_stay(choices):
        for lot in choices.lots:
            if wanted(lot.lot.crop, lot.lot.key):
                fates += _from_lot(choices, lot, visit, keeps)
        for packet in choices.packets:
            if wanted(packet.crop, None):
                fates += _from_packet(choices, packet, visit, keeps)
    last = choices.season.weather.n_days - 1
    return [
        f
        for f in (*fates, *_treated(choices, fates))
        if gone is None or f.begins == choices.visits[0]
        if f.begins is None or first_weeks.is_watered(choices.visits, f.begins, last=last)
    ]


def _treated(choices: Choices, fates: Sequence[FateOutlook]) -> Iterator[FateOutlook]:
    """The same with new plants of the old crop treated, as the course goes on where they stand."""
    care, crop = choices.care, choices.belief.traits.crop
    before = (care.anew or {}).get(crop)
    if care.treated is None or before is None:
        return
    saved = care.treated.left / np.maximum(before, LEAST_LEFT)
    for fate in fates:
        if fate.crop == crop and fate.begins is not None:
            # Until then the old ones stand there, untreated or not: what is saved begins after.
            gained = np.where(np.arange(saved.shape[1]) < fate.begins - choices.today, 1.0, saved)
            ((traits, kg),) = fate.parts
            yield replace(
                fate,
                says=f"{fate.says}, treated like the rest",
                parts=((traits, kg * gained),),
                minutes=fate.minutes + care.treated.minutes,
                treatments=fate.treatments + care.treated.treatments,
                after=None if fate.after is None else fate.after.of_days(gained),
            )


def best_share(best: int, plants: int) -> float:
    """Share of a planting's yield that so many of its best plants bear.

    Plants of one planting differ by 25 % (log scale, judgement), and the grower sees which bear.
    """
    if best <= 0 or best >= plants:
        return float(best > 0)
    normal = NormalDist()
    return normal.cdf(PLANT_SD - normal.inv_cdf(1 - best / plants))


def _may_stay(choices: Choices) -> tuple[int, ...]:
    """How many of the old plants a replacement may leave: none, or the better half.

    Which are the worst shows once they bear; of young ones nobody can tell.
    """
    half = choices.belief.planting.plants // 2
    care, unripe = choices.care, choices.belief.stage in ("growing", "in flower")
    if half < 1 or unripe or care.must_go is not None or care.anew is not None:
        return (0,)
    return 0, half


def _room(choices: Choices, traits: CropTraits, keeps: int) -> int:
    """How many plants there is room for; 0 where there is hardly any for one."""
    plants = choices.belief.planting.plants
    area = choices.ground.area_m2 * (1.0 if not keeps else 1 - keeps / plants)
    least = (1.0 if keeps else LEAST_ROOM) * traits.spacing_m[0] * traits.spacing_m[1]
    return traits.plants_on(area) if area >= least - 1e-9 else 0


def _from_lot(choices: Choices, lot: LotBelief, visit: int, keeps: int) -> Iterator[FateOutlook]:
    """Set out one lot: at that visit if it is ready, else at the first visit when it is."""
    traits = lot.traits
    plants = min(lot.lot.plants, _room(choices, traits, keeps))
    if plants < 1 or not choices.ground.suits(traits).holds:
        return
    ready = lot.ready_column()
    begins = visit if ready <= visit else _visit_from(choices.visits, ready)
    if begins is None:
        return
    tonight = begins == (choices.visits[0] if choices.visits else visit)
    fate: Fate = "set out standby now" if tonight else "wait for the lot"
    takes = TAKES.get(lot.nursery.transplants, TAKES["poor"]) * lot.sound * lot.stand
    when = "now" if tonight else f"on {said(choices.day(begins))}"
    plant = _a_lot_plant(choices, lot, begins)
    new = plant.kg * (plants * takes)
    pulled = choices.belief.planting.plants - keeps
    stay = keeps / max(choices.belief.planting.plants, 1)  # share of the courses' work
    yield FateOutlook(
        fate,
        f"{traits.counted(plants)} from the cups {when}{_beside(keeps)}",
        _old_then_new(choices, begins, traits, new, keeps),
        pulling_minutes(pulled) + MINUTES_A_PLANT_SET_OUT * plants + choices.care.work * stay,
        WATER_TO_SET_OUT_L * plants * NEW_PLANT_WATERINGS,
        choices.care.treatments * stay,
        crop=traits.crop,
        lot=lot.lot.key,
        plants=plants,
        begins=begins,
        keeps=keeps,
        saves=choices.care.beside,
        after=plant.lifted(choices, traits, plants * takes),
        more=lambda: (
            fate_reasons.of_lot(lot, begins, choices.season),
            fate_reasons.of_first_pick(traits, "set out", new, choices.season),
            *fate_reasons.of_lateness(traits, "set out", begins, choices.season),
            *_of_pests(choices, traits, begins),
        ),
    )


def _from_packet(
    choices: Choices, packet: SeedPacket, visit: int, keeps: int
) -> Iterator[FateOutlook]:
    """Sow in place at that visit: the same crop again, or one that fits the weeks left."""
    fillers, address = gap_crops(choices.season)
    own = choices.belief.traits.crop
    if packet.seeds < 1 or (packet.crop != own and packet.crop not in fillers):
        return
    traits = choices.season.traits(packet.crop).with_packet(packet.days_to_maturity)
    if traits.establish == "transplant" or traits.from_sowing is None:
        return
    up = comes_up(packet.crop, choices.season, visit)
    by_draw = np.minimum(packet.seeds * _coming_up(choices, packet.crop, up),
                         _room(choices, traits, keeps)).astype(int)  # fmt: skip
    plants = int(np.median(by_draw))
    if plants < 1 or not choices.ground.suits(traits).holds:
        return  # no room, or it will not come up in that soil
    plant = _a_sown_plant(choices, traits, packet, visit)
    new = plant.kg * (by_draw * SOWN_TAKES)[:, None]
    same = traits.crop == own
    fits = Because(f"there are weeks enough left for {traits.many}", rests_on=(address,))
    pulled = choices.belief.planting.plants - keeps
    stay = keeps / max(choices.belief.planting.plants, 1)  # share of the courses' work
    yield FateOutlook(
        "direct sow" if same else "another crop",
        f"sow {traits.many} in place{_untested(up)}{_beside(keeps)}",
        _old_then_new(choices, visit, traits, new, keeps),
        pulling_minutes(pulled) + MINUTES_TO_SOW + choices.care.work * stay,
        LITRES_TO_SOW * NEW_PLANT_WATERINGS,
        choices.care.treatments * stay,
        crop=traits.crop,
        plants=plants,
        begins=visit,
        keeps=keeps,
        saves=choices.care.beside,
        after=plant.lifted(choices, traits, by_draw * SOWN_TAKES),
        more=lambda: (
            *(() if same else (fits,)),
            *fate_reasons.of_untested_soil(traits, up),
            fate_reasons.of_first_pick(traits, "sown", new, choices.season),
            *fate_reasons.of_lateness(traits, "sown", visit, choices.season),
            *_of_pests(choices, traits, visit),
        ),
    )


def _coming_up(choices: Choices, crop: str, up: ComingUp) -> Draws:
    """Share of a crop's seeds that come up in each draw: one soil, so alike in every bed."""
    n_draws = choices.season.weather.n_draws
    return choices.season.once(
        "share that comes up",
        (crop, up, choices.dice),
        lambda: choices.dice(f"coming up {crop}").uniform(up.low, up.high, n_draws),
    )


def _untested(up: ComingUp) -> str:
    return f" (not tested {up.untested})" if up.untested else ""


def _of_pests(choices: Choices, traits: CropTraits, begins: int) -> Iterator[Because]:
    """What lives about takes of the new plants too, and what their neighbours keep."""
    care = choices.care
    yield from near_told(care.near, traits.crop, begins)
    if care.sickens is not None and traits.crop in care.sickens:
        yield from fate_reasons.of_young_among_disease(traits, care.sickens[traits.crop])
    if care.anew is not None and traits.crop in care.anew:
        near = (care.near or {}).get(traits.crop, ())
        yield from fate_reasons.of_young_among_pests(
            choices.belief, traits, care.anew[traits.crop], beside=any(not x.own for x in near)
        )
    if care.beside is not None and float(care.beside.mean()) >= fate_reasons.PORTIONS_SAYING:
        yield fate_reasons.of_neighbours(choices.belief, float(care.beside.mean()))


def _beside(keeps: int) -> str:
    return f", beside the best {keeps} of the old" if keeps else ""


@dataclass(frozen=True, slots=True, eq=False)
class NewPlant:
    """What one new plant gives: from today on, (n_draws, n_left) [kg], and lifted after that."""

    kg: DrawDays
    stands: Stands | None

    def lifted(self, choices: Choices, traits: CropTraits, plants: Draws | float) -> Stands | None:
        """What of so many of them is lifted at the end, less what drought and pests take."""
        stands = self.stands
        if stands is None:
            return None
        water = choices.belief.water
        for share in (*([] if water is None else [water]), *kept_of_new(choices.care, traits.crop)):
            stands = stands.of_days(share)
        return stands.times(plants)


def _a_lot_plant(choices: Choices, lot: LotBelief, begins: int) -> NewPlant:
    """One plant of a lot set out then: the same on whatever ground, so grown once a season."""
    cups, n_draws = lot.lot, choices.season.weather.n_draws

    def grow() -> NewPlant:
        start = np.full(n_draws, begins, dtype=np.intp)
        begun = Begun("set out", start, lot.ahead_days(begins), lot.state(begins).early_loss)
        return _grown(choices, lot.traits, begun, begins, cups.days_to_maturity)

    key = (cups.crop, cups.sown, cups.cup_ml, cups.days_to_maturity, cups.looks)
    return choices.season.once("plant of a lot", (key, begins, *_same(choices)), grow)


def _a_sown_plant(choices: Choices, traits: CropTraits, packet: SeedPacket, visit: int) -> NewPlant:
    """One plant of a packet sown then."""

    def grow() -> NewPlant:
        begun = begun_on("sown", visit, choices.season.weather.n_draws)
        return _grown(choices, traits, begun, visit, packet.days_to_maturity)

    key = (traits.crop, packet.days_to_maturity, visit)
    return choices.season.once("plant sown", (key, *_same(choices)), grow)


def _same(choices: Choices) -> tuple[object, ...]:
    """What else a new plant hangs on beside itself and the season."""
    return choices.visits, choices.dice


def _grown(
    choices: Choices, traits: CropTraits, begun: Begun, column: int, days: float | None
) -> NewPlant:
    """One new plant from today on; nothing before the column it is begun on."""
    climate = choices.season.climate(traits.crop)
    unknowns = choices.unknowns_of(traits, days)
    age = picking_age(traits, climate, unknowns, begun, column)
    stands = stands_after(traits, choices.season, unknowns, age, 1.0, column, begun.early_loss)
    kg = bearing_kg(climate, unknowns, age, 1.0, begun.early_loss, column)
    kg = picked_kg(kg, traits, [visit - column for visit in choices.visits if visit >= column])
    waiting = np.zeros((len(kg), column - choices.today))
    return NewPlant(np.concatenate([waiting, kg], axis=1), stands)


def _old_then_new(
    choices: Choices, begins: int, traits: CropTraits, new: DrawDays, keeps: int
) -> tuple[tuple[CropTraits, DrawDays], ...]:
    """The old planting, let run until it is pulled, then the new one and what stays of the old.

    Until then it is taken as untreated: nothing is treated that comes out soon. What stays is
    treated as the courses say.
    The same ground goes short of the same water. What lives on the neighbours takes of clean
    plants too, as far as it was reckoned.
    """
    belief, care = choices.belief, choices.care
    new = new * kept(belief.water)
    for share in kept_of_new(care, traits.crop):
        new = new * share
    untreated, treated = choices.let_run()
    after = slice(begins - choices.today, None)
    old = untreated.copy()
    old[:, after] = treated[:, after] * best_share(keeps, belief.planting.plants)
    if traits.crop == belief.traits.crop:
        return ((traits, old + new),)
    return ((belief.traits, old), (traits, new))


def _visit_from(visits: Sequence[int], column: int) -> int | None:
    return next((visit for visit in visits if visit >= column), None)
