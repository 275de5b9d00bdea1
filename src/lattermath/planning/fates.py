"""What can become of one planting: for each fate, what the same ground gives in every draw."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.after_season import Stands, stands_after
from lattermath.belief.crop_belief import CropBelief, Dice
from lattermath.belief.crop_growth import (
    COVER_KEEPS_C,
    CropUnknowns,
    Draws,
    GrowingSeason,
    bearing_kg,
    draw_unknowns,
)
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning import fate_reasons
from lattermath.planning.disease_answers import MustGo
from lattermath.planning.ground import Ground
from lattermath.planning.replacing import (
    MINUTES_A_PLANT_PULLED,
)
from lattermath.science.plant_recovery import bearing_if_left, bearing_if_nursed, recovery_days
from lattermath.vocabulary.plan import Fate
from lattermath.vocabulary.plot import SeedPacket
from lattermath.vocabulary.ruling import Because

if TYPE_CHECKING:
    from lattermath.planning.pest_beside import Near

DrawDays = NDArray[np.float64]  # (n_draws, n_left), from today on
GoesIn = tuple[str, str | None]  # crop, and the lot it comes from; None: from seed

KEEPING = ("fight", "leave", "cover", "pull")
# All judgement.
MINUTES_OF_CARE = 8.0  # at each visit while a planting is nursed: stripping, tying, feeding
CARE_VISITS = 5  # visits in the two weeks that nursing takes
MINUTES_TO_COVER = 25.0  # laying and lifting fleece over the cold nights


@dataclass(frozen=True, slots=True, eq=False)
class TreatedAnew:
    """What pests leave of clean plants that are treated as the course treats the old ones later on.

    left : share kept by draw and coming day, (n_draws, n_left).
    """

    left: DrawDays
    minutes: float
    treatments: float

    def tiled(self, times: int) -> TreatedAnew:
        """The same for `times` as many draws."""
        return replace(self, left=np.tile(self.left, (times, 1)))


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What of a care comes of insects known to live there, and the names of the others."""

    unseen: tuple[str, ...] = ()  # nobody saw them there
    left: DrawDays | None = None
    fought: DrawDays | None = None
    anew: Mapping[str, DrawDays] | None = None
    beside: Draws | None = None
    helps: Draws | None = None
    treated: TreatedAnew | None = None
    doubted: tuple[str, ...] = ()  # more was found than can well be


@dataclass(frozen=True, slots=True)
class Care:
    """What nursing and the courses take, and what share of the yield is left.

    left, fought : share kept by draw and coming day without the courses and with them,
                   (n_draws, n_left); None: nothing is lost.
    minutes      : nursing, beside the courses.
    work         : minutes of the courses on it; they are gone through wherever it stays.
    treatments   : of the courses, those from a pack; softer ones count as less.
    must_go      : why the planting comes out whole at the first visit.
    anew         : share that pests leave of clean plants of a crop that take its place, by crop;
                   what is not in it loses nothing; None: not reckoned.
    beside       : what its neighbours keep once it is gone, beside what they keep where it is let
                   run untreated, (n_draws,); None: nothing. [portions]
    helps        : the same where the courses are gone through on it. [portions]
    treated      : the same of clean plants of the old crop that are treated; None: as the rest.
    sickens      : share that leaf diseases leave of clean plants of a crop put in there, untreated,
                   by crop; what is not in it loses nothing; None: none was seen.
    near         : what lives near by on plants of its own, and on a crop put in there too, by crop;
                   beside its pest untreated none goes in.
    seen         : the same of what was seen on it alone; None: all that is reckoned was.
    look_first   : it is not taken out before somebody has looked for what is reckoned on it.
    """

    left: DrawDays | None = None
    fought: DrawDays | None = None
    minutes: float = MINUTES_OF_CARE * CARE_VISITS
    work: float = 0.0
    treatments: float = 0.0
    litres: float = 0.0
    must_go: MustGo | None = None
    anew: Mapping[str, DrawDays] | None = None
    beside: Draws | None = None
    helps: Draws | None = None
    sickens: Mapping[str, DrawDays] | None = None
    treated: TreatedAnew | None = None
    near: Near | None = None
    seen: Seen | None = None
    look_first: bool = False

    def as_seen(self) -> Care:
        """The same where only what was seen on the planting lives there."""
        if (one := self.seen) is None:
            return self
        return replace(self, left=one.left, fought=one.fought, anew=one.anew, beside=one.beside,
                       helps=one.helps, treated=one.treated, seen=None)  # fmt: skip

    def widened(self, times: int) -> Care:
        """The same for `times` as many draws."""
        return replace(
            self,
            left=_tiled(self.left, times),
            fought=_tiled(self.fought, times),
            anew=_each_tiled(self.anew, times),
            sickens=_each_tiled(self.sickens, times),
            treated=None if self.treated is None else self.treated.tiled(times),
            beside=None if self.beside is None else np.tile(self.beside, times),
            helps=None if self.helps is None else np.tile(self.helps, times),
        )


@dataclass(frozen=True, slots=True, eq=False)
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
    keeps: int = 0  # of the old plants, the best that stay
    saves: Draws | None = None  # what else is saved, at the neighbours, (n_draws,) [portions]
    after: Stands | None = None  # what is lifted when the reckoned days are over
    because: tuple[Because, ...] = ()
    more: Callable[[], tuple[Because, ...]] | None = None  # reasons of what few are asked about

    @property
    def reasons(self) -> tuple[Because, ...]:
        """Why: all that it rests on."""
        return (*self.because, *(() if self.more is None else self.more()))

    def kg(self) -> Draws:
        """Everything the ground gives, what is lifted when the days are over too, (n_draws,)."""
        total: Draws = sum((kg.sum(axis=1) for _, kg in self.parts), np.zeros(1))
        return total if self.after is None else total + self.after.kg

    def without_yields(self) -> FateOutlook:
        """The same as it is told and priced; what it gives day by day takes much room."""
        return replace(self, parts=(), after=None, more=None)


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
    fleece: bool = True  # there is some to lay over it on cold nights
    # None goes on into a copy in which something else is given: fates told, where they are asked
    # for again, the same choices without pests, and what the planting gives where it is let run.
    _told: dict[object, list[FateOutlook]] | None = field(default=None, init=False)
    _clear: Choices | None = field(default=None, init=False)
    _let_run: tuple[DrawDays, DrawDays] | None = field(default=None, init=False)

    @property
    def today(self) -> int:
        """Column of the plan's day."""
        return self.season.weather.today

    @property
    def young(self) -> bool:
        """Sound plants that do not bear yet, need not go, and stand for what would follow them."""
        sound = self.belief.planting.vigour == "sound" and self.care.must_go is None
        sound = sound and self.care.anew is None  # else what pests take of either is reckoned
        return sound and self.belief.stage in ("growing", "in flower")

    def unharmed(self) -> Choices:
        """The same choices with nothing lost to pests, on the same draws."""
        if self._clear is None:
            care = replace(Care(), minutes=self.care.minutes, must_go=self.care.must_go,
                           treatments=self.care.treatments, litres=self.care.litres,
                           near=self.care.near, look_first=self.care.look_first)  # fmt: skip
            self._clear = replace(self, care=care)
            self._clear._told = None if self._told is None else {}
        return self._clear

    def let_run(self) -> tuple[DrawDays, DrawDays]:
        """What the planting gives from today on if it is let run: untreated, and treated. [kg]

        Not to be changed: every fate in which it comes out begins with it.
        """
        if self._let_run is None:
            sound = self.belief.kg[:, self.today :]
            worn = sound * bearing_if_left(self.belief.condition, sound.shape[1])
            self._let_run = worn * kept(self.care.left), worn * kept(self.care.fought)
        return self._let_run

    def asked_again(self) -> Choices:
        """The same choices, which keep the fates they told: they are weighed more than once."""
        again = replace(self)
        again._told = {}
        return again

    def fates(self, key: object, tell: Callable[[], list[FateOutlook]]) -> list[FateOutlook]:
        """What `tell` tells, or told before by that key."""
        if self._told is None:
            return tell()
        if key not in self._told:
            self._told[key] = tell()
        return self._told[key]

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
        """What is not known of a crop put in here: the same draws whenever, and wherever, it is.

        Plants of one kind are as good in one bed as in another, as far as anybody knows; were each
        bed drawn by itself, cups would go to the luckier draws.
        """
        name = f"new {traits.crop} {days or ''}".rstrip()
        n = self.season.weather.n_draws
        return self.season.once(
            "unknowns", (name, self.dice), lambda: draw_unknowns(traits, n, self.dice(name))
        )


def keeping(choices: Choices) -> list[FateOutlook]:
    """The fates in which the planting stays: fight, leave, and cover where frost would end it.

    The courses are gone through on it all the same: what they leave and take is in each. One that
    must go is taken out, and that is its only fate without a replacement.
    """
    return choices.fates("keeping", lambda: _keeping(choices))


def _keeping(choices: Choices) -> list[FateOutlook]:
    belief, care = choices.belief, choices.care
    if care.must_go is not None:
        return [_pulled(choices, care.must_go)]
    sound = belief.kg[:, choices.today :]
    worn, treated = bearing_if_left(belief.condition, sound.shape[1]), kept(care.fought)
    rng = choices.dice(f"recovery {belief.planting.key}")
    luck, days = rng.random(len(sound)), recovery_days(rng.random(len(sound)))
    begins = choices.visits[0] if choices.visits else choices.today
    waits = _lifted(choices)
    nursed = bearing_if_nursed(belief.condition, sound.shape[1], luck, days, begins - choices.today)
    stays = "haulm off, tubers lifted" if belief.haulm_off else "let run"
    leave = _stays(choices, "leave", stays, sound * worn * treated)
    fight = _stays(choices, "fight", "nurse it back", sound * nursed * treated, care.minutes)
    fates = [
        replace(leave, after=waits(worn * treated)),
        replace(
            fight,
            litres=care.litres,
            begins=begins,
            after=waits(nursed * treated),
            because=(fate_reasons.of_recovery(belief),),
        ),
    ]
    if belief.haulm_off:
        return fates[:1]  # nothing grows that could be nursed
    # Courses look five weeks ahead, and what is gone on with later is one means only: plants that
    # bear only then may be reckoned too low, and are not given up for insects (decision 0064).
    bears = belief.stage != "growing"
    may_go = bears and not care.look_first
    if care.beside is not None and float(care.beside.mean()) > 0 and may_go:
        fates.append(_given_up(choices, sound * worn * kept(care.left), begins))
    if choices.fleece and belief.traits.tender:
        covered = bearing_kg(
            choices.season.climate(belief.traits.crop, COVER_KEEPS_C),
            belief.unknowns,
            belief.age[:, choices.today :],
            belief.planting.plants,
            None,
            choices.today,
        )
        kg = covered * worn * treated * belief.health[:, None] * kept(belief.water)
        fates.append(_stays(choices, "cover", "fleece on cold nights", kg, MINUTES_TO_COVER))
    return fates


def _stays(
    choices: Choices, fate: Fate, says: str, kg: DrawDays, minutes: float = 0.0
) -> FateOutlook:
    """A fate in which the planting stays, with the courses on it beside its own minutes."""
    care, parts = choices.care, ((choices.belief.traits, kg),)
    return FateOutlook(
        fate, says, parts, minutes + care.work, treatments=care.treatments, saves=care.helps
    )


def _lifted(choices: Choices) -> Callable[[DrawDays], Stands | None]:
    """What is lifted of the planting at the end, by the share of its yield that is left it."""
    belief = choices.belief
    stands = stands_after(
        belief.traits, choices.season, belief.unknowns, belief.age, belief.planting.plants
    )

    def waits(share: DrawDays) -> Stands | None:
        if stands is None or belief.haulm_cut:
            return None
        return stands.of_days(share * belief.health[:, None] * kept(belief.water))

    return waits


def _pulled(choices: Choices, gone: MustGo) -> FateOutlook:
    """Bag it and take it off the plot at the first visit; the ground stands bare."""
    nothing = np.zeros((len(choices.belief.kg), choices.belief.kg.shape[1] - choices.today))
    return FateOutlook(
        "pull",
        "take it out",
        ((choices.belief.traits, nothing),),
        pulling_minutes(choices.belief.planting.plants),
        begins=choices.visits[0] if choices.visits else choices.today,
        because=(gone.because,),
    )


def _each_tiled(shares: Mapping[str, DrawDays] | None, times: int) -> Mapping[str, DrawDays] | None:
    if shares is None:
        return None
    return {crop: np.tile(share, (times, 1)) for crop, share in shares.items()}


def _tiled(share: DrawDays | None, times: int) -> DrawDays | None:
    return None if share is None else np.tile(share, (times, 1))


def _given_up(choices: Choices, let_run: DrawDays, begins: int) -> FateOutlook:
    """Take it out at the first visit for its neighbours' sake; the ground rests."""
    belief, saves = choices.belief, choices.care.beside
    until = let_run.copy()
    until[:, begins - choices.today :] = 0.0
    portions = 0.0 if saves is None else float(saves.mean())
    return FateOutlook(
        "pull",
        "take it out, nothing after it",
        ((belief.traits, until),),
        pulling_minutes(belief.planting.plants),
        begins=begins,
        saves=saves,
        because=(fate_reasons.of_neighbours(belief, portions),),
    )


def kept(share: DrawDays | None) -> DrawDays | float:
    """A share of the yield, all of it where none is told."""
    return 1.0 if share is None else share


def kept_of_new(care: Care, crop: str) -> list[DrawDays]:
    """Shares that insects and leaf diseases leave of clean plants of a crop, as far as told."""
    told = ((care.anew or {}).get(crop), (care.sickens or {}).get(crop))
    return [share for share in told if share is not None]


def pulling_minutes(plants: int) -> float:
    """What taking plants out takes. [min]"""
    return MINUTES_A_PLANT_PULLED * plants
