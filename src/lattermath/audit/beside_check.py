"""Nothing is set out or sown in the bed of its pest, or next to it, while that is untreated."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from lattermath.audit.figures import BESIDE_M, LATELY_DAYS
from lattermath.audit.ground_check import PLANTS_SOMETHING
from lattermath.audit.ledger import Application, Site, Stay, standing_entries
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plan import Plan

LivesOn = Mapping[str, frozenset[str]]  # crops that an organism, or a kind of them, lives on


def check_beside(
    plan: Plan,
    work: Sequence[Stay],
    applied: Sequence[Application],
    events: Sequence[Event],
    site: Site,
    lives_on: LivesOn,
) -> Iterator[Fault]:
    """Every setting out and sowing against what was seen on plants within a metre.

    What comes out on the same evening or before is no danger, nor what was treated within a
    fortnight, or will be by a course that names it.
    """
    seen = _seen(events)
    for stay in work:
        goes, task = stay.task.goes_in, stay.task
        if task.kind not in PLANTS_SOMETHING or goes is None or goes.bed is None:
            continue
        pulls = [one for one in work if one.task.kind == "pull" and one.begins <= stay.ends]
        gone = {one.task.planting for one in pulls if _all_of_it(one, site)}
        if not any(one.task.planting == task.planting for one in pulls):
            gone.add(task.planting)  # it is told to take that one's place, whenever it comes out
        for key, what in sorted(seen):
            planting = site.plantings.get(key)
            if planting is None or planting.pulled is not None or key in gone:
                continue
            if goes.crop not in lives_on.get(what, frozenset()) or planting.neighbours_plot:
                continue
            gap = 0.0 if planting.bed == goes.bed else site.gap_to_bed(planting, goes.bed)
            if gap is None or gap > BESIDE_M:
                continue
            if not _treated(key, stay, plan, applied, site):
                yield Fault(
                    "plants young ones beside their pest",
                    stay.where,
                    f"{goes.crop} in {goes.bed}: {what} on {key}, untreated",
                    "Treat that first, or plant what it does not live on.",
                )


def _all_of_it(stay: Stay, site: Site) -> bool:
    planting = site.plantings.get(stay.task.planting or "")
    counts = [a.quantity for a in stay.task.amounts if a.what == "plants"]
    return planting is not None and any(count >= planting.plants for count in counts)


def _treated(key: str, stay: Stay, plan: Plan, applied: Sequence[Application], site: Site) -> bool:
    """Was anything done on it in the fortnight before, or is it on that very evening?"""
    day = site.day(stay.begins)
    done = {site.day(a.ends) for a in applied if a.planting == key}
    done |= {
        step.day.toordinal()
        for population in plan.populations
        for step in population.course
        if key in step.plantings
    }
    return any(0 <= day - one <= LATELY_DAYS for one in done)


def _seen(events: Sequence[Event]) -> set[tuple[str, str]]:
    """Planting and organism of every sighting that no later look took back."""
    found: set[tuple[str, str]] = set()
    for entry in standing_entries(events):
        seen = entry.payload
        if not isinstance(seen, Sighting):
            continue
        if seen.found_none:
            found.discard((seen.planting, seen.what))
        else:
            found.add((seen.planting, seen.what))
    return found
