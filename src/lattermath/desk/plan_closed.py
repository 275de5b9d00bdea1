"""What treatments close: each own planting that may not be picked, or may not be worked at.

A bed goes on being closed when what was sprayed in it has been pulled.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from zoneinfo import ZoneInfo

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import clearance_of, may_enter
from lattermath.planning.treatment_request import applied_to, bare, later, on_ground
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plan import Clearance, Closed, Used, VisitPlan
from lattermath.vocabulary.plot import Planting, Plot


@dataclass(frozen=True, slots=True)
class _Ground:
    """The plot at one instant, with all that was put on it by then."""

    plot: Plot
    applied: tuple[Applied, ...]
    at: datetime
    zone: tzinfo
    cautions: Cautions

    def picking(self, planting: Planting, applied: Sequence[Applied]) -> Clearance:
        shelf = self.plot.shelf
        return clearance_of(planting, applied, shelf, self.at, self.zone, self.cautions)

    def entering(self, planting: Planting) -> Clearance:
        ruled = may_enter(
            planting, self.applied, self.plot.shelf, self.at, self.zone, self.cautions
        )
        opens = self.at if ruled.allowed else ruled.ask_again
        return Clearance(planting.key, ruled.allowed, opens, ruled.bars)


def closed(
    plot: Plot,
    applied: Sequence[Applied],
    now: datetime,
    cautions: Cautions,
    visits: Sequence[VisitPlan],
) -> tuple[Closed, ...]:
    """Give what is closed now, then what the next visit, done as planned, will newly close.

    A planting that is treated then, or whose bed is, is told as it will stand when the visit ends,
    so that its tag can be written before leaving home.
    """
    zone = ZoneInfo(plot.place.time_zone)
    standing = tuple(_closed(_Ground(plot, tuple(applied), now, zone, cautions)))
    if not visits:
        return standing
    planned = tuple(_planned(plot, visits[0]))
    ends = max((visits[0].leave, *(a.at for a in planned)), key=datetime.timestamp)
    then = _Ground(plot, (*applied, *planned), ends, zone, cautions)
    return (*standing, *_closed(then, now))


def _closed(ground: _Ground, since: datetime | None = None) -> Iterator[Closed]:
    """What is closed there and then; with `since`, only what was treated after that instant."""
    for planting in ground.plot.standing():
        picking = ground.picking(planting, ground.applied)
        entering = ground.entering(planting)
        if picking.clear_now and entering.clear_now:
            continue
        here = [a for a in on_ground(ground.applied, planting) if not later(a.at, ground.at)]
        bars = [a for a in here if not ground.picking(planting, (a,)).clear_now]
        if since is not None and not any(a.serial is None or later(a.at, since) for a in bars):
            continue  # it stands among what is closed already
        uses = dict.fromkeys(
            Used(a.at.astimezone(ground.zone), a.product, a.method)
            for a in sorted(bars, key=lambda a: a.at.timestamp())
        )
        yield Closed(planting.key, tuple(uses), picking, entering, since is not None)
    if since is None:
        yield from _bare_beds(ground)


def _bare_beds(ground: _Ground) -> Iterator[Closed]:
    """Beds in which nothing stands any more, and that nobody may enter yet."""
    stands = {planting.bed for planting in ground.plot.standing()}
    for bed in ground.plot.beds:
        gone = [p for p in ground.plot.plantings if p.bed == bed.key and not p.neighbours_plot]
        entering = ground.entering(bare(bed))
        if bed.key in stands or not gone or entering.clear_now:
            continue
        here = [a for a in on_ground(ground.applied, gone[-1]) if not later(a.at, ground.at)]
        last = max(here, key=lambda a: a.at.timestamp())
        key = next((p.key for p in gone if p.key == last.planting), gone[-1].key)
        uses = tuple(
            Used(a.at.astimezone(ground.zone), a.product, a.method)
            for a in sorted(here, key=lambda a: a.at.timestamp())
            if not replace(ground, applied=(a,)).entering(bare(bed)).clear_now
        )
        picking = ground.picking(ground.plot.planting(key), ground.applied)
        yield Closed(key, uses, picking, replace(entering, planting=key), bed=bed.name)


def _planned(plot: Plot, visit: VisitPlan) -> Iterator[Applied]:
    shelf = {label.key: label for label in plot.shelf}
    for task in visit.tasks:
        if task.kind == "treat" and task.planting is not None and task.ends is not None:
            planting, label = plot.planting(task.planting), shelf.get(task.product or "")
            yield applied_to(planting, task.method or "", task.product, label, task.ends)
