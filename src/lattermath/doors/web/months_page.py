"""The page of the usual months under /set-up."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.set_up import PlotText, plot_text, tried, write
from lattermath.doors.web import months_form
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_fields import Placed
from lattermath.doors.web.set_up_now import SEE_OTHER, UNREADABLE, filled_of, now_of
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import LattermathError

router = APIRouter()


@router.get("/set-up/months")
def months(request: Request) -> HTMLResponse:
    """Twelve usual highs, lows and rain totals."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    return _shown(house, held, None, Placed(others=list(held.faults)))


@router.post("/set-up/months")
async def take(request: Request) -> Response:
    """Write the months down; the form again, with what is wrong, where they cannot be."""
    filled = await filled_of(request)
    return await run_in_threadpool(_take, house_of(request), filled)


def _take(house: House, filled: Filled) -> Response:
    now, placed = now_of(house), Placed()
    held = plot_text(house.folder, now)
    try:
        if held.faults:
            raise LattermathError(held.faults)
        changes = months_form.read(filled, held, placed)
        if not placed.by_name:
            for fault in tried(house.folder, held, changes, now).faults:
                months_form.place_fault(fault, placed)
        if not (placed.by_name or placed.others):
            with house.writing:
                write(house.folder, changes, filled.one("seen"), now)
            return RedirectResponse("/set-up?done=months", SEE_OTHER)
    except LattermathError as refused:
        placed.others += refused.faults
        held = plot_text(house.folder, now)
    return _shown(house, held, filled, placed)


def _shown(house: House, held: PlotText, filled: Filled | None, placed: Placed) -> HTMLResponse:
    rows = [placed.over(row) for row in months_form.boxes(held, filled)]
    wrong = [box for row in rows for box in row if box.faults]
    return house.page(
        "set_up_months.html",
        "/set-up",
        u.MONTHS,
        house.keeper.look(),
        UNREADABLE if filled is not None else 200,
        months=[
            {"n": n, "says": name, "today": False, "boxes": row}
            for n, (name, row) in enumerate(zip(u.MONTH_NAMES, rows, strict=True))
        ],
        unit=u.MONTH_UNITS_US if held.us else u.MONTH_UNITS_METRIC,
        seen=held.digest,
        others=placed.others,
        mends=[
            (box.name, u.NAMED_FAULT.format(label=box.label, what=box.faults[0].what))
            for box in wrong
        ],
        count=len(wrong) + len(placed.others),
    )
