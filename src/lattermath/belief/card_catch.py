"""What a yellow sticky card catches of adults that fly, beside how many live on the plants."""

from __future__ import annotations

from lattermath.knowledge.organisms import Organism

PER_48_H = "scouting.sticky_trap_per_48h"  # of the table: on one card where one adult lives a plant
# Judgement: caught by one card in a day where one adult lives a plant. No trade table that was
# read gives a figure for these; that counts on cards go with counts on plants only near the card
# is in the table (sticky_cards, abstracts), so the spread below is wide.
CAUGHT_A_DAY = {
    "greenhouse_whitefly": 0.5,
    "sweetpotato_whitefly": 0.5,
    "cabbage_whitefly": 0.5,
    "onion_thrips": 0.3,
    "western_flower_thrips": 0.3,
    "flea_beetles": 0.5,
}
# Judgement: what one reading has wrong in common, log scale: where the card hangs, how warm the
# days were, how many of the flyers only came by.
CARD_SD = 1.0
LEAVES_OF_A_CARD = 10.0  # judgement: it catches from so many, so a clump on one leaf hardly tells


def catch_of(organism: Organism) -> float | None:
    """Adults that one card catches in a day where one lives a plant; None: cards say too little.

    Aphids on cards are the winged few on their way, mites and caterpillars do not fly: of them a
    card says nothing that the model can use.
    """
    figure = organism.row.find(PER_48_H)
    if figure is not None:
        return figure.value / 2
    return CAUGHT_A_DAY.get(organism.id)
