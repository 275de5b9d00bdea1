"""The page of a first start: one short form, and a first sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from starlette.responses import HTMLResponse

from lattermath.desk.local_zone import local_zone
from lattermath.desk.plan_keeper import Kept
from lattermath.desk.set_up import PlotText
from lattermath.doors.asking import Units
from lattermath.doors.web.first_form import (
    CROPS,
    DAYS,
    SET_OUT,
    SHOWN_CROPS,
    SOWN,
    FirstForm,
    days_asked,
)
from lattermath.doors.web.house import House
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.place_typed import FROST, WHERE, ZONE
from lattermath.doors.web.set_up_fields import Box
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.sentence import inside

NOTHING = Kept(None, False, None)
UNREADABLE = 422
UNITS = (("metric", u.METRIC), ("us", u.US))
BEGUN = ((SET_OUT, u.SET_OUT), (SOWN, u.SOWN))


def first_page(
    house: House,
    held: PlotText,
    today: date,
    filled: Filled | None = None,
    form: FirstForm | None = None,
) -> HTMLResponse:
    """The short form, as it stands or with what is wrong beside its blanks."""
    from lattermath.desk.known_words import known_words

    told = page_of(held, today, house.units, local_zone(), filled, form)
    return house.page(
        "set_up_first.html",
        "/set-up",
        u.FIRST,
        NOTHING,
        UNREADABLE if told["count"] else 200,
        crops=known_words(house.folder)["crops"],
        folder=str(house.folder.resolve()),
        bare=True,
        plot="",
        **told,
    )


def page_of(
    held: PlotText,
    today: date,
    units: Units,
    zone: str,
    filled: Filled | None = None,
    form: FirstForm | None = None,
) -> dict[str, Any]:
    """What the page shows: the blanks as they were filled in, and each fault beside its own."""
    typed = filled or Filled(_known(held, units, zone))
    single = _places(typed)
    days = list(_days(typed, today))
    rows = list(_rows(typed))
    all_boxes = [*single, *(box for day in days for box in day), *(b for row in rows for b in row)]
    others: tuple[Fault, ...] = ()
    if form is not None:
        form.placed.take_others(box.name for box in all_boxes)
        single = form.placed.over(single)
        days = [form.placed.over(day) for day in days]
        rows = [form.placed.over(row) for row in rows]
        others = tuple(form.placed.others)
    wrong = [
        box
        for box in (*single, *(b for day in days for b in day), *(b for row in rows for b in row))
        if box.faults
    ]
    where, zoned, frost, asked = single
    return {
        **_sure(typed, form),
        "where": where,
        "zone": zoned,
        "frost": frost,
        "units": asked,
        "days": [_day(n, day, today) for n, day in enumerate(days)],
        "rows": [_row(n, row) for n, row in enumerate(rows)],
        "shown": SHOWN_CROPS,
        "more_open": any(box.values for row in rows[SHOWN_CROPS:] for box in row),
        "seen": held.digest,
        "there": _there(held),
        "file_faults": held.faults,
        "others": others,
        "mends": [(box.name, _named(box)) for box in wrong],
        "count": len(wrong) + len(others),
    }


def _sure(typed: Filled, form: FirstForm | None) -> dict[str, Any]:
    place, week = bool(typed.one("sure.place")), bool(typed.one("sure.week"))
    slips = set(form.slips) if form else set()
    slips |= {name for name, said in (("place", place), ("week", week)) if said}
    return {"slips": slips, "sure_place": place, "sure_week": week}


def _there(held: PlotText) -> str:
    """Whether a plot file is there already, and how far it can be used."""
    if held.broken:
        return "broken"
    if not held.text.strip():
        return ""
    return "wrong" if held.faults else "sound"


def _known(held: PlotText, units: Units, zone: str) -> Iterator[tuple[str, str]]:
    """What stands in the blanks before anybody has written."""
    place = held.table("place")
    if "latitude" in place and "longitude" in place:
        yield WHERE, f"{place['latitude']}, {place['longitude']}"
    yield ZONE, str(place.get("time_zone", zone))
    yield FROST, str(place.get("usual_first_frost", ""))
    yield "units", "us" if held.us or units == "us" else "metric"


def _places(typed: Filled) -> list[Box]:
    return [
        Box(WHERE, u.WHERE, hint=u.WHERE_HINT, values=typed.several(WHERE)),
        Box(ZONE, u.ZONE, hint=u.ZONE_HINT, values=typed.several(ZONE)),
        Box(FROST, u.FROST, hint=u.FROST_HINT, values=typed.several(FROST)),
        Box("units", u.UNITS_ASKED, "choice", options=UNITS, values=typed.several("units")),
    ]


def _days(typed: Filled, today: date) -> Iterator[list[Box]]:
    for n in range(DAYS):
        day = said(days_asked(today)[n])
        yield [
            Box(f"{part}.{n}", f"{label}, {day}", values=typed.several(f"{part}.{n}"))
            for part, label in (("high", u.HIGH), ("low", u.LOW))
        ]


def _day(n: int, boxes: list[Box], today: date) -> dict[str, Any]:
    day = days_asked(today)[n]
    return {"n": n, "says": said(day), "today": day == today, "high": boxes[0], "low": boxes[1]}


def _rows(typed: Filled) -> Iterator[list[Box]]:
    for n in range(CROPS):
        names = {part: f"crop.{n}.{part}" for part in ("crop", "plants", "when", "how")}
        held = {part: typed.several(name) for part, name in names.items()}
        yield [
            Box(names["crop"], u.CROP, values=held["crop"]),
            Box(names["plants"], u.PLANTS, values=held["plants"]),
            Box(names["when"], u.WHEN, values=held["when"]),
            Box(names["how"], u.HOW, "choice", options=BEGUN, values=held["how"]),
        ]


def _row(n: int, boxes: Iterable[Box]) -> dict[str, Any]:
    crop, plants, when, how = boxes
    return {"n": n, "crop": crop, "plants": plants, "when": when, "how": how}


def _named(box: Box) -> str:
    """What is wrong with a blank, under a name that only it has on the page."""
    kind, number, _ = (*box.name.split("."), "", "")[:3]
    label = box.label
    if kind == "crop":
        label = f"{u.PLANTING_N.format(n=int(number) + 1)}, {inside(label)}"
    return u.NAMED_FAULT.format(label=label, what=box.faults[0].what)
