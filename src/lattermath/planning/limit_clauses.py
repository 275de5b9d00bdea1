"""What the label in hand says, clause by clause: lines, crop, sale, days and hours.

Each clause takes the request and our figures and yields one or more reasons, also when it passes.
A clause whose line was not copied leaves the refusal to `lines_copied` and says no more.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import picking_over, re_entry_over
from lattermath.planning.season_maximum import unknown_product
from lattermath.planning.treatment_request import (
    TreatmentRequest,
    as_treated,
    later,
    maybe_in_its_bed,
    on_ground,
)
from lattermath.vocabulary.calendar import said, said_with_hour
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

LINE_NAMES = {
    "re_entry_hours": "re-entry",
    "pre_harvest_days": "waiting before picking",
    "retreat_days": "days between applications",
    "season_max": "the most applications",
    "max_temperature_c": "heat",
    "rain_free_hours": "hours without rain",
    "max_wind_m_s": "wind",
    "bloom": "bees and bloom",
    "sulfur_oil_gap_days": "days between oil and sulfur",
    "rate_ml_per_l": "the rate",
    "max_l_per_m2": "the most per area",
}


def label_in_hand(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """A label for this product, this crop and this country, with every line looked at."""
    label = r.label
    if label is None:
        known = not r.method.needs_label
        yield Because(
            "it needs no label" if known else "no label for it was entered",
            holds=known,
            who="our caution",
            rests_on=("rule:label_in_hand",),
            way_out="" if known else "enter the limits from the label in hand",
        )
        return
    if label.active != r.method.key:
        yield Because(
            f"{label.name} holds {label.active}, not {r.method.key}",
            holds=False,
            who="label",
            rests_on=(f"label:{label.key}/active",),
            way_out="take the product that was meant",
        )
    if label.active not in c.methods:
        yield Because(
            f"{label.active.replace('_', ' ')} is not in our tables, so nothing is planned with it",
            holds=False,
            who="our caution",
            rests_on=(f"label:{label.key}/active", "rule:label_in_hand"),
            way_out="hands, water or mesh; what you use of it by its label, write down",
        )
    if label.litres_left is not None and label.litres_left <= 0:
        yield Because(
            f"nothing is left of {label.name}",
            holds=False,
            who="our caution",
            rests_on=(f"label:{label.key}/litres_left",),
            way_out="hands, water or mesh tonight; write down what a new pack holds",
        )
    yield from _sold_here(label, r.country)
    yield _crop_listed(label, r, c)
    yield from lines_copied(label, r.limits, c)


def _sold_here(label: ProductLabel, country: str) -> Iterator[Because]:
    here = bool(country) and label.country.casefold() == country.casefold()
    said_so = f"{label.name} is sold for {label.country or 'no country that was entered'}"
    yield Because(
        f"{label.name} is sold for the country of the plot"
        if here
        else f"{said_so}, the plot lies in {country or 'a country not entered'}",
        holds=here,
        who="label" if label.country and country else "our caution",
        rests_on=(f"label:{label.key}/country", "rule:country_and_sale"),
        way_out="" if here else "use only what is sold for your own country, and enter which it is",
    )
    words = {
        True: f"{label.name} is sold to amateurs here",
        False: f"{label.name} is not sold to amateurs here",
        None: f"{label.name}: nobody said whether it is sold to amateurs here",
    }
    ways = {
        True: "",
        False: "use a method without a pesticide",
        None: "look whether it is sold to amateurs, on the pack or in the register, and enter it",
    }
    yield Because(
        words[label.sold_to_amateurs],
        holds=label.sold_to_amateurs is True,
        who="our caution" if label.sold_to_amateurs is None else "label",
        rests_on=(f"label:{label.key}/sold_to_amateurs", "rule:country_and_sale"),
        way_out=ways[label.sold_to_amateurs],
    )


def _crop_listed(label: ProductLabel, r: TreatmentRequest, c: Cautions) -> Because:
    crop = c.crop(r.planting.crop)
    listed = r.limits is not None and label.crops_line != "none"
    copied = bool(label.crops) or label.crops_line != "not copied"
    words = "lists" if listed else "does not list" if copied else "as copied gives no crops, so not"
    return Because(
        f"the label of {label.name} {words} {crop}",
        holds=listed,
        who="label" if copied else "our caution",
        rests_on=(f"label:{label.key}/crops", "rule:label_in_hand"),
        way_out="" if listed else "a crop that is not listed is never treated: hands, water, mesh",
    )


def lines_needed(
    label: ProductLabel, limits: CropLimits | None, c: Cautions
) -> dict[str, LabelLine[int] | LabelLine[float] | LabelLine[str]]:
    """The label lines that this product must have looked at, by their address on the label."""
    on_leaves = not c.off_the_leaves(label.active, label.form)
    lines: dict[str, LabelLine[int] | LabelLine[float] | LabelLine[str]] = {
        "re_entry_hours": label.re_entry_hours
    }
    if on_leaves:
        lines["max_temperature_c"] = label.max_temperature_c
        lines["rain_free_hours"] = label.rain_free_hours
        lines["max_wind_m_s"] = label.max_wind_m_s
        lines["bloom"] = LabelLine(label.bloom.state, label.bloom.value, label.bloom.words)
    if c.is_oil(label.active) or c.is_sulfur(label.active):
        lines["sulfur_oil_gap_days"] = label.sulfur_oil_gap_days
    if limits is not None:
        lines[f"{limits.crop}/pre_harvest_days"] = limits.pre_harvest_days
        lines[f"{limits.crop}/retreat_days"] = limits.retreat_days
        lines[f"{limits.crop}/season_max"] = limits.season_max
        if on_leaves:
            lines[f"{limits.crop}/rate_ml_per_l"] = limits.rate_ml_per_l
            lines[f"{limits.crop}/max_l_per_m2"] = limits.max_l_per_m2
    return lines


def lines_copied(label: ProductLabel, limits: CropLimits | None, c: Cautions) -> Iterator[Because]:
    """Every line is a value or `none (I looked)`; not copied refuses."""
    lines = lines_needed(label, limits, c)
    missing = [address for address, line in lines.items() if not line.known]
    if missing:
        names = ", ".join(_line_name(address) for address in missing)
        yield Because(
            f"{label.name}: {counted(len(missing), 'label lines')} not copied ({names})",
            holds=False,
            who="our caution",
            rests_on=(*(f"label:{label.key}/{a}" for a in missing), "rule:label_line_states"),
            way_out="look on the label and copy them, or enter that it prints none",
        )
    if not missing:
        yield Because(
            f"all {len(lines)} label lines were looked at",
            who="label",
            rests_on=("rule:label_line_states",),
        )


def _line_name(address: str) -> str:
    return LINE_NAMES[address.rpartition("/")[2]]


def pre_harvest(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """No pick that is wanted may fall inside the pre-harvest interval."""
    label, zone = r.label, r.starts.tzinfo
    if label is None or zone is None:
        return
    when = picking_over(r.ends, label, r.planting.crop, zone, c)
    wanted = [pick for pick in r.next_picks if later(pick, r.starts)]
    if when is None:
        return
    barred = [pick for pick in wanted if later(when, pick)]
    first = min(wanted, key=datetime.timestamp, default=None)
    tail = "pick first what is ready" if first is None else f"next pick {said_with_hour(first)}"
    lines = r.limits.pre_harvest_days if r.limits else LabelLine[float]()
    yield Because(
        f"{_safe_from(r, when, c)}, {tail}",
        holds=not barred,
        who="label" if lines.state == "value" else "our caution",
        rests_on=(f"label:{label.key}/{r.planting.crop}/pre_harvest_days", "rule:phi_clock"),
        lapses=max(barred, key=datetime.timestamp) if barred else None,
        way_out="pick first, then treat" if barred else "",
    )


def _safe_from(r: TreatmentRequest, own: datetime, c: Cautions) -> str:
    """The latest clearance of this treatment and of those before it, and whose it is."""
    zone = own.tzinfo
    assert zone is not None
    latest, whose = own, ""
    for a in r.earlier:
        label = as_treated(a, r.labels)
        if a.planting != r.planting.key or (label is None and not _left_something(a, c)):
            continue
        over = None if label is None else picking_over(a.at, label, a.crop, zone, c)
        if label is None or over is None:
            return f"not known when it is safe to pick, after that of {said(_local(a.at, own))}"
        if later(over, latest):
            latest, whose = over, f" (by {label.name} of {said(_local(a.at, own))})"
    return f"safe to pick from {said_with_hour(latest, r.starts.date())}{whose}"


def _left_something(a: Applied, c: Cautions) -> bool:
    return a.product is not None or c.facts(a.method).needs_label


def re_entry(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Nobody works in a treated bed before re-entry is over, nor treats it."""
    zone = r.starts.tzinfo
    if zone is None:
        return
    labels = r.labels
    for a in on_ground(r.earlier, r.planting):
        if _same_spraying(a, r) or (a.product is None and not c.facts(a.method).needs_label):
            continue
        label = as_treated(a, labels)
        over = None if label is None else re_entry_over(a.at, label, zone, c)
        if over is None or later(over, r.starts):
            yield _bed_closed(a, r.planting, over, label)
    if r.label is None:
        return
    own = re_entry_over(r.ends, r.label, zone, c)
    if own is None:
        return
    planned = [a.at for a in on_ground(r.applied, r.planting) if not _same_spraying(a, r)]
    work = [w for w in (*r.work_in_bed, *planned) if later(w, r.starts)]
    caught = [w for w in work if later(own, w)]
    until = said_with_hour(own, r.starts.date())
    yield Because(
        f"{r.label.name} would close the bed until {until}, and there is work in it before"
        if caught
        else f"keep out of the bed until {until}, pets too",
        holds=not caught,
        who="label" if r.label.re_entry_hours.state == "value" else "our caution",
        rests_on=(f"label:{r.label.key}/re_entry_hours", "rule:re_entry"),
        lapses=max(caught, key=datetime.timestamp) if caught else None,
        way_out="do the other work in that bed first" if caught else "",
    )


def _same_spraying(a: Applied, r: TreatmentRequest) -> bool:
    """One product going on from row to row of a bed on one day."""
    same_product = r.label is not None and a.product == r.label.key
    return same_product and a.planting != r.planting.key and _days_between(a, r.starts) == 0


def _bed_closed(
    a: Applied, planting: Planting, over: datetime | None, label: ProductLabel | None
) -> Because:
    maybe = maybe_in_its_bed(a, planting)
    what = f"another planting, {maybe}," if maybe else "the bed"
    when = "nobody knows until when" if over is None else f"until {said_with_hour(over)}"
    return Because(
        f"{what} is closed after the treatment of {said(a.at.date())}, {when}",
        holds=False,
        who="label" if label is not None and label.re_entry_hours.value else "our caution",
        rests_on=(
            *(() if a.serial is None else (f"event:{a.serial}",)),
            *(() if label is None else (f"label:{label.key}/re_entry_hours",)),
            "rule:re_entry",
        ),
        lapses=over,
        way_out="work in another bed" if over else "copy the re-entry line of what was used",
    )


def retreat(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """The label's interval between applications, kept to the day, before and after.

    Between two products of one active the longer interval of either label.
    """
    label, limits = r.label, r.limits
    if label is None or limits is None or not limits.retreat_days.known:
        return
    met = [
        (a, _interval(a, r, limits))
        for a in r.applied
        if a.planting == r.planting.key and (_may_be(a, label, c) or a.active == label.active)
    ]
    close = [(a, line) for a, line in met if abs(_days_between(a, r.starts)) < (line.value or 0)]
    longest = max((line.value or 0 for _, line in close), default=limits.retreat_days.value)
    printed = (
        "the label prints no interval"
        if longest is None
        else f"again after {counted(longest, 'days')}"
    )
    last = max((a.at for a, _ in met), key=datetime.timestamp, default=None)
    history = "not used here before" if last is None else f"used {said(_local(last, r.starts))}"
    ends = [_start_of(a.at, line.value or 0, r.starts) for a, line in close]
    theirs = (f"label:{a.product}/{limits.crop}/retreat_days" for a, line in close
              if line is not limits.retreat_days)  # fmt: skip
    own = f"label:{label.key}/{limits.crop}/retreat_days"
    yield Because(
        f"{history}; {printed}",
        holds=not close,
        who="label",
        rests_on=(*dict.fromkeys((own, *theirs)), "rule:retreat_and_maximum"),
        lapses=max(ends, key=datetime.timestamp, default=None),
        way_out="fill the gap with water, hands or mesh" if close else "",
    )


def _interval(a: Applied, r: TreatmentRequest, limits: CropLimits) -> LabelLine[float]:
    """The interval between a treatment and this one: the longer that either label prints."""
    own, before = limits.retreat_days, as_treated(a, r.labels)
    theirs = None if before is None else before.limits_for(limits.crop)
    longer = theirs is not None and (theirs.retreat_days.value or 0) > (own.value or 0)
    return theirs.retreat_days if theirs is not None and longer else own


def sulfur_and_oil(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """Oil and sulfur at least 14 days apart, in either order; the longer label figure rules."""
    label = r.label
    if label is None or not (c.is_oil(label.active) or c.is_sulfur(label.active)):
        return
    against = c.is_sulfur if c.is_oil(label.active) else c.is_oil
    name = "sulfur" if c.is_oil(label.active) else "oil"
    labels = r.labels
    met = [
        (a, max(_gap_days(label, c), _gap_days(as_treated(a, labels), c)))
        for a in r.applied
        if a.planting == r.planting.key and (against(a.active) or against(a.method))
    ]
    close = [(a, gap) for a, gap in met if abs(_days_between(a, r.starts)) < gap]
    if not close:
        yield Because(
            f"no {name} within {counted(_gap_days(label, c), 'days')}",
            who="our caution",
            rests_on=("rule:sulfur_oil_gap",),
        )
    for a, gap in close:
        yield Because(
            f"{name} on {said(_local(a.at, r.starts))}: {counted(gap, 'days')} between oil "
            "and sulfur",
            holds=False,
            who="our caution" if gap <= c.sulfur_oil_gap_days else "label",
            rests_on=("rule:sulfur_oil_gap", f"label:{label.key}/sulfur_oil_gap_days"),
            lapses=_start_of(a.at, gap, r.starts),
            way_out="wait, or use something that is neither",
        )


def _gap_days(label: ProductLabel | None, c: Cautions) -> float:
    """The gap one label asks for, never under ours; the longest seen where it is not known."""
    if label is None or not label.sulfur_oil_gap_days.known:
        return c.longest_sulfur_oil_gap_days
    printed = label.sulfur_oil_gap_days.value
    return c.sulfur_oil_gap_days if printed is None else max(c.sulfur_oil_gap_days, printed)


def _may_be(a: Applied, label: ProductLabel, c: Cautions) -> bool:
    """True when an application was, or may have been, of this product."""
    return a.product == label.key or unknown_product(a, c)


def _local(at: datetime, clock: datetime) -> date:
    return at.astimezone(clock.tzinfo).date()


def _days_between(a: Applied, clock: datetime) -> int:
    return (clock.date() - _local(a.at, clock)).days


def _start_of(at: datetime, days: float, clock: datetime) -> datetime:
    """The first minute of the day that lies `days` whole days on."""
    whole = int(-(-days // 1))
    return datetime.combine(_local(at, clock) + timedelta(days=whole), time(), tzinfo=clock.tzinfo)
