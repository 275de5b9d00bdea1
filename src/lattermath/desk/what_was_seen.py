"""What a grower calls a thing that was seen, as the tables know it on the crop it was seen on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from lattermath.desk.kind_words import many_of
from lattermath.desk.living_on import lives_on
from lattermath.desk.plant_signs import names_a_disease, of_the_plant
from lattermath.desk.stand_ins import by_kind, named_as
from lattermath.knowledge.crosswalk import Crosswalk, tidy
from lattermath.knowledge.stage_words import named_stages
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.blanks import Wanted
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting, Plot
from lattermath.vocabulary.sentence import capital

OPTIONS = ("--leaves", "--plants", "--flowers")
FIRST = re.compile(r"^(?:(?:the|my|a|an)\s+)?first\s+(?:(?:seen|few|of|the)\s+)*", re.IGNORECASE)
AND = re.compile(r"\s*(?:[,;&+/]|\band\b|\bplus\b|\bor\b)\s*")


def settled(seen: Sighting, plot: Plot, tables: Tables) -> Sighting:
    """A sighting by the id of the tables; none or a class of a disease is of the leaf taken.

    A general word (rust, mildew, mites) settles only on what lives on that crop; else it stays
    the grower's own.
    """
    crop = _crop(seen, plot)
    seen = _as_first(seen, tables.crosswalk)
    seen = _by_words_of_looks(_with_stage(seen, tables), crop, tables)
    there = tables.crosswalk.called_there(seen.what, crop) if crop else ""
    seen = by_kind(replace(seen, what=there or seen.what), tables.crosswalk)
    known = tables.crosswalk.seen_as(seen.what)
    if known and crop and not lives_on(known, crop, tables) and not _named(known, seen, tables):
        known = _of_that_word(seen.what, crop, tables)
    known = known or _enemy(seen.what, tables)
    seen = looked_over(replace(seen, what=known or seen.what), tables)
    if seen.what in tables.diseases and seen.measure == "count":
        if seen.total == 0:
            return replace(seen, measure="severity", total=None, percent=0.0, stage="")
        if seen.level is not None:
            return replace(seen, measure="severity", stage="")
    return seen


def _as_first(seen: Sighting, crosswalk: Crosswalk) -> Sighting:
    """The first flea beetle is a flea beetle: that it was the first is in the entry's own kind."""
    named = FIRST.sub("", seen.what.strip())
    first = seen.measure == "first seen" and named != seen.what.strip()
    return replace(seen, what=named) if first and _known(named, crosswalk) else seen


def together(words: str, crosswalk: Crosswalk) -> tuple[str, ...]:
    """The things that one entry names, where they are several; none where it names one.

    Two words for one animal are one thing: slugs and snails.
    """
    if _known(words, crosswalk):
        return ()
    parts = {part: _known(part, crosswalk) for part in AND.split(words.strip()) if part}
    things = {thing: part for part, thing in parts.items() if thing}
    return tuple(things.values()) if len(things) > 1 else ()


def named_here(what: str, crop: str, tables: Tables) -> str:
    """A grower's word, or the id that a look's word for it means on a crop where it is one."""
    asked = () if _known(what, tables.crosswalk) else _meant_by_looks(what, crop, tables)
    return asked[0].organism if len(asked) == 1 else what


def by_plant(what: str, tables: Tables) -> bool | None:
    """Whether a grower's word is of what is counted on whole plants; None where it is not known,
    and of natural enemies, which may be counted on either."""
    known = tables.crosswalk.seen_as(what) or what
    if known in tables.diseases:
        return False
    if known in tables.enemies:
        return None
    habits = tables.habits.get(tables.crosswalk.kinds.get(known, (known,))[0])
    return _by_its_sign(what, tables) if habits is None else habits.counted_by_plant


def _by_its_sign(what: str, tables: Tables) -> bool | None:
    """The same of a pest that only the key of diagnosis knows, by where its first sign shows."""
    names = (what, what.strip().removesuffix("s"))
    cause = next((c for name in names if (c := tables.crosswalk.cause(name))), None)
    row = tables.causes.get(cause or "")
    if row is None or row.kind != "pest":
        return None
    sign = max(row.chances, key=lambda one: row.chances[one].value)
    on_leaves = tables.rows["symptoms"][sign].text("part").startswith("leaf")
    return None if on_leaves else True


def unit_of(seen: Sighting, tables: Tables) -> tuple[str, str]:
    """What was looked at, one and many of it: leaves, plants, flowers or cards."""
    if seen.measure == "card":
        return "card", "cards"
    if seen.surface == "flowers":
        return "flower", "flowers"
    counted = seen.measure in ("count", "some")
    plants = by_plant(seen.what, tables)
    if seen.measure == "shake" or (
        counted and (plants or (plants is None and seen.surface == "whole"))
    ):
        return "plant", "plants"
    return "leaf", "leaves"


def looked_over(seen: Sighting, tables: Tables) -> Sighting:
    """A count as it is done: on undersides of leaves, or on whole plants, where it is of those.

    Counted by plant are caterpillars, beetles, bugs and borers: all of a plant is looked over.
    """
    whole = seen.measure in ("count", "some") and by_plant(seen.what, tables)
    return replace(seen, surface="whole") if whole and seen.surface == "underside" else seen


def looks_at(
    what: str,
    leaves: int,
    plants: int,
    tables: Tables,
    marks: tuple[str, str, str] = OPTIONS,
    *,
    flowers: int = 0,
    crop: str = "",
) -> int:
    """How many leaves, plants or flowers were looked at, by the one number given; 0 for none.

    marks : where the numbers stand. InputError where two are given, or where a thing is counted
    on the other: ten leaves without caterpillars are not ten plants without.
    """
    of_leaves, of_plants, of_flowers = marks
    given = {"leaves": leaves, "plants": plants, "flowers": flowers}
    told = [f"{number} {of}" for of, number in given.items() if number]
    if len(told) > 1:
        where = of_flowers if flowers else of_plants
        fault = f"it is of {' or of '.join(of for of, number in given.items() if number)}"
        raise InputError(Fault(fault, where, ", ".join(told), "Give one."))
    if flowers:
        return flowers
    whole = by_plant(named_here(what, crop, tables), tables)
    if whole and leaves:
        remedy = (
            f"A leaf is a part of a plant. Look whole plants over and give {of_plants}, or one "
            "number a plant: 4,0,2."
        )
        raise InputError(Fault(f"{what}: counted by plant", of_leaves, str(leaves), remedy))
    if whole is False and plants:
        remedy = f"Turn leaves and give {of_leaves}, or one number a leaf: 12,0,3."
        raise InputError(Fault(f"{what}: counted by leaf", of_plants, str(plants), remedy))
    return leaves or plants


def told(seen: Sighting, plot: Plot | None, tables: Tables) -> tuple[str, ...]:
    """Say so where nothing is reckoned from what was seen, and what to do about it."""
    crosswalk = tables.crosswalk
    if crosswalk.organism(seen.what) or crosswalk.disease(seen.what) or crosswalk.kind(seen.what):
        nowhere = () if plot is None else tuple(_not_there(seen, plot, tables))
        return nowhere or tuple(_stood_in(seen, crosswalk))
    if crosswalk.enemy(seen.what) and seen.found_none:
        return ("They would work for you: none was found, and no spray is held back for them.",)
    if crosswalk.enemy(seen.what):
        return ("They work for you: they are reckoned with, and count against a spray that kills.",)
    if animal := crosswalk.animal(seen.what):
        return (f"{capital(animal[0])} are watched, not reckoned. To keep them off: {animal[1]}.",)
    if of_the_plant(seen.what, _planting(seen, plot), tables):
        return ("Read as a sign of the plant itself: the next sheet says what may be behind it.",)
    if advised := tables.advised_of(seen.what):
        return (f"Not reckoned. {capital(advised.does)}.",)
    if plot is not None and (says := _named_in_key(seen, plot, tables)):
        return (says,)
    if (kind := _of_a_kind(seen.what, crosswalk)) and not crosswalk.nearest_seen(seen.what):
        return (_own_kind(seen, kind),)
    if plot is not None and (says := _by_look(seen, plot, tables)):
        return (says,)
    says = (
        f"'{seen.what}' is your own word: kept, and nothing is reckoned from it."
        f"{_near(crosswalk, seen.what)} `lattermath log words` lists what is known."
    )
    return (says,)


def _named_in_key(seen: Sighting, plot: Plot, tables: Tables) -> str:
    """What is answered to the name of a pest that only the key of diagnosis knows; "" else."""
    from lattermath.desk.look_reckoned import answered, named_on  # for a strange word only

    crop = _crop(seen, plot)
    cause = named_on(tables, seen.what, crop) if crop else ""
    return f"Kept as seen. {capital(answered(tables, cause, crop))}." if cause else ""


def _by_look(seen: Sighting, plot: Plot, tables: Tables) -> str:
    """What a look makes of the grower's words there, by the look's own reader; "" for nothing."""
    from lattermath.desk.sayings_read import reads  # only for a strange word, to log quickly

    planting = _planting(seen, plot)
    if planting is None or tables.crosswalk.diagnosed_as(planting.crop) is None:
        return ""
    read = reads(tables, planting, seen.what)
    if read is False:
        return ""
    kept = "Kept as your own words, and nothing is reckoned from it."
    if names_a_disease(seen.what, tables):
        return kept
    of = f'{seen.planting} --seen "{seen.what}"'
    if read:
        return f"{kept} `lattermath look {of}` reads it, and weighs what may be behind it."
    return f"{kept} `lattermath look {of}` asks which of several it is, then weighs them."


def _not_there(seen: Sighting, plot: Plot, tables: Tables) -> Iterator[str]:
    """What the tables know, and not on that crop; where it is a word only, the advice for it."""
    crop = _crop(seen, plot)
    known = tables.crosswalk.seen_as(seen.what) or ""
    if not crop or lives_on(known, crop, tables):
        return
    word = known in (*tables.organisms, *tables.diseases) and seen.what != known
    name = seen.what.replace("_", " ") if word else tables.named(seen.what)
    kept = (
        f"The tables have no figures for {name} on {tables.crosswalk.named(crop)}: kept, and "
        "nothing is reckoned from it."
    )
    look = f'`lattermath look {seen.planting} --seen "what you see"` weighs what it may be.'
    yield kept if names_a_disease(seen.what, tables) else f"{kept} {look}"
    if word and (advised := tables.advised_of(seen.what)):
        yield f"{capital(advised.does)}."


def _planting(seen: Sighting, plot: Plot | None) -> Planting | None:
    plantings = () if plot is None else plot.plantings
    return next((one for one in plantings if one.key == seen.planting), None)


def _crop(seen: Sighting, plot: Plot) -> str:
    return next((one.crop for one in plot.plantings if one.key == seen.planting), "")


def _known(words: str, crosswalk: Crosswalk) -> str | None:
    animal = crosswalk.animal(words)
    return crosswalk.seen_as(words) or (animal[0] if animal else None)


def _named(known: str, seen: Sighting, tables: Tables) -> bool:
    """Whether it was said by a name that means nothing else: its own, in either number."""
    if known not in tables.organisms and known not in tables.diseases:
        return True  # a kind stays a kind: what may be behind it is asked of each crop
    held = tables.organisms.get(known) or tables.diseases.get(known)
    own = {tidy(known)} | ({tidy(held.name)} if held else set())
    said = tidy(seen.what)
    return any(said.rstrip("s") == one.rstrip("s") for one in own)


def _of_that_word(words: str, crop: str, tables: Tables) -> str | None:
    """The one disease of a crop whose name has all of a general word's parts: mildew on basil."""
    said = set(tidy(words).split("_"))
    fitting = [
        one
        for one, row in tables.diseases.items()
        if lives_on(one, crop, tables) and said <= set(tidy(row.name).split("_"))
    ]
    return fitting[0] if len(fitting) == 1 else None


def _enemy(words: str, tables: Tables) -> str:
    """The natural enemy that words tell of with its looks alone: yellow and black hoverflies."""
    if tables.crosswalk.symptom(words):
        return ""
    from lattermath.knowledge.enemy_words import enemy_said  # for a strange word, to log quickly

    said = enemy_said(words, tables.crosswalk)
    return said.enemy if said is not None and said.alone else ""


def _by_words_of_looks(seen: Sighting, crop: str, tables: Tables) -> Sighting:
    """What a look asks to be counted, by the insect that it asks it of: pale scales, beetle eggs.

    InputError where several on that crop are asked for in the same word.
    """
    if not crop or seen.measure not in ("count", "some") or _known(seen.what, tables.crosswalk):
        return seen
    meant_here = _meant_by_looks(seen.what, crop, tables)
    if len(meant_here) > 1:
        ways = " or ".join(_as_command(seen, one) for one in meant_here)
        raise InputError(
            Fault("several are called that here", "what was seen", seen.what, f"Say which: {ways}.")
        )
    if not meant_here or (seen.stage and meant_here[0].stage not in ("", seen.stage)):
        return seen
    (one,) = meant_here
    surface = "flowers" if one.flowers else seen.surface
    return replace(seen, what=one.organism, stage=seen.stage or one.stage, surface=surface)


def _meant_by_looks(what: str, crop: str, tables: Tables) -> tuple[Wanted, ...]:
    """Loaded only for a strange word, to log quickly."""
    from lattermath.desk.words_of_looks import meant_by_looks

    return meant_by_looks(what, crop, tables)


def _as_command(seen: Sighting, one: Wanted) -> str:
    stage = f" --stage {one.stage}" if one.stage else ""
    return f"lattermath log count {seen.planting} {one.organism} 12,0,3{stage}"


def _with_stage(seen: Sighting, tables: Tables) -> Sighting:
    """`whitefly scales` without a stage: whitefly, and the stage is scales."""
    name, _, stage = seen.what.strip().rpartition(" ")
    if not name or _known(seen.what, tables.crosswalk) or seen.measure in ("shake", "card"):
        return seen
    known = tables.crosswalk.kind(name) or tables.crosswalk.organism(name) or ""
    insect = tables.organisms.get(tables.crosswalk.kinds.get(known, (known,))[0])
    if insect is None or not named_stages(stage, insect.stages) or seen.stage not in ("", stage):
        return seen
    return replace(seen, what=name, stage=stage)


def _of_a_kind(words: str, crosswalk: Crosswalk) -> str:
    """The kind whose name a grower's word ends with: `aphid` of `bean aphids`; "" where none."""
    parts = tidy(words).split("_")
    ends = (crosswalk.kind("_".join(parts[at:])) for at in range(1, len(parts)))
    return next((kind for kind in ends if kind), "")


def _stood_in(seen: Sighting, crosswalk: Crosswalk) -> Iterator[str]:
    """That a kind stands in for the species that was named."""
    if name := named_as(seen, crosswalk):
        many = many_of(seen.what)
        yield f"{capital(name)}: reckoned as {many}, for which the figures stand in."


def _own_kind(seen: Sighting, kind: str) -> str:
    """What is said of one of a kind of which the tables know others, and not that one."""
    return (
        f"'{seen.what}' is of the kind {kind}, and is not reckoned by itself: kept, and nothing "
        f"is reckoned from it. If all you know is the kind, log that: lattermath log count "
        f"{seen.planting} {kind} 12,0,3."
    )


def _near(crosswalk: Crosswalk, words: str) -> str:
    """The known words that a word may be a slip of, or that stand in it."""
    near = crosswalk.nearest_seen(words) or tuple(_within(words, crosswalk))[:1]
    return f" Did you mean {' or '.join(near)}?" if near else ""


def _within(words: str, crosswalk: Crosswalk) -> Iterator[str]:
    """The known words in what was said, the longest first."""
    parts = re.findall(r"\w+", words.lower())
    for length in range(len(parts) - 1, 0, -1):
        for at in range(len(parts) - length + 1):
            said = " ".join(parts[at : at + length])
            if _known(said, crosswalk):
                yield said
