"""Cups in reserve for ground that may come free: how many to sow of what, and until when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray
from scipy.special import bdtrc

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import last_planting_of
from lattermath.belief.crop_traits import CropTraits
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning.cup_sowing import GROWS_WELL, NEARLY_ALL, last_useful_sowing
from lattermath.planning.ground import Ground
from lattermath.planning.season_left import comes_up, usual_frost
from lattermath.planning.standby import loss_reason
from lattermath.planning.young_losses import YoungLoss
from lattermath.science.harvest_curve import first_frost
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plan import LastSowing, StandbyAdvice
from lattermath.vocabulary.plot import Tin
from lattermath.vocabulary.ruling import Because

Draws = NDArray[np.float64]  # (n_draws,)

LEAST_CHANCE = 0.15  # judgement: for less than about one in seven nobody raises plants
EARLY_DAYS = 21  # judgement: what ends within three weeks of frost has lasted, and did not fail
MOST_SEEDS = 60  # judgement: of one crop in cups at home


@dataclass(frozen=True, slots=True)
class MayFail:
    """Ground of a planting that is kept, and the column on which it comes free in each draw.

    opens : inf where the planting lasts to about the frost of its draw, (n_draws,).
    """

    ground: Ground
    opens: Draws

    def within(self, first: float, last: float) -> NDArray[np.bool_]:
        """The draws in which it comes free between two columns, both counted."""
        return np.asarray((self.opens >= first) & (self.opens <= last))


@dataclass(frozen=True, slots=True)
class Reserve:
    """One crop to sow now for what may fail while its cups are good to set out."""

    traits: CropTraits
    seeds: int
    wanted: NDArray[np.int64]  # plants wanted in each draw, (n_draws,)
    enough: float  # chance that what makes it is enough
    ready: int
    coils: int
    fails: tuple[tuple[Ground, float], ...]  # and the chance of each within that window


def may_fail(ground: Ground, kg_left: NDArray[np.float64], season: GrowingSeason) -> MayFail:
    """When the ground of a kept planting comes free in each draw.

    It is free when nearly all it will give is given, by wear, disease, drought or cold, as the
    futures have it.

    kg_left : what it still gives on each day from today, (n_draws, n_left).
    """
    weather = season.weather
    taken = np.cumsum(kg_left, axis=1)
    total = taken[:, -1:]
    spent = np.where(total[:, 0] > 0, (taken >= NEARLY_ALL * total).argmax(axis=1), 0)
    opens = (weather.today + spent).astype(float)
    frost = first_frost(weather.t_min, 0.0, weather.today)[weather.future_of]
    return MayFail(ground, np.where(opens < frost - EARLY_DAYS, opens, np.inf))


def chance_of_enough(seeds: int, share: float, wanted: NDArray[np.int64]) -> float:
    """Chance that as many plants make it as are wanted, over the draws.

    share  : chance of one seed to become a plant that stands.
    wanted : plants wanted in each draw, (n_draws,); seeds fare independently (binomial).
    """
    short = wanted > seeds
    made = np.where(wanted < 1, 1.0, bdtrc(np.maximum(wanted - 1, 0), max(seeds, 1), share))
    return float(np.where(short | ((wanted > 0) & (seeds < 1)), 0.0, made).mean())


def seeds_for(wanted: NDArray[np.int64], share: float, chance: float, most: int) -> int:
    """Fewest seeds with that chance of enough; `most` where no number up to it has it."""
    return next((n for n in range(most + 1) if chance_of_enough(n, share, wanted) >= chance), most)


def reserve(
    fails: Sequence[MayFail],
    lot: LotBelief,
    in_hand: int,
    share: float,
    most_plants: int,
    most_seeds: int,
    chance: float,
) -> Reserve | None:
    """What to sow today of one crop for gaps that may open while it is good to set out.

    lot         : cups of that crop sown today.
    in_hand     : plants of lots in hand that will be good then too.
    share       : of seeds that become plants which stand.
    most_plants : beyond which the household could not eat.
    None where hardly any gap opens then, or what is in hand fills it.
    """
    ready, coils = lot.ready_column(), lot.coils_column()
    suited = [one for one in fails if one.ground.suits(lot.traits).holds]
    wanted: NDArray[np.int64] = np.zeros(0, dtype=np.int64)
    chances = []
    for one in suited:
        opens = one.within(ready, coils)
        plants = lot.traits.plants_on(one.ground.area_m2)
        wanted = plants * opens if wanted.size == 0 else wanted + plants * opens
        if opens.mean() > 0:
            chances.append((one.ground, float(opens.mean())))
    if wanted.size == 0:
        return None
    wanted = np.maximum(np.minimum(wanted, most_plants) - in_hand, 0)
    if float((wanted > 0).mean()) < LEAST_CHANCE:
        return None
    seeds = seeds_for(wanted, share, chance, min(most_seeds, MOST_SEEDS))
    if seeds < 1:
        return None
    told = tuple(sorted(chances, key=lambda one: -one[1]))
    enough = chance_of_enough(seeds, share, wanted)
    return Reserve(lot.traits, seeds, wanted, enough, ready, coils, told)


def reserve_advice(
    found: Reserve,
    share: float,
    losses: Sequence[YoungLoss],
    tin: Tin,
    season: GrowingSeason,
    untested: str = "",
) -> StandbyAdvice:
    """A reserve as the sheet says it: how many, for what, and in which days it is good."""
    weather, traits = season.weather, found.traits
    window = f"{said(weather.day(found.ready))} to {said(weather.day(found.coils))}"
    return StandbyAdvice(
        crop=traits.crop,
        says=(
            f"{traits.counted(found.seeds)} in cups in reserve (you have seed): good to set out "
            f"{window}, should something fail"
        ),
        sow=found.seeds,
        sow_by=weather.day(weather.today),
        ready_from=weather.day(found.ready),
        ready_to=weather.day(found.coils),
        because=(
            *(
                Because(
                    f"{ground.name} may come free in those days: {_tenths(chance)}",
                    rests_on=("computed:ground that may come free, by the futures",),
                )
                for ground, chance in found.fails
            ),
            Because(
                f"with so many, enough make it {_tenths(found.enough)}",
                rests_on=("computed:binomial over the draws",),
            ),
            loss_reason(share, losses, untested),
            Because(
                f"last useful sowing about {said(weather.day(last_useful_sowing(traits, season)))}",
                rests_on=(f"table:{traits.need('set out').address}", "computed:first frost"),
            ),
        ),
        named=traits.many,
        cup_ml=tin.cup_ml,
    )


def _tenths(chance: float) -> str:
    tenths = round(10 * chance)
    return "hardly ever" if tenths < 1 else f"{counted(tenths, 'times')} in 10"


def last_sowings(tin: Tin, season: GrowingSeason) -> tuple[LastSowing, ...]:
    """The last useful sowing of each crop in the tin, in cups and in place, the next to pass first.

    By the frost of half the futures: the last setting out counts back the days of the table or the
    packet and the days a crop wants to bear; in cups, the days in the cup come off before it. None
    where a crop is not raised that way, or does not come up in the soil of that day.
    """
    found = {}
    for packet in tin.packets:
        if packet.seeds < 1 or packet.crop in found:
            continue
        traits = season.traits(packet.crop).with_packet(packet.days_to_maturity)
        found[packet.crop] = LastSowing(
            traits.crop, traits.many, _last_in_cups(traits, season), _last_in_place(traits, season)
        )
    return tuple(sorted(found.values(), key=lambda one: (one.latest is None, one.latest)))


def _last_in_cups(traits: CropTraits, season: GrowingSeason) -> date | None:
    grown = traits.nursery is not None and traits.from_set_out is not None
    if not grown or traits.nursery.transplants not in GROWS_WELL:  # type: ignore[union-attr]
        return None
    return season.weather.day(last_useful_sowing(traits, season))


def _last_in_place(traits: CropTraits, season: GrowingSeason) -> date | None:
    if traits.establish == "transplant" or traits.from_sowing is None:
        return None
    column = int(last_planting_of(traits, "sown", usual_frost(season)).day)
    inside = 0 <= column < season.weather.n_days
    if inside and comes_up(traits.crop, season, column).high <= 0:
        return None
    return season.weather.day(column)
