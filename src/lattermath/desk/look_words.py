"""A look at a planting told in words: causes, look-alikes first, the next look, what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from lattermath.desk.diagnose import likelier, said_look
from lattermath.desk.kind_words import in_flowers
from lattermath.desk.living_on import lives_on
from lattermath.desk.look import Looked
from lattermath.desk.look_reckoned import (
    NO_COURSE,
    deed_of,
    followed_as,
    no_course,
    short_name,
    without_course,
)
from lattermath.desk.what_was_seen import by_plant
from lattermath.knowledge.tables import Tables
from lattermath.planning.ten_leaves import LEAVES
from lattermath.planning.walk import how_to_count
from lattermath.vocabulary import calendar
from lattermath.vocabulary.sentence import capital

TOLD_FROM = 0.03  # judgement: causes less likely than this are not told
MOST_TOLD = 5
LEAST_LEFT = 0.005  # what rounds to one in a hundred
MOST_LOOKS = 3
STANDING = "Chances are the compilers' judgement, fitted to no data; nothing here is certain."
CLINIC = "A look at the plot does not settle this: take a sample to a plant clinic."
CLINIC_LAST = "If that does not settle it, no look will: then take a sample to a plant clinic."
NOTHING_EXPLAINS = "Nothing listed explains it; with it, what is common on this crop anyway:"
UNLISTED = "something that is not listed"
UNTOLD = "something else that is listed, each unlikely or no likelier for what was seen"
OWN_REGION = (
    "What is known from Europe or North America only is not weighed, by where the plot lies "
    "(region in plot.toml); pests of your own region are not in the tables."
)
# Common practice: a feed for all purposes may hold none of these, and of boron little is too much.
FEEDS = {
    "boron_lack": "have the soil tested; then only a feed that lists boron, by its label: a little "
    "too much harms",
    "magnesium_deficiency": "a feed that lists magnesium, by its label",
    "iron_manganese_lack": "have the pH tested; a feed that lists iron or manganese, by its label",
}


def told(looked: Looked) -> list[str]:
    """The lines of the answer, in the order a grower needs them."""
    lines = [f"{looked.planting.name}"]
    names = {**looked.tables.symptoms}
    for said, signs in (("Seen", looked.seen), ("Not seen", looked.not_seen)):
        lines += [f"{said}: {names[s].text if s in names else said_look(looked.tables, s)}"
                  for s in signs]  # fmt: skip
    lines += [*notes(looked), *(f"Not taken in: {fault}" for fault in looked.said.asked)]
    if not looked.seen:
        telling = "What to look at, the most telling first:"
        told_first = (*_counted_lately(looked), *looked.at_odds, *_planned(looked))
        return [*lines, *told_first, telling, *_looks(looked, MOST_LOOKS)]
    told_first = (*_record(looked), *looked.at_odds, *_alikes(looked), *_causes(looked))
    return [*lines, *told_first, *_now(looked), STANDING, *_planned(looked)]


def notes(looked: Looked) -> Iterator[str]:
    """What else was made of the words: parts that were not read, natural enemies."""
    for part in looked.said.unread:
        yield f"Not read: {part}. Say it in other words, by itself."
    for enemy in looked.said.enemies:
        name = looked.tables.enemies[enemy].name
        yield (
            f"{capital(name)} are natural enemies at work, no trouble. To spare them: lattermath "
            f'log seen {looked.planting.key} "{name}".'
        )


def as_data(looked: Looked) -> dict[str, Any]:
    """The same as plain data."""
    found = looked.found
    look, deed = found.verdict.next_look, found.verdict.deed
    return {
        "planting": looked.planting.key,
        "present": list(looked.seen),
        "absent": list(looked.not_seen),
        "unread": list(looked.said.unread),
        "asked": [asdict(fault) for fault in looked.said.asked],
        "enemies": list(looked.said.enemies),
        "from_record": {"present": [*looked.known.present, *looked.known.found],
                        "absent": list(looked.known.absent)},
        "because": list(looked.known.says),
        "causes": [{"cause": c, "name": looked.tables.causes[c].name, "probability": p}
                   for c, p in found.told.probabilities.items()],
        "other": found.told.other,
        "untold": untold(looked),
        "look_alikes": list(found.look_alikes),
        "next_look": None if look is None else look.sign.id,
        "next_look_says": None if look is None else said_look(looked.tables, look.sign.id),
        "certain_enough": found.verdict.certain_enough,
        "deed": None if deed is None else deed.kind,
        "clinic": found.clinic,
        "unexplained": list(found.unexplained),
        "count": list(_counting(looked)),
        "at_odds": list(looked.at_odds),
        "planned": [{"date": one.day.isoformat(), "says": one.says, "reckoned": list(one.reckoned)}
                    for one in looked.planned],
    }  # fmt: skip


def _counted_lately(looked: Looked) -> Iterator[str]:
    """What was counted there within a week, whose signs nobody need look for."""
    for cause, day in looked.known.counted.items():
        yield f"Counted here on {calendar.said(day)}: {short_name(looked.tables, cause)}."


def _planned(looked: Looked) -> Iterator[str]:
    """The looks of the newest plan, and how each is best done."""
    for one in looked.planned:
        yield f"By the plan, {calendar.said(one.day)}: {one.says}"
        for says in one.reckoned:
            yield f"  {capital(says)}."


def _looks(looked: Looked, most: int) -> list[str]:
    weighed = looked.found.verdict.looks[:most]
    return [f"  {said_look(looked.tables, w.look.sign.id)}" for w in weighed]


def _record(looked: Looked) -> Iterator[str]:
    spells = [looked.tables.symptoms[s].text for s in looked.known.present]
    if spells:
        yield "From your record: " + "; ".join(spells) + "."
    for says in looked.known.says:
        yield f"  {says}"
    if looked.taken == "elsewhere":
        yield f"  {OWN_REGION}"
    elif looked.taken:
        where = looked.taken.replace("_", " ").title()
        yield f"  Causes of {where} are weighed, by where the plot lies (region in plot.toml)."


def _alikes(looked: Looked) -> Iterator[str]:
    for cause in looked.found.look_alikes:
        name = looked.tables.causes[cause].name
        yield f"First rule out {name}: spraying would be a mistake."


def _causes(looked: Looked) -> Iterator[str]:
    for sign in looked.found.unexplained:
        yield f"No cause listed for this crop and region makes: {looked.tables.symptoms[sign].text}"
    chances, other = looked.found.told.probabilities, looked.found.told.other
    none, first = f"  {_percent(other)}  {UNLISTED}", other >= max(chances.values())
    yield NOTHING_EXPLAINS if first else "May be behind it (two can be at once):"
    if first:
        yield none
    for cause in likely(looked):
        row = looked.tables.causes[cause]
        yield f"  {_percent(chances[cause])}  {row.name}: {deed_said(looked, cause)}"
    if left := untold(looked):
        yield f"  {_percent(left)}  {UNTOLD}"
    if not first:
        yield none


def likely(looked: Looked) -> list[str]:
    """The causes that are told: likely enough, made likelier by what was answered, and makers of
    some of what was seen on the plant.

    What is no likelier than before anybody looked is common on the crop, what only the weather made
    likelier is common in such weather: nothing is said of either, unless nothing seen is explained.
    """
    found = looked.found
    told, explains = found.told, set(found.unexplained) < {*looked.seen}
    grown, chances = likelier(told), told.probabilities.items()
    grown = grown & found.makers or grown
    most = [c for c, p in chances if p >= TOLD_FROM and (c in grown or not explains)]
    return most[:MOST_TOLD]


def untold(looked: Looked) -> float:
    """Chance that it is none of the causes that are told, and yet one that is listed; 0 where that
    is less than one in a hundred."""
    left = looked.found.told.besides(likely(looked))
    return left if left >= LEAST_LEFT else 0.0


def deed_said(looked: Looked, cause: str) -> str:
    """What a cause would ask for; a course only where a plan would follow it on this crop."""
    does = deed_of(looked.tables, cause)
    if not no_course(looked.tables, cause, looked.planting.crop):
        return FEEDS.get(cause, does)
    return NO_COURSE if looked.tables.causes[cause].deed == "treat" else f"{does}; {NO_COURSE}"


def _percent(chance: float) -> str:
    """A chance as a sheet says it."""
    return f"{in_a_hundred(chance):3d} %"


def in_a_hundred(chance: float) -> int:
    """A chance in whole cases of a hundred; never nought and never a hundred."""
    return min(max(round(100 * chance), 1), 97)


def _now(looked: Looked) -> Iterator[str]:
    verdict = looked.found.verdict
    if verdict.next_look is not None:
        minutes = verdict.next_look.minutes
        yield f"Next look ({minutes:g} min): {said_look(looked.tables, verdict.next_look.sign.id)}"
    elif verdict.deed is not None and not looked.at_odds:
        yield "No further look would change what to do."
    if looked.found.clinic:
        yield CLINIC_LAST if verdict.next_look is not None else CLINIC
    if verdict.deed is None:
        yield "Do nothing yet: too little is known to treat."
    for line in _counting(looked):
        yield f"Then: {line}"


def _counting(looked: Looked) -> Iterator[str]:
    """From the likeliest cause to what to count, and with the counts to a course."""
    if by_hands := unreckoned(looked):
        yield from by_hands
        if next(iter(looked.found.told.probabilities)) in looked.known.written:
            return  # it stands in the record already
        yield f'to write it down: lattermath log seen {looked.planting.key} "{_noted_as(looked)}"'
        return
    if day := counted_here(looked):
        yield f"lattermath plan: it weighs a course from what was counted here on {day}"
        return
    found = what_to_count(looked)
    if found is None:
        return
    (subject, how), key = found, looked.planting.key
    if subject not in looked.tables.diseases:
        whole = by_plant(subject, looked.tables)
        few = f"few --plants {min(LEAVES, looked.planting.plants)}" if whole else "few --leaves 10"
        numbers = "4,0,2" if whole else "12,0,3"
        if due := _eggs_due(looked, subject):
            how = f"count {due}, as the plan asks"
            numbers, few = f"{numbers} --stage eggs", f"{few} --stage eggs"
        elif in_flowers(subject, _crop(looked), looked.tables):
            numbers, few = f"{numbers} --surface flowers", "few --flowers 10"
        yield f"{how}: lattermath log count {key} {subject} {numbers} (or {few})"
    else:
        yield f"{how}: lattermath log severity {key} {subject} 10"
    if followed_as(looked.tables, next(iter(looked.found.told.probabilities)), _crop(looked)):
        yield "lattermath plan: it weighs a course from what was counted, within your labels"
    else:
        yield "lattermath plan: it says what is done about it; a course is not reckoned"


def _eggs_due(looked: Looked, subject: str) -> str:
    """Words for the eggs that the next planned look asks of an organism or kind; "" for none.

    What a look says to count next is then what the plan waits for.
    """
    first = next(iter(looked.planned), None)
    species = looked.tables.crosswalk.kinds.get(subject, (subject,))
    eggs = {} if first is None else first.eggs
    return next((eggs[one] for one in species if one in eggs), "")


def unreckoned(looked: Looked) -> tuple[str, ...]:
    """What hands can do where no plan would have a course against the likeliest cause."""
    cause = next(iter(looked.found.told.probabilities), "")
    if not cause or looked.found.verdict.deed is None:
        return ()
    says = without_course(looked.tables, cause, _crop(looked))
    return (says,) if says else ()


def _crop(looked: Looked) -> str:
    return looked.planting.crop


def _noted_as(looked: Looked) -> str:
    """A word under which the likeliest cause is kept: its kind, or its row's or its own name."""
    cause = next(iter(looked.found.told.probabilities))
    subject = _subject(looked.tables, cause)
    return looked.tables.named(subject) if subject else short_name(looked.tables, cause)


def counted_here(looked: Looked) -> str:
    """The day on which the likeliest cause was counted here within a week; "" where it was not."""
    cause = next(iter(looked.found.told.probabilities), "")
    if unreckoned(looked):
        return ""
    day = looked.known.counted.get(cause)
    return "" if day is None or looked.found.verdict.deed is None else f"{day:%d %b}"


def what_to_count(looked: Looked) -> tuple[str, str] | None:
    """What the likeliest cause is counted as, and how; None: nothing yet.

    An organism or a disease of the tables, or a kind of organisms.
    """
    chances = looked.found.told.probabilities
    cause = next(iter(chances), "")
    if not cause or looked.found.verdict.deed is None or unreckoned(looked):
        return None
    subject = _subject(looked.tables, cause)
    if subject in {*looked.tables.organisms, *looked.tables.crosswalk.kinds}:
        kinds, crop = looked.tables.crosswalk.kinds, _crop(looked)
        species = kinds.get(subject, (subject,))
        here = next((one for one in species if lives_on(one, crop, looked.tables)), species[0])
        tapped = in_flowers(subject, crop, looked.tables)
        return subject, how_to_count(here, looked.planting.plants, tapped=tapped, crop=crop)
    if subject in looked.tables.diseases:
        return subject, "note how much of the leaf is taken"
    return None


def _subject(tables: Tables, cause: str) -> str:
    """What a cause is counted as: its one row, or the kind of all its species; "" where neither.

    Species are told apart by the counts to come and not by the cause: who names one shuts out the
    others.
    """
    joins = tables.crosswalk.cause_joins.get(cause, ())
    if len(joins) == 1:
        return joins[0]
    kinds = tables.crosswalk.kinds.items()
    return next((kind for kind, species in kinds if joins and {*joins} <= {*species}), "")
