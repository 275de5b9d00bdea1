"""What was written last, offered to be written again with one tap.

Never a count, a share of leaf, a level or a "none seen": those are looked for anew each time, and
a number that stands there already would be sent as if it had been seen.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode

from lattermath.desk.last_done import Done, last_done
from lattermath.doors.asking import in_units
from lattermath.doors.web.log_forms import Asked, LogForm
from lattermath.vocabulary.events import (
    Care,
    Payload,
    Picking,
    Sighting,
    Treatment,
    Visit,
    Watering,
)

OFFERED = 3
CLOSED = ("choice", "several")  # blanks that take nothing but what they offer
MEASURE_OF = {
    "count": "counted",
    "some": "counted",
    "shake": "shaken",
    "card": "card",
    "severity": "spots",
    "first seen": "seen",
}
# Blanks that may be filled again, by form; a form that is not here offers nothing.
AGAIN: dict[str, tuple[str, ...]] = {
    "counted": ("planting", "what", "stage", "surface"),
    "shaken": ("planting", "what", "plants"),
    "card": ("planting", "what", "days"),
    "spots": ("planting", "what", "surface", "leaves"),
    "seen": ("planting", "what"),
    "picked": ("planting", "weight", "items"),
    "watered": ("bed", "amount", "way"),
    "treated": ("planting", "with", "against", "litres", "surfaces", "coverage"),
    "care": ("planting", "work"),
    "visit": ("minutes",),
}
Fields = dict[str, list[str]]


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing to write again: what it says, and the blanks it fills."""

    says: str
    fields: Fields

    @property
    def data(self) -> str:
        """The blanks as JSON, for a script."""
        return json.dumps(self.fields)

    @property
    def query(self) -> str:
        """The blanks as the question part of the form's own address, for no script."""
        return urlencode(self.fields, doseq=True)


def offers(form: LogForm, done: tuple[Done, ...], asked: Asked) -> list[Offer]:
    """The newest of each place, of what still stands, for one form."""
    if form.key not in AGAIN:
        return []
    found: dict[str, Offer] = {}
    for one in done:
        for key, fields in _fields(one.payload, one.what, asked):
            place = " ".join(fields.get("planting", fields.get("bed", [])))
            if key == form.key and place not in found and _stands(fields, form, asked):
                fields = _choosable(fields, form, asked)
                found[place] = Offer(_words(form, fields, asked), fields)
        if len(found) == OFFERED:
            break
    return list(found.values())


def all_offers(forms: tuple[LogForm, ...], folder: Path, asked: Asked) -> dict[str, list[Offer]]:
    """The offers of each form."""
    done = last_done(folder)
    return {form.key: offers(form, done, asked) for form in forms}


def _fields(done: Payload, what: str, asked: Asked) -> Iterator[tuple[str, Fields]]:
    """The form that wrote an entry, and its blanks as they may be filled again."""
    held: dict[str, list[str]] = {}
    key = ""
    if isinstance(done, Sighting) and done.total != 0 and done.level != "none":
        key = MEASURE_OF[done.measure]
        held = {"planting": [done.planting], "what": [what], "stage": [done.stage],
                "surface": [done.surface], "plants": [str(done.looked_at)],
                "leaves": [str(done.looked_at or "")], "days": [str(done.days)]}  # fmt: skip
    elif isinstance(done, Picking):
        key = "picked"
        weight = "" if done.kg is None else in_units(done.kg, "kg", asked.units)
        held = {"planting": [done.planting], "weight": [weight], "items": [str(done.items or "")]}
    elif isinstance(done, Watering):
        key = "watered"
        held = {"bed": [done.bed or done.planting or ""], "way": [done.way or ""],
                "amount": [in_units(done.litres, "l", asked.units)]}  # fmt: skip
    elif isinstance(done, Treatment):
        key = "treated"
        litres = "" if done.litres is None else in_units(done.litres, "l", asked.units)
        held = {"planting": list(done.plantings), "with": [done.product or done.method],
                "against": [what], "litres": [litres], "surfaces": list(done.surfaces),
                "coverage": [f"{done.coverage:g}"]}  # fmt: skip
    elif isinstance(done, Care):
        key, held = "care", {"planting": [done.planting], "work": [done.work]}
    elif isinstance(done, Visit):
        key, held = "visit", {"minutes": [str(done.minutes or "")]}
    if key:
        full = {name: [w for w in held.get(name, ()) if w] for name in AGAIN[key]}
        yield key, {name: words for name, words in full.items() if words}


def _stands(fields: Fields, form: LogForm, asked: Asked) -> bool:
    """Whether each thing chosen is still among what its blank offers."""
    blanks = {blank.name: blank for blank in form.blanks(asked)}
    return bool(fields) and all(
        {*words} <= {value for value, _ in blanks[name].options}
        for name, words in fields.items()
        if name in ("planting", "bed", "with") and blanks[name].kind in CLOSED
    )


def _choosable(fields: Fields, form: LogForm, asked: Asked) -> Fields:
    """The same without what its blank does not offer, as a coverage that was typed elsewhere."""
    offered = {b.name: {v for v, _ in b.options} for b in form.blanks(asked) if b.kind in CLOSED}
    return {
        name: words
        for name, words in fields.items()
        if name not in offered or {*words} <= offered[name]
    }


def _words(form: LogForm, fields: Fields, asked: Asked) -> str:
    """What an offer says: what is chosen by its name, amounts as they will stand."""
    said = []
    units = {"minutes": " min", "weight": _unit("kg", asked), "amount": _unit("l", asked)}
    units["litres"] = units["amount"]
    for blank in form.blanks(asked):
        shown = dict(blank.options)
        if blank.name in ("surfaces", "surface", "coverage", "way", "leaves", "plants", "days"):
            continue
        said += [
            shown.get(one, one) + units.get(blank.name, "") for one in fields.get(blank.name, ())
        ]
    return ", ".join(said)


def _unit(metric: str, asked: Asked) -> str:
    if asked.units == "metric":
        return f" {metric}"
    return " lb" if metric == "kg" else " gal"
