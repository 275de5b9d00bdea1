"""A verdict asked again with one input moved, as it was found: at the day that was decided too."""

from __future__ import annotations

from collections.abc import Collection

from lattermath.planning.fates import Choices, FateOutlook, GoesIn
from lattermath.planning.keep_or_replace import STAYS, Table, best, settle, weigh, word_of
from lattermath.planning.new_plants import replacing_at
from lattermath.vocabulary.plan import Verdict_


def verdict_again(
    choices: Choices,
    table: Table,
    decided: FateOutlook,
    among: Collection[GoesIn] | None = None,
) -> Verdict_:
    """The verdict on the same ground, lots and table with something moved.

    Where cups are shared out among several beds a bed may get them at a later visit than the next,
    on which perhaps nothing may go in at all. Asked at the next visit alone it would be let run
    whatever was moved; so the lot decided is held against keeping on its own day as well.
    """
    found = settle(choices, table, among=among)
    word = word_of(found.chosen.outlook)
    if word not in STAYS or not decided.crop or decided.begins in (None, choices.visits[0]):
        return word
    judged = choices.unharmed() if choices.young else choices
    visit = decided.begins if decided.begins is not None else choices.visits[0]
    begun = weigh(replacing_at(judged, visit, {(decided.crop, decided.lot)}), judged, table)
    return "replace" if begun and best(begun).mean > found.rival.mean else word
