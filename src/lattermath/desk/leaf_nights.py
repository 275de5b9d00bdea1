"""Wetness of every night on each planting: the weather's, and water given over the leaves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from lattermath.belief.infection_weather import Nights, nights_of
from lattermath.belief.watered_leaves import Given, Sun, waterings_of, wet_by_watering
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.sun_clock import sun_on
from lattermath.science.sun import J2000_ORDINAL, sun_times
from lattermath.weather.leaf_hours import hour_states


@dataclass(frozen=True, slots=True)
class LeafNights:
    """Nights of the weather alone, and of the plantings whose leaves watering wetted.

    given : by planting, what was given over its leaves, or may have been.
    """

    weather: Nights
    own: Mapping[str, Nights]
    given: Mapping[str, tuple[Given, ...]]

    def on(self, planting: str) -> Nights:
        """The nights of one planting."""
        return self.own.get(planting, self.weather)


def leaf_nights(facts: SeasonFacts) -> LeafNights:
    """Wetness of every night of the facts; plantings watered alike share theirs."""
    sun = _sun(facts)
    plantings = facts.plot.standing()
    told = {
        one.key: waterings_of(one, facts.plot.usual_watering(one), facts.events, sun)
        for one in plantings
    }
    given = {key: one for key, one in told.items() if one}
    kept: dict[tuple[Given, ...], Nights] = {(): _nights(facts, (), sun)}
    for one in given.values():
        if one not in kept:
            kept[one] = _nights(facts, one, sun)
    return LeafNights(kept[()], {key: kept[one] for key, one in given.items()}, given)


def _nights(facts: SeasonFacts, given: tuple[Given, ...], sun: Sun) -> Nights:
    n_days = facts.t_min.shape[1]
    days = facts.first.toordinal() - J2000_ORDINAL + np.arange(n_days)
    place = facts.plot.place
    up = sun_times(days, place.latitude, place.longitude).hours_up
    humid, wet = hour_states(facts.leaf_hours, facts.first, n_days)
    watered = wet_by_watering(given, facts.first, n_days, sun) if given else None
    noon = sum(sun(facts.today)) / 2
    return nights_of(facts.t_min, facts.t_max, facts.rain, up, humid, wet, watered, noon)


def _sun(facts: SeasonFacts) -> Sun:
    """Sunrise and sunset by the plot's clock, in hours; a day without them is all day or none."""
    place = facts.plot.place

    def sun(day: date) -> tuple[float, float]:
        found = sun_on(day, place.latitude, place.longitude, place.time_zone)
        if found.sunrise is None or found.sunset is None:
            return (0.0, 24.0) if found.daylength_h > 12 else (12.0, 12.0)
        rise, fall = found.sunrise, found.sunset
        return rise.hour + rise.minute / 60, fall.hour + fall.minute / 60

    return sun
