"""A sheet filled in by pencil: what stands in the box and the blanks of a task, as entries."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from lattermath.desk import log_names
from lattermath.desk.log_done import as_written
from lattermath.doors import asking
from lattermath.doors.web.log_forms import Asked
from lattermath.sheets import paper_words as w
from lattermath.sheets.pencil import seen
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import (
    Payload,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    Surface,
    Treatment,
    Watering,
)

TURNED = 10  # leaves, where the blank was left empty: as many as the sheet asks for
_BARE = re.compile(r"[\d.,]+")
_PIECES = re.compile(r"(\d+)\s*(?:x|pcs?|pieces?|fruits?)")
_HOUR = re.compile(r"(\d{1,2})[:.h ]?(\d{2})")


@dataclass(frozen=True, slots=True)
class Line:
    """One task as it was typed up.

    task  : as the kept plan holds it; keys : of plantings by the names it says.
    how   : what stands in the box: as-written, otherwise, not-done, or "" for nothing.
    words : what stands in the blanks, by their names; empty ones are left out.
    kinds : of species that eyes do not tell apart; the pencil says no more than "whitefly".
    """

    task: dict[str, Any]
    keys: Mapping[str, str]
    how: str
    words: Mapping[str, str]
    kinds: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Whether nothing was written of it."""
        return not self.how and not self.words

    def start(self, day: datetime) -> datetime | None:
        """The hour in its blank, on the day of the visit; None where none was written."""
        words = self.words.get("Start", "")
        if not words:
            return None
        found = _HOUR.fullmatch(words)
        if found is None or int(found[1]) > 23 or int(found[2]) > 59:
            raise InputError(Fault(w.NO_HOUR, "Start", words, w.NO_HOUR_REMEDY))
        return day.replace(hour=int(found[1]), minute=int(found[2]))


def entries_of(line: Line, asked: Asked) -> tuple[Payload, ...]:
    """What one line says was done, beside its tick; InputError where it says too little."""
    if line.how == "not-done":
        if line.words:
            value = ", ".join(line.words.values())
            raise InputError(Fault(w.NOT_DONE_AND_FILLED, "box", value, w.NOT_DONE_REMEDY))
        return ()
    if line.how == "otherwise" and not line.words:
        return ()  # what was done instead is logged by itself
    reader = READERS.get(line.task["kind"])
    return as_written(line.task, dict(line.keys)) if reader is None else reader(line, asked)


def _watered(line: Line, asked: Asked) -> tuple[Payload, ...]:
    """As written; another number of cans is shared out as the sheet shared its own."""
    planned = [p for p in as_written(line.task, dict(line.keys)) if isinstance(p, Watering)]
    words = line.words.get("Cans", "")
    if not words:
        return tuple(planned)
    bare = f"{words} cans" if _BARE.fullmatch(words) else words
    poured = asking.litres(bare, asked.units, asked.plot.water.can_litres)
    share = poured / sum(one.litres for one in planned)
    return tuple(replace(one, litres=round(one.litres * share, 1)) for one in planned)


def _picked(line: Line, asked: Asked) -> tuple[Payload, ...]:
    words = _needed(line, "Picked", w.PICKED_REMEDY)
    pieces = _PIECES.fullmatch(words.lower())
    if pieces:
        return (Picking(line.task["planting"], None, int(pieces[1])),)
    return (Picking(line.task["planting"], asking.kilograms(words, asked.units), None),)


def _looked(line: Line, _: Asked) -> tuple[Payload, ...]:
    """One sighting for each figure brought home."""
    wanted = line.task.get("wanted") or []
    leaves = _whole(line.words.get("Leaves") or str(TURNED), "Leaves")
    found = tuple(
        _sighting(line, one, line.words[seen(place)], leaves)
        for place, one in enumerate(wanted)
        if seen(place) in line.words
    )
    if not found:
        raise InputError(Fault(w.TICK_SAYS_LITTLE, "box", line.how, w.LOOKED_REMEDY))
    return found


def _sighting(line: Line, wanted: dict[str, Any], words: str, leaves: int) -> Sighting:
    side: Surface | None = wanted["share_of"]
    what = line.kinds.get(wanted["organism"], wanted["organism"])
    seen = Sighting(
        line.task["planting"],
        what,
        "severity" if side else "count",
        "" if side else wanted["stage"],
        side or ("flowers" if wanted.get("flowers") else "underside"),
        leaves,
    )
    if told := asking.leaves_with_some(words):
        return replace(seen, measure="some", total=told[0], looked_at=told[1])
    if level := asking.level_said(words):
        return replace(seen, level=level)
    if side:
        return replace(seen, percent=asking.percent(words))
    if "," in words:
        each = asking.counts(words)
        return replace(seen, looked_at=len(each), counts=each)
    if wanted.get("some"):
        seen = replace(seen, measure="some")
    return replace(seen, total=0 if words == "0" else _whole(words, wanted["says"]))


def _treated(line: Line, asked: Asked) -> tuple[Payload, ...]:
    planned = [p for p in as_written(line.task, dict(line.keys)) if isinstance(p, Treatment)]
    litres, wetted = line.words.get("litres", ""), line.words.get("undersides wetted", "")
    counted = {name: line.words[name] for name in w.COUNTED_BY_HAND if name in line.words}
    done = [
        replace(
            one,
            litres=asking.litres(litres, asked.units) if litres else one.litres,
            coverage=_coverage(wetted) if wetted else one.coverage,
            note="; ".join(f"{name}: {words}" for name, words in counted.items()),
        )
        for one in planned
    ]
    return tuple(done)


def _coverage(words: str) -> float:
    """How much of the undersides was wetted: in words, or in percent."""
    known = w.COVERAGE_WORDS.get(words.lower())
    return known if known is not None else asking.percent(words) / 100


def _set_out(line: Line, asked: Asked) -> tuple[Payload, ...]:
    goes, planned = _goes_in(line), _planned(line.task)
    plants = _whole(line.words.get("Set out") or f"{planned:g}", "Set out")
    name = _new_name(goes, asked)
    return (SettingOut(name, goes["crop"], plants, goes["bed"], goes["lot"]),)


def _sown(line: Line, asked: Asked) -> tuple[Payload, ...]:
    goes = _goes_in(line)
    seeds = _whole(_needed(line, "Sown", w.SOWN_REMEDY), "Sown")
    return (Sowing(goes["crop"], seeds, planting=_new_name(goes, asked), bed=goes["bed"]),)


def _pulled(line: Line, _: Asked) -> tuple[Payload, ...]:
    planned = [p for p in as_written(line.task, dict(line.keys)) if isinstance(p, Pulling)]
    words = line.words.get("Pulled", "")
    if not words and planned:
        return tuple(planned)
    plants = _whole(words or _needed(line, "Pulled", w.PULLED_REMEDY), "Pulled")
    if planned:
        return tuple(replace(one, plants=plants) for one in planned)
    return (Pulling(line.task["planting"], plants, "bagged off the plot"),)


def _goes_in(line: Line) -> dict[str, Any]:
    """Crop and ground of what goes in; InputError where the plan was made before it told them."""
    goes: dict[str, Any] | None = line.task.get("goes_in")
    if goes is None:
        raise InputError(Fault(w.OLDER_SHEET, "box", line.how, w.OLDER_REMEDY))
    return goes


def _planned(task: dict[str, Any]) -> float:
    plants: list[float] = [a["quantity"] for a in task["amounts"] if a["unit"] == "plants"]
    return plants[0] if plants else 0


def _new_name(goes: dict[str, Any], asked: Asked) -> str:
    """A name for what went in, after crop and bed, that no planting has yet."""
    bed = next((bed.name for bed in asked.plot.beds if bed.key == goes["bed"]), "")
    name = w.IN_BED.format(crop=goes["called"], bed=bed) if bed else goes["called"]
    name, place = name[:1].upper() + name[1:], 2
    tried = name
    while log_names.same_name(asked.plot, tried) != tried:
        tried, place = f"{name} {place}", place + 1
    return tried


def _needed(line: Line, name: str, remedy: str) -> str:
    words = line.words.get(name, "")
    if not words:
        raise InputError(Fault(w.TICK_SAYS_LITTLE, name, "", remedy))
    return words


def _whole(words: str, where: str) -> int:
    if not words.isdecimal() or not 0 < int(words) < 1_000_000:
        raise InputError(Fault(w.NO_NUMBER, where, words, w.NO_NUMBER_REMEDY))
    return int(words)


READERS: Mapping[str, Callable[[Line, Asked], tuple[Payload, ...]]] = {
    "water": _watered,
    "pick": _picked,
    "look": _looked,
    "treat": _treated,
    "set out": _set_out,
    "sow": _sown,
    "pull": _pulled,
}
