"""Courses and covers: what is promised for later visits, modes of action in turn, bags and dust."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lattermath.audit.figures import (
    BAITS,
    CLOSED_COVERS,
    DAY,
    FUNGICIDES,
    GROUPS,
    HOSES,
    LEAVE_NOTHING,
    NEVER_COMPARED,
    NOT_COMPARED,
    SHORTEST_WINDOW_DAYS,
    TABLED,
    WINDOW_OPENS,
    holds_oil,
    holds_soap,
)
from lattermath.audit.label_check import group_number
from lattermath.audit.ledger import Application, Site, Stay
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import CourseStep, Plan, Population

UNKNOWN_GENERATION = float("inf")
UNKNOWN_LIST = "unknown"


def check_courses(plan: Plan, site: Site) -> Iterator[Fault]:
    """Every step promised for later: own plants, a label on the shelf, the crop listed."""
    for population in plan.populations:
        for step in population.course:
            for key in step.plantings:
                yield from _step(population, step, key, site)


def _step(population: Population, step: CourseStep, key: str, site: Site) -> Iterator[Fault]:
    where = f"course against {population.organism}, {step.day.isoformat()}"
    planting = site.plantings.get(key)
    if planting is None or planting.neighbours_plot:
        yield Fault("promises to treat what is not one's own", where, key)
        return
    label = site.shelf.get(step.product or "")
    if label is None and (step.product is not None or step.method not in LEAVE_NOTHING):
        yield Fault("promises a product without a label", where, step.product or step.method)
    if label is not None and label.limits_for(planting.crop) is None:
        yield Fault("promises to treat a crop that the label does not list", where, planting.crop)


def check_turns(applied: list[Application], plan: Plan, site: Site) -> Iterator[Fault]:
    """No mode of action over two generations running, no single-site fungicide twice in a row."""
    for a in applied:
        code = code_of(a)
        if a.task is None or code == "":
            continue
        row = [b for b in applied if b.planting == a.planting and b is not a]
        if kind_of(a) == "fungicide":
            yield from _twice_in_a_row(a, code, row)
        else:
            yield from _two_generations(a, code, row, plan, site)


def code_of(a: Application) -> str:
    """The number to compare, or nothing where the comparison is waived."""
    own = GROUPS.get(a.active) or _of_a_part(a.active)
    soap_or_oil = (holds_soap(a.active) or holds_oil(a.active)) and not own
    if a.label is None or soap_or_oil or a.active in NEVER_COMPARED:
        return ""
    number = group_number(a.label.group) or own
    multi_site = number[:1] == "M" and number[1:].isdigit()
    return "" if multi_site or number in NOT_COMPARED else number


def _of_a_part(active: str) -> str:
    """The number of one of several actives of a product, each with a row of its own."""
    return next((number for key, number in GROUPS.items() if f"_{key}_" in f"_{active}_"), "")


def kind_of(a: Application) -> str:
    """The list its mode of action stands in; bait for slugs stands in none.

    Of an active without a row that is known only where its group has a letter, as one list prints.
    """
    if a.active in BAITS:
        return "bait"
    if a.active in FUNGICIDES:
        return "fungicide"
    printed = "" if a.label is None else a.label.group.split("(")[0].strip()
    lettered = group_number(printed).isdigit() and not printed.isdigit()
    of_a_part = printed == "" and not any(f"_{x}_" in f"_{a.active}_" for x in FUNGICIDES)
    return "insecticide" if a.active in TABLED or lettered or of_a_part else UNKNOWN_LIST


def of_one_mode(a: Application, b: Application) -> bool:
    """Have both one number of one list? One of no list that is known may be of either."""
    lists = {kind_of(a), kind_of(b)}
    return code_of(a) == code_of(b) != "" and (len(lists) == 1 or UNKNOWN_LIST in lists)


def _twice_in_a_row(a: Application, code: str, row: Iterable[Application]) -> Iterator[Fault]:
    row = [b for b in row if kind_of(b) == "fungicide" or of_one_mode(a, b)]
    last = max((b for b in row if b.begins < a.begins), key=lambda b: b.begins, default=None)
    if last is not None and of_one_mode(a, last):
        yield Fault("uses a single-site fungicide twice in a row", a.where, f"{code}, {last.where}")


def _two_generations(
    a: Application, code: str, row: list[Application], plan: Plan, site: Site
) -> Iterator[Fault]:
    windows = [
        max(SHORTEST_WINDOW_DAYS, p.generation_days)
        for p in plan.populations
        if a.planting in p.plantings and p.generation_days is not None
    ] or [UNKNOWN_GENERATION]
    same = [b for b in row if of_one_mode(a, b)]
    days = sorted({site.day(b.begins) for b in same if b.begins < a.begins})
    today = site.day(a.begins)
    if days and all(_rests(days, today, window) for window in windows):
        yield Fault("meets two generations running with one group", a.where, code)


def _rests(days: list[int], today: int, window: float) -> bool:
    """Does `today` fall into the window of rest after the last window that met the group?"""
    if window == UNKNOWN_GENERATION:  # it may still be the one that met the first use
        return today - days[0] >= SHORTEST_WINDOW_DAYS
    opened = days[0]
    for day in days[1:]:
        if day - opened >= window:
            opened = day
    return window <= today - opened < 2 * window


def check_covers(
    work: list[Stay], applied: list[Application], evenings: Iterable[Evening], site: Site
) -> Iterator[Fault]:
    """No closed cover in sun, and nothing sprayed or dusted under one; no hose where none may."""
    by_day = {evening.day: evening for evening in evenings}
    rules, water = site.plot.rules, site.plot.water
    for stay in work:
        if stay.task.method in HOSES and (rules.no_hose or water.hose_ban or not water.hose):
            yield Fault("wants a hose where none may be used", stay.where)
        if stay.task.method not in CLOSED_COVERS:
            continue
        if stay.task.product is not None:
            yield Fault("puts a pesticide under a closed cover", stay.where, stay.task.product)
        if not _out_of_sun(stay, by_day.get(stay.visit.date)):
            yield Fault("puts a closed cover on in the sun", stay.where)
        for a in applied:
            fresh = stay.begins - DAY < a.ends < stay.ends + DAY / 2
            if a.leaves_something and a.planting == stay.task.planting and fresh:
                yield Fault("closes a cover over a fresh spray", stay.where, a.where)


def _out_of_sun(stay: Stay, evening: Evening | None) -> bool:
    if evening is None or evening.sunset is None or evening.sunrise is None:
        return False
    sunrise, sunset = evening.sunrise.timestamp(), evening.sunset.timestamp()
    by_night = stay.begins >= sunset - WINDOW_OPENS and stay.ends <= sunrise + DAY
    return by_night or stay.ends <= sunrise
