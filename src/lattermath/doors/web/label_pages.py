"""The shelf under /set-up: the packs there are, and each label copied line by line."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.label_slips import LineTyped, label_slips
from lattermath.desk.set_up import PlotText, Tried, plot_text, tried, write
from lattermath.doors.web import label_form
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled, words
from lattermath.doors.web.section_form import with_options
from lattermath.doors.web.set_up_fields import Box
from lattermath.doors.web.set_up_now import SEE_OTHER, UNREADABLE, filled_of, now_of
from lattermath.record.plot_file import row_keys
from lattermath.record.plot_products import PRODUCT_LINES
from lattermath.sheets import set_up_words as u
from lattermath.vocabulary.errors import Fault, LattermathError, NotThere

router = APIRouter()
NEW = "new"


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
    return _shown(house, held, _which(held, number), None, form)


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
    return _shown(house, held, n, filled, form)


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


def _shown(
    house: House, held: PlotText, n: int, filled: Filled | None, form: label_form.Form
) -> HTMLResponse:
    from lattermath.desk.known_words import known_words

    rows = held.rows("shelf")
    row: dict[str, Any] = rows[n] if n < len(rows) else {}
    pack = form.placed.over(label_form.pack_boxes(held, n, filled))
    whole = _lines(form, PRODUCT_LINES, row, "shelf", held, filled)
    crops = [
        _crop(form, number, word, table, held, filled)
        for number, (word, table) in enumerate(label_form.crop_rows(row))
    ]
    every = [*pack, *(one.value for one in whole)]
    every += [b for crop in crops for b in (crop.box, *(one.value for one in crop.lines))]
    form.placed.take_others(box.name for box in every)
    mends = [
        (box.name, u.NAMED_FAULT.format(label=box.label, what=box.faults[0].what))
        for box in every
        if box.faults
    ]
    listed = bool(filled.one("shelf.crops_line")) if filled else row.get("crops_line") == "none"
    known = known_words(house.folder)
    return house.page(
        "set_up_label.html",
        "/set-up",
        str(row.get("name") or u.NEW_PACK),
        house.keeper.look(),
        UNREADABLE if filled is not None else 200,
        number=n if n < len(rows) else NEW,
        pack=with_options(pack, {"active": words(known["methods"])}),
        whole=whole,
        crops=crops,
        crop_words=known["crops"],
        no_crops=listed,
        seen=held.digest,
        mends=mends,
        others=form.placed.others,
        count=len(mends) + len(form.placed.others),
    )


@dataclass(frozen=True, slots=True)
class ShownCrop:
    """One crop of a label as the page shows it; `there`: it stands in the file."""

    n: int
    word: str
    there: bool
    box: Box
    lines: tuple[label_form.ShownLine, ...]
    scopes: tuple[Box, ...]
    open: bool
    out: bool


def _crop(
    form: label_form.Form,
    number: int,
    word: str,
    table: dict[str, Any],
    held: PlotText,
    filled: Filled | None,
) -> ShownCrop:
    prefix = f"crop.{number}"
    typed = word or (filled.one(f"{prefix}.word") if filled else "")
    (box,) = form.placed.over(
        [Box(f"{prefix}.word", u.CROP_ON_LABEL, values=(typed,) if typed else ())]
    )
    lines = tuple(_lines(form, label_form.CROP_LINES, table, prefix, held, filled))
    wrong = bool(box.faults) or any(line.value.faults for line in lines)
    return ShownCrop(
        number,
        typed,
        bool(word),
        box,
        lines,
        tuple(label_form.scope_boxes(table, prefix, held.us, filled)),
        wrong or bool(typed and not word),
        bool(filled and filled.one(f"{prefix}.out")),
    )


def _lines(
    form: label_form.Form,
    keys: tuple[str, ...],
    table: dict[str, Any],
    prefix: str,
    held: PlotText,
    filled: Filled | None,
) -> list[label_form.ShownLine]:
    return [
        replace(
            one,
            value=form.placed.over([one.value])[0],
            asked=one.value.name in form.asked or one.sure,
        )
        for one in label_form.lines(keys, table, prefix, held.us, filled)
    ]
