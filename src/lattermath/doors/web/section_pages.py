"""The pages under /set-up after the start: one a section, and all of them at a glance."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.set_up import PlotText, plot_text, tried, write
from lattermath.doors.web import section_form
from lattermath.doors.web.bed_plan import bed_plan
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled, words
from lattermath.doors.web.set_up_now import SEE_OTHER, UNREADABLE, filled_of, now_of
from lattermath.doors.web.set_up_sections import SECTIONS, Section
from lattermath.sheets import page_words as p
from lattermath.vocabulary.errors import Fault, LattermathError, NotThere

router = APIRouter()


@router.get("/set-up/{key}")
def section_page(request: Request, key: str) -> HTMLResponse:
    """The blanks of one section, as the file has them; an offer that was taken up fills its own."""
    house = house_of(request)
    section, held = _section(key), plot_text(house.folder, now_of(house))
    return _shown(house, section, held, None, None, dict(request.query_params))


@router.post("/set-up/{key}")
async def take(request: Request, key: str) -> Response:
    """Write a section down; the form again, with what is wrong, where it cannot be."""
    filled = await filled_of(request)
    return await run_in_threadpool(_take, house_of(request), _section(key), filled)


def _take(house: House, section: Section, filled: Filled) -> Response:
    now = now_of(house)
    held = plot_text(house.folder, now)
    form = section_form.read(section, filled, held)
    try:
        if held.faults:
            raise LattermathError(held.faults)
        outcome = tried(house.folder, held, form.changes, now)
        parts = list(section_form.shown(section, held, filled, {}))
        section_form.place_faults(section, form, outcome, section_form.every_box(parts))
        if not outcome.faults:
            with house.writing:
                write(house.folder, form.changes, filled.one("seen"), now)
            return RedirectResponse(f"/set-up?done={section.key}", SEE_OTHER)
    except LattermathError as refused:
        form.placed.others += refused.faults
        held = plot_text(house.folder, now)
    return _shown(house, section, held, filled, form, {})


def _section(key: str) -> Section:
    if key not in SECTIONS:
        raise NotThere(Fault(p.NOT_FOUND, f"/set-up/{key}", "", p.NOT_FOUND_REMEDY))
    return SECTIONS[key]


def _shown(
    house: House,
    section: Section,
    held: PlotText,
    filled: Filled | None,
    form: section_form.Form | None,
    offered: Mapping[str, str],
) -> HTMLResponse:
    parts = list(section_form.shown(section, held, filled, _options(house, section, held)))
    others: list[Fault] = list(held.faults) if form is None else []
    if form is not None:
        parts = section_form.with_faults(parts, form.placed)
        others = [section_form.without_file_words(one) for one in form.placed.others]
    elif offered:
        parts = section_form.offered(parts, offered)
    mends = section_form.to_mend(parts)
    told: dict[str, Any] = {"plan": bed_plan(held)} if section.key == "beds" else {"plan": None}
    return house.page(
        "set_up_section.html",
        "/set-up",
        section.title,
        house.keeper.look(),
        UNREADABLE if form is not None else 200,
        section=section,
        parts_told=parts,
        seen=held.digest,
        mends=mends,
        others=others,
        count=len(mends) + len(others),
        offers=_offers(house, section),
        **told,
    )


def _offers(house: House, section: Section) -> list[dict[str, str]]:
    if section.key != "place":
        return []
    from lattermath.doors.web.place_offers import place_offers

    record = house.record()
    return place_offers(house.folder, house.today(record), record.plot.place, house.units)


def _options(house: House, section: Section, held: PlotText) -> dict[str, Any]:
    if section.key not in ("plantings", "neighbours", "cups", "tin", "household"):
        return {}
    from lattermath.desk.known_words import known_words

    crops = words(known_words(house.folder)["crops"])
    beds = words(str(bed["name"]) for bed in held.rows("bed") if "name" in bed)
    return {"crop": crops, "food": crops, "bed": beds}
