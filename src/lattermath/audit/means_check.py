"""Means without a pack, read again: who has them, and at what hour they may be used.

Source: rows of the methods (their limits) and the rule covers_and_bags; figures typed anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from lattermath.audit.figures import (
    BEE_CROPS,
    BOARDS_BY_HOUR,
    COVERS,
    DAY,
    FLEECE_TO_C,
    HOSES,
    HOUR,
    LEAF_DRY_HOURS,
    LET_OUT,
    MITES_LIVE_C,
    SEARCHED,
    SITTING,
    WINDOW_OPENS,
    WRITTEN_AS,
    holds_oil,
    holds_soap,
    holds_sulfur,
)
from lattermath.audit.hour_check import first_light
from lattermath.audit.ledger import Application, Site, Stay
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.evening import Evening

HARSH_CODES = frozenset({"1A", "1B", "3A", "4A", "5"})
HARSH_SPAN, SOFT_SPAN, AFTER_SPAN = 14, 3, 7  # days round a release


def check_means(
    work: Sequence[Stay], applied: Sequence[Application], evenings: Iterable[Evening], site: Site
) -> Iterator[Fault]:
    """Every task with a means of its own, against what is written down and the hour it has."""
    hours = {evening.day: evening for evening in evenings}
    for stay in work:
        method = stay.task.method or ""
        if stay.task.kind == "look" or (stay.task.kind == "treat" and method in SEARCHED):
            yield from _unseen(stay, hours.get(stay.visit.date))
        if stay.task.product is not None or stay.task.kind != "treat":
            continue
        words = WRITTEN_AS.get(method, ())
        if words and not set(words) & set(site.plot.means.on_hand):
            yield Fault("uses what is not written down", stay.where, method)
        evening = hours.get(stay.visit.date)
        if method in HOSES:
            yield from _wet_at_night(stay, evening)
        if method in SITTING:
            yield from _flying(stay, evening)
        if method in COVERS:
            yield from _covered(stay, evening, site)
        if method == "board_trap" and site.said(stay.ends)[11:] > BOARDS_BY_HOUR:
            yield Fault("lifts boards late in the day", stay.where, site.said(stay.ends))
        if method in LET_OUT:
            yield from _let_out(stay, evening, applied, site)


def _unseen(stay: Stay, evening: Evening | None) -> Iterator[Fault]:
    """Eyes after civil dusk or before civil dawn; a day without dusk has no dark."""
    dawn = None if evening is None else first_light(evening)
    if evening is None or evening.civil_dusk is None or dawn is None:
        return
    if not dawn <= stay.begins <= stay.ends <= evening.civil_dusk.timestamp():
        yield Fault(
            "looks at leaves in the dark", stay.where, f"{evening.civil_dusk:%H:%M} is dusk"
        )


def _wet_at_night(stay: Stay, evening: Evening | None) -> Iterator[Fault]:
    if evening is None or evening.civil_dusk is None:
        yield Fault("hoses leaves on a day whose dusk nobody knows", stay.where)
        return
    air = -99.0 if evening.temperature_c is None else evening.temperature_c
    dry = min(hours for warm, hours in LEAF_DRY_HOURS if air >= warm)
    if stay.ends + dry * HOUR > evening.civil_dusk.timestamp():
        yield Fault("leaves leaves wet at nightfall", stay.where, f"{dry:g} h to dry")


def _flying(stay: Stay, evening: Evening | None) -> Iterator[Fault]:
    marks = (None, None, None) if evening is None else (
        evening.sunset, evening.civil_dusk, evening.sunrise
    )  # fmt: skip
    sunset, dusk, sunrise = (None if mark is None else mark.timestamp() for mark in marks)
    late = sunset is not None and dusk is not None
    late = late and sunset - WINDOW_OPENS <= stay.begins <= stay.ends <= dusk  # type: ignore[operator]
    if not late and not (sunrise is not None and stay.ends <= sunrise):
        yield Fault("goes after adults while they fly", stay.where)


def _covered(stay: Stay, evening: Evening | None, site: Site) -> Iterator[Fault]:
    planting = site.plantings.get(stay.task.planting or "")
    if planting is None:
        yield Fault("covers something that is not on the plot", stay.where)
        return
    if planting.crop in BEE_CROPS and planting.in_bloom is not False:
        yield Fault("shuts bees out of a crop that needs them", stay.where, planting.key)
    meshes = {"fine mesh", "mesh"} & set(site.plot.means.on_hand)
    hottest = None if evening is None else evening.hottest_next_two_days_c
    if not meshes and (hottest is None or hottest > FLEECE_TO_C):
        yield Fault("lays fleece in heat", stay.where, f"{hottest} C")


def _let_out(
    stay: Stay, evening: Evening | None, applied: Sequence[Application], site: Site
) -> Iterator[Fault]:
    if stay.task.method == "phytoseiulus":
        low = None if evening is None else evening.temperature_low_c
        high = None if evening is None else evening.hottest_next_two_days_c
        if low is None or high is None or low < MITES_LIVE_C[0] or high > MITES_LIVE_C[1]:
            yield Fault("lets mites out in air they die in", stay.where, f"{low} to {high}")
    for a in applied:
        if a.planting != stay.task.planting or a.label is None:
            continue
        harsh = _harsh(a)
        if not harsh and not holds_soap(a.active) and not holds_oil(a.active):
            continue
        days = site.day(stay.begins) - site.day(a.begins)
        if -AFTER_SPAN < days < (HARSH_SPAN if harsh else SOFT_SPAN):
            yield Fault("lets animals out beside what kills them", stay.where, a.where)


def _harsh(a: Application) -> bool:
    assert a.label is not None
    code = "".join(a.label.group.split()).upper()  # a fungicide's 3 is another thing than 3A
    return code in HARSH_CODES or holds_sulfur(a.active)


def check_bagged(
    work: Sequence[Stay], applied: Sequence[Application], site: Site
) -> Iterator[Fault]:
    """Nothing is sprayed on what is bagged or vacuumed the same day."""
    for stay in work:
        if stay.task.method not in SITTING:
            continue
        for a in applied:
            same = abs(a.begins - stay.begins) < DAY
            same = same and site.day(a.begins) == site.day(stay.begins)
            if same and a.planting == stay.task.planting and a.leaves_something:
                yield Fault("sprays what is bagged the same day", stay.where, a.where)
