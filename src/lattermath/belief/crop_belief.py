"""What is probably true of one planting today, and what it will bear if it stays sound."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_growth import (
    Begun,
    Columns,
    CropClimate,
    CropUnknowns,
    Draws,
    GrowingSeason,
    SeasonWeather,
    bearing_kg,
    begun_on,
    draw_unknowns,
    heat_at,
    picking_age,
)
from lattermath.belief.crop_traits import CropTraits, Start
from lattermath.belief.picking_check import PickingOdds, picking_odds
from lattermath.belief.picking_fit import expected_of, of_first_picking
from lattermath.belief.vigour_seen import WORDS, Seen, seen_as
from lattermath.science.plant_recovery import Conditions
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Picking
from lattermath.vocabulary.plot import Planting

Dice = Callable[[str], np.random.Generator]
CropStage = Literal["growing", "in flower", "bearing", "past its peak", "spent"]

CANDIDATES = 5  # draws tried for each draw kept, when pickings have something to say
HEALTH_SD = 0.25  # judgement: log-scale doubt about what a tired or worn plant still bears
WORN_OVER_DAYS = 21  # judgement: a planting said to be worn became so over about three weeks
UNKNOWN_AGE = (-15.0, 0.8)  # no dates at all: from 15 days before first pick to 0.8 of its span


@dataclass(frozen=True, slots=True)
class CropBelief:
    """One planting in every draw. `age` is the picking age on each morning, negative before."""

    planting: Planting
    traits: CropTraits
    climate: CropClimate
    unknowns: CropUnknowns
    age: NDArray[np.float64]  # (n_draws, n_days + 1) days of reference weather since first pick
    kg: NDArray[np.float64]  # (n_draws, n_days) before what its condition takes
    health: Draws  # how far from its condition's usual it may be, about 1; in kg from today on
    condition: Conditions  # beyond what its age explains, one in each draw
    today: int
    rough: str = ""  # what is not known, so that the sheet can say so
    disagrees: PickingOdds | None = None  # when the newest pickings are not what was expected
    events: tuple[int, ...] = ()  # serials of the pickings that were weighed
    water: NDArray[np.float64] | None = None  # share of the yield that its ground's water leaves
    # from today on, already in kg, (n_draws, n_left); None: none is lost
    haulm_off: bool = False  # potatoes without leaf, whose tubers only wait to be lifted
    haulm_cut: bool = False  # the same, or lifted since: nothing grows, and nothing waits beside kg

    @property
    def stage(self) -> CropStage:
        """The stage most draws are in today."""
        return stage_of(float(np.median(self.age[:, self.today])), self.traits)

    def first_pick_column(self) -> Draws:
        """Column of the morning of first pick in each draw; inf when it never comes."""
        picked = self.age >= 0
        return np.where(picked.any(axis=1), picked.argmax(axis=1), np.inf)


def stage_of(age: float, traits: CropTraits) -> CropStage:
    """The stage of a planting of that picking age."""
    if age < 0:
        if traits.fruit_heat is None:
            return "growing"
        in_flower = age * traits.picking_heat >= -sum(traits.fruit_heat) / 2
        return "in flower" if in_flower else "growing"
    if age > sum(traits.picking_days) / 2:
        return "spent"
    return "past its peak" if age > sum(traits.peak_days) / 2 else "bearing"


def believe(
    planting: Planting,
    season: GrowingSeason,
    pickings: Sequence[tuple[date, Picking, int]],
    dice: Dice,
) -> CropBelief:
    """Work out one planting from its dates, its look, and what was picked from it.

    pickings : (day, picking, serial of the entry) of this planting, up to today.
    dice     : gives the random stream of a name.

    The heat each draw still needs, its yield and its age are drawn from the tables and then
    chosen among by the weighed pickings. Only the past is used, and the past is alike in all
    futures, so draw i still lives through its own future.
    """
    traits = season.traits(planting.crop).with_packet(planting.days_to_maturity)
    climate, weather = season.climate(planting.crop), season.weather
    weighed = [p for p in pickings if p[1].kg is not None and weather.column(p[0]) > 0]
    n = weather.n_draws
    rng = dice(f"crop {planting.key}")
    unknowns = draw_unknowns(traits, n * CANDIDATES, rng)
    begun, rough = how_begun(planting, traits, weather, n * CANDIDATES, rng)
    shift = _age_shift(planting, traits, weather, begun, n * CANDIDATES, rng)
    seen, keep, disagrees = _all_sound(n * CANDIDATES), np.arange(n), None
    picked_on = _first_picked(planting, weather)
    if weighed or picked_on is not None or planting.vigour != "sound":
        past = climate.until(weather.today)
        age = _age(traits, past, unknowns, begun, shift)
        if planting.vigour != "sound":
            look = dice(f"look {planting.key}")
            seen = seen_as(planting.vigour, traits, unknowns, age[:, -1], look)
        log_weight = seen.weight
        if picked_on is not None:
            log_weight = log_weight + of_first_picking(age, picked_on)
        if weighed:
            kg = bearing_kg(past, unknowns, age, planting.plants)
            kg = kg * _wearing(_conditions(seen.condition), weather.today)
            found = expected_of(weighed, kg, past.bears[0], planting.crop, weather)
            odds = dice(f"pickings {planting.key}")
            disagrees = picking_odds(found, log_weight, weather.day(weather.today), odds)
            log_weight = log_weight + found.log_likelihood()
        keep = _chosen(log_weight, n, rng)
    unknowns, condition = unknowns.taken(keep), seen.condition[keep]
    begun = None if begun is None else _taken(begun, keep)
    age = _age(traits, climate, unknowns, begun, None if shift is None else shift[keep])
    kg = bearing_kg(climate, unknowns, age, planting.plants)
    health = _health(planting, condition, dice)
    kg[:, weather.today :] *= health[:, None]
    return CropBelief(
        planting,
        traits,
        climate,
        unknowns,
        age,
        kg,
        health,
        _conditions(condition),
        weather.today,
        rough,
        disagrees,
        tuple(serial for _, _, serial in weighed),
    )


def how_begun(
    planting: Planting,
    traits: CropTraits,
    weather: SeasonWeather,
    n: int,
    rng: np.random.Generator,
) -> tuple[Begun | None, str]:
    """How the planting began, and what is not known about that. None: no date at all."""
    if planting.started is None:
        known = planting.bearing_since is not None
        return None, "" if known else "neither sowing nor setting out is dated"
    how, rough = _start_of(planting, traits)
    begun = begun_on(how, weather.column(planting.started), n)
    if planting.about_days:
        off = rng.integers(-planting.about_days, planting.about_days + 1, n)
        begun = Begun(how, begun.column + off, begun.ahead_days, begun.early_loss)
        rough = rough or f"dates within {counted(planting.about_days, 'days')}"
    return begun, rough


def _start_of(planting: Planting, traits: CropTraits) -> tuple[Start, str]:
    """Sown or set out, and what had to be taken for granted to say so."""
    if planting.set_out is None:
        taken = traits.from_sowing is None
        return "sown", "days from sowing are reckoned through the cup" if taken else ""
    if traits.nursery is None:
        return "sown", f"{traits.many} are sown in place; the day set out is taken as sowing"
    taken = traits.from_set_out is None
    return "set out", "days from setting out are reckoned through the cup" if taken else ""


def _age_shift(
    planting: Planting,
    traits: CropTraits,
    weather: SeasonWeather,
    begun: Begun | None,
    n: int,
    rng: np.random.Generator,
) -> Draws | None:
    """Column of first pick where it was seen, or an even guess where nothing is dated."""
    if planting.bearing_since is not None:
        seen = weather.column(planting.bearing_since)
        return seen + rng.integers(-planting.about_days, planting.about_days + 1, n).astype(float)
    if begun is not None:
        return None
    low, high = UNKNOWN_AGE
    return weather.today - rng.uniform(low, high * sum(traits.picking_days) / 2, n)


def _age(
    traits: CropTraits,
    climate: CropClimate,
    unknowns: CropUnknowns,
    begun: Begun | None,
    first_pick: Draws | None,
) -> NDArray[np.float64]:
    """Picking age on each morning, counted from the first pick seen, or from the heat needed."""
    if first_pick is None:
        if begun is None:
            raise ValueError("a planting needs a start or a first pick")
        return picking_age(traits, climate, unknowns, begun)
    whole = np.clip(np.floor(first_pick), 0, climate.sums.shape[1] - 2).astype(np.intp)
    part = np.clip(first_pick - whole, 0.0, 1.0)
    at_first = (1 - part) * heat_at(climate.sums, whole) + part * heat_at(climate.sums, whole + 1)
    before = np.maximum(-first_pick, 0.0)[:, None]  # first picked before the weather begins
    age: NDArray[np.float64] = (climate.sums - at_first[:, None]) / traits.picking_heat + before
    return age


def _first_picked(planting: Planting, weather: SeasonWeather) -> int | None:
    """Column of the first picking in the record, where nobody said since when it bears."""
    if planting.picked_first is None or planting.bearing_since is not None:
        return None
    return weather.column(planting.picked_first)


def _all_sound(n: int) -> Seen:
    """What is taken for granted where nobody said otherwise."""
    return Seen(np.zeros(n, dtype=np.intp), np.zeros(n))


def _conditions(places: NDArray[np.intp]) -> Conditions:
    return Conditions.of([WORDS[place] for place in places])


def _health(planting: Planting, condition: NDArray[np.intp], dice: Dice) -> Draws:
    """How much better or worse each draw is than its condition is taken to mean; mean 1."""
    if planting.vigour == "sound":
        return np.ones(len(condition))
    doubt = dice(f"health {planting.key}").normal(0.0, HEALTH_SD, len(condition))
    return np.where(condition == 0, 1.0, np.exp(doubt - HEALTH_SD**2 / 2))


def _wearing(condition: Conditions, today: int) -> NDArray[np.float64]:
    """Share of a sound planting borne on each past day, wearing down to today, (n, today)."""
    since = np.clip((np.arange(today) - (today - WORN_OVER_DAYS)) / WORN_OVER_DAYS, 0.0, 1.0)
    return 1.0 - since * (1.0 - condition.bears[:, None])


def _chosen(log_weight: Draws, n: int, rng: np.random.Generator) -> Columns:
    """Index of the candidate that each of `n` draws keeps, by how likely it made what was seen.

    A draw keeps its own candidate with a chance in proportion to its weight, and else takes one
    from the weighted rest: in law the weighted draw, and as few draws change as may be.
    """
    weight = np.exp(log_weight - log_weight.max())
    stays = rng.random(n) < weight[:n]
    steps = (rng.random() + np.arange(n)) / n
    others = np.searchsorted(np.cumsum(weight) / weight.sum(), steps)
    others = rng.permutation(np.minimum(others, len(log_weight) - 1))
    return np.where(stays, np.arange(n), others)


def _taken(begun: Begun, keep: Columns) -> Begun:
    return Begun(begun.how, begun.column[keep], begun.ahead_days[keep], begun.early_loss[keep])
