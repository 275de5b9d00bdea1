"""Nobody picks, works or plants where an application closes it, nor is told that it is clear."""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.audit.closures import Closure
from lattermath.audit.figures import DAY
from lattermath.audit.ledger import Application, Site, Stay, ground_of, is_application, stays
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.plan import Clearance, Plan

PLANTS_SOMETHING = ("set out", "sow")


def check_stays(work: list[Stay], closed: list[Closure], site: Site) -> Iterator[Fault]:
    """Each task at the plot against every closure it may meet."""
    for stay in work:
        if stay.task.part == "at home":
            continue
        for closure in closed:
            if closure.meets(stay.begins, stay.ends) and _concerns(stay, closure, site):
                yield _closed(stay, closure, site)


def _concerns(stay: Stay, closure: Closure, site: Site) -> bool:
    if closure.by.task is stay.task or _same_spraying(stay, closure, site):
        return False
    if closure.what == "plant":
        return stay.task.kind == "pick" and stay.task.planting == closure.key
    return closure.key in _grounds(stay, site)


def _grounds(stay: Stay, site: Site) -> set[str | None]:
    """Where somebody stands: at the planting or those named, and in the bed that gets something."""
    task = stay.task
    keys = [task.planting] if task.planting is not None else _named(stay, site)
    return {ground_of(key, site) for key in keys} | _filled(stay)


def _filled(stay: Stay) -> set[str | None]:
    """The bed into which a task puts something, whatever stood there."""
    goes = stay.task.goes_in
    return set() if goes is None or goes.bed is None else {f"bed {goes.bed}"}


def _named(stay: Stay, site: Site) -> list[str]:
    """Plantings that a round for several names in its amounts: `water for beans`."""
    words = {a.what.partition(" for ")[2].casefold() for a in stay.task.amounts}
    return [key for key, p in site.plantings.items() if p.name and p.name.casefold() in words]


def _same_spraying(stay: Stay, closure: Closure, site: Site) -> bool:
    """One product going on from row to row of a bed on one day."""
    same_product = is_application(stay.task) and stay.task.product == closure.by.product
    other_row = stay.task.planting != closure.by.planting
    return same_product and other_row and site.day(stay.begins) == site.day(closure.begins)


def _closed(stay: Stay, closure: Closure, site: Site) -> Fault:
    until = "nobody knows when" if closure.ends == float("inf") else site.said(closure.ends)
    picks = closure.what == "plant"
    return Fault(
        "picks before it is clear" if picks else "works in a bed before re-entry is over",
        stay.where,
        f"{closure.key}: {closure.by.where}, {closure.by.product or closure.by.method}, "
        f"closed until {until}",
        "Pick first, then treat." if picks else "Work in another bed.",
    )


def check_gone(plan: Plan, site: Site) -> Iterator[Fault]:
    """Nobody is sent to plants of which an earlier visit pulled the last."""
    gone: dict[str, Stay] = {}
    pulling: dict[str, Stay] = {}
    visit = None
    for stay in stays(plan):
        if stay.visit is not visit:
            gone |= pulling
            pulling, visit = {}, stay.visit
        key = stay.task.planting
        if key in gone and stay.task.kind not in PLANTS_SOMETHING:
            yield Fault(
                "works at plants that were pulled",
                stay.where,
                f"{key}: {gone[key].where}",
                "Leave the work out.",
            )
        if key is not None and _pulls_the_last(stay, site):
            pulling[key] = stay


def _pulls_the_last(stay: Stay, site: Site) -> bool:
    planting = site.plantings.get(stay.task.planting or "")
    if stay.task.kind != "pull" or planting is None:
        return False
    counts = [a.quantity for a in stay.task.amounts if a.what == "plants"]
    return any(count >= planting.plants for count in counts)


def check_clearances(plan: Plan, closed: list[Closure], site: Site) -> Iterator[Fault]:
    """No planting is called clear while anything done so far closes it or its bed."""
    now = plan.as_of.timestamp()
    done = [c for c in closed if c.by.task is None and c.begins <= now]
    for said in plan.picking:
        planting = site.plantings.get(said.planting)
        if planting is None:
            yield Fault("clears a planting that is not on the plot", "picking", said.planting)
            continue
        opens = _opens(said.planting, done, site, now)
        if opens > now and _too_early(said, opens):
            yield _early("is cleared for picking too early", "picking", said, opens, site)


def check_closed(plan: Plan, closed: list[Closure], site: Site) -> Iterator[Fault]:
    """What tags and calendar say of closed plantings opens nothing too early."""
    first = plan.visits[0] if plan.visits else None
    tonight = [c for c in closed if c.by.visit is not None and c.by.visit is first]
    for one in plan.closed:
        if one.planting not in site.plantings:
            yield Fault("closes a planting that is not on the plot", "closed", one.planting)
            continue
        at = plan.as_of.timestamp()
        if one.planned and first is not None:
            at = max([first.leave.timestamp(), *(c.by.ends for c in tonight)])
        bars = [c for c in closed if c.by.task is None and c.begins <= at]
        bars += tonight if one.planned else []
        ground = [c for c in bars if c.what == "ground"]
        for said, held, whom in (
            (one.picking, bars, "pickers"),
            (one.entering, ground, "everybody"),
        ):
            opens = _opens(one.planting, held, site, at)
            if opens > at and _too_early(said, opens):
                yield _early(f"is opened to {whom} too early", "closed", said, opens, site)


def _opens(key: str, bars: list[Closure], site: Site, at: float) -> float:
    """When the last closure of a planting or of its ground ends, not before `at`. [s]"""
    keys = {"plant": key, "ground": ground_of(key, site)}
    return max((c.ends for c in bars if c.key == keys[c.what]), default=at)


def _early(what: str, where: str, said: Clearance, opens: float, site: Site) -> Fault:
    until = "never, as far as is known" if opens == float("inf") else site.said(opens)
    found = f"{'now' if said.clear_now else said.safe_from}"
    return Fault(what, f"{where}, {said.planting}", found, f"Clear: {until}.")


def _too_early(said: Clearance, opens: float) -> bool:
    return said.clear_now or (said.safe_from is not None and said.safe_from.timestamp() < opens)


def check_plant_back(work: list[Stay], applied: list[Application], site: Site) -> Iterator[Fault]:
    """Nothing is sown or set out in ground inside a label's plant-back interval."""
    for stay in work:
        if stay.task.kind not in PLANTS_SOMETHING or stay.task.part == "at home":
            continue
        grounds = _grounds(stay, site)
        if not grounds:
            yield Fault("plants something without saying where", stay.where, stay.task.says)
        for a in applied:
            if a.ground not in grounds or not a.leaves_something or a.ends > stay.begins:
                continue
            days = _plant_back_days(a)
            if stay.begins < a.ends + days * DAY:
                yield Fault(
                    "plants into treated ground too soon",
                    stay.where,
                    f"{a.where}, {a.product or a.method}",
                    "Plant another bed, or copy the label's plant-back line.",
                )


def _plant_back_days(a: Application) -> float:
    line = None if a.limits is None else a.limits.plant_back_days
    if line is None or line.state == "not copied":
        return float("inf")
    return line.value or 0.0
