"""The take-away page: the coming visit as one file that needs neither server nor signal."""

from __future__ import annotations

import base64
from datetime import date
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from lattermath.desk.known_words import known_words
from lattermath.doors.pictures import pictures_of
from lattermath.doors.web.last_values import AGAIN, all_offers
from lattermath.doors.web.log_forms import FORMS, WHEN, Asked
from lattermath.doors.web.policies import digest_source
from lattermath.doors.web.ticks import forms_of
from lattermath.sheets.label_views import first_aid, shelf_lines
from lattermath.sheets.leaf import leaf
from lattermath.sheets.page import season_drawing
from lattermath.sheets.templating import render
from lattermath.vocabulary.plan import Plan

if TYPE_CHECKING:
    from lattermath.desk.told_entries import Record
    from lattermath.doors.asking import Units

NOWHERE = "'none'"
HERE_NAMES = ("localhost", "127.0.0.1", "::1")  # lead from any other machine to itself
FONTS = ("fonts/fira-sans-400.woff2", "fonts/fira-sans-600.woff2")
SCRIPTS = ("light.js", "entries.js", "take_away.js")


def take_away_page(
    plan: Plan,
    record: Record,
    folder: Path,
    units: Units,
    stamp: str,
    on: date | None = None,
    home: str = "",
    served: str = "",
) -> str:
    """One HTML file: sheet, reasons, cautions, label limits, forms and script.

    on   : the day it is made for, where that is not today: entries are then of that day.
    home : address of the program that made it, as a phone reaches it; entries are sent there.
    served : the origin that serves it, where it is not written to a file.
    """
    told = leaf(plan, plan.plot, units)
    look = _face() + _static("look.css") + _static("pictures.css")
    script = "".join(map(_static, SCRIPTS))
    asked = Asked(record.plot, units, known_words(folder))
    last = all_offers(FORMS, folder, asked)
    return render(
        "pages/take_away.html",
        **told,
        **season_drawing(told["season"]),
        stamp=stamp,
        home=home,
        served=served,
        here_only=urlsplit(home).hostname in HERE_NAMES,
        day=on.isoformat() if on else "",
        tasks=forms_of(plan, asked),
        journal=record.entries[-1].id if record.entries else "",
        zone=record.plot.place.time_zone,
        forms=[
            {
                "key": f.key,
                "title": f.title,
                "hint": f.hint,
                "fields": [*f.blanks(asked), WHEN],
                "again": " ".join(AGAIN.get(f.key, ())),
                "offers": last[f.key],
            }
            for f in FORMS
        ],
        labels_on_hand=shelf_lines(record.plot.shelf),
        first_aid=first_aid(record.plot.shelf, record.plot.rules.poison_number),
        **pictures_of(folder, plan, units),
        look=look,
        script=script,
        policy=policy_of(look, script, home, served),
    )


def policy_of(look: str, script: str, home: str, served: str = "") -> str:
    """What the page may do: its own style and script, by their digests, and sending home."""
    homes = " ".join(dict.fromkeys(filter(None, (home, served))))
    return (
        f"default-src 'none'; style-src '{digest_source(look)}'; "
        f"script-src '{digest_source(script)}'; "
        f"img-src data: blob:; font-src data:; connect-src {homes or NOWHERE}; "
        "base-uri 'none'; form-action 'none'"
    )


@cache
def _face() -> str:
    """The typeface of the other pages, within the page: it can fetch nothing."""
    fonts = files("lattermath.sheets") / "static"
    css = _static("face.css")
    for name in FONTS:
        held = base64.b64encode((fonts / name).read_bytes()).decode()
        css = css.replace(f'url("{name}")', f'url("data:font/woff2;base64,{held}")')
    return css


def _static(name: str) -> str:
    return (files("lattermath.sheets") / "static" / name).read_text(encoding="utf-8")
