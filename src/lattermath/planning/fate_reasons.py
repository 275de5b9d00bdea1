"""Why a fate is what it is: the reasons that keep-or-replace gives, with what they rest on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.crop_reckoning import last_planting_of
from lattermath.belief.crop_traits import CropTraits, Start
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning.season_left import ComingUp, usual_frost
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

SAME_FUTURES = "computed:same futures for every fate"
UNTREATED = ", untreated"
PEST_NEAR = "computed:young plants near their pest"
PEST_BAR = "computed:none beside its pest untreated"
PORTIONS_SAYING = 0.5  # judgement: less that neighbours keep is not worth a line
TAKEN_SAYING = 0.05  # judgement: the same of the share that pests take of new plants
SELDOM = 0.5  # share of draws below which new plants are said seldom to bear


def of_recovery(belief: CropBelief) -> Because:
    """How long a plant of that vigour takes to nurse back, and that it may not come back."""
    chance = round(float(belief.condition.chance.mean()) * 20) * 5
    return Because(
        f"a {belief.planting.vigour} plant takes about two weeks to nurse back, and comes back "
        f"{chance} in 100",
        rests_on=(
            "table:crop_constants/rules/worn_plant_recovery_days",
            f"plot:planting/{belief.planting.key}",
        ),
    )


def of_lot(lot: LotBelief, begins: int, season: GrowingSeason) -> Because:
    """How the cups will stand on the day of setting out."""
    state, coils = lot.state(begins), lot.coils_column()
    if bool(np.median(state.coiled)):
        delay = round(float(np.median(state.delay_days)))
        words = f"the cups have coiled by then, which costs about {counted(delay, 'days')}"
    elif coils <= season.weather.n_days:
        words = f"the cups are ready, and coil by {said(season.weather.day(coils))}"
    else:
        words = "the cups are ready"
    return Because(words, rests_on=(f"plot:lot/{lot.lot.key}", f"table:{lot.nursery.address}"))


def of_first_pick(
    traits: CropTraits, start: Start, new: NDArray[np.float64], season: GrowingSeason
) -> Because:
    """When the new plants first bear, or that they seldom do before the season ends.

    new : their yield on each day from today on, (n_draws, n_left). [kg]
    """
    rests = (f"table:{traits.growth_need(start).address}",)
    bears = (new > 0).any(axis=1)
    if bears.mean() < SELDOM:
        return Because(
            f"begun then, {traits.many} can seldom be picked before frost", rests_on=rests
        )
    first = np.median(np.where(bears, (new > 0).argmax(axis=1), new.shape[1]))
    day = season.weather.day(season.weather.today + int(first))
    return Because(f"first picking about {said(day)}", rests_on=rests)


def of_untested_soil(traits: CropTraits, up: ComingUp) -> tuple[Because, ...]:
    """That nobody tested the crop in such a soil, and what is counted on; () where somebody did."""
    if not up.untested:
        return ()
    words = (
        f"nobody tested {traits.many} {up.untested} (it will be about {measure(up.soil_c, 'C')}): "
        f"{10 * up.low:.0f} to {10 * up.high:.0f} seeds in 10 are counted as coming up"
    )
    return (Because(words, who="our caution", rests_on=("computed:soil warmth",)),)


def of_lateness(
    traits: CropTraits, start: Start, begins: int, season: GrowingSeason
) -> tuple[Because, ...]:
    """A warning where it is begun after the last date that usually pays in this place."""
    need = traits.growth_need(start)
    last = last_planting_of(traits, start, usual_frost(season), need.days[0]).day
    if begins <= last:
        return ()
    day, margin = season.weather.day(int(last)), round(traits.margin_days)
    words = (
        f"{said(day)} was about the last day to be {start} for the usual "
        f"{counted(margin, 'days')} of picking before frost: there will be fewer"
    )
    return (Because(words, rests_on=(f"table:{need.address}", "computed:first frost")),)


def of_neighbours(belief: CropBelief, portions: float) -> Because:
    """What the other plantings keep once this one is gone."""
    about = counted(f"{portions:.0f}", "portions")
    words = f"what lives on it would cost its neighbours about {about}"
    return Because(words, rests_on=(f"plot:planting/{belief.planting.key}", SAME_FUTURES))


def of_unsure(
    belief: CropBelief, unseen: tuple[str, ...], doubted: tuple[str, ...]
) -> Iterator[Because]:
    """Why it is not taken out for what is only reckoned on it, or for a look that is doubted.

    unseen, doubted : names of what nobody saw on it, and of what was hardly there as written down.
    """
    rests_on = (f"plot:planting/{belief.planting.key}", SAME_FUTURES)
    if unseen:
        yield Because(
            f"nobody has seen {_either(unseen)} on it: it is not taken out for that before a look",
            who="our caution",
            rests_on=rests_on,
            way_out="look for it there and write down what you find, none too",
        )
    if doubted:
        yield Because(
            f"what was written down of {_either(doubted)} does not fit what was to be "
            "expected, and more likely than not it is something else: it is not taken out for that "
            "before another look",
            who="our caution",
            rests_on=rests_on,
            way_out="count again there and write down what you find, none too",
        )


def _either(names: tuple[str, ...]) -> str:
    return " or ".join(inside(name) for name in names)


def of_young_among_disease(traits: CropTraits, left: NDArray[np.float64]) -> tuple[Because, ...]:
    """What leaf diseases of the plot take of clean plants by the end; () where little.

    left : share that they leave on each coming day, (n_draws, n_left).
    """
    taken = 1.0 - float(left[:, -1].mean())
    if taken < TAKEN_SAYING:
        return ()
    words = (
        f"leaf disease that is about takes about {max(round(10 * taken), 1)} in 10 of what new "
        f"{traits.many} bear late, untreated"
    )
    return (Because(words, rests_on=("computed:leaf disease on clean plants", SAME_FUTURES)),)


def of_pest_near(name: str, key: str, what: str, away_m: float | None, treated: bool) -> Because:
    """What lives on a planting near by and would live on the young plants too.

    away_m : how far off it stands; None: not known. [m]
    """
    away = f"{measure(round(away_m, 1), 'm')} off " if away_m else ""
    done = "" if treated else UNTREATED
    words = f"{inside(name)} {away}have {inside(what)}{done}"
    return Because(words, rests_on=(f"plot:planting/{key}", PEST_NEAR))


def of_pest_beside(name: str, key: str, what: str, away_m: float | None, way_out: str) -> Because:
    """What lives untreated on a planting beside: no young plants of its hosts are set there.

    away_m : how far off it stands; None: in the same bed. [m]
    """
    words = f"{inside(name)} {_off(away_m)} have {inside(what)}{UNTREATED}: none beside its pest"
    return Because(
        words, holds=False, rests_on=(f"plot:planting/{key}", PEST_NEAR), way_out=way_out
    )


def of_barred_beside(
    many: str, name: str, key: str, what: str, away_m: float | None, way_out: str
) -> Because:
    """Which plants at hand may not follow here, for what lives untreated beside.

    away_m : how far off it stands; None: in the same bed. [m]
    """
    words = (
        f"no {many} in its place: {inside(name)} {_off(away_m)} will have {inside(what)}{UNTREATED}"
    )
    return Because(words, holds=False, rests_on=(f"plot:planting/{key}", PEST_BAR), way_out=way_out)


def _off(away_m: float | None) -> str:
    return f"{measure(round(away_m, 1), 'm')} off" if away_m else "in the same bed"


def of_young_among_pests(
    belief: CropBelief, traits: CropTraits, left: NDArray[np.float64], *, beside: bool
) -> tuple[Because, ...]:
    """What flies in takes of clean plants by the end; () where little.

    left   : share that it leaves on each coming day, (n_draws, n_left).
    beside : something that lives on them was seen near by; else it comes from farther off: from
             outside the plot, or from plantings on which nobody saw it.
    """
    taken = 1.0 - float(left[:, -1].mean())
    if taken < TAKEN_SAYING:
        return ()
    source = "over from beside" if beside else "in from farther off"
    words = (
        f"what flies {source} takes about {max(round(10 * taken), 1)} in 10 of what "
        f"{traits.many} bear there late"
    )
    planting = belief.planting
    where = f"planting/{planting.key}" if planting.plants else f"bed/{planting.bed}"
    return (Because(words, rests_on=(f"plot:{where}", SAME_FUTURES)),)
