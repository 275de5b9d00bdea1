"""What food is worth to the household, week by week, and what work, water and risk cost it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.after_season import Stands
from lattermath.belief.crop_traits import CropTraits
from lattermath.vocabulary.calendar import monday_of
from lattermath.vocabulary.plot import Household, Want

DrawDays = NDArray[np.float64]  # (n_draws, n_days)
DrawWeeks = NDArray[np.float64]  # (n_draws, n_weeks)
Draws = NDArray[np.float64]  # (n_draws,)

BEYOND_WANT = 0.3  # a portion beyond the weekly want, up to twice that; nothing beyond
KEPT_WORTH = 0.7  # judgement: a portion put by against one eaten when the household wants it
JAR_KG = 0.5  # judgement: of what goes into a jar of half a litre
FREEZER_KG_A_LITRE = 0.5  # judgement: trimmed, blanched and packed
MOST_WEEKS_KEPT = 26.0  # judgement: nobody eats a food from store for longer than half a year
FRESH_WEEK_DAYS = 7.0  # what keeps no longer than this is eaten in its week
PORTIONS_A_PERSON = 2.0  # judgement: weekly want of a food that nobody entered


@dataclass(frozen=True, slots=True)
class Weeks:
    """The weeks that a run of days falls into: each week's Monday, first column and share."""

    mondays: tuple[date, ...]
    starts: NDArray[np.intp]  # column at which each week begins
    share: NDArray[np.float64]  # days of the week that are covered, of seven

    @classmethod
    def of(cls, first: date, n_days: int) -> Weeks:
        """The weeks of `n_days` days from `first` on; the first and last may be short."""
        lead = (monday_of(first) - first).days
        starts = np.maximum(np.arange(lead, n_days, 7), 0)
        mondays = tuple(monday_of(first + timedelta(days=int(start))) for start in starts)
        share = np.diff(np.append(starts, n_days)) / 7
        return cls(mondays, starts, share)

    def sums(self, daily: DrawDays) -> DrawWeeks:
        """Daily amounts summed by week, (n_draws, n_weeks)."""
        return np.add.reduceat(daily, self.starts, axis=1)


def want_for(crop: str, household: Household) -> Want:
    """What the household wants of a crop: its own entry, its group's, or two portions a person."""
    given = household.worth_of_given_away
    for want in household.wants:
        if want.food == crop or crop in want.crops:
            return want if want.given == given else replace(want, given=given)
    return Want(crop, household.people * PORTIONS_A_PERSON, 1.0, (crop,), given=given)


def with_store(want: Want, traits: CropTraits, household: Household) -> Want:
    """The want, with the portions of this crop that can be put by for other weeks.

    Cellar, clamp or loft hold what the household eats over the weeks that the crop keeps there;
    freezer and jars as far as they were entered, shared alike among the foods it wants.
    """
    weeks = max(traits.store_weeks, traits.fresh_days / FRESH_WEEK_DAYS - 1.0, 0.0)
    shared = max(len(household.wants), 1)
    kg = 0.0
    if "freezer" in traits.puts_by:
        kg += household.freezer_litres * FREEZER_KG_A_LITRE / shared
    if "jars" in traits.puts_by:
        kg += household.jars * JAR_KG / shared
    room = want.portions_a_week * weeks + kg / traits.portion_kg
    return replace(want, put_by=min(room, want.portions_a_week * MOST_WEEKS_KEPT))


def use(portions: DrawWeeks, wanted: NDArray[np.float64], given: float = 0.0) -> DrawWeeks:
    """Portions that are of use: all up to the want, 0.3 of the next as many, then what is given.

    portions : portions in hand, (n_draws, n_weeks).
    wanted   : portions the household can use in each week, (n_weeks,).
    given    : worth of a portion given away. Worth more than 0.3, it is given away before that.
    """
    over = np.maximum(portions - wanted, 0.0)
    beyond = np.minimum(over, wanted)
    used = np.minimum(portions, wanted) + max(BEYOND_WANT, given) * beyond
    return np.asarray(used if given == 0 else used + given * (over - beyond))


def food_value(portions: DrawWeeks, want: Want, weeks: Weeks) -> Draws:
    """Worth of one food over all weeks, in portions of worth 1, (n_draws,)."""
    wanted = want.portions_a_week * weeks.share
    used: Draws = use(portions, wanted, want.given).sum(axis=1)
    if want.put_by > 0:
        used = used + kept(portions, wanted, want.put_by, want.given)
    return want.worth * used


def kept(
    portions: DrawWeeks, wanted: NDArray[np.float64], room: float, given: float = 0.0
) -> Draws:
    """What putting up to `room` portions by adds to their use, (n_draws,).

    First goes what nobody would eat, then what would be eaten beyond the want at 0.3; neither
    where giving it away is worth more than keeping it.
    """
    over = np.maximum(portions - wanted, 0.0)
    eaten_anyway = np.minimum(over, wanted)
    wasted = (over - eaten_anyway).sum(axis=1)
    first = np.minimum(wasted, room)
    then = np.minimum(eaten_anyway.sum(axis=1), room - first)
    more, less = (max(KEPT_WORTH - worth, 0.0) for worth in (given, max(BEYOND_WANT, given)))
    return np.asarray(more * first + less * then)


def added_value(
    portions: Mapping[str, DrawWeeks],
    others: Mapping[str, DrawWeeks],
    wants: Mapping[str, Want],
    weeks: Weeks,
) -> Draws:
    """Worth that these portions add to what the rest of the plot already gives, (n_draws,).

    portions, others : portions by food, (n_draws, n_weeks); a food absent from `others` is one
                       that nothing else on the plot gives.
    """
    total: Draws | float = 0.0
    for food, own in portions.items():
        rest = others.get(food)
        if rest is None:
            total = total + food_value(own, wants[food], weeks)
        else:
            with_own = food_value(rest + own, wants[food], weeks)
            total = total + with_own - food_value(rest, wants[food], weeks)
    return np.asarray(total)


def eaten(
    parts: Sequence[tuple[CropTraits, DrawDays]],
    others: Mapping[str, DrawWeeks],
    household: Household,
    weeks: Weeks,
) -> Draws:
    """Worth that crops add to what the rest of the plot gives, (n_draws,). [portions]

    parts : each crop with its kilograms by day, (n_draws, n_days).
    """
    portions: dict[str, DrawWeeks] = {}
    wants = {}
    for traits, kg in parts:
        want = with_store(want_for(traits.crop, household), traits, household)
        weekly = weeks.sums(kg) / traits.portion_kg
        portions[want.food] = portions[want.food] + weekly if want.food in portions else weekly
        wants[want.food] = want
    return added_value(portions, others, wants, weeks)


def lifted_later(stands: Stands | None, household: Household) -> Draws | float:
    """Worth of what is lifted when the reckoned days are over, spread evenly over its weeks."""
    if stands is None:
        return 0.0
    want = want_for(stands.traits.crop, household)
    a_week = stands.kg[:, None] / stands.traits.portion_kg / stands.weeks
    used = use(a_week, np.array([want.portions_a_week]), want.given)[:, 0]
    return np.asarray(want.worth * stands.weeks * used)


def cost(
    household: Household, minutes: float = 0.0, litres: float = 0.0, treatments: float = 0.0
) -> float:
    """What work, water and treatments cost the household, in portions."""
    return (
        minutes / 60 * household.worth_of_hour
        + litres * household.worth_of_litre
        + treatments * household.worth_of_treatment
    )
