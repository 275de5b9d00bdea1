"""Entries that cannot both be so, as two phones bring them: shown, and settled by nobody else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from math import inf
from pathlib import Path
from typing import TypeAlias

from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.class_ends import LEAF_LEVELS, SEVERITY_LEVELS
from lattermath.vocabulary.events import (
    Event,
    Level,
    Measure,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
)

TICKED_TWICE = "one job is ticked twice"
FAR_APART = "the two looks of one day are too far apart for one planting"
NONE_AND_SOME = "one found none and the other some, on the same day"
CLASSES_APART, NUMBERS_APART = 4.0, 20.0  # judgement: times the lesser
STANDS_ALONE = "the earlier stands far above the look before it and the one after it"
# Judgement: a number so many times those of the looks before and after, all within so many days, is
# sooner another planting's or a slip of the pen than an outbreak that came and went.
ALONE, ALONE_DAYS = 10.0, 10
GONE = "all of these plants were pulled on a day before they were looked at"
TELLS_LITTLE = 1.0  # below one a leaf, or one per cent, the lesser is taken as that
TREATED_TWICE = "the same treatment is written down twice on one day"
Span: TypeAlias = tuple[float, float]  # least and most: insects a leaf, or per cent of it


@dataclass(frozen=True, slots=True)
class AtOdds:
    """Two standing entries, by serial, the earlier first, and why they do not go together."""

    first: int
    second: int
    why: str


def entries_at_odds(standing: Sequence[Event]) -> tuple[AtOdds, ...]:
    """Every pair of entries that cannot both be so; the newest first.

    standing : entries that were neither corrected nor taken back.
    """
    asked = [e for e in standing if isinstance(e.payload, (Sighting, TaskDone, Treatment))]
    ordered = sorted(asked, key=lambda event: event.serial)
    by_day: dict[object, list[Event]] = {}
    for event in ordered:
        by_day.setdefault(_about(event), []).append(event)
    found = [pair for events in by_day.values() for pair in _pairs(events)]
    lone = lone_counts(ordered)
    found += [AtOdds(one.serial, after.serial, STANDS_ALONE) for one, after in lone]
    found += _looked_at_gone(standing)
    return tuple(sorted(found, key=lambda pair: -pair.second))


def _about(event: Event) -> object:
    """What two entries must share before they can be at odds."""
    done = event.payload
    if isinstance(done, TaskDone):
        return done.task
    if isinstance(done, Sighting):
        # What flies up, and what hangs on a card, says little of what sits on a leaf.
        way = done.measure if done.measure in ("shake", "card") else "leaves"
        return event.day, done.planting, done.what, way
    assert isinstance(done, Treatment)
    return event.day, frozenset(done.plantings), done.product or done.method


def _pairs(events: Sequence[Event]) -> Iterator[AtOdds]:
    for one, other in combinations(events, 2):
        if why := _why(one, other):
            yield AtOdds(one.serial, other.serial, why)


def lone_counts(standing: Sequence[Event]) -> Iterator[tuple[Event, Event]]:
    """Counts that stand alone between the looks before and after, each with the look after it.

    Nothing was treated between the two.
    """
    looks: dict[object, list[tuple[Event, Span]]] = {}
    for event in sorted(standing, key=lambda e: (e.day, e.serial)):
        seen = event.payload
        if isinstance(seen, Sighting) and seen.measure == "count" and (span := _span(seen)):
            looks.setdefault((seen.planting, seen.what, seen.stage), []).append((event, span))
    treated = [e for e in standing if isinstance(e.payload, Treatment)]
    for of_one in looks.values():
        for three in zip(of_one, of_one[1:], of_one[2:], strict=False):
            lone, after = three[1][0], three[2][0]
            if _alone(*three) and not any(_between(lone, one, after) for one in treated):
                yield lone, after


def _alone(before: tuple[Event, Span], lone: tuple[Event, Span], after: tuple[Event, Span]) -> bool:
    """Whether three looks of different days have far the most in their middle."""
    (first, few), (middle, many), (last, again) = before, lone, after
    soon = (last.day - first.day).days <= ALONE_DAYS and first.day < middle.day < last.day
    return soon and many[0] > ALONE * max(few[1], again[1], TELLS_LITTLE)


def _between(lone: Event, treated: Event, after: Event) -> bool:
    """Whether a treatment of the planting explains that the look after found so few."""
    done, seen = treated.payload, lone.payload
    if not isinstance(done, Treatment) or not isinstance(seen, Sighting):
        return False
    return seen.planting in done.plantings and lone.day <= treated.day <= after.day


def _looked_at_gone(standing: Sequence[Event]) -> Iterator[AtOdds]:
    """Looks at plants that were all out by then; a card may hang on, and is read later."""
    looks = [
        (event, event.payload.planting)
        for event in standing
        if isinstance(event.payload, Sighting) and event.payload.measure != "card"
    ]
    for pulling in standing:
        done = pulling.payload
        if not isinstance(done, Pulling):
            continue
        after = [e for e, key in looks if key == done.planting and e.day > pulling.day]
        if not after or not _took_all(standing, pulling.day, done):
            continue
        anew = [e.day for e in standing if isinstance(e.payload, (Sowing, SettingOut))
                and e.payload.planting == done.planting and e.day >= pulling.day]  # fmt: skip
        for event in after:
            if event.day < min(anew, default=date.max):
                first, second = sorted((event.serial, pulling.serial))
                yield AtOdds(first, second, GONE)


def _took_all(standing: Sequence[Event], day: date, done: Pulling) -> bool:
    """Whether nothing of the planting was left on the evening of a pulling."""
    if done.plants is None:
        return True
    left = (one for one in plot_as_of(standing, day).plantings if one.key == done.planting)
    return any(one.pulled is not None for one in left)


def _why(one: Event, other: Event) -> str:
    a, b = one.payload, other.payload
    if isinstance(a, TaskDone):
        return TICKED_TWICE
    if isinstance(a, Treatment):
        return TREATED_TWICE
    if isinstance(a, Sighting) and isinstance(b, Sighting):
        if a.found_none != b.found_none:
            none, some = (a, b) if a.found_none else (b, a)
            return NONE_AND_SOME if _would_have_shown(none, some) else ""
        alike = (a.measure == "severity", a.stage, a.surface)
        if alike == (b.measure == "severity", b.stage, b.surface) and _far_apart(a, b):
            return FAR_APART
    return ""


def _would_have_shown(none: Sighting, some: Sighting) -> bool:
    """Whether a look that found none looked for, and where it would sit, what another found.

    No stage is all that growers count and adults, never eggs; what was noticed has no place.
    """
    if (none.measure == "severity") != (some.measure == "severity"):
        return False
    stages = [one.stage.rstrip("s") for one in (none, some)]
    of_stage = stages[0] == stages[1] or (not stages[0] and stages[1] != "egg")
    anywhere = none.surface == "whole" or some.measure == "first seen"
    return of_stage and (anywhere or none.surface == some.surface)


def _far_apart(a: Sighting, b: Sighting) -> bool:
    """Whether chance and clumping alone hardly part two such looks at the same plants."""
    one, other = _span(a), _span(b)
    if one is None or other is None or a.found_none:
        return False
    (_, less), (more, _) = sorted((one, other))
    # Few and heavy are two classes; where both are numbers it takes more.
    classes = a.level is not None or b.level is not None
    return more > (CLASSES_APART if classes else NUMBERS_APART) * max(less, TELLS_LITTLE)


def _span(look: Sighting) -> Span | None:
    """Insects a leaf, or per cent of it, by what was written; None where it tells no number."""
    if look.percent is not None:
        return look.percent, look.percent
    if look.level is not None and look.measure in ("count", "severity"):
        return _ends(look.level, look.measure)
    total = sum(look.counts) if look.counts else look.total
    looked = len(look.counts) or look.looked_at
    if look.measure != "count" or total is None or not looked:
        return None
    return total / looked, total / looked


def _ends(level: Level, measure: Measure) -> Span:
    """Least and most of a class: insects a leaf, or per cent of it."""
    if measure == "severity":
        low, high = SEVERITY_LEVELS[level]
        return 100 * low, 100 * high
    place, ends = [*LEAF_LEVELS, "heavy"].index(level), (0, *LEAF_LEVELS.values(), inf)
    return ends[place], ends[place + 1]


def beside(path: Path | str, event: Event) -> tuple[str, ...]:
    """What to ask at once of an entry that others of its day contradict."""
    with open_journal(folder_at(path)) as journal:
        pairs = entries_at_odds(effective(journal.events()))
    others: dict[str, list[int]] = {}
    for pair in pairs:
        if event.serial in (pair.first, pair.second):
            others.setdefault(pair.why, []).append(pair.first + pair.second - event.serial)
    return tuple(_asks(event.serial, sorted(serials), why) for why, serials in others.items())


def _asks(this: int, others: Sequence[int], why: str) -> str:
    named = " and ".join(str(one) for one in others)
    return (
        f"ASK: does this go with entry {named}? Here {why}. If one is wrong, or meant of other "
        f"plants, take it back: lattermath log withdraw {this}, or {others[-1]}."
    )
