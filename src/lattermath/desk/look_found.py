"""What earlier looks on the plot say before anybody looks again: finds, and looks that found none.

A find on this planting answers the sign that whoever found it has seen, where it explains what is
seen now, and spares every look that would only find it again. A cause that makes nothing of what
is seen is not made likelier by being there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from lattermath.knowledge.crosswalk import ASIDE, tidy
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plot import Planting

FOUND_DAYS = 30  # judgement: what was found before says little now
SEASON_DAYS = 150  # judgement: and before that it says nothing
STILL_THERE_DAYS = 14  # judgement: what was found within these is there, and needs no finding
CLEAN_DAYS = 7  # judgement: for so long a look that found none speaks against a cause
SAME_LOOK_DAYS = 1  # judgement: for so long the same look would find none again
# Judgement: how much the record moves the prior of a cause.
FOUND_HERE, FOUND_NEAR = 5.0, 2.0
WAS_HERE, WAS_NEAR = 1.5, 1.2  # found this season, and not of late
LOOKED_CLEAN = 0.3
EXPLAINS = 3.0  # judgement: a sign so much likelier by a cause than without is explained by it
USUAL = 0.5  # and one that it makes so often, whoever counted it has seen or will see
MAKES = 0.2  # judgement: a sign that a cause makes less often is none of its own


@dataclass(frozen=True, slots=True)
class OnRecord:
    """Signs that finds answer, looks they spare, and by how much they move priors, with reasons."""

    present: tuple[str, ...]
    settled: tuple[str, ...]
    counted: Mapping[str, date]  # cause -> day of its newest count here, within a week
    moves: tuple[tuple[str, float, str], ...]


@dataclass(frozen=True, slots=True)
class _Find:
    """The newest find that a cause may be, and the other causes that it may be as well."""

    day: date
    here: bool
    counted: bool
    causes: tuple[str, ...]


def on_record(
    planting: Planting,
    events: tuple[Event, ...],
    today: date,
    tables: Tables,
    seen: tuple[str, ...] = (),
) -> OnRecord:
    """What was found on the plot this season, and looked for here of late in vain.

    seen : what is to be explained; with nothing seen every find counts alike.
    """
    present: list[str] = []
    settled: list[str] = []
    moves: list[tuple[str, float, str]] = []
    finds = _finds(planting, events, today, tables)
    for cause, find in finds.items():
        there = find.here and (today - find.day).days <= STILL_THERE_DAYS
        own = _own_signs(find, tables) if there else ()
        settled += own
        ratio = _explains(tables, cause, seen)
        answers = bool(own) and ratio >= EXPLAINS and own[0] not in seen
        present += own[:1] if answers else ()
        moves.append(_moved(cause, find, today, tables, ratio, answers))
    for cause, day in _clean(planting, events, today, tables).items():
        name = tables.causes[cause].name
        moves.append(
            (cause, LOOKED_CLEAN, f"{name}: looked for here on {day:%d %b} and not found.")
        )
        if (today - day).days <= SAME_LOOK_DAYS:
            settled += tables.crosswalk.found_signs.get(cause, ())
    counted = {
        cause: find.day
        for cause, find in finds.items()
        if find.counted and find.here and (today - find.day).days <= CLEAN_DAYS
    }
    if not seen:  # nobody looks for the signs of what was counted, before anything else is seen
        settled += (sign for cause in counted for sign in _usual_signs(tables, cause))
    told = tuple(move for move in moves if move[2])
    return OnRecord(tuple(dict.fromkeys(present)), tuple(dict.fromkeys(settled)), counted, told)


def _usual_signs(tables: Tables, cause: str) -> Iterator[str]:
    """The signs that a cause makes more often than not."""
    chances = tables.causes[cause].chances.items()
    return (sign for sign, chance in chances if chance.value >= USUAL)


def _moved(
    cause: str, find: _Find, today: date, tables: Tables, ratio: float, answers: bool
) -> tuple[str, float, str]:
    """By how much a find moves the prior of its cause, and why.

    ratio   : by how much the cause makes likelier what is seen; 0: nothing of it.
    answers : the find answers a sign of its own instead, which says more.
    """
    late = (today - find.day).days <= FOUND_DAYS
    factor = (FOUND_HERE if find.here else FOUND_NEAR) if late else WAS_HERE
    factor = WAS_NEAR if not late and not find.here else factor
    where = "here" if find.here else "elsewhere on the plot"
    says = f"{tables.causes[cause].name}: found {where} on {find.day:%d %b}"
    if ratio == 0:
        return cause, 1.0, f"{says}, and seldom or never makes what is seen." if find.here else ""
    if answers:
        return cause, 1.0, f"{says}, so it is there: no look for it is asked."
    return cause, factor, f"{says}."


def _explains(tables: Tables, cause: str, seen: tuple[str, ...]) -> float:
    """By how much a cause makes the likeliest of what is seen likelier; 0: it makes none of it."""
    if not seen:
        return 1.0
    made = []
    for sign in seen:
        if (check := tables.checks.get(sign)) is not None:
            chance, leak = check.chances("").get(cause), check.leak
        else:
            chance, leak = tables.causes[cause].chances.get(sign), tables.symptoms[sign].leak
        if chance is not None and chance.value >= MAKES:
            made.append(chance.value / leak.value)
    return max((ratio for ratio in made if ratio > 1.0), default=0.0)


def _own_signs(find: _Find, tables: Tables) -> tuple[str, ...]:
    """The signs that a find has seen; of one that may be several causes, those they share."""
    signs = [tables.crosswalk.found_signs.get(cause, ()) for cause in find.causes]
    return tuple(one for one in signs[0] if all(one in other for other in signs[1:]))


def _finds(
    planting: Planting, events: tuple[Event, ...], today: date, tables: Tables
) -> dict[str, _Find]:
    """The find of each cause that says most: here before elsewhere, late before early."""
    best: dict[str, _Find] = {}
    group, crop = tables.crosswalk.diagnosed_as(planting.crop) or ("", "")
    for event, seen in _looks(events, today, SEASON_DAYS):
        if seen.found_none:
            continue
        may_be = [
            cause
            for cause in causes_of(seen, tables)
            if {group, crop} & set(tables.causes[cause].crops)
        ]
        here = seen.planting == planting.key
        find = _Find(event.day, here, seen.measure != "first seen", tuple(may_be))
        for cause in may_be:
            if cause not in best or _says(find, today) >= _says(best[cause], today):
                best[cause] = find
    return best


def written_down(
    planting: Planting, events: tuple[Event, ...], today: date, tables: Tables
) -> frozenset[str]:
    """The causes that stand in the record as found here of late, by a row of theirs or by name."""
    found = {
        seen.what
        for _, seen in _looks(events, today, STILL_THERE_DAYS)
        if seen.planting == planting.key and not seen.found_none
    }
    rows = found | {one for what in found for one in tables.crosswalk.kinds.get(what, ())}
    names = {tidy(what) for what in found}
    return frozenset(
        key
        for key, cause in tables.causes.items()
        if rows & set(tables.crosswalk.cause_joins.get(key, ()))
        or tidy(ASIDE.sub(" ", cause.name)) in names
    )


def _says(find: _Find, today: date) -> float:
    if (today - find.day).days <= FOUND_DAYS:
        return FOUND_HERE if find.here else FOUND_NEAR
    return WAS_HERE if find.here else WAS_NEAR


def _clean(
    planting: Planting, events: tuple[Event, ...], today: date, tables: Tables
) -> dict[str, date]:
    """What was looked for on this planting within the last week and not found, nor since."""
    newest: dict[str, tuple[date, bool]] = {}
    for event, seen in _looks(events, today, CLEAN_DAYS):
        if seen.planting == planting.key:
            for cause in causes_of(seen, tables):
                found = not seen.found_none or newest.get(cause, (event.day, False))[1]
                newest[cause] = (event.day, found)
    return {cause: day for cause, (day, found) in newest.items() if not found}


def _looks(events: tuple[Event, ...], today: date, days: int) -> Iterator[tuple[Event, Sighting]]:
    """The sightings of the last days, in order."""
    for event in events:
        if isinstance(event.payload, Sighting) and 0 <= (today - event.day).days <= days:
            yield event, event.payload


def causes_of(seen: Sighting, tables: Tables) -> Iterator[str]:
    """The causes that a sighting may be of; of a kind without its species those of every one."""
    may_be = {seen.what, *tables.crosswalk.kinds.get(seen.what, ())}
    for cause, ids in tables.crosswalk.cause_joins.items():
        if may_be & set(ids):
            yield cause
