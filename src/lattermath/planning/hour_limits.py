"""What the hour itself allows: bees and bloom, light, heat, wind.

Where two products meet on a plant on one evening, the heat, rain, wind and bee lines of both
labels apply (`meeting`). Heat and dusk that nobody knows refuse; wind, which the grower feels on
the spot, becomes a condition.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from lattermath.planning.daylight import dawn_of
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import TreatmentRequest, next_day
from lattermath.vocabulary.calendar import whole_minute
from lattermath.vocabulary.evening import LIGHT_AIR, WATER_FIRST, Evening
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.ruling import Because, Who

CLASS_GROUPS = frozenset({"1A", "1B", "3A", "4A"})  # the numbers of the four blocked classes
COOLER, COOLER_DAYS = "a cooler evening", "an evening before two cooler days"
NO_NIGHT = "wait until nothing flowers on it or near it, or take what dries sooner; else by hand"
WELL_WATERED = "the plants stand well watered"
QUARTER = 900  # seconds between the readings of an evening's air


def meeting(r: TreatmentRequest) -> tuple[ProductLabel, ...]:
    """This label and those of the products that the planting gets on the same evening."""
    if r.label is None:
        return ()
    others = {a.product for a in r.same_evening if a.product} - {r.label.key}
    return (r.label, *(label for key, label in r.labels.items() if key in others))


def until_alone(r: TreatmentRequest, label: ProductLabel) -> datetime | None:
    """When another label of the same evening ceases to bind; None for the treatment's own."""
    return None if label is r.label else next_day(r.starts)


def _while_they_meet(
    reasons: Iterable[Because], r: TreatmentRequest, label: ProductLabel
) -> Iterator[Because]:
    """What another label of the same evening forbids, it forbids on that day only."""
    for reason in reasons:
        yield reason if reason.holds else replace(reason, lapses=until_alone(r, label))


def overlap(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Two products on one evening: both labels bind; one that is not known refuses."""
    strange = [
        a
        for a in r.same_evening
        if a.product not in r.labels and (a.product or c.facts(a.method).needs_label)
    ]
    for a in strange:
        yield Because(
            f"meets {a.method} of the same day, whose label was not copied",
            holds=False,
            who="our caution",
            rests_on=("rule:overlap", "rule:label_line_states"),
            lapses=next_day(r.starts),
            way_out="treat on another day, or copy that label",
        )
    names = [label.name for label in meeting(r)[1:]]
    if names:
        yield Because(
            f"meets {', '.join(names)}: the stricter line of each label applies; never one mix",
            who="our caution",
            rests_on=("rule:overlap", "rule:never_list"),
        )


def bloom(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Some actives and every dust never while there is bloom, others only in the evening."""
    for label in meeting(r):
        if c.off_the_leaves(label.active, label.form):
            yield Because("bait on the soil: no flower is touched", rests_on=("rule:bloom",))
        elif r.surroundings.bloom is False:
            yield Because("no flowers open on it or near it", rests_on=("rule:bloom",))
        else:
            yield from _while_they_meet((_in_bloom(r, label, c),), r, label)


def _in_bloom(r: TreatmentRequest, label: ProductLabel, c: Cautions) -> Because:
    line, words = label.bloom, f"{label.name}: {_bloom_told(r)}"
    if line.value == "never in bloom":
        return _bees(f"{words}, and the label says never in bloom", "label", label, r)
    if blocked_in_bloom(label, c):
        kind = "dust" if label.form in c.blocked_forms else label.active
        laxer = line.value == "evening only"  # labels do so; a printed figure never unlocks
        tail = "; the label allows evenings, our caution is stricter" if laxer else ""
        return _bees(
            f"{words}; {kind} never at any hour while it lasts{tail}", "our caution", label, r
        )
    if not line.known:
        return _bees(
            f"{words}, and the label's line on bees was not copied", "our caution", label, r
        )
    if label.active in c.only_if_label_permits and line.value != "evening only":
        silent = f"{words}, and the label does not permit it in bloom"
        return _bees(silent, "our caution", label, r)
    return Because(
        f"{words}; evening only, flowers closed and no bee seen: look first",
        who="label" if line.value == "evening only" else "our caution",
        rests_on=("rule:bloom", "rule:bees_hours_unreliable"),
    )


def blocked_in_bloom(label: ProductLabel, c: Cautions) -> bool:
    """The named actives, the four classes by word or number, and any dust."""
    classed = any(word in c.facts(label.active).chemical_class for word in c.blocked_classes)
    numbered = label.group.upper().replace(" ", "") in CLASS_GROUPS
    return (
        label.active in c.blocked_in_bloom or label.form in c.blocked_forms or classed or numbered
    )


def _bloom_told(r: TreatmentRequest) -> str:
    """Bloom as it was seen, or where nobody looked for it."""
    if r.surroundings.bloom:
        return "there is bloom"
    where = "what flowers near it" if r.surroundings.bloom_here is False else "for bloom"
    return f"nobody looked {where}, so it counts"


def _bees(words: str, who: Who, label: ProductLabel, r: TreatmentRequest) -> Because:
    mow = "mow flowering weeds the day before; on the crop's own flowers: hands, water, mesh"
    way = mow if r.surroundings.bloom else f"{_look_for_bloom(r)}; else hands, water, mesh"
    rests_on = (f"label:{label.key}/bloom", "rule:bloom")
    return Because(words, holds=False, who=who, rests_on=rests_on, way_out=way)


def _look_for_bloom(r: TreatmentRequest) -> str:
    where = "near it" if r.surroundings.bloom_here is False else "on it and near it"
    return f"look for open flowers {where} and enter what you see"


def evening_window(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Done by civil dusk; in bloom only from when flowers are closed, and dry before dawn."""
    sprays = [s for s in meeting(r) if not c.off_the_leaves(s.active, s.form)]
    if not sprays:
        return
    dusk, dawn = r.evening.civil_dusk, dawn_of(r.evening)
    if dusk is None or dawn is None:
        yield _window("nobody knows when dusk falls", False, None)
        return
    lit = _not_after(r.ends, dusk) and _not_after(dawn, r.starts)
    lapses = None if lit else dawn + timedelta(days=1) if r.starts > dawn else dawn
    yield _window(
        f"done by {whole_minute(r.ends):%H:%M}, light enough until {whole_minute(dusk):%H:%M}",
        lit,
        lapses,
    )
    if r.surroundings.bloom is not False or _even_without_bloom(r, c):
        yield _flowers_closed(r, dusk, c)
        slowest = max(sprays, key=lambda s: c.dry_hours(s.active))
        yield _dry_by_dawn(r, dawn, slowest, c)


def _even_without_bloom(r: TreatmentRequest, c: Cautions) -> bool:
    """Whether something sprayed that evening waits for the window though nothing flowers."""
    sprays = (s for s in meeting(r) if not c.off_the_leaves(s.active, s.form))
    return any(s.active in c.evening_even_without_bloom for s in sprays)


def window_opens(evening: Evening, c: Cautions) -> datetime | None:
    """From when flowers are closed and the sun is off the leaves, as near as the sun tells."""
    return None if evening.sunset is None else evening.sunset - c.window_opens_before_sunset


def _flowers_closed(r: TreatmentRequest, dusk: datetime, c: Cautions) -> Because:
    opens = window_opens(r.evening, c)
    holds = opens is not None and _not_after(opens, r.starts)
    span = "no such window" if opens is None else f"{opens:%H:%M} to {whole_minute(dusk):%H:%M}"
    words = f"for the bees' sake in the evening window, {span}"
    if opens is None or not left_before(r, opens, dusk):
        again, way = opens, ""
    else:  # it comes back at every visit of these hours: waiting for the window does not lift it
        words = f"{words}; you are taken to leave at {r.evening.leave:%H:%M}"
        again, way = None, later_hours(r, opens, dusk)
    bar = _window(words, holds, again)
    way = way or bar.way_out
    if r.surroundings.bloom is None and not holds and not _even_without_bloom(r, c):
        way = f"{way}; or {_look_for_bloom(r)}: where none is open, any light hour will do"
    return replace(bar, way_out=way) if not holds else bar


def left_before(r: TreatmentRequest, opens: datetime, closes: datetime) -> bool:
    """Whether the visit is over, or it is too dark, before a window has room for the work."""
    ends = min(r.evening.leave, closes, key=datetime.timestamp)
    return not _not_after(opens, ends - timedelta(minutes=r.minutes))


def later_hours(r: TreatmentRequest, opens: datetime, closes: datetime) -> str:
    """How a visit that ends before a window reaches it: until when to stay, or when to come."""
    until = whole_minute(opens + timedelta(minutes=r.minutes))
    if not _not_after(until, closes):
        return "it takes longer than the light then lasts: treat fewer plants, or by hand"
    gate = r.rules.gate_closes
    if gate is not None and until.time() > gate:
        return f"the gate closes at {gate:%H:%M}, before that hour: hands, water or mesh"
    come = r.evening.arrive + (until - r.evening.leave)
    return f"stay until {until:%H:%M}, or come at {whole_minute(come):%H:%M} for as long as usual"


def _dry_by_dawn(
    r: TreatmentRequest, dawn: datetime, slowest: ProductLabel, c: Cautions
) -> Because:
    """Dry before bees fly; where no evening is long enough for that, waiting does not lift it."""
    hours = timedelta(hours=c.dry_hours(slowest.active))
    dry = (r.ends.astimezone(UTC) + hours).astimezone(r.ends.tzinfo)
    flies = dawn if _not_after(r.ends, dawn) else dawn + timedelta(days=1)
    told = f"dry by about {whole_minute(dry):%H:%M}"
    opens = window_opens(r.evening, c)
    soonest = None if opens is None else opens + timedelta(minutes=r.minutes) + hours
    if soonest is not None and not _not_after(soonest, dawn + timedelta(days=1)):
        words = (
            f"{slowest.name}: {told}, and no night now is long enough for it, for the bees' sake"
        )
        return replace(_window(words, False, until_alone(r, slowest)), way_out=NO_NIGHT)
    if _not_after(dry, flies):
        return _window(f"{told}, before bees fly", True, flies)
    return _window(f"{slowest.name}: {told}, and bees fly from {flies:%H:%M}", False, flies)


def _window(words: str, holds: bool, lapses: datetime | None) -> Because:
    return Because(
        words,
        holds=holds,
        who="our caution",
        rests_on=("rule:evening_window",),
        lapses=None if holds else lapses,
        way_out="" if holds else "make it the last job, within the evening window",
    )


def _not_after(one: datetime, other: datetime) -> bool:
    return one.timestamp() <= other.timestamp()


def heat(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """The label's ceiling first, then ours: soap and oil until dry, sulfur for two days."""
    for label in meeting(r):
        if not c.off_the_leaves(label.active, label.form):
            yield from _while_they_meet(_warmth(r, label, c), r, label)
    yield from _turgid(r, c)


def until_dry(
    r: TreatmentRequest, label: ProductLabel, c: Cautions
) -> tuple[float | None, float | None]:
    """The coolest and hottest air from the first drop of this spraying until it is dry. [C]

    Every quarter hour that the span touches counts whole. Where the hours are known but do not
    reach so far, nobody knows.
    """
    if not r.evening.air:
        return r.evening.temperature_low_c, r.evening.temperature_high_c
    begins = r.starts.timestamp()
    dry = r.ends.timestamp() + c.dry_hours(label.active) * 3600
    known = [(spot.at.timestamp(), spot) for spot in r.evening.air]
    if begins < known[0][0] or dry > known[-1][0]:
        return None, None
    met = [spot for at, spot in known if begins - QUARTER < at < dry + QUARTER]
    return min(spot.low_c for spot in met), max(spot.high_c for spot in met)


def _warmth(r: TreatmentRequest, label: ProductLabel, c: Cautions) -> Iterator[Because]:
    (cool, air), ahead = until_dry(r, label, c), r.evening.hottest_next_two_days_c
    rough = "" if r.evening.forecast else f", by {r.evening.told_by}"
    rough += ", as likely as not" if r.evening.far else ""
    dry, days = f"until dry{rough}", f"in two days{rough}"
    cooler = "a cooler evening, or a strong water jet early" if _jet_does(r, label, c) else COOLER
    if label.max_temperature_c.value is not None:
        yield _ceiling(air, label.max_temperature_c.value, dry, label, "label", cooler)
    if c.burns_in_heat(label.active):
        yield from _our_ceiling(air, dry, label, c, cooler)
    if c.is_sulfur(label.active):
        if label.max_temperature_c.value is not None:
            yield _ceiling(ahead, label.max_temperature_c.value, days, label, "label", COOLER_DAYS)
        yield from _our_ceiling(ahead, days, label, c, COOLER_DAYS)
    if c.is_oil(label.active):
        yield _floor(cool, c.oil_refuse_below_c, label)


def _jet_does(r: TreatmentRequest, label: ProductLabel, c: Cautions) -> bool:
    """A jet stands in for soap alone, which is for what water washes off; and wants a hose."""
    may = r.hose is True and not r.hose_ban and not r.rules.no_hose
    return may and c.burns_in_heat(label.active) and not c.is_oil(label.active)


def _our_ceiling(
    found: float | None, over: str, label: ProductLabel, c: Cautions, way: str
) -> Iterator[Because]:
    yield _ceiling(found, c.heat_refuse_c, over, label, "our caution", way)
    if found is not None and c.heat_caution_c < found <= c.heat_refuse_c:
        yield Because(
            f"{_tenths_up(found)} {over}: near the ceiling, try one leaf first",
            who="our caution",
            rests_on=("rule:heat_ceiling",),
        )


def _ceiling(
    found: float | None, ceiling: float, over: str, label: ProductLabel, who: Who, way: str
) -> Because:
    holds = found is not None and found <= ceiling
    words = "nobody knows how hot" if found is None else f"up to {_tenths_up(found)}"
    return Because(
        f"{words} {over}; {label.name} not above {measure(ceiling, 'C')}",
        holds=holds,
        who=who,
        rests_on=("rule:heat_ceiling", f"label:{label.key}/max_temperature_c"),
        way_out="" if holds else way,
    )


def _tenths_up(celsius: float) -> str:
    """Rounded up, so that no refusal reads as if it kept its ceiling."""
    return measure(math.ceil(round(celsius * 10, 6)) / 10, "C")


def _tenths_down(celsius: float) -> str:
    return measure(math.floor(round(celsius * 10, 6)) / 10, "C")


def _floor(found: float | None, floor: float, label: ProductLabel) -> Because:
    holds = found is not None and found >= floor
    words = "nobody knows how cool" if found is None else f"down to {_tenths_down(found)}"
    return Because(
        f"{words}; {label.name}, an oil, not below {measure(floor, 'C')}",
        holds=holds,
        who="our caution",
        rests_on=("rule:heat_ceiling",),
        way_out="" if holds else "a warmer evening",
    )


def _turgid(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    thirsty = [s for s in meeting(r) if c.burns_in_heat(s.active) or c.is_sulfur(s.active)]
    if not thirsty:
        return
    wilted, moist = r.planting.wilted, r.dry_soil is False
    well = not wilted and (moist or r.water_first)
    unknown = "nobody knows whether the soil is dry"
    words = "wilted" if wilted else unknown if r.dry_soil is None else "their soil is dry"
    way = "treat at the next visit when they stand up" if wilted else "then spray"
    yield Because(
        f"the plants: {words}" if not well else WELL_WATERED if moist else WATER_FIRST,
        holds=well,
        who="our caution",
        rests_on=("rule:heat_ceiling",),
        lapses=None if well or r.label in thirsty else next_day(r.starts),
        way_out="" if well else f"water first, {way}",
    )


def wind(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """A light, steady air: the label's figure, never above ours.

    A wind that nobody forecasts is no bar but a condition: the grower feels it before starting.
    """
    speed = r.evening.wind_m_s
    for label in meeting(r):
        if c.off_the_leaves(label.active, label.form):
            continue
        printed = label.max_wind_m_s.value
        limit = c.wind_refuse_m_s if printed is None else min(printed, c.wind_refuse_m_s)
        holds = speed is None or speed <= limit
        words = LIGHT_AIR if speed is None else f"wind about {measure(round(speed, 1), 'm/s')}"
        yield Because(
            f"{words}; not above {measure(limit, 'm/s')}",
            holds=holds,
            who="label" if printed is not None and printed <= limit else "our caution",
            rests_on=("rule:wind", f"label:{label.key}/max_wind_m_s"),
            lapses=None if holds else until_alone(r, label),
            way_out="" if holds else "wait until leaves only just move; hands or a brush meanwhile",
        )
        if speed is not None and speed < c.wind_calm_m_s:
            yield Because(
                "dead calm: fine drops hang and travel, keep the nozzle low",
                who="our caution",
                rests_on=("rule:wind",),
            )


def no_forecast(r: TreatmentRequest, _c: Cautions) -> Iterator[Because]:
    """Say when a ruling rests on no forecast."""
    if r.label is not None and not r.evening.forecast:
        yield Because(
            f"no forecast for that day yet: ruled by {r.evening.told_by}, ask again nearer the day",
            who="our caution",
            rests_on=(f"reading:{r.evening.day.isoformat()}",),
        )
