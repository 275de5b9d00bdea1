"""What the gate answers those it does not let in: a line, a page, or the shape of every refusal."""

from __future__ import annotations

from starlette.datastructures import Headers
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import Scope

from lattermath.doors.web.pairing_page import pairing_page
from lattermath.sheets import phone_words as h

# Nothing loaded from elsewhere, no inline script or style, no frame around a page.
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
NOT_KEPT = {"cache-control": "no-store"}
STRANGER, TOO_OFTEN = 401, 429


class Refused(Exception):
    """The gate stays shut. `why` tells apart refusals of one status; `wait` in seconds."""

    def __init__(self, status: int, why: str = "", wait: int = 0) -> None:
        """Keep what the answer needs."""
        self.status, self.why, self.wait = status, why, wait
        super().__init__(f"{status} {why}")


def answer_to(refused: Refused, scope: Scope, headers: Headers) -> Response:
    """The refusal: the pairing page to a stranger's browser, JSON to a program, else a line."""
    status, path = refused.status, scope["path"]
    what, remedy = h.GATE[(status, refused.why)]
    told = {**HEADERS, **NOT_KEPT}
    if status == TOO_OFTEN:
        told["retry-after"] = str(refused.wait)
    if path.startswith("/api/"):
        if status == STRANGER:
            told["www-authenticate"] = "Bearer"
        shape = {"what": what, "where": path, "value": "", "remedy": remedy}
        return JSONResponse(shape, status, told)
    wants_page = scope["method"] == "GET" and "text/html" in headers.get("accept", "")
    if status == STRANGER and wants_page:
        page = pairing_page()
        page.status_code = STRANGER
        page.headers.update({k: v for k, v in told.items() if k not in page.headers})
        return page
    return PlainTextResponse(f"{what} {remedy}", status, told)
