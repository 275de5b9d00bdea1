"""The plot to scale as its page draws it: places with pattern and word, what goes where, tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets.figures import DEGREE, Units
from lattermath.sheets.front import Teller, sentence
from lattermath.sheets.ground_plan import Scale, Spot, scale_of, spots_of
from lattermath.sheets.hatches import Box, Hatch, hatched
from lattermath.sheets.strokes import arrow, nearest
from lattermath.vocabulary import calendar
from lattermath.vocabulary.plan import Clearance, Plan, Population, Presence, Verdict
from lattermath.vocabulary.plot import Plot

LETTER, LINE = 9.2, 16.0  # of strong words 14 high, in the widest face: width, line [units]
FOOT = 46.0  # below the ground: scale bar and north arrow
BAR_LENGTHS = {"metric": (1, 2, 5, 10, 20, 50), "us": (2, 5, 10, 20, 50, 100, 200)}
FOOT_M = 0.3048
MOST_BAR = 150.0
NARROWEST = 250.0  # units that the scale bar and the north arrow need
HATCHES: Mapping[str, Hatch] = {
    "fight": "slanted",
    "let run": "dotted",
    "replace": "crossed",
    "pull": "upright",
    "barred": "dense",
    "bare": "none",
    "neighbour": "level",
    "open": "none",
}
MOST_WAYS = 2  # arrows from one place; the words below tell the rest
STROKES = ("dash", "dots", "dash fine")  # one for each organism that goes on


@dataclass(frozen=True, slots=True)
class _Place:
    """One place with its number, its state and its box in the drawing."""

    number: int
    spot: Spot
    state: str  # a key of HATCHES
    says: str
    box: Box | None


def plot_page(
    plan: Plan | None, plot: Plot, asks: Mapping[str, float], units: Units
) -> dict[str, Any]:
    """Drawing and tables of the plot; the drawing is None where nothing has a place.

    asks : ground that one plant asks for, by planting. [m2]
    """
    spots = spots_of(plot, asks)
    scale = scale_of(spots)
    tell = Teller(plan, units, DEGREE) if plan else None
    places = [
        _Place(
            n,
            spot,
            *_state(spot, plan, tell),
            scale.box(spot.ground) if scale and spot.ground else None,
        )
        for n, spot in enumerate(spots, 1)
    ]
    populations = plan.populations if plan else ()
    drawing = _drawing(places, scale, populations, tell, units) if scale else None
    return {
        "drawing": drawing,
        "places": [_row(place) for place in places],
        "on_them": _on_them(places, populations, tell, units) if tell else [],
        "laid": [bed.name for bed in plot.beds if not bed.placed],
        "as_of": _when(plan) if plan else "",
    }


def _when(plan: Plan) -> str:
    return f"{figures.long_day(plan.as_of.date())}, {figures.hour(plan.as_of)}"


def _state(spot: Spot, plan: Plan | None, tell: Teller | None) -> tuple[str, str]:
    """The state of a place and the words for it; what may not be picked yet comes first."""
    if spot.kind == "neighbour":
        return "neighbour", p.NEIGHBOURS
    verdict = _of(plan.verdicts, spot.key) if plan else None
    clear = _of(plan.picking, spot.key) if plan else None
    says = sentence(tell.tell(verdict.says)) if verdict and tell else ""
    if clear is not None and not clear.clear_now:
        safe, today = clear.safe_from, plan.as_of.date() if plan else None
        when = calendar.said_with_hour(safe, today) if safe else ""
        bar = p.NOT_PICKED_BEFORE.format(when=when) if when else p.NOT_PICKED_UNKNOWN
        return "barred", f"{bar} {says}".strip()
    if spot.kind == "bare":
        return "bare", says or p.BARE
    return (verdict.verdict, says) if verdict else ("open", p.UNDECIDED)


def _of(rows: Iterable[Any], key: str) -> Any:
    found: Verdict | Clearance | None = next((row for row in rows if row.planting == key), None)
    return found


def _row(place: _Place) -> dict[str, Any]:
    """A line of the table of places."""
    spot = place.spot
    where = spot.bed.name if spot.bed else p.NEXT_DOOR if spot.kind == "neighbour" else p.NO_BED
    plants = spot.planting.plants if spot.planting else 0
    what = p.PLANTS_OF.format(name=spot.name, plants=plants) if plants else p.NOTHING_STANDS
    return {
        "number": place.number,
        "where": where,
        "what": what,
        "says": place.says,
        "barred": place.state == "barred",
        "drawn": place.box is not None,
    }


def _on_them(
    places: Sequence[_Place], populations: Iterable[Population], tell: Teller, units: Units
) -> list[dict[str, Any]]:
    """What sits on each planting and where it may go, place by place."""
    held = list(populations)
    rows = []
    for place in places:
        here = list(_here(held, place.spot.key))
        seen = [_seen(one, found, tell, units) for one, found in here if found.seen]
        perhaps = [_level(one, found, tell, units) for one, found in here if not found.seen]
        if here:
            rows.append(
                {
                    "number": place.number,
                    "key": place.spot.key,
                    "name": place.spot.name,
                    "seen": seen,
                    "perhaps": p.PERHAPS.format(names="; ".join(perhaps)) if perhaps else "",
                }
            )
    return rows


def _here(populations: Iterable[Population], key: str) -> Iterator[tuple[Population, Presence]]:
    for population in populations:
        for here in population.where:
            if here.planting == key:
                yield population, here


def _seen(population: Population, here: Presence, tell: Teller, units: Units) -> tuple[str, str]:
    """What was seen there and how much of it, and where it may go."""
    goes = figures.listed(tell.name(key) for key in here.goes_to)
    says = sentence(_level(population, here, tell, units))
    return says, p.MAY_SPREAD.format(names=goes) if goes else p.STAYS


def _level(population: Population, here: Presence, tell: Teller, units: Units) -> str:
    return p.LEVEL_OF.format(
        name=tell.name(population.organism), level=figures.span(here.level, units)
    )


def _drawing(
    places: Sequence[_Place],
    scale: Scale,
    populations: Iterable[Population],
    tell: Teller | None,
    units: Units,
) -> dict[str, Any]:
    ground_width, ground_height = (
        scale.length_m * scale.units_per_m,
        scale.width_m * scale.units_per_m,
    )
    width, height = max(ground_width, NARROWEST), ground_height + FOOT
    ways = _ways(places, populations, tell)
    drawn = [place for place in places if place.box is not None]
    boxes = [place.box for place in drawn if place.box is not None]
    shown = [_drawn(place, boxes, width) for place in drawn]
    bare = [x for x, told in zip(drawn, shown, strict=True) if len(told["words"][0]["says"]) < 3]
    mm = 1000 / scale.on_paper / scale.units_per_m
    return {
        "width": round(width, 1),
        "height": round(height, 1),
        "paper_width": f"{width * mm:.1f}mm",
        "paper_height": f"{height * mm:.1f}mm",
        "on_paper": scale.on_paper,
        "size": _size(drawn, units),
        "places": shown,
        "numbered": figures.listed(f"{x.number} {x.spot.name}" for x in bare),
        "ways": [way for _, drawn in ways for way in drawn],
        "bar": _bar(scale, ground_height, units),
        "north": _north(width, ground_height),
        "legend": _legend(places),
        "ways_legend": [{"name": name, "stroke": drawn[0]["stroke"]} for name, drawn in ways],
    }


def _size(drawn: Sequence[_Place], units: Units) -> str:
    """How far the grower's own ground runs east and north, in words."""
    own = [place.spot.ground for place in drawn if place.spot.kind != "neighbour"]
    ground = [g for g in own if g is not None]
    if not ground:
        return ""
    east = max(g.west + g.length for g in ground) - min(g.west for g in ground)
    north = max(g.south + g.width for g in ground) - min(g.south for g in ground)
    said = [figures.number(figures.in_units(metres, "m", units)[0]) for metres in (east, north)]
    unit = p.FEET if units == "us" else p.METRES
    return p.SIZE.format(east=said[0], north=said[1], unit=unit)


def _drawn(place: _Place, boxes: Sequence[Box], width: float) -> dict[str, Any]:
    box, hatch = place.box, HATCHES[place.state]
    assert box is not None
    lines, at = _fitting(place, box, boxes, width)
    wide = max(map(len, lines)) * LETTER + 8
    state = p.PLAN_WORDS[place.state]
    inside = at >= box.x and at < box.right
    back = Box(at + 1, box.y + 1, min(wide, box.width - 2), LINE * len(lines) + 3)
    return {
        "box": box,
        "hatch": hatched(hatch, box),
        "hatch_kind": hatch,
        "dashed": place.state == "bare",
        "thin": place.state == "neighbour",
        "barred": place.state == "barred",
        "words": [
            {
                "says": line,
                "x": at + (9 if place.state == "barred" and inside else 5),
                "y": box.y + 15 + LINE * n,
                "strong": line != state,
            }
            for n, line in enumerate(lines)
        ],
        "back": back if inside else None,
    }


def _fitting(
    place: _Place, box: Box, boxes: Sequence[Box], width: float
) -> tuple[list[str], float]:
    """Number, name and state where there is room, and where from the left; the number always.

    Words that do not fit inside stand to the right, where nothing else does.
    """
    number, name, state = str(place.number), place.spot.name, p.PLAN_WORDS[place.state]
    named = f"{number} {name}"
    halves = _halved(named)
    broken = [[*halves, state], halves] if halves else []
    ways = [[named, state], *broken, [named], [number, state]]
    told = [[line for line in lines if line] for lines in ways]
    for lines in filter(None, told):
        if _room(lines, box.width, box.height):
            return lines, box.x
    for lines in filter(None, told):
        wide = max(map(len, lines)) * LETTER + 8
        beside = Box(box.right + 1, box.y, wide, LINE * len(lines) + 4)
        if beside.right <= width and not any(beside.meets(other) for other in boxes):
            return lines, box.right
    return [number], box.x


def _room(lines: Sequence[str], width: float, height: float) -> bool:
    return max(map(len, lines)) * LETTER + 8 <= width and LINE * len(lines) + 4 <= height


def _halved(named: str) -> list[str]:
    """A name in two lines, broken nearest its middle; empty where it is one word."""
    breaks = [n for n, letter in enumerate(named) if letter == " " and n > 2]
    if not breaks:
        return []
    at = min(breaks, key=lambda n: abs(n - len(named) / 2))
    return [named[:at], named[at + 1 :]]


def _ways(
    places: Sequence[_Place], populations: Iterable[Population], tell: Teller | None
) -> list[tuple[str, list[dict[str, Any]]]]:
    """Where what was seen may go that it was not seen yet: arrows from place to place."""
    boxes = {place.spot.key: place.box for place in places if place.box is not None}
    found: list[tuple[str, list[dict[str, Any]]]] = []
    for population, stroke in zip(populations, (*STROKES, *STROKES), strict=False):
        seen = {here.planting for here in population.where if here.seen}
        pairs = [
            (boxes[here.planting], boxes[to])
            for here in population.where
            if here.planting in seen and here.planting in boxes
            for to in here.goes_to[:MOST_WAYS]
            if to in boxes and to not in seen
        ]
        drawn = [_way(one, other, len(found), stroke) for one, other in pairs]
        if drawn and tell:
            found.append((tell.name(population.organism), drawn))
    return found


def _way(one: Box, other: Box, rank: int, stroke: str) -> dict[str, Any]:
    line, head = arrow(*nearest(one, other, aside=12.0 * rank))
    return {"line": line, "head": head, "stroke": stroke}


def _bar(scale: Scale, top: float, units: Units) -> dict[str, Any]:
    """The scale bar: the longest round length that is not too long."""
    per_unit = scale.units_per_m * (FOOT_M if units == "us" else 1.0)
    lengths = BAR_LENGTHS[units]
    length = max((n for n in lengths if n * per_unit <= MOST_BAR), default=lengths[0])
    unit = p.FEET_SHORT if units == "us" else p.METRES_SHORT
    metres = length * (FOOT_M if units == "us" else 1.0)
    return {
        "x1": 6.0,
        "x2": round(6.0 + length * per_unit, 1),
        "middle": round(6.0 + length * per_unit / 2, 1),
        "y": round(top + 16, 1),
        "says": f"{length} {unit}",
        "millimetres": figures.number(1000 * metres / scale.on_paper, 3),
    }


def _north(width: float, top: float) -> dict[str, Any]:
    x, y = width - 30, top + 8
    return {
        "line": f"M{x:.1f} {y + 32:.1f}V{y:.1f}",
        "head": f"M{x:.1f} {y:.1f}l5 11h-10z",
        "x": round(x + 9, 1),
        "y": round(y + 26, 1),
    }


def _legend(places: Sequence[_Place]) -> list[dict[str, Any]]:
    """Each state that is on the plan, its pattern and its word."""
    there = [s for s in HATCHES if any(x.state == s and x.box is not None for x in places)]
    box = Box(1, 1, 46, 26)
    return [
        {
            "hatch": hatched(HATCHES[state], box),
            "hatch_kind": HATCHES[state],
            "box": box,
            "dashed": state == "bare",
            "thin": state == "neighbour",
            "barred": state == "barred",
            "says": p.STATE_WORDS[state],
        }
        for state in there
    ]
