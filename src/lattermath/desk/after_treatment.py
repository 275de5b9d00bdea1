"""What a treatment that was just written down closes, and whether its label was kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.planning.garden_limits import garden_rules, own_plants
from lattermath.planning.in_a_row import in_a_row
from lattermath.planning.limit_clauses import retreat
from lattermath.planning.own_cautions import Cautions, own_cautions
from lattermath.planning.picking_clearance import clearance_of
from lattermath.planning.season_maximum import season_maximum
from lattermath.planning.treatment_request import request_for
from lattermath.record.read_back import effective, plot_as_of, treatments
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.events import Event, Treatment
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting, Plot
from lattermath.vocabulary.ruling import Because


def after_treatment(path: Path | str, event: Event, plot: Plot | None = None) -> tuple[str, ...]:
    """Say from when each treated planting may be picked, and what the label says otherwise.

    What happened is kept whatever the label says; nothing here forbids. `plot` is the plot as it
    stands, where it was read already.
    """
    if not isinstance(event.payload, Treatment):
        return ()
    folder = folder_at(path)
    with open_journal(folder) as journal:
        known = effective(journal.events())
    plot, applied = plot or plot_as_of(known, date.max), treatments(known)
    zone = ZoneInfo(plot.place.time_zone)
    cautions = own_cautions(tables_of(folder))
    lines: list[str] = []
    for key in event.payload.plantings:
        planting = plot.planting(key)
        clear = clearance_of(planting, applied, plot.shelf, event.local, zone, cautions)
        lines += [_picking(planting, clear), *_breaches(planting, event, applied, plot, cautions)]
    return tuple(line for line in lines if line)


def _picking(planting: Planting, clear: Clearance) -> str:
    if clear.clear_now:
        return ""
    if clear.safe_from is None:
        why = next((bar.says for bar in clear.barred_by if bar.lapses is None), "")
        return f"{planting.name}: do not pick; {why}."
    return f"{planting.name}: not to be picked before {said_with_hour(clear.safe_from)}."


def _breaches(
    planting: Planting, event: Event, applied: Sequence[Applied], plot: Plot, cautions: Cautions
) -> Iterator[str]:
    """What garden and label bar in this treatment, by the rulings that a plan asks."""
    done = event.payload
    if not isinstance(done, Treatment) or done.product is None:
        return
    request = replace(
        request_for(
            plot, planting, done.method, done.product, _unknown(event.local), event.local, cautions
        ),
        minutes=0.0,
        applied=tuple(a for a in applied if (a.serial, a.planting) != (event.serial, planting.key)),
    )
    name, label, limits = planting.name, request.label, request.limits
    if _bars(own_plants(request, cautions)):
        yield f"{name}: these are a neighbour's plants."
    yield from (f"{name}: {bar.says}." for bar in _bars(garden_rules(request, cautions)))
    if label is not None and limits is None:
        yield f"{name}: the label as you copied it does not list this crop."
    if label is not None and limits is not None and _bars(retreat(request, cautions)):
        days = counted(limits.retreat_days.value or 0.0, "days")
        yield f"{name}: too soon by the label, {days} between two with {label.name}."
    yield from (f"{name}: {bar.says}." for bar in _bars(season_maximum(request, cautions)))
    yield from (f"{name}: {bar.says}." for bar in _bars(in_a_row(request, cautions)))


def _bars(reasons: Iterator[Because]) -> list[Because]:
    return [reason for reason in reasons if not reason.holds]


def _unknown(at: datetime) -> Evening:
    """An evening of which nothing is known; no ruling asked here looks at it."""
    return Evening(at.date(), at, at, None, None, None, None, None, None, None, None, None, None)
