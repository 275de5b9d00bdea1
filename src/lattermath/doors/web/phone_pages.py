"""Pairing a phone, and the page that shows who is paired and takes their leave away."""

from __future__ import annotations

from typing import Annotated, Any
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from lattermath.desk.paired_phones import UNSEEN, Phone, admit, paired, revoke
from lattermath.doors.web.callers import Caller, Lan, caller_of
from lattermath.doors.web.house import house_of
from lattermath.doors.web.pairing_page import pairing_page
from lattermath.sheets import phone_words as h
from lattermath.sheets.qr_code import drawing
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.errors import Fault, InputError, LattermathError

router = APIRouter()
SEE_OTHER, UNREADABLE = 303, 422


@router.get("/pair")
def pair_page(request: Request) -> Response:
    """Where a code is typed; one that came with the address stands there already, unused."""
    if caller_of(request).allowed:
        return RedirectResponse("/phones", SEE_OTHER)
    code = request.query_params.get("code", "")
    return pairing_page(code if code.isascii() and code.isdecimal() else "")


@router.post("/pair")
def pair(
    request: Request, code: Annotated[str, Form()] = "", name: Annotated[str, Form()] = ""
) -> Response:
    """Use a code up, and give this phone its session."""
    house = house_of(request)
    if caller_of(request).allowed:
        return RedirectResponse("/phones", SEE_OTHER)
    lan = _lan(caller_of(request))
    try:
        lan.codes.use(code)
        secret = admit(house.folder, name)
    except LattermathError as refused:
        return pairing_page("", name, refused.faults, UNREADABLE)
    answer = RedirectResponse("/", SEE_OTHER)
    answer.set_cookie(
        lan.cookie, secret, max_age=int(UNSEEN.total_seconds()), path="/",
        secure=lan.secure, httponly=True, samesite="lax",
    )  # fmt: skip
    return answer


@router.get("/token")
def token(request: Request) -> JSONResponse:
    """What a script of a page of ours sends along with a change; other sites cannot read it."""
    return JSONResponse({"token": caller_of(request).token})


@router.get("/phones")
def phones_page(request: Request) -> HTMLResponse:
    """Who is paired; on the machine itself also a code for one more."""
    return _shown(request, ())


@router.post("/phones/code")
def new_code(request: Request) -> Response:
    """Make a code for one more phone; the one before is void."""
    _only_here(request)
    _lan(caller_of(request)).codes.fresh()
    return RedirectResponse("/phones", SEE_OTHER)


@router.post("/phones/revoke")
def take_away_leave(request: Request, phone: Annotated[str, Form()]) -> HTMLResponse:
    """Take a phone's leave away, at once."""
    _only_here(request)
    gone = revoke(house_of(request).folder, phone)
    return _shown(request, tuple(h.REVOKED.format(name=one.name) for one in gone))


@router.post("/unpair")
def unpair(request: Request) -> Response:
    """A phone gives its own leave back."""
    house, caller = house_of(request), caller_of(request)
    if caller.phone is None:
        return RedirectResponse("/phones", SEE_OTHER)
    revoke(house.folder, caller.phone.key)
    answer = RedirectResponse("/pair", SEE_OTHER)
    lan = _lan(caller_of(request))
    answer.delete_cookie(lan.cookie, path="/", secure=lan.secure, httponly=True, samesite="lax")
    return answer


def _lan(caller: Caller) -> Lan:
    if caller.lan is None:
        raise InputError(Fault("the plot is open on this machine only", "pair", "", h.NOT_SERVED))
    return caller.lan


def _only_here(request: Request) -> None:
    if not caller_of(request).here:
        raise InputError(Fault("this is done on the machine itself", "phones", "", h.ONLY_THERE))


def _shown(request: Request, said: tuple[str, ...]) -> HTMLResponse:
    house, caller = house_of(request), caller_of(request)
    zone = ZoneInfo(house.record().plot.place.time_zone)
    return house.page(
        "phones.html",
        "/phones",
        h.PHONES,
        house.keeper.look(),
        said=said,
        own=caller.phone,
        manages=caller.here,
        phones=[_line(one, zone) for one in paired(house.folder)] if caller.here else [],
        lan=caller.lan,
        code=_code(caller.lan, zone) if caller.lan and caller.here else None,
    )


def _line(phone: Phone, zone: ZoneInfo) -> dict[str, str]:
    paired_at, seen = (
        said_with_hour(at.astimezone(zone)) for at in (phone.paired_at, phone.seen_at)
    )
    says = h.PAIRED_ON.format(paired=paired_at, seen=seen)
    return {"key": phone.key, "name": phone.name, "kind": h.KIND_OF[phone.kind], "says": says}


def _code(lan: Lan, zone: ZoneInfo) -> dict[str, Any] | None:
    """The code that stands, in words and as a square."""
    code = lan.codes.standing()
    if code is None:
        return None
    until = f"{code.until.astimezone(zone):%H:%M}"
    address = f"{lan.address}/pair"
    return {
        "says": h.CODE_STANDS.format(code=code.spaced, until=until),
        "drawing": drawing(f"{address}?code={code.digits}", h.QR_SAYS.format(address=address)),
    }
