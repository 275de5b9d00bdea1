"""What is on the shelf and where it may go today, as far as label, garden and record say.

What only the hours of an evening can say (heat, rain, wind, dusk, wet leaves) is not asked here:
the plan asks it for each visit. So nothing here permits a treatment; it only says what bars one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.knowledge.tables import Tables
from lattermath.planning import (
    hour_limits,
    label_limits,
    limit_clauses,
    physical_limits,
    rotation,
    wet_limits,
)
from lattermath.planning.own_cautions import Cautions, own_cautions
from lattermath.planning.picking_clearance import clearance_of
from lattermath.planning.treatment_request import request_for
from lattermath.record.read_back import effective, plot_as_of, treatments
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting, Plot
from lattermath.vocabulary.ruling import Ruling

# What only the hours of an evening, the weather to come or the method's own hour can say.
OF_THE_HOURS = (
    limit_clauses.pre_harvest,  # shown as the bars on picking
    hour_limits.evening_window,
    hour_limits.heat,
    wet_limits.rain,
    hour_limits.wind,
    wet_limits.wet_leaves,
    hour_limits.no_forecast,
    rotation.rotation,  # asks how long a generation takes in the coming weather
    physical_limits.physical,  # of what comes in no pack
)
CLAUSES = tuple(clause for clause in label_limits.CLAUSES if clause not in OF_THE_HOURS)


@dataclass(frozen=True, slots=True)
class Use:
    """One product on one planting: what label, garden and record say of it."""

    planting: str
    name: str
    listed: bool  # whether its crop stands on the label
    ruling: Ruling


@dataclass(frozen=True, slots=True)
class OnShelf:
    """One product: its label, what its active is called, the crops it lists, and its uses."""

    label: ProductLabel
    active: str
    crops: tuple[str, ...]
    uses: tuple[Use, ...]


@dataclass(frozen=True, slots=True)
class Shelf:
    """The shelf at one hour, and from when each planting may be picked."""

    at: datetime
    products: tuple[OnShelf, ...]
    picking: tuple[tuple[str, Clearance], ...]  # name of the planting, and its clearance


def shelf_rulings(path: Path | str, day: date) -> Shelf:
    """Rule on every product and own planting for the hour of arrival on a day.

    No later treatment is read. InputError where no plot was started.
    """
    folder = folder_at(path)
    tables = tables_of(folder)
    with open_journal(folder) as journal:
        events = effective(journal.events())
    plot = plot_as_of(events, day)
    zone = ZoneInfo(plot.place.time_zone)
    applied = tuple(a for a in treatments(events) if a.at.astimezone(zone).date() <= day)
    at = datetime.combine(day, plot.visiting.arrive, tzinfo=zone)
    cautions = own_cautions(tables)
    picking = tuple(
        (p.name, clearance_of(p, applied, plot.shelf, at, zone, cautions)) for p in plot.standing()
    )
    products = tuple(_on_shelf(label, plot, applied, at, tables, cautions) for label in plot.shelf)
    return Shelf(at, products, picking)


def _on_shelf(
    label: ProductLabel,
    plot: Plot,
    applied: tuple[Applied, ...],
    at: datetime,
    tables: Tables,
    cautions: Cautions,
) -> OnShelf:
    uses = [_use(label, planting, plot, applied, at, cautions) for planting in plot.standing()]
    method = tables.methods.get(label.active)
    return OnShelf(
        label,
        method.name if method else label.active.replace("_", " "),
        tuple(tables.crosswalk.named(limits.crop) for limits in label.crops),
        tuple(uses),
    )


def _use(
    label: ProductLabel,
    planting: Planting,
    plot: Plot,
    applied: tuple[Applied, ...],
    at: datetime,
    cautions: Cautions,
) -> Use:
    asked = request_for(plot, planting, label.active, label.key, _any_evening(at), at, cautions)
    asked = replace(asked, minutes=0.0, applied=applied)
    reasons = tuple(reason for clause in CLAUSES for reason in clause(asked, cautions))
    return Use(planting.key, planting.name, asked.limits is not None, Ruling(reasons))


def _any_evening(at: datetime) -> Evening:
    """An evening of which nothing is known; no clause asked here looks at it."""
    return Evening(at.date(), at, at, None, None, None, None, None, None, None, None, None, None)
