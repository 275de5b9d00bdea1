"""Each spray of a plan against the hour it is put at: light, bees, heat, rain, wind, leaves."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import pairwise

from lattermath.audit.closures import hours_to_dry, on_the_soil, re_entry_end
from lattermath.audit.figures import (
    CONTACT,
    COOLEST_OIL_C,
    DEPOSIT_DRY_HOURS,
    DRY_HOURS,
    EVENING_ONLY,
    HOTTEST_C,
    HOUR,
    NEEDS_BEE_WORDS,
    NEVER_IN_BLOOM,
    NEVER_IN_BLOOM_GROUPS,
    RAIN_EXPECTED,
    STRONGEST_WIND_M_S,
    WINDOW_OPENS,
    holds_oil,
    holds_soap,
    holds_sulfur,
)
from lattermath.audit.ledger import Application, Site
from lattermath.audit.reason_check import hours_told
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.evening import DRY_LEAVES, LIGHT_AIR, NO_BEE, OUT_UNTIL, Evening
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import Task


def check_hours(
    applied: list[Application], evenings: Iterable[Evening], site: Site
) -> Iterator[Fault]:
    """Every spray and dust of the plan; what meets it on the plant that day binds it too."""
    by_day = {evening.day: evening for evening in evenings}
    for a in applied:
        if a.task is None or a.visit is None or a.label is None:
            continue
        yield from _gate(a, site)
        yield from _keeps_out(a, site)
        labels = meeting(a, a.label, applied, site)
        if not labels:
            continue
        if a.task.starts is None:
            yield _fault("sprays at an hour that nobody named", a)
        evening = by_day.get(a.visit.date)
        if evening is None:
            yield _fault("sprays on an evening of which nothing is known", a)
            continue
        yield from _in_light(a, evening)
        for label in labels:
            yield from _weather(a, label, evening)
        yield from _conditions(a.task, a, evening)
        yield from _bees(a, labels, evening, site)
        yield from _plants(a, labels, site)


def _fault(what: str, a: Application, value: object = "") -> Fault:
    return Fault(what, a.where, f"{a.planting}, {a.method}: {value}", "Make no such task.")


def _keeps_out(a: Application, site: Site) -> Iterator[Fault]:
    """The task itself says until when people and pets stay out; never sooner than the label."""
    opens = re_entry_end(a)
    if a.task is None or opens == math.inf:
        return  # a line that was not copied is a fault of its own
    due = datetime.fromtimestamp(opens, site.zone).replace(tzinfo=None)
    told = [at for caution in a.task.cautions if caution.startswith(OUT_UNTIL)
            for at in hours_told(OUT_UNTIL, caution, due)]  # fmt: skip
    if not told or min(told) < due:
        yield _fault("treats without saying until when to keep out", a, f"{due:%d %b %H:%M}")


def meeting(
    a: Application, label: ProductLabel, applied: list[Application], site: Site
) -> list[ProductLabel]:
    """The labels that bind: its own, and those of what the planting gets on the same day."""
    same = [
        b.label
        for b in applied
        if b.label is not None
        and b.planting == a.planting
        and site.day(b.begins) == site.day(a.begins)
    ]
    return list({x.key: x for x in (label, *same) if not on_the_soil(x)}.values())


def _gate(a: Application, site: Site) -> Iterator[Fault]:
    rules = site.plot.rules
    begins, ends = site.said(a.begins)[11:], site.said(a.ends)[11:]
    overnight = site.day(a.begins) != site.day(a.ends)
    if rules.gate_closes and (overnight or ends > f"{rules.gate_closes:%H:%M}"):
        yield _fault("treats after the gate is closed", a, ends)
    if rules.gate_opens and begins < f"{rules.gate_opens:%H:%M}":
        yield _fault("treats before the gate opens", a, begins)


def first_light(evening: Evening) -> float | None:
    """Civil dawn, taken as far before sunrise as civil dusk lies after sunset. [s]"""
    marks = (evening.sunrise, evening.sunset, evening.civil_dusk)
    rise, fall, dusk = (None if m is None else m.timestamp() for m in marks)
    return None if rise is None or fall is None or dusk is None else rise - (dusk - fall)


def _in_light(a: Application, evening: Evening) -> Iterator[Fault]:
    dawn = first_light(evening)
    if evening.civil_dusk is None or dawn is None:
        yield _fault("sprays on a day whose dusk nobody knows", a)
    elif not dawn <= a.begins <= a.ends <= evening.civil_dusk.timestamp():
        yield _fault("sprays in the dark", a, f"{evening.civil_dusk:%H:%M} is civil dusk")


def _weather(a: Application, label: ProductLabel, evening: Evening) -> Iterator[Fault]:
    yield from _heat(a, label, evening)
    hours = max(_dry_spell(label), label.rain_free_hours.value or 0.0)
    chance = _rain_within(evening, hours)
    if chance is None or chance >= RAIN_EXPECTED:
        yield _fault(f"sprays with rain likely within {hours:g} h", a, chance)
    printed = label.max_wind_m_s.value
    limit = STRONGEST_WIND_M_S if printed is None else min(STRONGEST_WIND_M_S, printed)
    if evening.wind_m_s is not None and evening.wind_m_s > limit:
        yield _fault(f"sprays in wind above {limit:g} m/s", a, evening.wind_m_s)
    if evening.leaves_wet is True:
        yield _fault("sprays on wet leaves", a)


def _heat(a: Application, label: ProductLabel, evening: Evening) -> Iterator[Fault]:
    burns = holds_soap(label.active) or holds_oil(label.active)
    sulfur = holds_sulfur(label.active)
    asked = []
    low, high = _air_until_dry(a, label, evening)
    if burns:
        asked.append((high, HOTTEST_C))
    if sulfur:
        asked.append((evening.hottest_next_two_days_c, HOTTEST_C))
    if label.max_temperature_c.value is not None:
        asked.append((high, label.max_temperature_c.value))
        if sulfur:
            asked.append((evening.hottest_next_two_days_c, label.max_temperature_c.value))
    for found, ceiling in asked:
        if found is None or found > ceiling:
            yield _fault(f"sprays above {ceiling:g} C", a, found)
    if holds_oil(label.active) and (low is None or low < COOLEST_OIL_C):
        yield _fault(f"sprays oil below {COOLEST_OIL_C:g} C", a, low)


def _air_until_dry(
    a: Application, label: ProductLabel, evening: Evening
) -> tuple[float | None, float | None]:
    """Lowest and highest air of every stretch that begins before it is dry and ends after it began.

    An evening without hours of its own has one figure for all of it.
    """
    spots = evening.air
    if not spots:
        return evening.temperature_low_c, evening.temperature_high_c
    dry = a.ends + HOUR * hours_to_dry(label)
    if a.begins < spots[0].at.timestamp() or spots[-1].at.timestamp() < dry:
        return None, None
    cool, warm = math.inf, -math.inf
    for one, after in pairwise(spots):
        if one.at.timestamp() < dry and after.at.timestamp() > a.begins:
            cool = min(cool, one.low_c, after.low_c)
            warm = max(warm, one.high_c, after.high_c)
    return cool, warm


def _dry_spell(label: ProductLabel) -> float:
    """Hours without rain that the spray wants by itself."""
    if label.active in CONTACT or holds_soap(label.active) or holds_oil(label.active):
        return hours_to_dry(label)
    return max(DEPOSIT_DRY_HOURS, DRY_HOURS.get(label.active, 0.0))


def _rain_within(evening: Evening, hours: float) -> float | None:
    """Chance of rain, with the first shower equally likely in any hour from the 2nd to the 12th."""
    soon, half_day = evening.rain_chance_2h, evening.rain_chance_12h
    if soon is None or hours <= 2:
        return soon
    if half_day is None:
        return None
    slope = max(0.0, half_day - soon) / 10
    by_then = soon + slope * (min(hours, 12.0) - 2)
    return by_then if hours <= 12 else 1 - (1 - by_then) ** (hours / 12)


def _conditions(task: Task, a: Application, evening: Evening) -> Iterator[Fault]:
    """What nobody forecasts must stand on the task as a condition, where it is read."""
    words = " ".join((task.only_if, *task.cautions))
    if evening.wind_m_s is None and LIGHT_AIR not in words:
        yield _fault("sprays in unknown wind without saying when not to", a, LIGHT_AIR)
    if evening.leaves_wet is None and DRY_LEAVES not in words:
        yield _fault("sprays leaves that may be wet without saying so", a, DRY_LEAVES)


def _bees(
    a: Application, labels: list[ProductLabel], evening: Evening, site: Site
) -> Iterator[Fault]:
    bloom = may_be_bloom(a.planting, site)
    for label in labels:
        if bloom:
            yield from _bee_words(a, label)
            if a.task is not None and NO_BEE not in " ".join((a.task.only_if, *a.task.cautions)):
                yield _fault("sprays near flowers without saying to look for bees", a, NO_BEE)
        if bloom or label.active in EVENING_ONLY:
            yield from _evening_only(a, label, evening, site)


def may_be_bloom(planting: str, site: Site) -> bool:
    """Open flowers on the plant or within reach of drift, for all that anybody knows."""
    here = site.plantings.get(planting)
    looks = [site.plot.bloom_near, None if here is None else here.in_bloom]
    for other in site.plantings.values():
        near = here is not None and other.pulled is None and site.within_drift(here, other)
        if near and other.key != planting:
            looks.append(other.in_bloom)
    return any(look is not False for look in looks)


def _bee_words(a: Application, label: ProductLabel) -> Iterator[Fault]:
    group = "".join(label.group.upper().split())
    if label.form == "dust" or label.active in NEVER_IN_BLOOM or group in NEVER_IN_BLOOM_GROUPS:
        yield _fault("puts on what bees must never meet, while there is bloom", a, label.active)
    elif label.bloom.state == "not copied" or label.bloom.value == "never in bloom":
        yield _fault("sprays in bloom against the label's words on bees", a, label.bloom.state)
    elif label.active in NEEDS_BEE_WORDS and label.bloom.value != "evening only":
        yield _fault("sprays in bloom without the label's word for it", a, label.active)


def _evening_only(
    a: Application, label: ProductLabel, evening: Evening, site: Site
) -> Iterator[Fault]:
    dawn = first_light(evening)
    if evening.sunset is None or dawn is None:
        yield _fault("sprays where bees may fly, on a day whose sunset nobody knows", a)
        return
    if a.begins < evening.sunset.timestamp() - WINDOW_OPENS:
        yield _fault("sprays while bees fly", a, f"{evening.sunset:%H:%M} is sunset")
    if a.ends + HOUR * hours_to_dry(label) > site.same_clock_next_day(dawn):
        yield _fault("leaves a spray wet when bees fly again", a, label.active)


def _plants(a: Application, labels: list[ProductLabel], site: Site) -> Iterator[Fault]:
    planting = site.plantings.get(a.planting)
    if planting is None:
        return
    burning = [
        x for x in labels if holds_soap(x.active) or holds_oil(x.active) or holds_sulfur(x.active)
    ]
    if planting.wilted and burning:
        yield _fault("sprays a wilted plant", a, burning[0].active)
    for other in site.plantings.values():
        if not other.neighbours_plot or other.pulled or not site.within_drift(planting, other):
            continue
        unlisted = a.label is None or a.label.limits_for(other.crop) is None
        drifts = a.label is not None and not on_the_soil(a.label)
        if drifts and (other.bears or unlisted):
            yield _fault("drifts onto the neighbour's crop", a, other.key)
