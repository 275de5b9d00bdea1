"""The shelf under /set-up: the packs there are, and each label copied line by line."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.label_slips import LineTyped, label_slips
from lattermath.desk.set_up import PlotText, Tried, plot_text, tried, write
from lattermath.doors.web import label_form
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.label_shown import NEW, label_page
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_now import SEE_OTHER, filled_of, now_of
from lattermath.record.plot_file import row_keys
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault, LattermathError, NotThere

router = APIRouter()


@router.get("/set-up/shelf")
def shelf(request: Request) -> HTMLResponse:
    """The packs that were copied, and where another is."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    packs = [
        (f"/set-up/shelf/{n}", str(row.get("name", "")), str(row.get("active", "")))
        for n, row in enumerate(held.rows("shelf"))
    ]
    rows = [*packs, (f"/set-up/shelf/{NEW}", u.ADD_PACK, "")]
    return house.page(
        "set_up_shelf.html", "/set-up", u.SHELF, house.keeper.look(), rows=rows, others=held.faults
    )


@router.get("/set-up/shelf/{number}")
def label(request: Request, number: str) -> HTMLResponse:
    """One label, line by line."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    form = label_form.Form()
    form.placed.others += held.faults
    return label_page(house, held, _which(held, number), None, form)


@router.post("/set-up/shelf/{number}")
async def take(request: Request, number: str) -> Response:
    """Write a label down; the form again, with what is wrong or asked about, where it cannot be."""
    filled = await filled_of(request)
    return await run_in_threadpool(_take, house_of(request), number, filled)


def _which(held: PlotText, number: str) -> int:
    count = len(held.rows("shelf"))
    if number == NEW:
        return count
    if not number.isdecimal() or len(number) > 4 or int(number) >= count:
        raise NotThere(Fault("there is no such pack", "shelf", number, "Choose one of the list."))
    return int(number)


def _take(house: House, number: str, filled: Filled) -> Response:
    now = now_of(house)
    held = plot_text(house.folder, now)
    n = _which(held, number)
    form = label_form.read(filled, held, n)
    try:
        if held.faults:
            raise LattermathError(held.faults)
        outcome = tried(house.folder, held, form.changes, now)
        _place_faults(form, outcome, n)
        _ask_about_slips(house, form, filled)
        if not (form.placed.by_name or form.placed.others):
            with house.writing:
                write(house.folder, form.changes, filled.one("seen"), now)
            return RedirectResponse("/set-up?done=shelf", SEE_OTHER)
    except LattermathError as refused:
        form.placed.others += refused.faults
        held = plot_text(house.folder, now)
    return label_page(house, held, n, filled, form)


def _place_faults(form: label_form.Form, outcome: Tried, n: int) -> None:
    keys = row_keys(outcome.rows("shelf"))
    for fault in outcome.faults:
        where = fault.where.partition(": ")[2]
        mine = f"shelf.{keys[n]}." if n < len(keys) else "?"
        if not where.startswith(mine):
            form.placed.others.append(fault)
            continue
        rest = where.removeprefix(mine)
        name = f"shelf.{rest}"
        for word, prefix in form.crops.items():
            if rest == f"crops.{word}":
                name = f"{prefix}.word"
            elif rest.startswith(f"crops.{word}."):
                name = f"{prefix}.{rest.removeprefix(f'crops.{word}.')}"
        if name not in form.placed.by_name:
            form.placed.add(name, fault)


def _ask_about_slips(house: House, form: label_form.Form, filled: Filled) -> None:
    from lattermath.desk.wiring import Folder, tables_of

    crop_of = tables_of(Folder(house.folder)).crosswalk.crop
    lines = [
        LineTyped(one.name, one.key, one.value, one.words, crop_of(one.crop) or "")
        for one in form.typed
    ]
    for slip in label_slips(house.folder, filled.one("shelf.active"), lines):
        if slip.name not in form.placed.by_name:
            form.placed.add(slip.name, Fault(slip.what, slip.name, slip.value, slip.usual))
            form.asked.add(slip.name)
