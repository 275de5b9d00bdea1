"""The pages as an installed app: what the phone keeps, under which build, and what it is called."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from importlib.resources import files
from typing import Any

from fastapi import APIRouter
from starlette.responses import JSONResponse, Response

from lattermath import __version__
from lattermath.doors.web.log_forms import FORMS
from lattermath.sheets import page_words as p
from lattermath.sheets import phone_words as h

router = APIRouter()
PAPER = "#f3ecc9"  # as `--paper` of the stylesheet
ICONS = ("icon-192.png", "icon-512.png")
PARTS = (
    *("look.css", "face.css", "pictures.css", "set_up.css"),
    *("served.css", "shelf.css", "phones.css", "typing.css"),
    *("fonts/fira-sans-400.woff2", "fonts/fira-sans-600.woff2"),
    *("light.js", "fresh.js", "entries.js", "installed.js", "set_up.js", "bed_plan.js"),
)
WORKER = "installed-worker.js"
# The visit first, then what is written at the plot, then the rest; the take-away page last, since
# it waits for a plan.
PAGES = (
    *dict.fromkeys(("/", "/log", *(f"/log/{form.key}" for form in FORMS))),
    *(address for address, _, _ in p.PAGES if address not in ("/", "/log")),
    "/take-away.html",
)


@router.get("/manifest.webmanifest")
def manifest() -> JSONResponse:
    """What a browser needs to put the pages on a home screen (W3C Web Application Manifest)."""
    told = {
        "id": "/",
        "name": p.NAME,
        "short_name": p.NAME,
        "description": h.APP_DESCRIPTION,
        "start_url": "/",
        "scope": "/",
        "display": "standalone",
        "background_color": PAPER,
        "theme_color": PAPER,
        "icons": [
            {
                "src": f"/static/{name}",
                "sizes": "x".join([name[5:8]] * 2),
                "type": "image/png",
                "purpose": purpose,
            }
            for name in ICONS
            for purpose in ("any", "maskable")
        ],
    }
    return JSONResponse(told, media_type="application/manifest+json")


@router.get("/installed-worker.js")
def worker() -> Response:
    """The service worker, with the build it belongs to and what it keeps."""
    told: dict[str, Any] = {
        "build": build(),
        "parts": [f"/static/{name}" for name in (*PARTS, *ICONS, "icon.svg")],
        "pages": PAGES,
    }
    text = f"const told = {json.dumps(told)};\n{_static(WORKER).decode()}"
    return Response(text, media_type="text/javascript")


@cache
def build() -> str:
    """A digest of all that a phone keeps beside the pages: with it, everything kept is renewed."""
    total = hashlib.sha256(__version__.encode())
    for name in (*PARTS, *ICONS, WORKER):
        total.update(name.encode() + b"\0" + _static(name))
    return total.hexdigest()[:16]


def _static(name: str) -> bytes:
    return (files("lattermath.sheets") / "static" / name).read_bytes()
