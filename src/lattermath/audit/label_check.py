"""Each application that a plan asks for, against the rows of its label and all that came before.

Intervals are looked at as spans of days that an application blocks, before it and after it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from lattermath.audit.closures import on_the_soil
from lattermath.audit.figures import (
    FUNGICIDES,
    KEEP_APART,
    LEAVE_NOTHING,
    OIL_SULFUR_DAYS,
    OIL_SULFUR_DAYS_UNKNOWN,
    TABLED,
    YEAR_DAYS,
    holds_oil,
    holds_soap,
    holds_sulfur,
)
from lattermath.audit.ledger import Application, Site
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel

NO_LABEL = "Enter the label in hand, or use hands, water or mesh."


def check_labels(applied: list[Application], site: Site) -> Iterator[Fault]:
    """Every application of the plan; those of the journal only count."""
    yield from check_maxima(applied, site)
    for a in applied:
        if a.task is None:
            continue
        yield from _own_plants(a, site)
        if a.label is None:
            if a.product is not None or a.method not in LEAVE_NOTHING:
                yield _fault("treats with something that has no label here", a, a.product, NO_LABEL)
            continue
        yield from _label_rows(a, a.label, site)
        if a.limits is not None:
            others = [b for b in applied if b is not a and b.leaves_something]
            yield from _days_apart(a, a.limits, others, site)
            yield from _oil_and_sulfur(a, a.label, others, site)
            yield from _apart(a, others, site)


def _fault(what: str, a: Application, value: object = "", remedy: str = "") -> Fault:
    return Fault(what, a.where, f"{a.planting}, {a.method}: {value}", remedy)


def _own_plants(a: Application, site: Site) -> Iterator[Fault]:
    planting = site.plantings.get(a.planting)
    if planting is None:
        yield _fault("treats a planting that is not on the plot", a)
    elif planting.neighbours_plot:
        yield _fault("treats what stands on the neighbour's plot", a)
    elif planting.pulled is not None:
        yield _fault("treats what was pulled", a, planting.pulled)


def _label_rows(a: Application, label: ProductLabel, site: Site) -> Iterator[Fault]:
    country = site.plot.place.country
    if a.method and a.method != label.active:
        yield _fault("takes a product of another active", a, label.active)
    if label.active not in TABLED:
        yield _fault("takes an active that is in no table", a, label.active)
    if not country or country.lower() != label.country.lower():
        yield _fault("uses a label of another country", a, f"{label.country}, plot in {country}")
    if label.sold_to_amateurs is not True:
        yield _fault("uses what is not known to be sold to amateurs", a, label.name)
    if a.limits is None or label.crops_line == "none":
        yield _fault("treats a crop that the label does not list", a, a.crop)
    for name, line in _rows_needed(label, a.limits):
        if line.state == "not copied":
            yield _fault("rests on a label line that was not copied", a, name)
    rules = site.plot.rules
    if rules.no_sprays and label.form in ("spray", "dust"):
        yield _fault("sprays where the garden allows none", a)
    if rules.organic_only and label.organic_input is not True:
        yield _fault("uses what is no organic input where the garden wants only these", a)


def _rows_needed(
    label: ProductLabel, limits: CropLimits | None
) -> Iterator[tuple[str, LabelLine[float] | LabelLine[int] | LabelLine[str]]]:
    yield "re-entry", label.re_entry_hours
    if limits is not None:
        yield "pre-harvest interval", limits.pre_harvest_days
        yield "interval between applications", limits.retreat_days
        yield "maximum", limits.season_max
    if on_the_soil(label):
        return
    yield "highest temperature", label.max_temperature_c
    yield "hours without rain", label.rain_free_hours
    yield "wind", label.max_wind_m_s
    yield "bees", LabelLine(label.bloom.state, label.bloom.value)
    if limits is not None:
        yield "rate", limits.rate_ml_per_l
        yield "maximum per area", limits.max_l_per_m2
    if holds_oil(label.active) or holds_sulfur(label.active):
        yield "days between oil and sulfur", label.sulfur_oil_gap_days


def _may_be_same(b: Application, label: ProductLabel) -> bool:
    """The same product, or something nobody knows."""
    return b.product == label.key or b.product is None


def _days_apart(
    a: Application, limits: CropLimits, others: Iterable[Application], site: Site
) -> Iterator[Fault]:
    if a.label is None or limits.retreat_days.state == "not copied":
        return
    for b in others:
        gap = abs(site.day(a.begins) - site.day(b.begins))
        theirs = None if b.limits is None else b.limits.retreat_days.value
        days = max(limits.retreat_days.value or 0, theirs or 0)
        same = _may_be_same(b, a.label) or b.active == a.active
        if b.planting == a.planting and same and gap < days:
            yield _fault("comes too soon after or before another application", a, b.where)


def check_maxima(applied: list[Application], site: Site) -> Iterator[Fault]:
    """No label's maximum, of the journal or the plan, is passed with the plan's own treatments."""
    for a in applied:
        most = None if a.limits is None else a.limits.season_max.value
        if a.label is None or a.limits is None or most is None:
            continue
        counted = [b for b in applied if _in_scope(b, a.label, a.limits) and _over(a, b, site)]
        number = _evenings(counted, site)
        if number > most and any(b.task is not None for b in counted):
            last = max(counted, key=lambda b: (b.task is not None, b.begins))
            yield _fault("goes above the label's maximum", last, f"{number} of {most}, {a.where}")


def _evenings(counted: Iterable[Application], site: Site) -> int:
    """One evening over several rows is one treatment; one row twice on a day is two."""
    rows = Counter((site.day(b.begins), b.planting) for b in counted)
    days = {day for day, _ in rows}
    return sum(max(times for (d, _), times in rows.items() if d == day) for day in days)


def _in_scope(b: Application, label: ProductLabel, limits: CropLimits) -> bool:
    if not b.leaves_something:
        return False
    if _may_be_same(b, label):
        return True
    active_too = limits.season_max_scope != "product" and _one_in_both(b.active, label.active)
    number = group_number(label.group)
    group_too = (
        limits.season_max_scope == "group"
        and b.label is not None
        and number != ""
        and group_number(b.label.group) == number
    )
    return active_too or group_too


def _one_in_both(one: str, other: str) -> bool:
    """Is an active of one product in the other? Several of one product are words in a row."""
    names = [active.replace("_", " ").split() for active in (one, other)]
    for words, there in (names, names[::-1]):
        ends = [n for n, word in enumerate(words) if word == "and"]
        for first, last in zip([0, *(n + 1 for n in ends)], [*ends, len(words)], strict=True):
            part = words[first:last]
            if part and any(there[n : n + len(part)] == part for n in range(len(there))):
                return True
    return False


def _over(a: Application, b: Application, site: Site) -> bool:
    over = "crop" if a.limits is None else a.limits.season_max_over
    if over == "crop":
        return b.planting == a.planting
    this_year = abs(site.day(b.begins) - site.day(a.begins)) <= YEAR_DAYS
    here = b.planting == a.planting or (a.ground is not None and b.ground == a.ground)
    return this_year and (here or (over == "year" and b.crop == a.crop))


def group_number(group: str) -> str:
    """The number of a group without its letter: 1 of 1A and 1B; other codes stay whole."""
    word = "".join(group.split("(")[0].split()).upper()
    return word[:-1] if len(word) > 1 and word[:-1].isdigit() and word[-1].isalpha() else word


def _oil_and_sulfur(
    a: Application, label: ProductLabel, others: Iterable[Application], site: Site
) -> Iterator[Fault]:
    wants = holds_sulfur if holds_oil(label.active) else holds_oil
    if not (holds_oil(label.active) or holds_sulfur(label.active)):
        return
    for b in others:
        apart = max(_gap(label), _gap(b.label))
        gap = abs(site.day(a.begins) - site.day(b.begins))
        if b.planting == a.planting and (wants(b.active) or wants(b.method)) and gap < apart:
            yield _fault(f"puts oil and sulfur within {apart:g} days", a, b.where)


def _apart(a: Application, others: Iterable[Application], site: Site) -> Iterator[Fault]:
    mine = _kinds(a)
    for b in others:
        gap = abs(site.day(a.begins) - site.day(b.begins))
        theirs = _kinds(b)
        for one, other, days in KEEP_APART:
            meet = (one in mine and other in theirs) or (other in mine and one in theirs)
            if b.planting == a.planting and meet and gap < days:
                yield _fault(f"lets {one} meet {other} within {days} d", a, b.where)


def _kinds(a: Application) -> set[str]:
    """Everything by which an application may be known in the list of what stays apart."""
    words = {a.active, "" if a.label is None else "".join(a.label.group.upper().split())}
    words |= {"oil"} if holds_oil(a.active) else set()
    words |= {"soap"} if holds_soap(a.active) and not holds_oil(a.active) else set()
    words |= {"copper"} if a.active.startswith("copper") else set()
    fungicide = a.active in FUNGICIDES and not holds_oil(a.active)
    return words | ({"fungicide"} if fungicide else set())


def _gap(label: ProductLabel | None) -> float:
    if label is None or label.sulfur_oil_gap_days.state == "not copied":
        return OIL_SULFUR_DAYS_UNKNOWN
    return max(OIL_SULFUR_DAYS, label.sulfur_oil_gap_days.value or 0.0)
