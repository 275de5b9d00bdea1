"""The one short form before the first sheet: its blanks, and the plot file they make."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from lattermath.desk.set_up import PlotText
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.place_typed import FROST, WHERE, ZONE, coordinates, misfits
from lattermath.doors.web.set_up_fields import Placed, day_of, number_of
from lattermath.record.plot_file import FORMAT, row_keys
from lattermath.record.plot_rewriting import Change
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault, InputError

CROPS, SHOWN_CROPS = 12, 3
BEFORE, DAYS = 3, 7  # the days asked for: so many before today, so many in all
SOWN, SET_OUT = "sown", "set_out"


@dataclass
class FirstForm:
    """What was filled in, as tables of a plot file, and what is wrong with it already.

    rows : for each planting in the order of the file, the line of the form it came from.
    """

    tables: dict[str, Any] = field(default_factory=dict)
    rows: list[int] = field(default_factory=list)
    first_day: int = 0  # the line of the first day that was filled in
    placed: Placed = field(default_factory=Placed)
    slips: set[str] = field(default_factory=set)  # of what is only asked about: place, week


def days_asked(today: date) -> list[date]:
    """The days whose highs and lows are asked for."""
    return [today + timedelta(days=n - BEFORE) for n in range(DAYS)]


def read(filled: Filled, today: date) -> FirstForm:
    """The tables that were filled in; every fault that the plot file itself would not find."""
    form = FirstForm()
    us = filled.one("units") == "us"
    if us:
        form.tables["units"] = "us"
    _place(filled, form)
    _week(filled, form, today, us)
    _plantings(filled, form)
    return form


def changes(form: FirstForm, held: PlotText) -> list[Change]:
    """What makes a plot file of the form; what stands in the file already is written over."""
    made = []
    for name in ("format", "units"):
        value = FORMAT if name == "format" else form.tables.get(name)
        if value is not None and held.document.get(name) != value:
            made.append(Change((name,), value))
    place = form.tables.get("place", {})
    if "place" not in held.document:
        made.append(Change(("place",), place))
    else:
        made += [Change(("place", key), value) for key, value in place.items()]
    begun = len(held.rows("planting"))
    plantings = form.tables.get("planting", [])
    made += [Change(("planting", begun + n), row) for n, row in enumerate(plantings)]
    if "week" in form.tables:
        made.append(Change(("week", len(held.rows("week"))), form.tables["week"]))
    return made


def place_faults(form: FirstForm, faults: tuple[Fault, ...], held: PlotText) -> None:
    """Put each fault of the plot file beside the blank it came from."""
    rows = [*held.rows("planting"), *form.tables.get("planting", [])]
    keys = dict(zip(row_keys(rows)[len(held.rows("planting")) :], form.rows, strict=True))
    for fault in faults:
        name = _blank(fault.where.partition(": ")[2], keys, form)
        if name is None:
            form.placed.others.append(fault)
        elif name not in form.placed.by_name:
            form.placed.add(name, _in_page_words(fault, form))


def _blank(where: str, keys: Mapping[str, int], form: FirstForm) -> str | None:
    section, _, rest = where.partition(".")
    if section == "place":
        return WHERE if rest in ("latitude", "longitude") else f"place.{rest}"
    if section == "planting":
        key, _, part = rest.rpartition(".")
        part = "when" if part in (SOWN, SET_OUT) else part
        return f"crop.{keys[key]}.{part}" if key in keys else None
    if section == "week" and rest.count(".") == 2:
        _, kind, number = rest.split(".")
        return f"{kind.partition('s_')[0]}.{form.first_day + int(number) - 1}"
    return None


def _in_page_words(fault: Fault, form: FirstForm) -> Fault:
    """Remedies that speak of keys of the file say what to do on the page."""
    if "checked = true" in fault.remedy:
        form.slips.add("week")
        return Fault(fault.what, fault.where, fault.value, u.HEAT_REMEDY)
    if "highs_" in fault.remedy:
        return Fault(fault.what, fault.where, fault.value, u.HEAT_IMPOSSIBLE)
    return fault


def _place(filled: Filled, form: FirstForm) -> None:
    place: dict[str, Any] = {}
    zone, frost = filled.one(ZONE), filled.one(FROST)
    try:
        where = coordinates(filled.one(WHERE))
        place["latitude"], place["longitude"] = where
    except InputError as refused:
        form.placed.add(WHERE, refused.faults[0])
    else:
        if not filled.one("sure.place"):
            for slip in misfits(*where, zone, frost):
                form.placed.add(slip.where, slip)
                form.slips.add("place")
    if zone:
        place["time_zone"] = zone
    else:
        form.placed.add(ZONE, Fault(u.NO_ZONE, "clocks", "", u.NO_ZONE_REMEDY))
    if frost:
        place["usual_first_frost"] = frost
    form.tables["place"] = place


def _week(filled: Filled, form: FirstForm, today: date, us: bool) -> None:
    lines = [(filled.one(f"high.{n}"), filled.one(f"low.{n}")) for n in range(DAYS)]
    told = [n for n, line in enumerate(lines) if any(line)]
    if not any(all(line) for line in lines):
        form.placed.add(f"high.{BEFORE}", Fault(u.NO_WEEK, "week", "", u.NO_WEEK_REMEDY))
        return
    form.first_day = told[0]
    unit = "f" if us else "c"
    kept = lines[told[0] : told[-1] + 1]
    form.tables["week"] = {
        "first": days_asked(today)[told[0]],
        f"highs_{unit}": [number_of(high) if high else "?" for high, _ in kept],
        f"lows_{unit}": [number_of(low) if low else "?" for _, low in kept],
    }
    if filled.one("sure.week"):
        form.tables["week"]["checked"] = True


def _plantings(filled: Filled, form: FirstForm) -> None:
    plantings = []
    for n in range(CROPS):
        crop, plants = filled.one(f"crop.{n}.crop"), filled.one(f"crop.{n}.plants")
        when, how = filled.one(f"crop.{n}.when"), filled.one(f"crop.{n}.how")
        if not (crop or plants or when):
            continue
        if not crop:
            fault = Fault(u.CROP_NEEDED, f"planting {n + 1}", "", u.CROP_NEEDED_REMEDY)
            form.placed.add(f"crop.{n}.crop", fault)
            continue
        planting: dict[str, Any] = {"crop": crop}
        if plants:
            planting["plants"] = number_of(plants)
        if when and how in (SOWN, SET_OUT):
            planting[how] = day_of(when)
        elif when:
            fault = Fault(u.NO_HOW, f"planting {n + 1}", "", u.NO_HOW_REMEDY)
            form.placed.add(f"crop.{n}.how", fault)
        plantings.append(planting)
        form.rows.append(n)
    if not form.rows and "crop.0.crop" not in form.placed.by_name:
        form.placed.add("crop.0.crop", Fault(u.NO_CROP, "planting", "", u.NO_CROP_REMEDY))
    form.tables["planting"] = plantings
