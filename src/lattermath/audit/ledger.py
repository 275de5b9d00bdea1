"""Every application on one line of time: those of the journal, and those a plan asks for.

Instants are seconds since 1970, so that nothing here depends on how a clock is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from lattermath.audit.edited_since import longest_waits, of_the_plot, other_names
from lattermath.audit.figures import DRIFT_M, LEAVE_NOTHING, PLANTING_RADIUS_M
from lattermath.vocabulary.events import Event, Treatment
from lattermath.vocabulary.label import CropLimits, ProductLabel
from lattermath.vocabulary.plan import Plan, Task, VisitPlan
from lattermath.vocabulary.plot import Planting, Plot


@dataclass(frozen=True, slots=True)
class Site:
    """The plot, looked up by key, and its clock."""

    plot: Plot
    plantings: dict[str, Planting]
    shelf: dict[str, ProductLabel]
    zone: tzinfo

    def day(self, instant: float) -> int:
        """The local date of an instant, as a day number."""
        return datetime.fromtimestamp(instant, self.zone).toordinal()

    def same_clock_next_day(self, instant: float) -> float:
        """The same local clock time on the day after."""
        local = datetime.fromtimestamp(instant, self.zone)
        return (local + timedelta(days=1)).timestamp()

    def within_drift(self, one: Planting, other: Planting) -> bool:
        """True unless both have a place and lie further apart than drops carry."""
        a, b = self._corners(one), self._corners(other)
        if a is None or b is None:
            return True
        gaps = [max(0.0, b[i] - a[i + 2], a[i] - b[i + 2]) for i in (0, 1)]
        return gaps[0] ** 2 + gaps[1] ** 2 <= DRIFT_M**2

    def _corners(self, p: Planting) -> tuple[float, float, float, float] | None:
        """South-west and north-east corner of its bed, or of a small square round it. [m]"""
        bed = self.plot.bed_of(p)
        if bed is not None:
            return bed.x_m, bed.y_m, bed.x_m + bed.length_m, bed.y_m + bed.width_m
        if p.x_m is None or p.y_m is None:
            return None
        r = PLANTING_RADIUS_M
        return p.x_m - r, p.y_m - r, p.x_m + r, p.y_m + r

    def gap_to_bed(self, planting: Planting, bed: str) -> float | None:
        """Nearest distance between a planting and a bed; None where one has no place. [m]"""
        a = self._corners(planting)
        other = next((one for one in self.plot.beds if one.key == bed), None)
        if a is None or other is None:
            return None
        b = (other.x_m, other.y_m, other.x_m + other.length_m, other.y_m + other.width_m)
        gaps = [max(0.0, b[i] - a[i + 2], a[i] - b[i + 2]) for i in (0, 1)]
        return float((gaps[0] ** 2 + gaps[1] ** 2) ** 0.5)

    def said(self, instant: float) -> str:
        """An instant by the plot's own clock."""
        return datetime.fromtimestamp(instant, self.zone).strftime("%Y-%m-%d %H:%M")


def ground_of(key: str | None, site: Site) -> str | None:
    """The ground of a planting: its bed, or its own row where no bed was given; a bed's own."""
    if key is None:
        return None
    planting = site.plantings.get(key)
    if planting is None:
        return f"bed {key}"
    return f"row {key}" if planting.bed is None else f"bed {planting.bed}"


def site_of(plot: Plot) -> Site:
    """Look the plot up by key. The plot's zone must be an IANA name."""
    return Site(
        plot,
        {p.key: p for p in plot.plantings},
        {label.key: label for label in plot.shelf},
        ZoneInfo(plot.place.time_zone),
    )


@dataclass(frozen=True, slots=True)
class Application:
    """Something put on one planting, from the first drop to the last."""

    begins: float
    ends: float
    planting: str
    crop: str
    ground: str | None  # its bed, or its own row
    method: str
    product: str | None
    label: ProductLabel | None
    where: str  # journal entry or task, for the fault
    task: Task | None = None
    visit: VisitPlan | None = None
    older_days: float | None = None  # longest wait before picking of any copy of its label since
    older_hours: float | None = None  # longest re-entry of the same

    @property
    def leaves_something(self) -> bool:
        """False for water, hands and mesh."""
        return self.product is not None or self.method not in LEAVE_NOTHING

    @property
    def limits(self) -> CropLimits | None:
        """The label's lines for the crop it was put on."""
        return None if self.label is None else self.label.limits_for(self.crop)

    @property
    def active(self) -> str:
        """The active of the label, or what the method calls itself."""
        return self.method if self.label is None else self.label.active


@dataclass(frozen=True, slots=True)
class Stay:
    """One task at the plot as a span of time; without hours it may be any part of the visit."""

    task: Task
    visit: VisitPlan
    begins: float
    ends: float

    @property
    def where(self) -> str:
        """Visit and task, for the fault."""
        return f"{self.visit.date.isoformat()}, task {self.task.id} ({self.task.kind})"


def stays(plan: Plan) -> list[Stay]:
    """Every task that is done at the plot, in its order."""
    return [_stay(task, visit) for visit in plan.visits for task in visit.tasks]


def _stay(task: Task, visit: VisitPlan) -> Stay:
    begins = visit.arrive if task.starts is None else task.starts
    latest = visit.leave if task.starts is None else begins + timedelta(minutes=task.minutes)
    ends = latest if task.ends is None else task.ends
    return Stay(task, visit, begins.timestamp(), max(begins.timestamp(), ends.timestamp()))


def is_application(task: Task) -> bool:
    """Whatever is called a treatment, and whatever takes a product."""
    return task.kind == "treat" or task.product is not None


def ledger(plan: Plan, site: Site, events: Iterable[Event]) -> list[Application]:
    """Applications of the journal and of the plan, in the order of time."""
    rows = [*_of_journal(events, site), *_of_plan(plan, site)]
    return sorted(rows, key=lambda a: (a.ends, a.where))


def standing_entries(events: Iterable[Event]) -> list[Event]:
    """What was neither corrected nor withdrawn, in the order of time."""
    read = sorted(events, key=lambda e: (e.happened_at, e.serial))
    replaced = {entry.supersedes for entry in read}
    return [entry for entry in read if entry.id not in replaced]


def _of_journal(events: Iterable[Event], site: Site) -> Iterator[Application]:
    read = list(events)
    replaced = {entry.supersedes for entry in read}
    entries = [entry for entry in read if entry.id not in replaced]
    ground = of_the_plot(entries)
    for entry in entries:
        done = entry.payload
        if not isinstance(done, Treatment):
            continue
        at, where = entry.happened_at.timestamp(), f"entry {entry.serial}"
        for key in done.plantings:
            others = () if key in site.plantings else other_names(key, entry, ground, site.plot)
            for name in (key, *others):
                row = _application(site, at, at, name, done.method, done.product, where)
                if row.product is None:
                    yield row
                else:
                    days, hours = longest_waits(row.product, row.crop, entry, ground)
                    yield replace(row, older_days=days, older_hours=hours)


def _of_plan(plan: Plan, site: Site) -> Iterator[Application]:
    for stay in stays(plan):
        task = stay.task
        if is_application(task) and task.planting is not None:
            method = task.method or ""
            row = _application(
                site, stay.begins, stay.ends, task.planting, method, task.product, stay.where
            )
            yield Application(
                row.begins, row.ends, row.planting, row.crop, row.ground, row.method, row.product,
                row.label, row.where, task, stay.visit,
            )  # fmt: skip


def _application(
    site: Site,
    begins: float,
    ends: float,
    key: str,
    method: str,
    product: str | None,
    where: str,
) -> Application:
    planting = site.plantings.get(key)
    label = None if product is None else site.shelf.get(product)
    crop = "" if planting is None else planting.crop
    ground = None if planting is None else ground_of(key, site)
    return Application(begins, ends, key, crop, ground, method, product, label, where)
