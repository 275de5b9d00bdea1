"""Everything a plan is made from, gathered once: plot, record, sky, futures and evenings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.dice import SEED, Dice, dice
from lattermath.desk.sky import Sky
from lattermath.desk.sun_clock import sun_on
from lattermath.knowledge.tables import Tables
from lattermath.planning.visit_days import coming_visits, hours_of
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plot import Plot
from lattermath.weather.daily_record import DailyRecord
from lattermath.weather.evenings import evening
from lattermath.weather.futures import Futures, MonthNormal, futures, season_weather
from lattermath.weather.stations import Station

N_DRAWS = 200  # decision 0003
NEAR_DAYS = 7  # judgement: what is planned beyond is weighed, and not yet acted on
N_VISITS = 12  # how many coming visits a course may use
SEASON_ENDS = {False: (11, 30), True: (5, 31)}  # by hemisphere; judgement: growth has stopped
LEAST_DAYS = 45  # judgement
MOST_DAYS = 160  # judgement: no tender plant is planned for longer
TYPED_MONTHS = "the usual months you typed"
DAYS_BACK = 120  # judgement: crops and pests that matter began within this time


@dataclass(frozen=True, slots=True)
class SeasonFacts:
    """What is known as of one instant; arrays are (n_futures, n_past + n_days)."""

    plot: Plot
    events: tuple[Event, ...]  # those that count, up to the day
    applied: tuple[Applied, ...]
    tables: Tables
    now: datetime  # by the plot's clock
    record: DailyRecord
    runs: Futures
    first: date  # day 0 of the arrays
    t_min: NDArray[np.float64]
    t_max: NDArray[np.float64]
    rain: NDArray[np.float64]
    future_of_draw: NDArray[np.int64]  # (n_draws,)
    visits: tuple[date, ...]
    evenings: tuple[Evening, ...]  # one a visit
    dice: Dice
    serial: int
    leaf_hours: Mapping[date, str] = field(default_factory=dict)  # see weather/leaf_hours.py
    stations: tuple[Station, ...] = ()  # where the weather was measured
    unplaced: tuple[str, ...] = ()  # weather of which nobody says where it was measured
    left_out: frozenset[str] = frozenset()  # products that are not to be planned with
    called: Mapping[str, str] = field(default_factory=dict)  # a species, by the word it was logged
    # A species that keeps to few kinds of plant here: host words of these, by its id.
    kept_to: Mapping[str, frozenset[str]] = field(default_factory=dict)

    @property
    def usable(self) -> tuple[ProductLabel, ...]:
        """The shelf without what is not to be planned with; past uses of that still count."""
        return tuple(label for label in self.plot.shelf if label.key not in self.left_out)

    @property
    def today(self) -> date:
        """The local day."""
        return self.now.date()

    @property
    def today_index(self) -> int:
        """Place of today in the arrays."""
        return (self.today - self.first).days

    @property
    def last(self) -> date:
        """Last day of the futures."""
        return self.runs.last

    def day_index(self, day: date) -> int:
        """Place of a day in the arrays; it may lie outside them."""
        return (day - self.first).days


def gather(
    plot: Plot,
    events: tuple[Event, ...],
    applied: tuple[Applied, ...],
    tables: Tables,
    sky: Sky,
    normals: dict[int, MonthNormal],
    now: datetime,
    serial: int,
    leaf_hours: Mapping[date, str] | None = None,
) -> SeasonFacts:
    """Gather the facts of one plan. WeatherFileError when nothing is known of the sky."""
    today = now.date()
    throw = dice(SEED, str(season_year(today, plot.place.southern)))
    last = season_end(today, plot.place.southern)
    runs = futures(
        sky.record,
        today,
        last,
        forecast=sky.forecast,
        usual_first_frost=plot.place.usual_first_frost,
        latitude=plot.place.latitude,
        rng=throw("futures"),
        normals=normals or None,
    )
    if sky.left_out:
        runs = replace(runs, says=f"{runs.says}; {sky.left_out}")
    first = min([today - timedelta(days=DAYS_BACK), *_starts(plot)])
    t_min, t_max, rain = season_weather(sky.record, runs, first)
    visits = tuple(coming_visits(plot.visiting, now, last))
    evenings = tuple(evening_on(plot, day, runs, today) for day in visits[:N_VISITS])
    return SeasonFacts(
        plot=plot,
        events=events,
        applied=applied,
        tables=tables,
        now=now,
        record=sky.record,
        runs=runs,
        first=first,
        t_min=t_min,
        t_max=t_max,
        rain=rain,
        future_of_draw=np.arange(N_DRAWS) % runs.n_futures,
        visits=visits,
        evenings=evenings,
        dice=throw,
        serial=serial,
        leaf_hours=leaf_hours or {},
        stations=sky.stations,
        unplaced=(*sky.unplaced, *((TYPED_MONTHS,) if normals else ())),
    )


def seen_anew(facts: SeasonFacts, plot: Plot, runs: Futures) -> SeasonFacts:
    """Give the same facts with another plot or other weather to come; draws are kept by index."""
    t_min, t_max, rain = season_weather(facts.record, runs, facts.first)
    visits = tuple(coming_visits(plot.visiting, facts.now, facts.last))
    evenings = tuple(evening_on(plot, day, runs, facts.today) for day in visits[:N_VISITS])
    return replace(
        facts,
        plot=plot,
        runs=runs,
        t_min=t_min,
        t_max=t_max,
        rain=rain,
        visits=visits,
        evenings=evenings,
    )


def with_visit(facts: SeasonFacts, day: date) -> SeasonFacts:
    """Give the same facts with one visit more."""
    visits = tuple(sorted({*facts.visits, day}))
    evenings = tuple(
        evening_on(facts.plot, one, facts.runs, facts.today) for one in visits[:N_VISITS]
    )
    return replace(facts, visits=visits, evenings=evenings)


def season_year(day: date, southern: bool) -> int:
    """Give the year in which a day's season began; in the south seasons begin in July."""
    return day.year - 1 if southern and day.month < 7 else day.year


def season_end(today: date, southern: bool) -> date:
    """Give the last day worth planning for."""
    month, day = SEASON_ENDS[southern]
    end = date(season_year(today, southern) + southern, month, day)
    least, most = today + timedelta(days=LEAST_DAYS), today + timedelta(days=MOST_DAYS)
    return min(max(end, least), most)


def _starts(plot: Plot) -> list[date]:
    starts = [planting.started for planting in plot.plantings]
    return [day for day in starts if day is not None]


def evening_on(plot: Plot, day: date, runs: Futures, today: date) -> Evening:
    """The evening of a visit; one more than a week ahead is ruled again before it comes."""
    place = plot.place
    sun = sun_on(day, place.latitude, place.longitude, place.time_zone)
    arrive, leave = hours_of(plot.visiting, plot.rules, day, place.time_zone)
    return evening(
        day,
        arrive,
        leave,
        runs,
        sunrise=sun.sunrise,
        sunset=sun.sunset,
        civil_dusk=sun.civil_dusk,
        far=(day - today).days > NEAR_DAYS,
    )
