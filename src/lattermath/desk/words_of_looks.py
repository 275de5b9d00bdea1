"""The words in which a look asks to count something, as the log reads them back on a crop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from lattermath.desk.living_on import lives_on
from lattermath.knowledge.crosswalk import tidy
from lattermath.knowledge.stage_words import named_stages
from lattermath.knowledge.tables import Tables
from lattermath.knowledge.word_numbers import either_number
from lattermath.planning.walk import words_of_looks
from lattermath.vocabulary.blanks import Wanted


def meant_by_looks(words: str, crop: str, tables: Tables) -> tuple[Wanted, ...]:
    """What a look's words may be counted of on a crop: one, several, or none that lives there.

    They may be the end of what a look says: `scales` for pale scales. Species that eyes do not
    tell apart are one, their kind; each is given by its organism or kind, stage and place.
    """
    said = set(either_number(tidy(words)))
    whole = [one for one in _asked_on(crop, tables) if tidy(one.says) in said]
    ends = (one for one in _asked_on(crop, tables) if _ends(one.says) & said)
    found: dict[str, Wanted] = {}
    for one in whole or ends:
        found.setdefault(one.organism, one)
    return _as_kinds(tuple(found.values()), tables)


def _ends(says: str) -> set[str]:
    parts = tidy(says).split("_")
    return {"_".join(parts[at:]) for at in range(1, len(parts))}


def _asked_on(crop: str, tables: Tables) -> Iterator[Wanted]:
    """Every word of a look at a crop, with the tables' own word for what is counted."""
    for one, habits in tables.habits.items():
        if lives_on(one, crop, tables):
            first, *more = words_of_looks(one, gathers=habits.flower_holds is not None)
            stages = tables.organisms[one].stages
            for blank in (first, *more, replace(first, says=habits.counted_word)):
                if not blank.stage or named_stages(blank.stage, stages):
                    yield blank


def _as_kinds(found: tuple[Wanted, ...], tables: Tables) -> tuple[Wanted, ...]:
    """The kind in place of several of its species that are told by the same stage and place."""
    kind_of = {one: kind for kind, held in tables.crosswalk.kinds.items() for one in held}
    like: dict[tuple[str, str, bool], list[Wanted]] = {}
    for one in found:
        kind = kind_of.get(one.organism, one.organism)
        like.setdefault((kind, one.stage, one.flowers), []).append(one)
    return tuple(
        replace(held[0], organism=kind) if len(held) > 1 else held[0]
        for (kind, _, _), held in like.items()
    )
