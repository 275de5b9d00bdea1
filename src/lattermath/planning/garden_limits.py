"""What the garden, the neighbours and the plants' own covers allow; these bind like the label."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time, timedelta
from typing import Literal

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import after_hours, may_enter
from lattermath.planning.treatment_request import (
    Neighbour,
    TreatmentRequest,
    as_treated,
    later,
    on_ground,
    same_day,
)
from lattermath.vocabulary.calendar import said, said_with_hour
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling, ruling

Cover = Literal["bag", "clear sheet", "fleece", "open mesh"]
LOOK_UP_ORGANIC = "look on the pack or in the list of inputs whether it is one, and enter it"
FLEECE_OFF_ABOVE_C = 27.0  # judgement: rule covers_and_bags says only "fleece comes off in heat"


def own_plants(r: TreatmentRequest, _c: Cautions) -> Iterator[Because]:
    """Only what stands on one's own plot is ever treated."""
    yours = not r.planting.neighbours_plot
    yield Because(
        "it stands on your own plot" if yours else "it stands on the neighbour's plot",
        holds=yours,
        who="garden",
        rests_on=(f"plot:planting/{r.planting.key}",),
        way_out="" if yours else "tell the neighbour what you saw",
    )
    if r.planting.pulled is not None:
        yield Because(
            f"it was pulled on {said(r.planting.pulled)}",
            holds=False,
            who="garden",
            rests_on=(f"plot:planting/{r.planting.key}",),
            way_out="nothing is left to treat: strike it from the list",
        )


def garden_rules(r: TreatmentRequest, _c: Cautions) -> Iterator[Because]:
    """The garden's own rules: sprays, organic only, hose, gate."""
    rules, label = r.rules, r.label
    if label is not None and rules.no_sprays:
        sprayed = label.form in ("spray", "dust")
        yield _garden("no sprays or dusts in this garden", not sprayed, "no_sprays")
    if label is not None and rules.organic_only:
        words = {True: "is", False: "is not", None: "is not known to be"}[label.organic_input]
        says = f"organic only here, and {label.name} {words} an organic input"
        bar = _garden(says, label.organic_input is True, "organic_only")
        unknown = label.organic_input is None
        yield replace(bar, way_out=LOOK_UP_ORGANIC) if unknown else bar
    if r.method.key == "water_jet" and (rules.no_hose or r.hose_ban):
        yield _garden("no hose may be used", False, "no_hose")
    if r.method.key == "water_jet" and r.hose is False:
        yield _no_hose()
    yield from _gate(r)


def _no_hose() -> Because:
    return Because(
        "no hose is written down, and a strong jet needs one",
        holds=False,
        who="our caution",
        rests_on=("plot:water/hose",),
        way_out="write the hose down if there is one, or take infested leaves off by hand",
    )


def _gate(r: TreatmentRequest) -> Iterator[Because]:
    opens, closes = r.rules.gate_opens, r.rules.gate_closes
    late = closes is not None and (r.ends.date() > r.starts.date() or r.ends.time() > closes)
    if late and closes is not None:
        again = _at(r.starts + timedelta(days=1), opens or time())
        yield _shut(f"the gate closes at {closes:%H:%M}", "gate_closes", again)
    if opens is not None and r.starts.time() < opens:
        yield _shut(f"the gate opens at {opens:%H:%M}", "gate_opens", _at(r.starts, opens))


def _at(day: datetime, clock: time) -> datetime:
    return datetime.combine(day.date(), clock, tzinfo=day.tzinfo)


def _shut(says: str, key: str, lapses: datetime | None) -> Because:
    return replace(_garden(says, False, key), lapses=lapses, way_out="come while the gate is open")


def _garden(says: str, holds: bool, key: str) -> Because:
    return Because(
        says,
        holds=holds,
        who="garden",
        rests_on=(f"plot:rules/{key}",),
        way_out="" if holds else "hands, water at the foot, mesh or pulling the plant",
    )


def drift(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """No spray or dust within reach of a neighbour's crop that is ready, or not on the label."""
    label = r.label
    if label is None or c.off_the_leaves(label.active, label.form):
        return
    at_risk = [n for n in r.surroundings.neighbours if _at_risk(n, label, c)]
    for neighbour in at_risk:
        gap = neighbour.distance_m
        where = "at an unknown distance" if gap is None else f"{measure(round(gap, 1), 'm')} away"
        why = "ready to pick" if neighbour.ready_to_pick else "not on its label"
        yield Because(
            f"{label.name}: the neighbour's {c.crop(neighbour.crop)} {where}, {why}",
            holds=False,
            who="our caution",
            rests_on=("rule:drift_to_neighbour",),
            way_out="hands, brush or bait on that side, and tell the neighbour",
        )
    if not at_risk:
        yield Because(
            "no neighbour's crop at risk of drift",
            who="our caution",
            rests_on=("rule:drift_to_neighbour",),
        )


def _at_risk(neighbour: Neighbour, label: ProductLabel, c: Cautions) -> bool:
    near = neighbour.distance_m is None or neighbour.distance_m <= c.drift_reach_m
    return near and (neighbour.ready_to_pick or label.limits_for(neighbour.crop) is None)


@dataclass(frozen=True, slots=True)
class Covering:
    """A cover to be put over a living plant. `sunrise` is the first one after `on`."""

    cover: Cover
    planting: Planting
    on: datetime
    off: datetime | None  # None: stays on
    sunset: datetime | None  # of the day on which it goes on
    sunrise: datetime | None
    hottest_c: float | None = None
    applied: tuple[Applied, ...] = ()
    with_pesticide: bool = False  # something is to be sprayed or dusted inside


def may_cover(covering: Covering, labels: Iterable[ProductLabel], c: Cautions) -> Ruling:
    """May this cover go over a living plant? Bags and clear sheets never in sun, never dusted.

    A bag goes on from evening, or before sunrise, and comes off before the sun reaches it, with
    nothing sprayed or dusted inside; mesh may stay. Source: rule `covers_and_bags`.
    """
    return ruling(_cover_clauses(covering, tuple(labels), c))


def _cover_clauses(v: Covering, labels: tuple[ProductLabel, ...], c: Cautions) -> Iterator[Because]:
    yield _cover(
        "it stands on your own plot" if not v.planting.neighbours_plot else "not your plant",
        not v.planting.neighbours_plot,
    )
    if v.cover == "open mesh":
        yield _cover("open mesh may stay day and night; open it for pollination", True)
        return
    if v.cover == "fleece":
        cool = v.hottest_c is not None and v.hottest_c <= FLEECE_OFF_ABOVE_C
        yield _cover("fleece comes off in heat, and nobody may leave it on a hot day", cool)
        return
    yield _cover("nothing is sprayed or dusted inside", not v.with_pesticide)
    wet = [a for a in v.applied if a.planting == v.planting.key and _fresh(a, v.on, labels, c)]
    ends = [_dry_from(a, v.on, labels, c) for a in wet]
    known = [end for end in ends if end is not None]
    dry = max(known, key=datetime.timestamp) if known and len(known) == len(ends) else None
    yield _cover("nothing sprayed on it is still fresh", not wet, dry)
    yield _shade(v, c)


def _shade(v: Covering, c: Cautions) -> Because:
    if v.sunset is None or v.sunrise is None:
        return _cover("nobody knows when the sun is on it", False)
    evening = not later(v.sunset - c.window_opens_before_sunset, v.on)
    before_dawn = same_day(v.sunrise, v.on) and not later(v.on, v.sunrise)
    off_in_time = v.off is not None and not later(v.off, v.sunrise) and later(v.off, v.on)
    by = said_with_hour(v.sunrise)
    return _cover(
        f"on in the evening or before sunrise, off before the sun reaches it at {by}",
        (evening or before_dawn) and off_in_time,
        _next_dusk(v, v.sunset - c.window_opens_before_sunset, v.sunrise),
    )


def _next_dusk(v: Covering, dusk: datetime, sunrise: datetime) -> datetime | None:
    """When it may go on for as long; None where it would still be on at sunrise."""
    if v.off is None:
        return None
    on = dusk if later(dusk, v.on) else dusk + timedelta(days=1)
    rise = sunrise if later(sunrise, on) else sunrise + timedelta(days=1)
    return None if later(on + (v.off - v.on), rise) else on


def _fresh(a: Applied, on: datetime, labels: tuple[ProductLabel, ...], c: Cautions) -> bool:
    """True while a deposit is wet, or re-entry runs, or nothing is known of it."""
    if later(a.at, on) or (a.product is None and not c.facts(a.method).needs_label):
        return False
    over = _dry_from(a, on, labels, c)
    return over is None or later(over, on)


def _dry_from(
    a: Applied, on: datetime, labels: tuple[ProductLabel, ...], c: Cautions
) -> datetime | None:
    """When a deposit is dry and re-entry over; a day on where no line says; None: not known."""
    label = as_treated(a, {one.key: one for one in labels})
    if label is None:
        return None
    if label.re_entry_hours.value is None or on.tzinfo is None:
        return a.at + timedelta(days=1)
    hours = max(label.re_entry_hours.value, c.dry_hours(label.active))
    return after_hours(a.at, hours, on.tzinfo)


def _cover(says: str, holds: bool, lapses: datetime | None = None) -> Because:
    return Because(
        says,
        holds=holds,
        who="our caution",
        rests_on=("rule:covers_and_bags",),
        lapses=None if holds else lapses,
        way_out="" if holds else "bag it from dusk, empty, and take the bag off before sunrise",
    )


def may_plant(
    planting: Planting,
    at: datetime,
    applied: Iterable[Applied],
    labels: Iterable[ProductLabel],
    c: Cautions,
) -> Ruling:
    """May this be sown or set out in its bed at that hour? Re-entry, and plant-back intervals.

    `planting` is the new one. Both belong to the ground: what was sprayed may have been pulled
    since. A line that is not copied refuses. Source: rules `re_entry` and `plant_back`.
    """
    shelf = tuple(labels)
    known = {label.key: label for label in shelf}
    entry = may_enter(planting, applied := tuple(applied), shelf, at, at.tzinfo or UTC, c)
    past = [a for a in on_ground(applied, planting) if not later(a.at, at)]
    treated = [a for a in past if a.product or c.facts(a.method).needs_label]
    if not treated:
        return ruling([_ground("nothing was used on this ground", True, None, ())])
    return ruling((*entry.bars, *(_plant_back(a, as_treated(a, known), at) for a in treated)))


def _plant_back(a: Applied, label: ProductLabel | None, at: datetime) -> Because:
    limits = None if label is None else label.limits_for(a.crop)
    entry: tuple[str, ...] = () if a.serial is None else (f"event:{a.serial}",)
    if label is not None:
        entry += (f"label:{label.key}/{a.crop}/plant_back_days",)
    zone = at.tzinfo or UTC
    used = "something not on the shelf" if label is None else label.name
    treated = f"treated {said(a.at.astimezone(zone).date())} with {used}"
    if label is None or limits is None or not limits.plant_back_days.known:
        return _ground(f"{treated}, whose plant-back line is not copied", False, None, entry)
    days = limits.plant_back_days.value
    if days is None:
        return _ground(f"{label.name} prints no plant-back interval", True, None, entry)
    free = after_hours(a.at, days * 24, at.tzinfo) if at.tzinfo else a.at + timedelta(days=days)
    return _ground(
        f"{treated}, plant from {said_with_hour(free, at.date())}", not later(free, at), free, entry
    )


def _ground(says: str, holds: bool, lapses: datetime | None, entry: tuple[str, ...]) -> Because:
    return Because(
        says,
        holds=holds,
        who="label" if lapses else "our caution",
        rests_on=(*entry, "rule:plant_back"),
        lapses=None if holds else lapses,
        way_out="" if holds else "plant another bed, or copy the line from the label",
    )
