"""All that was told of a plot at a glance, and the one thing that would help most."""

from __future__ import annotations

from starlette.responses import HTMLResponse

from lattermath.desk.set_up import PlotText
from lattermath.desk.set_up_gaps import gaps
from lattermath.desk.told_entries import Record
from lattermath.doors.web.house import House
from lattermath.doors.web.section_form import rows_at, table_at
from lattermath.doors.web.set_up_sections import SECTIONS, Section
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.counted import counted

WEATHER, MONTHS, SHELF = "weather", "months", "shelf"
# What most figures of a sheet hang on, as in `set_up_gaps`; the rest is for when there is time.
MOST_HANGS_ON = ("place", WEATHER, "beds", "plantings", "visits", "water", "household")
WEATHER_TAKEN = "weather taken"  # the kind of such an entry


def one_thing(held: PlotText, record: Record) -> dict[str, str] | None:
    """What would help most, and where it is told; None where all of it is."""
    if held.faults:
        return None
    taken = any(one.kind == WEATHER_TAKEN for one in record.entries)
    gap = next(gaps(held, taken), None)
    if gap is None:
        return None
    says, address = u.GAPS[gap]
    return {"says": says, "address": address}


def all_sections(house: House, held: PlotText, done: str) -> HTMLResponse:
    """The page of all sections."""
    rows = {section.key: _row(section, held) for section in SECTIONS.values()}
    weeks, files = held.rows("week"), held.document.get("weather", [])
    days = sum(len(week.get("highs_c", week.get("highs_f", []))) for week in weeks)
    told = [u.DAYS_TYPED.format(days=counted(days, "days"))] if days else []
    told += [u.FILES_NAMED.format(files=", ".join(map(str, files)))] if files else []
    rows[WEATHER] = (f"/set-up/{WEATHER}", u.WEEK, "; ".join(told) or u.NOT_TOLD)
    months = u.TOLD if held.table("normals") else u.NOT_TOLD
    rows[MONTHS] = (f"/set-up/{MONTHS}", u.MONTHS, months)
    packs = held.rows(SHELF)
    said = ", ".join(str(pack.get("name", "")) for pack in packs) or u.SHELF_MAY
    rows[SHELF] = (f"/set-up/{SHELF}", u.SHELF, said)
    first = [rows.pop(key) for key in MOST_HANGS_ON]
    return house.page(
        "set_up.html",
        "/set-up",
        u.SET_UP,
        house.keeper.look(),
        groups=((u.MOST_HANGS_ON, first), (u.WHEN_TIME, list(rows.values()))),
        one=one_thing(held, house.record()),
        file_faults=held.faults,
        done=bool(done),
    )


def _row(section: Section, held: PlotText) -> tuple[str, str, str]:
    """Address, name, and what is told already."""
    names: list[str] = []
    told = False
    for part in section.parts:
        rows = rows_at(held.document, part) if part.fresh else []
        names += [str(row.get("name") or row.get("crop") or row.get("food") or "") for row in rows]
        table = {} if part.fresh else table_at(held.document, part)
        told |= any(ask.written(table, held.us) in table for ask in part.asks)
    said = ", ".join(names) or (u.TOLD if told else u.NOT_TOLD)
    return f"/set-up/{section.key}", section.title, said
