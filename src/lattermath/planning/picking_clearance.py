"""From when a planting may be picked, and what bars it until then.

A treatment clears when its pre-harvest interval is over by elapsed time and by the clock on the
shed wall, the leaves have dried and re-entry has ended. Rain changes nothing: what was washed off
still counts. What is not known is never clear.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.treatment_request import as_treated, later, maybe_in_its_bed, on_ground
from lattermath.vocabulary.calendar import said, said_with_hour, whole_minute
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling, Who, ruling

NOT_COPIED = "label lines not copied, not known when it is clear"
WAIT = "wait until then; picking before treating would have saved it"
AS_GIVEN = "computed:the interval as it was given"  # a bare number is of no label that is known
DRY_HOURS = 4.0  # rule re_entry: "until dry" is, by our caution, not before 4 h


def interval_over(at: datetime, days: float, zone: tzinfo) -> datetime:
    """When a pre-harvest interval of `days` is over: the later of two clocks.

    n x 24 h elapsed, and the same local clock time n days on; they differ when the clocks
    change. An hour that comes twice counts as its second coming, one that is left out as the
    later of the two instants it could mean. Source: rule `phi_clock`.
    """
    wall = at.astimezone(zone).replace(tzinfo=None) + timedelta(days=days)
    elapsed = after_hours(at, 24 * days, zone)
    return max(elapsed, _reads(wall, zone), key=datetime.timestamp)


def _reads(wall: datetime, zone: tzinfo) -> datetime:
    """The last instant at which a clock of `zone` reads `wall`."""
    readings = (wall.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (0, 1))
    return max(readings).astimezone(zone)


def after_hours(at: datetime, hours: float, zone: tzinfo) -> datetime:
    """The instant `hours` elapsed hours on, by the clock of `zone`."""
    return (at.astimezone(UTC) + timedelta(hours=hours)).astimezone(zone)


def next_morning(at: datetime, zone: tzinfo, cautions: Cautions) -> datetime:
    """The morning after the local day of `at`; our own caution where a label prints nothing."""
    day = at.astimezone(zone).date() + timedelta(days=1)
    return datetime.combine(day, cautions.next_morning, tzinfo=zone)


def re_entry_over(
    at: datetime, label: ProductLabel, zone: tzinfo, cautions: Cautions
) -> datetime | None:
    """When people may work in the bed again; None where the label's line is not copied.

    Elapsed hours from the end of spraying, never before the leaves are dry. A label that prints
    none is taken as "until dry", by our caution not before 4 h. A minute that has begun counts
    whole. Source: rule `re_entry`.
    """
    line = label.re_entry_hours
    if not line.known:
        return None
    wet = not cautions.off_the_leaves(label.active, label.form)
    dry = cautions.dry_hours(label.active) if wet else 0.0
    printed = line.value
    hours = max(dry, cautions.dry_at_least_hours) if printed is None else max(dry, printed)
    return whole_minute(after_hours(at, hours, zone))


def picking_over(
    at: datetime, label: ProductLabel, crop: str, zone: tzinfo, cautions: Cautions
) -> datetime | None:
    """When one treatment of one crop clears for picking, a begun minute counting whole.

    None: unknown, and so never clear.
    """
    limits = label.limits_for(crop)
    entry = re_entry_over(at, label, zone, cautions)
    if limits is None or entry is None or not limits.pre_harvest_days.known:
        return None
    days = limits.pre_harvest_days.value
    waits = next_morning(at, zone, cautions) if days is None else interval_over(at, days, zone)
    return whole_minute(max(entry, waits, key=datetime.timestamp))


def clearance_of(
    planting: Planting,
    applied: Iterable[Applied],
    labels: Sequence[ProductLabel],
    now: datetime,
    zone: tzinfo,
    cautions: Cautions,
) -> Clearance:
    """From when a planting may be picked, as things stand at `now`.

    Every treatment up to `now` counts, the latest clearance rules. Treatments of other plantings
    in the same bed bar by their re-entry alone.
    """
    past = [a for a in on_ground(applied, planting) if not later(a.at, now)]
    bars = [bar for a in past if (bar := _bar(a, planting, labels, zone, cautions)) is not None]
    still = tuple(b for b in bars if b.lapses is None or later(b.lapses, now))
    if any(b.lapses is None for b in bars):
        return Clearance(planting.key, False, None, still)
    ends = [b.lapses for b in bars if b.lapses is not None]
    safe = max(ends, key=datetime.timestamp, default=now.astimezone(zone))
    return Clearance(planting.key, not still, safe, still)


def may_enter(
    planting: Planting,
    applied: Iterable[Applied],
    labels: Sequence[ProductLabel],
    at: datetime,
    zone: tzinfo,
    cautions: Cautions,
) -> Ruling:
    """May anyone work in this planting's bed at that hour? Re-entry of all that was used there."""
    past = [a for a in on_ground(applied, planting) if not later(a.at, at)]
    wet = [a for a in past if a.product or cautions.facts(a.method).needs_label]
    known = {label.key: label for label in labels}
    bars = [_entry_bar(a, planting, as_treated(a, known), zone, cautions) for a in wet]
    still = [bar for bar in bars if bar.lapses is None or later(bar.lapses, at)]
    return ruling(still or [Because("nothing bars the bed", rests_on=("rule:re_entry",))])


def _entry_bar(
    a: Applied,
    planting: Planting,
    label: ProductLabel | None,
    zone: tzinfo,
    cautions: Cautions,
) -> Because:
    if label is None:
        return _unknown(a, planting, "with something not on the shelf", "our caution", zone)
    return _re_entry_bar(a, planting, label, zone, cautions)


def _bar(
    a: Applied,
    planting: Planting,
    labels: Sequence[ProductLabel],
    zone: tzinfo,
    cautions: Cautions,
) -> Because | None:
    """What one treatment has to say of picking; None where it left nothing on the plant."""
    if a.product is None and not cautions.facts(a.method).needs_label:
        return None
    known = {one.key: one for one in labels}
    label = as_treated(a, known)
    if label is None:
        return _unknown(a, planting, "with something not on the shelf", "our caution", zone)
    if a.planting != planting.key:
        return _re_entry_bar(a, planting, label, zone, cautions)
    limits = label.limits_for(planting.crop)
    if limits is None:
        words = f"with {label.name}, which does not list this crop"
        return _unknown(a, planting, words, "label", zone, f"label:{label.key}/crops")
    when = picking_over(a.at, label, planting.crop, zone, cautions)
    if when is None:
        words = f"with {label.name}"
        return _unknown(a, planting, words, "our caution", zone)
    own = limits.pre_harvest_days.state == "none"
    tail = " The label prints no waiting period; the morning is our caution." if own else ""
    now = picking_over(a.at, known[label.key], planting.crop, zone, cautions)
    anew = _copied_anew(a, when, now)
    return Because(
        f"{_treated(a, planting, zone)}, clear {said_with_hour(when, a.at.date())}.{anew}{tail}",
        holds=False,
        who="our caution" if own else "label",
        rests_on=(*_entry(a), f"label:{label.key}/{planting.crop}/pre_harvest_days"),
        lapses=when,
        way_out=_slip(a) if anew else WAIT,
    )


def _treated(a: Applied, planting: Planting, zone: tzinfo) -> str:
    """When it was treated, and under which name where the plot file has another now."""
    on = f"treated {said(a.at.astimezone(zone).date())}"
    if maybe := maybe_in_its_bed(a, planting):
        return f"another planting, {maybe}, was {on}"
    return f"{on} as {a.of.replace('-', ' ')}" if a.of else on


def _copied_anew(a: Applied, when: datetime, now: datetime | None) -> str:
    """Say so where the label as it is copied now would clear it earlier than an older copy."""
    earlier = bool(a.copies) and now is not None and later(when, now)
    return " Its label was changed since; the longer wait counts." if earlier else ""


def _slip(a: Applied) -> str:
    return (
        "wait until then; if the older copy of the label was a slip of the pen, take that back: "
        f"lattermath log withdraw {a.copies[0]}."
    )


def not_known() -> Because:
    """What bars a planting of whose treatments nobody said anything."""
    return Because(
        "nothing is known of its clearance",
        holds=False,
        who="our caution",
        rests_on=("rule:label_line_states",),
        way_out="write down what was used on it and copy that label, or that nothing was",
    )


def _re_entry_bar(
    a: Applied, planting: Planting, label: ProductLabel, zone: tzinfo, cautions: Cautions
) -> Because:
    when = re_entry_over(a.at, label, zone, cautions)
    given = planting.bed is not None and a.bed == planting.bed
    if when is None:
        words = f"in this bed with {label.name}" if given else f"with {label.name}"
        return _unknown(a, planting, words, "our caution", zone)
    on = said(a.at.astimezone(zone).date())
    was = f"the bed was treated {on}" if given else _treated(a, planting, zone)
    return Because(
        f"{was}, enter {said_with_hour(when, a.at.date())}",
        holds=False,
        who="label" if label.re_entry_hours.state == "value" else "our caution",
        rests_on=(*_entry(a), f"label:{label.key}/re_entry_hours"),
        lapses=when,
        way_out="work in another bed until then",
    )


def _unknown(
    a: Applied, planting: Planting, words: str, who: Who, zone: tzinfo, *lines: str
) -> Because:
    return Because(
        f"{_treated(a, planting, zone)} {words}: {NOT_COPIED}",
        holds=False,
        who=who,
        rests_on=(*_entry(a), *lines, "rule:label_line_states"),
        way_out="copy the lines from the label in hand",
    )


def _entry(a: Applied) -> tuple[str, ...]:
    return () if a.serial is None else (f"event:{a.serial}",)


@dataclass(frozen=True, slots=True)
class Interval:
    """One treatment as the clearance kernel takes it. None: left out."""

    at: datetime
    pre_harvest_days: float | None = None
    re_entry_hours: float | None = None


def clearance(
    treatments: Sequence[Interval], now: datetime, zone: tzinfo | None = None
) -> tuple[datetime | None, tuple[Because, ...]]:
    """The instant from which all of `treatments` are clear (None: unknown), and what bars now.

    Times are aware. Without a `zone` the clock on the wall may show any of the offsets that the
    request itself uses, and the latest is taken. An interval of 0 days means dried and re-entry
    over, so it needs the hours of re-entry, and 4 h where they are fewer (rule `re_entry`, our
    caution). Source: rules `phi_clock` and `re_entry`.
    """
    aware = [now, *(t.at for t in treatments)]
    if any(when.utcoffset() is None for when in aware):
        raise ValueError("every time needs its offset from UTC, such as 2026-08-04T20:00+02:00")
    zones = [zone] if zone else list({w.utcoffset(): w.tzinfo for w in aware if w.tzinfo}.values())
    ends = [_interval_end(t, zones) for t in treatments]
    bars = tuple(
        _interval_bar(t, end)
        for t, end in zip(treatments, ends, strict=True)
        if end is None or later(end, now)
    )
    known = [end for end in ends if end is not None]
    if len(known) < len(ends):
        return None, bars
    return max(known, key=datetime.timestamp, default=now), bars


def _interval_end(t: Interval, zones: Sequence[tzinfo]) -> datetime | None:
    _check(t)
    if t.pre_harvest_days is None or (t.pre_harvest_days == 0 and t.re_entry_hours is None):
        return None
    hours = max(t.re_entry_hours or 0.0, DRY_HOURS, 24 * t.pre_harvest_days)
    wall = (t.at.astimezone(zones[0]) if len(zones) == 1 else t.at).replace(tzinfo=None)
    wall += timedelta(days=t.pre_harvest_days)
    ends = (_reads(wall, zone) for zone in zones)
    return max(after_hours(t.at, hours, zones[0]), *ends, key=datetime.timestamp)


def _check(t: Interval) -> None:
    given = {"pre_harvest_days": t.pre_harvest_days, "re_entry_hours": t.re_entry_hours}
    for name, value in given.items():
        if value is not None and not 0 <= value <= 3660:
            raise ValueError(f"{name} must lie between 0 and 3660, found {value}")


def _interval_bar(t: Interval, end: datetime | None) -> Because:
    day = said(t.at.date())
    if end is None:
        lacks = "pre-harvest interval" if t.pre_harvest_days is None else "re-entry"
        return Because(
            f"treated {day}, {lacks} not given: {NOT_COPIED}",
            holds=False,
            who="our caution",
            rests_on=("rule:label_line_states", AS_GIVEN),
            way_out="copy the line from the label in hand",
        )
    tail = "" if t.re_entry_hours is not None else "; re-entry was not given, mind it too"
    return Because(
        f"treated {day}, clear {said_with_hour(end, t.at.date())}{tail}",
        holds=False,
        who="label",
        rests_on=("rule:phi_clock", AS_GIVEN),
        lapses=end,
        way_out="wait until then",
    )
