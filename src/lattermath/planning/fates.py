"""What can become of one planting: for each fate, what the same ground gives in every draw."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief, Dice
from lattermath.belief.crop_growth import (
    COVER_KEEPS_C,
    Begun,
    CropUnknowns,
    Draws,
    GrowingSeason,
    bearing_kg,
    begun_on,
    draw_unknowns,
    picked_kg,
    picking_age,
)
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning import fate_reasons, first_weeks
from lattermath.planning.disease_answers import MustGo
from lattermath.planning.ground import Ground
from lattermath.planning.replacing import (
    MINUTES_A_PLANT_PULLED,
    MINUTES_A_PLANT_SET_OUT,
    MINUTES_TO_SOW,
    WATER_TO_SET_OUT_L,
)
from lattermath.planning.season_left import comes_up, gap_crops
from lattermath.science.plant_recovery import bearing_if_left, bearing_if_nursed, recovery_days
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import Fate
from lattermath.vocabulary.plot import SeedPacket
from lattermath.vocabulary.ruling import Because

DrawDays = NDArray[np.float64]  # (n_draws, n_left), from today on
GoesIn = tuple[str, str | None]  # crop, and the lot it comes from; None: from seed

# All judgement: how many of the plants set out or sown come to bear.
TAKES = {"good": 0.95, "fair": 0.90, "poor": 0.75}
SOWN_TAKES = 0.85
MINUTES_OF_CARE = 8.0  # at each visit while a planting is nursed: stripping, tying, feeding
CARE_VISITS = 5  # visits in the two weeks that nursing takes
MINUTES_TO_COVER = 25.0  # laying and lifting fleece over the cold nights
NEW_PLANT_WATERINGS = 4  # of each new plant, before its roots find water
LITRES_TO_SOW = 5.0
LEAST_LEFT = 1e-6  # of the yield; below it a course has nothing to save


@dataclass(frozen=True, slots=True)
class Care:
    """What fighting takes, and what share of the yield pests and drought leave either way.

    left, fought : share kept by draw and coming day, (n_draws, n_left); None: nothing is lost.
    must_go      : why the planting comes out whole at the first visit.
    """

    left: DrawDays | None = None
    fought: DrawDays | None = None
    minutes: float = MINUTES_OF_CARE * CARE_VISITS
    treatments: float = 0.0
    litres: float = 0.0
    must_go: MustGo | None = None

    def widened(self, times: int) -> Care:
        """The same for `times` as many draws."""
        return replace(self, left=_tiled(self.left, times), fought=_tiled(self.fought, times))


@dataclass(frozen=True, slots=True)
class FateOutlook:
    """One fate: what the ground gives from today on, by crop, and what it takes."""

    fate: Fate
    says: str
    parts: tuple[tuple[CropTraits, DrawDays], ...]
    minutes: float = 0.0
    litres: float = 0.0
    treatments: float = 0.0
    crop: str = ""  # what goes in
    lot: str | None = None
    plants: int = 0
    begins: int | None = None  # column of the visit on which it is done
    because: tuple[Because, ...] = ()

    def kg(self) -> Draws:
        """Everything the ground gives until the season ends, (n_draws,)."""
        total: Draws = sum((kg.sum(axis=1) for _, kg in self.parts), np.zeros(1))
        return total


@dataclass(slots=True)
class Choices:
    """One planting and all that may be done about it."""

    belief: CropBelief
    season: GrowingSeason
    ground: Ground
    visits: tuple[int, ...]  # columns of the coming visits, today's first
    dice: Dice
    lots: tuple[LotBelief, ...] = ()
    packets: tuple[SeedPacket, ...] = ()
    care: Care = field(default_factory=Care)
    _drawn: dict[tuple[str, float | None], CropUnknowns] = field(default_factory=dict)

    @property
    def today(self) -> int:
        """Column of the plan's day."""
        return self.season.weather.today

    @property
    def young(self) -> bool:
        """Sound plants that do not bear yet, and need not go."""
        sound = self.belief.planting.vigour == "sound" and self.care.must_go is None
        return sound and self.belief.stage in ("growing", "in flower")

    def unharmed(self) -> Choices:
        """The same choices with nothing lost to pests, on the same draws."""
        return replace(self, care=replace(self.care, left=None, fought=None))

    def day(self, column: int) -> date:
        """The day of a column."""
        return self.season.weather.day(column)

    def widened(
        self, season: GrowingSeason, belief: CropBelief, lots: tuple[LotBelief, ...], times: int
    ) -> Choices:
        """The same choices under a season of `times` as many draws, worked out afresh for it."""
        care = self.care.widened(times)
        return Choices(
            belief, season, self.ground, self.visits, self.dice, lots, self.packets, care
        )

    def unknowns_of(self, traits: CropTraits, days: float | None) -> CropUnknowns:
        """What is not known of a crop put in here: the same draws whenever it is put in."""
        key = (traits.crop, days)
        if key not in self._drawn:
            name = f"new {self.belief.planting.key} {traits.crop} {days or ''}".rstrip()
            n = self.season.weather.n_draws
            self._drawn[key] = draw_unknowns(traits, n, self.dice(name))
        return self._drawn[key]


def keeping(choices: Choices) -> list[FateOutlook]:
    """The fates in which the planting stays: fight, leave, and cover where frost would end it.

    One that must go is taken out, and that is its only fate without a replacement.
    """
    belief, care = choices.belief, choices.care
    if care.must_go is not None:
        return [_pulled(choices, care.must_go)]
    sound = belief.kg[:, choices.today :]
    left = bearing_if_left(belief.condition, sound.shape[1]) * _kept(care.left)
    rng = choices.dice(f"recovery {belief.planting.key}")
    luck, days = rng.random(len(sound)), recovery_days(rng.random(len(sound)))
    begins = choices.visits[0] if choices.visits else choices.today
    nursed = bearing_if_nursed(belief.condition, sound.shape[1], luck, days, begins - choices.today)
    fates = [
        FateOutlook("leave", "let run", ((belief.traits, sound * left),)),
        FateOutlook(
            "fight",
            "nurse it back",
            ((belief.traits, sound * nursed * _kept(care.fought)),),
            care.minutes,
            care.litres,
            care.treatments,
            begins=begins,
            because=(fate_reasons.of_recovery(belief),),
        ),
    ]
    if belief.traits.tender:
        covered = bearing_kg(
            choices.season.climate(belief.traits.crop, COVER_KEEPS_C),
            belief.unknowns,
            belief.age[:, choices.today :],
            belief.planting.plants,
            None,
            choices.today,
        )
        parts = ((belief.traits, covered * left * belief.health[:, None] * _kept(belief.water)),)
        fates.append(FateOutlook("cover", "fleece on cold nights", parts, MINUTES_TO_COVER))
    return fates


def with_courses(outlook: FateOutlook, care: Care | None) -> FateOutlook:
    """A planting that is let run, as the courses leave it: they are gone through all the same."""
    if outlook.fate not in ("leave", "cover") or care is None:
        return outlook
    if care.left is None or care.fought is None:
        return outlook
    ((traits, kg),) = outlook.parts
    saved = care.fought / np.maximum(care.left, LEAST_LEFT)
    return replace(outlook, parts=((traits, kg * saved),))


def replacing_at(
    choices: Choices, visit: int, among: Collection[GoesIn] | None = None
) -> list[FateOutlook]:
    """The fates in which something else takes the ground, begun at the visit of that column.

    Nothing is begun that nobody will water in its first two weeks.

    among : only these crops and lots; None: whatever cups and tin allow.
    """

    gone = choices.care.must_go

    def wanted(crop: str, lot: str | None) -> bool:
        if gone is not None and crop in gone.not_again:
            return False
        return among is None or (crop, lot) in among

    fates = [
        *(
            fate
            for lot in choices.lots
            if wanted(lot.lot.crop, lot.lot.key)
            and (fate := _from_lot(choices, lot, visit)) is not None
        ),
        *(
            fate
            for packet in choices.packets
            if wanted(packet.crop, None)
            and (fate := _from_packet(choices, packet, visit)) is not None
        ),
    ]
    last = choices.season.weather.n_days - 1
    return [
        f
        for f in fates
        if gone is None or f.begins == choices.visits[0]
        if f.begins is None or first_weeks.is_watered(choices.visits, f.begins, last=last)
    ]


def _pulled(choices: Choices, gone: MustGo) -> FateOutlook:
    """Bag it and take it off the plot at the first visit; the ground stands bare."""
    nothing = np.zeros((len(choices.belief.kg), choices.belief.kg.shape[1] - choices.today))
    return FateOutlook(
        "pull",
        "take it out",
        ((choices.belief.traits, nothing),),
        _pulling_minutes(choices),
        begins=choices.visits[0] if choices.visits else choices.today,
        because=(gone.because,),
    )


def _from_lot(choices: Choices, lot: LotBelief, visit: int) -> FateOutlook | None:
    """Set out one lot: at that visit if it is ready, else at the first visit when it is."""
    if not choices.ground.suits(lot.traits).holds or lot.lot.plants < 1:
        return None
    ready = lot.ready_column()
    begins = visit if ready <= visit else _visit_from(choices.visits, ready)
    if begins is None:
        return None
    fate: Fate = "set out standby now" if begins == visit else "wait for the lot"
    return _lot_fate(choices, lot, begins, fate)


def _lot_fate(choices: Choices, lot: LotBelief, begins: int, fate: Fate) -> FateOutlook:
    traits = lot.traits
    plants = min(lot.lot.plants, traits.plants_on(choices.ground.area_m2))
    start = np.full(choices.season.weather.n_draws, begins, dtype=np.intp)
    begun = Begun("set out", start, lot.ahead_days(begins), lot.state(begins).early_loss)
    takes = TAKES.get(lot.nursery.transplants, TAKES["poor"]) * lot.sound
    new = _new_kg(choices, traits, begun, begins, plants * takes, lot.lot.days_to_maturity)
    when = "now" if fate == "set out standby now" else f"on {said(choices.day(begins))}"
    reasons = (
        fate_reasons.of_lot(lot, begins, choices.season),
        fate_reasons.of_first_pick(traits, "set out", new, choices.season),
        *fate_reasons.of_lateness(traits, "set out", begins, choices.season),
    )
    return FateOutlook(
        fate,
        f"{traits.counted(plants)} from the cups {when}",
        _old_then_new(choices, begins, traits, new),
        _pulling_minutes(choices) + MINUTES_A_PLANT_SET_OUT * plants,
        WATER_TO_SET_OUT_L * plants * NEW_PLANT_WATERINGS,
        crop=traits.crop,
        lot=lot.lot.key,
        plants=plants,
        begins=begins,
        because=reasons,
    )


def _from_packet(choices: Choices, packet: SeedPacket, visit: int) -> FateOutlook | None:
    """Sow in place at that visit: the same crop again, or one that fits the weeks left."""
    fillers, address = gap_crops(choices.season)
    own = choices.belief.traits.crop
    if packet.seeds < 1 or (packet.crop != own and packet.crop not in fillers):
        return None
    traits = choices.season.traits(packet.crop).with_packet(packet.days_to_maturity)
    if traits.establish == "transplant" or traits.from_sowing is None:
        return None
    if not choices.ground.suits(traits).holds:
        return None
    if packet.seeds * comes_up(packet.crop, choices.season, visit) < 1:
        return None  # it will not come up in that soil
    return _seed_fate(choices, traits, packet, visit, address)


def _seed_fate(
    choices: Choices, traits: CropTraits, packet: SeedPacket, visit: int, address: str
) -> FateOutlook:
    up = comes_up(traits.crop, choices.season, visit)
    plants = min(int(packet.seeds * up), traits.plants_on(choices.ground.area_m2))
    begun = begun_on("sown", visit, choices.season.weather.n_draws)
    new = _new_kg(choices, traits, begun, visit, plants * SOWN_TAKES, packet.days_to_maturity)
    same = traits.crop == choices.belief.traits.crop
    rests = (
        ()
        if same
        else (
            Because(f"there are weeks enough left to frost for {traits.many}", rests_on=(address,)),
        )
    )
    return FateOutlook(
        "direct sow" if same else "another crop",
        f"sow {traits.many} in place",
        _old_then_new(choices, visit, traits, new),
        _pulling_minutes(choices) + MINUTES_TO_SOW,
        LITRES_TO_SOW * NEW_PLANT_WATERINGS,
        crop=traits.crop,
        plants=plants,
        begins=visit,
        because=(
            *rests,
            fate_reasons.of_first_pick(traits, "sown", new, choices.season),
            *fate_reasons.of_lateness(traits, "sown", visit, choices.season),
        ),
    )


def _new_kg(
    choices: Choices,
    traits: CropTraits,
    begun: Begun,
    column: int,
    plants: float,
    days: float | None,
) -> DrawDays:
    """Yield of the new plants from today on; nothing before the column they are begun on."""
    climate = choices.season.climate(traits.crop)
    unknowns = choices.unknowns_of(traits, days)
    age = picking_age(traits, climate, unknowns, begun, column)
    kg = bearing_kg(climate, unknowns, age, plants, begun.early_loss, column)
    kg = picked_kg(kg, traits, [visit - column for visit in choices.visits if visit >= column])
    waiting = np.zeros((len(kg), column - choices.today))
    return np.concatenate([waiting, kg], axis=1)


def _old_then_new(
    choices: Choices, begins: int, traits: CropTraits, new: DrawDays
) -> tuple[tuple[CropTraits, DrawDays], ...]:
    """The old planting, let run until it is pulled, and the new one after it."""
    belief = choices.belief
    new = new * _kept(belief.water)  # the same ground goes short of the same water
    old = belief.kg[:, choices.today :] * bearing_if_left(belief.condition, new.shape[1])
    old = old * _kept(choices.care.left)
    old[:, begins - choices.today :] = 0.0
    if traits.crop == belief.traits.crop:
        return ((traits, old + new),)
    return ((belief.traits, old), (traits, new))


def _tiled(share: DrawDays | None, times: int) -> DrawDays | None:
    return None if share is None else np.tile(share, (times, 1))


def _kept(share: DrawDays | None) -> DrawDays | float:
    return 1.0 if share is None else share


def _pulling_minutes(choices: Choices) -> float:
    return MINUTES_A_PLANT_PULLED * choices.belief.planting.plants


def _visit_from(visits: Sequence[int], column: int) -> int | None:
    return next((visit for visit in visits if visit >= column), None)
