"""The weather page under /set-up."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.set_up import PlotText, plot_text, tried, write
from lattermath.doors.web import weather_form
from lattermath.doors.web.first_form import days_asked
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_fields import Box, Placed
from lattermath.doors.web.set_up_now import SEE_OTHER, UNREADABLE, filled_of, now_of
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import LattermathError

router = APIRouter()


@router.get("/set-up/weather")
def weather(request: Request) -> HTMLResponse:
    """A week's highs, lows and rain, and the names of weather files."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    placed = Placed(others=list(held.faults))
    return _shown(house, held, None, placed, False)


@router.post("/set-up/weather")
async def take(request: Request) -> Response:
    """Write the week down; the form again, with what is wrong, where it cannot be."""
    filled = await filled_of(request)
    return await run_in_threadpool(_take, house_of(request), filled)


def _take(house: House, filled: Filled) -> Response:
    now, placed, asked = now_of(house), Placed(), False
    held = plot_text(house.folder, now)
    try:
        if held.faults:
            raise LattermathError(held.faults)
        today = house.today(house.record())
        changes, first = weather_form.read(filled, held, today, placed)
        for fault in tried(house.folder, held, changes, now).faults:
            asked |= weather_form.place_fault(fault, first, placed)
        if not (placed.by_name or placed.others):
            with house.writing:
                write(house.folder, changes, filled.one("seen"), now)
            return RedirectResponse("/set-up?done=weather", SEE_OTHER)
    except LattermathError as refused:
        for fault in refused.faults:
            named = fault.where == weather_form.FILES or fault.where.endswith((".csv", ".dly"))
            if named:
                placed.add(weather_form.FILES, fault)
            else:
                placed.others.append(fault)
        held = plot_text(house.folder, now)
    return _shown(house, held, filled, placed, asked)


def _shown(
    house: House, held: PlotText, filled: Filled | None, placed: Placed, asked: bool
) -> HTMLResponse:
    today = house.today(house.record())
    rows = [placed.over(row) for row in weather_form.boxes(held, today, filled)]
    named = ", ".join(map(str, held.document.get("weather", [])))
    typed = (named,) if filled is None else filled.several(weather_form.FILES)
    files = placed.over(
        [Box(weather_form.FILES, u.FILES, hint=u.FILES_HINT.format(folder=house.folder.resolve()),
             values=tuple(one for one in typed if one))]
    )[0]  # fmt: skip
    wrong = [box for box in (*(b for row in rows for b in row), files) if box.faults]
    sure = bool(filled and filled.one("sure.week"))
    return house.page(
        "set_up_weather.html",
        "/set-up",
        u.WEEK,
        house.keeper.look(),
        UNREADABLE if filled is not None else 200,
        days=[
            {"n": n, "says": said(day), "today": day == today, "boxes": row}
            for n, (day, row) in enumerate(zip(days_asked(today), rows, strict=True))
        ],
        files=files,
        unit=u.UNITS_US if held.us else u.UNITS_METRIC,
        asked=asked or sure,
        sure=sure,
        seen=held.digest,
        others=placed.others,
        mends=[
            (box.name, u.NAMED_FAULT.format(label=box.label, what=box.faults[0].what))
            for box in wrong
        ],
        count=len(wrong) + len(placed.others),
    )
