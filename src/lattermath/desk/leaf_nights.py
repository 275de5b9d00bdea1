"""Wetness of every night on each planting: the weather's, and water given over the leaves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.infection_weather import Nights, nights_of
from lattermath.belief.watered_leaves import Given, Sun, waterings_of, wet_by_watering
from lattermath.desk.kept_work import digest_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.sun_clock import sun_on
from lattermath.science.sun import J2000_ORDINAL, sun_times
from lattermath.weather.held import Held
from lattermath.weather.leaf_hours import hour_states

FloatArray = NDArray[np.float64]

DAYS_AFTER = 2  # water given today is dry again by then
MOST_HELD = 6  # judgement: of some MB each; a plan asks for its own several times
_NIGHTS: Held[Nights] = Held(MOST_HELD)


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
    told = {
        one.key: waterings_of(one, facts.plot.usual_watering(one), facts.events, sun)
        for one in facts.plot.standing()
    }
    given = {key: one for key, one in told.items() if one}
    weather = _nights(facts, slice(0, facts.t_min.shape[1]), facts.t_min.shape[0])
    kept = {one: _watered(facts, weather, one, sun) for one in dict.fromkeys(given.values())}
    return LeafNights(weather, {key: kept[one] for key, one in given.items()}, given)


def _watered(facts: SeasonFacts, weather: Nights, given: tuple[Given, ...], sun: Sun) -> Nights:
    """The same nights with what was given: up to today all futures are one, after it few days."""
    n_days, today = facts.t_min.shape[1], facts.today_index
    wet = wet_by_watering(given, facts.first, n_days, sun)
    noon = sum(sun(facts.today)) / 2
    past = _nights(facts, slice(0, today + 1), 1, wet, noon)
    soon = slice(max(today - 1, 0), min(today + 1 + DAYS_AFTER, n_days))
    after = _nights(facts, soon, facts.t_min.shape[0], wet, noon)
    ahead = today + 1 - soon.start
    parts = []
    for name in ("humid_h", "wet_h", "wet_mean_c"):
        whole = getattr(weather, name).copy()
        whole[:, :, : today + 1] = getattr(past, name)
        whole[:, :, today + 1 : soon.stop] = getattr(after, name)[:, :, ahead:]
        parts.append(whole)
    return Nights(parts[0], parts[1], parts[2], weather.measured)


def _nights(
    facts: SeasonFacts,
    days: slice,
    n_futures: int,
    watered: FloatArray | None = None,
    noon_h: float = 12.0,
) -> Nights:
    """Nights of some days in the first futures; the first of the days has no evening before it."""
    ordinals = facts.first.toordinal() - J2000_ORDINAL + np.arange(facts.t_min.shape[1])[days]
    place = facts.plot.place
    up = sun_times(ordinals, place.latitude, place.longitude).hours_up
    humid, wet = hour_states(facts.leaf_hours, facts.first, facts.t_min.shape[1])
    low, high, rain = (one[:n_futures, days] for one in (facts.t_min, facts.t_max, facts.rain))
    given = None if watered is None else watered[:, days]
    known = (low, high, rain, up, humid[days], wet[days], given, noon_h)
    return _NIGHTS.get(digest_of(*known), lambda: nights_of(*known))


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
