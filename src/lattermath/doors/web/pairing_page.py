"""The one page that a stranger sees: where a code is typed. It needs nothing else from here."""

from __future__ import annotations

from importlib.resources import files

from starlette.responses import HTMLResponse

from lattermath.doors.web.policies import digest_source
from lattermath.sheets.templating import render
from lattermath.vocabulary.errors import Fault


def pairing_page(
    code: str = "", name: str = "", faults: tuple[Fault, ...] = (), status: int = 200
) -> HTMLResponse:
    """The form for a code, whole in itself: its style is told by digest, it has no script."""
    look = (files("lattermath.sheets") / "static" / "look.css").read_text(encoding="utf-8")
    policy = (
        f"default-src 'none'; style-src '{digest_source(look)}'; img-src data:; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    )
    page = render("pages/pair.html", look=look, code=code, called=name, faults=faults)
    return HTMLResponse(page, status, {"content-security-policy": policy})
