"""Which lines of label and garden one treatment had to keep, and whether the record says it did.

Heat, wind, rain, flowers and bees at the hour are ruled on before an evening; no entry holds how
they were, so nothing is said of them here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from lattermath.planning.garden_limits import garden_rules
from lattermath.planning.in_a_row import in_a_row
from lattermath.planning.limit_clauses import retreat
from lattermath.planning.own_cautions import Cautions
from lattermath.planning.picking_clearance import picking_over, re_entry_over
from lattermath.planning.season_maximum import season_maximum
from lattermath.planning.treatment_request import TreatmentRequest, later, request_for
from lattermath.vocabulary.account import Limit
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.events import Event, Treatment
from lattermath.vocabulary.label import LabelLine, ProductLabel
from lattermath.vocabulary.plot import Planting, Plot
from lattermath.vocabulary.ruling import Because

SPOKEN = ("label", "garden")


def limits_of(
    event: Event,
    planting: Planting,
    plot: Plot,
    applied: Sequence[Applied],
    picked: Sequence[datetime],
    cautions: Cautions,
) -> tuple[Limit, ...]:
    """The lines that a treatment of one planting had to keep; none for work without a product.

    plot    : as it stood on the day, with its shelf.
    applied : every treatment of the record.
    picked  : when this planting was picked.
    """
    done = event.payload
    if not isinstance(done, Treatment) or done.product is None:
        return ()
    label = next((one for one in plot.shelf if one.key == done.product), None)
    if label is None:
        return (
            Limit("its label was not written down, so none of its lines is known", "not known"),
        )
    zone = ZoneInfo(plot.place.time_zone)
    return (
        *_waiting(event.local, label, planting, picked, cautions, zone),
        *_staying_out(event.local, label, cautions, zone),
        *_counted(event, done, planting, plot, applied, cautions),
    )


def _waiting(
    at: datetime,
    label: ProductLabel,
    planting: Planting,
    picked: Sequence[datetime],
    cautions: Cautions,
    zone: ZoneInfo,
) -> Iterator[Limit]:
    limits = label.limits_for(planting.crop)
    if limits is None:
        yield Limit("the label as copied does not list this crop", "not kept")
        return
    line = limits.pre_harvest_days
    over = picking_over(at, label, planting.crop, zone, cautions)
    if over is None:
        yield Limit("wait before picking: not copied from the label, so not known", "not known")
        return
    says = f"wait before picking, {_days(line)}: open from {said_with_hour(over)}"
    after = sorted((when for when in picked if later(when, at)), key=datetime.timestamp)
    if not after:
        yield Limit(f"{says}; not picked since", "open")
    elif later(over, after[0]):
        yield Limit(f"{says}; picked before that, {said_with_hour(after[0])}", "not kept")
    else:
        yield Limit(f"{says}; next picked {said_with_hour(after[0])}", "kept")


def _days(line: LabelLine[float]) -> str:
    if line.value is None:
        return "the label prints none, the next morning by our caution"
    return f"{counted(line.value, 'days')} by the label"


def _staying_out(
    at: datetime, label: ProductLabel, cautions: Cautions, zone: ZoneInfo
) -> Iterator[Limit]:
    """Whether anybody walked there is in no entry."""
    over = re_entry_over(at, label, zone, cautions)
    if over is None:
        yield Limit("stay out of the bed: not copied from the label, so not known", "not known")
    else:
        yield Limit(f"stay out of the bed until {said_with_hour(over)}", "not known")


def _counted(
    event: Event,
    done: Treatment,
    planting: Planting,
    plot: Plot,
    applied: Sequence[Applied],
    cautions: Cautions,
) -> Iterator[Limit]:
    """Days between two, the most in a season, how many in a row, and the garden's own rules."""
    before = tuple(
        one
        for one in applied
        if not later(one.at, event.local)
        and (one.serial, one.planting) != (event.serial, planting.key)
    )
    asked = request_for(
        plot, planting, done.method, done.product, _unknown(event.local), event.local, cautions
    )
    request = replace(asked, minutes=0.0, applied=before)
    if request.limits is not None:
        copied = {"days between two": request.limits.retreat_days.known,
                  "most in a season": request.limits.season_max.known}  # fmt: skip
        silent = [name for name, known in copied.items() if not known]
        yield from (Limit(f"{name}: not copied from the label", "not known") for name in silent)
    for reason in _ruled(request, cautions):
        if reason.who in SPOKEN or not reason.holds:
            yield Limit(reason.says.rstrip("."), "kept" if reason.holds else "not kept")


def _ruled(request: TreatmentRequest, cautions: Cautions) -> Iterator[Because]:
    yield from garden_rules(request, cautions)
    if request.label is not None and request.limits is not None:
        yield from retreat(request, cautions)
        yield from season_maximum(request, cautions)
        yield from in_a_row(request, cautions)


def _unknown(at: datetime) -> Evening:
    """An evening of which nothing is known; no ruling asked here looks at it."""
    return Evening(at.date(), at, at, None, None, None, None, None, None, None, None, None, None)


def label_lines(label: ProductLabel, crop: str) -> tuple[tuple[str, str], ...]:
    """The waiting times and maxima of a label for one crop, as they were copied."""
    limits = label.limits_for(crop)
    rows = [("stay out of the bed", _said(label.re_entry_hours, "hours"))]
    if limits is not None:
        rows += [
            ("wait before picking", _said(limits.pre_harvest_days, "days")),
            ("between two", _said(limits.retreat_days, "days")),
            ("most in a season", _said(limits.season_max, "times")),
            ("in each litre", _said(limits.rate_ml_per_l, label.measured_in, label.measured_in)),
        ]
    return tuple(rows)


def _said(line: LabelLine[float] | LabelLine[int], unit: str, one: str = "") -> str:
    if line.value is not None:
        return counted(line.value, unit, one)
    return "none printed" if line.known else "not copied"
