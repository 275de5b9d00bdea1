"""What if: a form for what is supposed, and the difference it makes; nothing is written."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from lattermath.doors.supposed import supposition
from lattermath.doors.web.house import House, house_of
from lattermath.sheets import page_words as p
from lattermath.sheets.what_if_words import Block, blocks
from lattermath.vocabulary.errors import Fault, InputError, LattermathError
from lattermath.vocabulary.supposition import Supposition

router = APIRouter()
UNREADABLE = 422
WAITS = 45.0  # seconds that the page waits for two plans
FIELDS = ("no_products", *(name for name, *_ in p.WHAT_IF_FIELDS))


@router.get("/what-if")
def what_if(request: Request) -> HTMLResponse:
    """The form; with something supposed, what would be otherwise."""
    house = house_of(request)
    asked = {name: request.query_params.get(name, "").strip()[:40] for name in FIELDS}
    told: list[Block] = []
    faults: tuple[Fault, ...] = ()
    waits = False
    if any(asked.values()):
        try:
            found = _told(house, supposed(asked))
            told, waits = found or [], found is None
        except LattermathError as refused:
            faults = refused.faults
    return house.page(
        "what_if.html",
        "/what-if",
        p.WHAT_IF,
        house.keeper.look(),
        UNREADABLE if faults else 200,
        asked=asked,
        blocks=told,
        waits=waits,
        faults=[str(fault) for fault in faults],
    )


def _told(house: House, asked: Supposition) -> list[Block] | None:
    told = house.keeper.what_if(asked, WAITS)
    return None if told is None else blocks(told, house.units)


def supposed(asked: Mapping[str, str]) -> Supposition:
    """What the fields suppose. InputError, with the field's name, for what cannot be read."""
    begins, ends = _day(asked, "away_from"), _day(asked, "away_to")
    return supposition(
        no_products=bool(asked["no_products"]),
        days=asked["days"],
        minutes=_number(asked, "minutes", 1),
        cans=_number(asked, "cans", 0),
        away=None if begins is None else (begins, ends or begins),
        frost_days=_number(asked, "frost", None) or 0,
    )


def _number(asked: Mapping[str, str], name: str, least: int | None) -> int | None:
    words = asked[name]
    if not words:
        return None
    try:
        value = int(words)
    except ValueError:
        raise InputError(Fault("no whole number", name, words, "Write one, as 7.")) from None
    if least is not None and value < least:
        raise InputError(Fault("this number is too small", name, words, f"Least: {least}."))
    return value


def _day(asked: Mapping[str, str], name: str) -> date | None:
    words = asked[name]
    if not words:
        return None
    try:
        return date.fromisoformat(words)
    except ValueError:
        raise InputError(Fault("no such day", name, words, "Write it as 2026-08-05.")) from None
