"""What the plot's own record says before anybody looks: weather, age, sprays, what was found."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from lattermath.desk.look_found import on_record, written_down
from lattermath.desk.look_heat import SPELL as HOT_SPELL
from lattermath.desk.look_heat import too_hot
from lattermath.desk.look_season import by_season
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Care, Event, Treatment
from lattermath.vocabulary.plot import Planting
from lattermath.weather.daily_record import DailyRecord

SPELL_DAYS = 10  # the span that the symptoms of weather ask about
LEAST_MEASURED = 8  # judgement: of those days
HOT_C, COOL_C, WARM_C = 28.0, 18.0, 20.0  # judgement: mean of the daily maxima
DRY_MM, WET_MM = 5.0, 15.0  # judgement: rain of the ten days
OLDER_OVER_DAYS = 14  # judgement: over so many days what is of young plants falls to what is left
OLD_DAYS = 40  # judgement: before that no leaf dies of age
CHILL_C = 5.0  # judgement: a tender plant is hurt from here down
SPRAY_DAYS = 4  # the key: a spray scorches within four days
# Judgement: how much the record moves the prior of a cause.
TOO_YOUNG, NO_COLD, NO_SPRAY, SPRAYED, NO_FEED = 0.2, 0.05, 0.3, 3.0, 0.3
FEED_DAYS = 14  # judgement: a feed that is too strong has burnt by then
GROUND_DRY, GROUND_MOIST = 3.0, 0.3  # thirst, by the water that the plan reckons
GROUND_FULL = 2.0  # roots in water, likewise; in dry ground as little as thirst in moist
NEARLY_FULL = 0.95  # judgement: of the most that roots can reach


@dataclass(frozen=True, slots=True)
class GroundWater:
    """What roots can still reach by a plan of that day, the least without harm, the most. [mm]

    low : of which it is less in one case of ten; None where that is not known.
    """

    day: date
    left: float
    due: float
    full: float
    low: float | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """Answers that the record gives, and by how much it moves the priors; each with its reason.

    settled : signs that need no look either, though the record does not answer them.
    found   : signs that finds on this planting answer with yes.
    counted : causes that were counted on this planting within a week, and when.
    written : causes that stand in the record as found here of late.
    """

    present: tuple[str, ...]
    absent: tuple[str, ...]
    factors: dict[str, float]
    says: tuple[str, ...]
    settled: tuple[str, ...] = ()
    found: tuple[str, ...] = ()
    counted: Mapping[str, date] = field(default_factory=dict)
    written: frozenset[str] = frozenset()


def known_of(
    planting: Planting,
    events: tuple[Event, ...],
    record: DailyRecord | None,
    today: date,
    tables: Tables,
    water: GroundWater | None = None,
    latitude: float | None = None,
    seen: tuple[str, ...] = (),
    lies_in: str = "general",
) -> Known:
    """What the record knows about one planting as of a day; nothing later is read.

    water    : of its ground by a plan that knows all waterings up to that day, if there is one.
    latitude : of the plot, for the season; None where it is not asked. [degrees]
    seen     : what is to be explained; a find raises no cause that makes none of it.
    lies_in  : region of the plot; of what is not known from there no season is told.
    """
    heat = too_hot(planting, record, today, tables)
    answers = dict([*_spells(record, today), *_set_out(planting, today)])
    if heat.hot:  # no dry spell is no word against heat: the hot days themselves are counted
        answers = {sign: yes for sign, yes in answers.items() if yes or sign != HOT_SPELL}
    found = on_record(planting, events, today, tables, seen)
    factors: dict[str, float] = {}
    says: list[str] = []
    for cause, factor, reason in (
        *_age(planting, today, tables),
        *_cold(record, today),
        *heat.moves(HOT_SPELL in answers),
        *_sprays(planting, events, today),
        *_feeds(planting, events, today),
        *_ground(water),
        *found.moves,
        *_season(planting, today, tables, latitude, lies_in),
    ):
        factors[cause] = factors.get(cause, 1.0) * factor
        says.append(reason)
    present = tuple(sign for sign, yes in answers.items() if yes)
    absent = tuple(sign for sign, yes in answers.items() if not yes)
    told = tuple(dict.fromkeys(s for s in says if s))
    settled = (*heat.settled, *found.settled)
    written = written_down(planting, events, today, tables)
    return Known(present, absent, factors, told, settled, found.present, found.counted, written)


def _last_days(record: DailyRecord | None, today: date, days: int) -> slice | None:
    """The places of the last days in the record; None where too few of them were measured."""
    if record is None:
        return None
    end = record.at(today) + 1
    place = slice(max(end - days, 0), min(end, record.n_days))
    if place.stop <= place.start:
        return None
    measured = ~(record.filled_max[place] | record.filled_min[place])
    enough = measured.sum() >= LEAST_MEASURED / SPELL_DAYS * days
    return place if enough else None


def _spells(record: DailyRecord | None, today: date) -> Iterator[tuple[str, bool]]:
    place = _last_days(record, today, SPELL_DAYS)
    if place is None or record is None or SPELL_DAYS - (~record.filled_rain[place]).sum() > 2:
        return
    heat, rain = float(np.mean(record.t_max[place])), float(record.rain[place].sum())
    yield HOT_SPELL, heat >= HOT_C and rain <= DRY_MM
    yield "cool_wet_spell", heat <= COOL_C and rain >= WET_MM
    yield "warm_wet_spell", heat >= WARM_C and rain >= WET_MM


def _set_out(planting: Planting, today: date) -> Iterator[tuple[str, bool]]:
    if planting.set_out is not None and planting.about_days <= 3:
        yield "recently_transplanted", (today - planting.set_out).days <= SPELL_DAYS


def _age(planting: Planting, today: date, tables: Tables) -> Iterator[tuple[str, float, str]]:
    """What the days in the ground say: what is of young plants falls off as they age."""
    if planting.started is None:
        return
    age = (today - planting.started).days
    for cause, row in tables.cause_ages.items():
        over = min((age - row.young_days.value - planting.about_days) / OLDER_OVER_DAYS, 1.0)
        if over > 0:
            left = 1 - (1 - row.left.value) * over
            yield (
                cause,
                left,
                f"{counted(age, 'days')} in the ground: what strikes young plants is less likely.",
            )
    if age < OLD_DAYS:
        yield "natural_senescence", TOO_YOUNG, "Too young for leaves to die of age."


def _cold(record: DailyRecord | None, today: date) -> Iterator[tuple[str, float, str]]:
    place = _last_days(record, today, SPELL_DAYS)
    if place is not None and record is not None and record.t_min[place].min() > CHILL_C:
        yield "frost_chill", NO_COLD, "No cold night in the last ten days."


def _sprays(
    planting: Planting, events: tuple[Event, ...], today: date
) -> Iterator[tuple[str, float, str]]:
    since = today - timedelta(days=SPRAY_DAYS)
    sprays = [e for e in events if isinstance(e.payload, Treatment) and e.payload.product
              and planting.key in e.payload.plantings]  # fmt: skip
    if any(since <= event.day <= today for event in sprays):
        yield "spray_burn", SPRAYED, "Sprayed in the last four days."
    else:
        yield "spray_burn", NO_SPRAY, "No spray logged in the last four days."


def _feeds(
    planting: Planting, events: tuple[Event, ...], today: date
) -> Iterator[tuple[str, float, str]]:
    """Nobody burns what nobody fed; a feed that is not written down may have been given."""
    since = today - timedelta(days=FEED_DAYS)
    fed = any(
        isinstance(e.payload, Care)
        and "feed" in e.payload.work.casefold()
        and planting.key == e.payload.planting
        and since <= e.day <= today
        for e in events
    )
    if not fed:
        yield "fertiliser_burn", NO_FEED, "No feeding logged in the last fortnight."


def _ground(water: GroundWater | None) -> Iterator[tuple[str, float, str]]:
    """How wet the ground is says how likely thirst is, and roots that stand in water."""
    if water is None:
        return
    reckoned = f"by the plan of {water.day:%d %b}"
    if water.left < water.due:
        yield "water_stress", GROUND_DRY, f"The ground is reckoned too dry {reckoned}."
        yield "waterlogged_roots", GROUND_MOIST, ""
    elif water.low is not None and water.low < water.due:  # then it is no word against thirst
        yield "water_stress", 1.0, f"The ground may be dry or moist enough {reckoned}."
    else:
        yield "water_stress", GROUND_MOIST, f"The ground is reckoned moist enough {reckoned}."
    if water.left >= NEARLY_FULL * water.full:
        yield "waterlogged_roots", GROUND_FULL, f"The ground is reckoned full of water {reckoned}."


def _season(
    planting: Planting, today: date, tables: Tables, latitude: float | None, lies_in: str
) -> Iterator[tuple[str, float, str]]:
    """What the time of the year says; told of the causes of this crop only."""
    if latitude is None:
        return
    group, crop = tables.crosswalk.diagnosed_as(planting.crop) or ("", "")
    within = {group, crop, *(() if crop else tables.crosswalk.diagnosis_groups.get(group, ()))}
    for cause, factor, reason in by_season(tables, today, latitude):
        row = tables.causes[cause]
        here = within & set(row.crops) and row.known_from(lies_in)
        yield cause, factor, reason if here else ""
