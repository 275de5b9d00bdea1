"""What a treatment that was just written down closes, and whether its label was kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.picking_clearance import clearance_of
from lattermath.record.read_back import effective, plot_as_of, treatments
from lattermath.vocabulary.calendar import said, said_with_hour
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.events import Event, Treatment
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting, Plot


def after_treatment(path: Path | str, event: Event) -> tuple[str, ...]:
    """Say from when each treated planting may be picked, and what the label says otherwise.

    What happened is kept whatever the label says; nothing here forbids.
    """
    if not isinstance(event.payload, Treatment):
        return ()
    folder = folder_at(path)
    with open_journal(folder) as journal:
        known = effective(journal.events())
    plot, applied = plot_as_of(known, date.max), treatments(known)
    zone = ZoneInfo(plot.place.time_zone)
    cautions = own_cautions(tables_of(folder))
    lines: list[str] = []
    for key in event.payload.plantings:
        planting = plot.planting(key)
        clear = clearance_of(planting, applied, plot.shelf, event.local, zone, cautions)
        lines += [_picking(planting, clear), *_breaches(planting, event, applied, plot)]
    return tuple(line for line in lines if line)


def _picking(planting: Planting, clear: Clearance) -> str:
    if clear.clear_now:
        return ""
    if clear.safe_from is None:
        why = next((bar.says for bar in clear.barred_by if bar.lapses is None), "")
        return f"{planting.name}: do not pick; {why}."
    return f"{planting.name}: not to be picked before {said_with_hour(clear.safe_from)}."


def _breaches(
    planting: Planting, event: Event, applied: Sequence[Applied], plot: Plot
) -> Iterator[str]:
    """Lines of label and garden that this treatment did not keep."""
    done = event.payload
    product = done.product if isinstance(done, Treatment) else None
    if product is None:
        return
    name = planting.name
    if planting.neighbours_plot:
        yield f"{name}: these are a neighbour's plants."
    if plot.rules.no_sprays:
        yield f"{name}: the garden allows no sprays."
    label = next((one for one in plot.shelf if one.key == product), None)
    limits = None if label is None else label.limits_for(planting.crop)
    if label is not None and limits is None:
        yield f"{name}: the label as you copied it does not list this crop."
    if label is None or limits is None:
        return
    used = sorted(a.at for a in applied if (a.planting, a.product) == (planting.key, product))
    before = [at for at in used if at < event.local]
    days = limits.retreat_days.value
    if before and days is not None and event.local < before[-1] + timedelta(days=days):
        yield (
            f"{name}: too soon by the label, {days:g} days after {said(before[-1].date())} "
            f"with {label.name}."
        )
    most = limits.season_max.value
    season = [at for at in used if at.year == event.local.year]
    if most is not None and len(season) > most:
        yield f"{name}: treatment {len(season)} with {label.name}; the label allows {most:g}."
