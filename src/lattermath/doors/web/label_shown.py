"""One label as its page shows it: each line with its value, its words and what is asked of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from starlette.responses import HTMLResponse

from lattermath.desk.set_up import PlotText
from lattermath.doors.web import label_form
from lattermath.doors.web.house import House
from lattermath.doors.web.log_fields import Filled, words
from lattermath.doors.web.section_form import with_options
from lattermath.doors.web.set_up_fields import Box
from lattermath.doors.web.set_up_now import UNREADABLE
from lattermath.record.plot_products import PRODUCT_LINES
from lattermath.sheets import set_up_words as u

NEW = "new"


def label_page(
    house: House, held: PlotText, n: int, filled: Filled | None, form: label_form.Form
) -> HTMLResponse:
    """The form of the n-th pack, as typed or else as the file has it."""
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
