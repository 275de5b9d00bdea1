"""Means without a pack: who has them, what they cost in minutes, and which are no course at all."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from lattermath.knowledge.methods import Method
from lattermath.vocabulary.plot import OnHand, Plot
from lattermath.vocabulary.ruling import Because

MESH = "row_cover"
AT_DUSK = ("vacuum", "bag_enclosure")  # adults sit still: the last job, as sprays are
ON_ARRIVAL = ("water_jet", "board_trap")  # leaves dry before dark; what sits below boards runs off
RELEASES = ("phytoseiulus", "lacewing_ladybeetle")


@dataclass(frozen=True, slots=True)
class Means:
    """How one method is used in a course. Minutes and gaps are judgement.

    needs    : word of the plot file under which the grower has it; None: everybody has it.
    minutes  : work per square metre of the planting. [min/m2]
    once     : work per visit beside that. [min]
    gap_days : days between two uses on a planting.
    uses     : uses on a planting in one course.
    says     : what is done, as the sheet says it; "" for the name of the table.
    """

    needs: OnHand | None
    minutes: float
    once: float = 0.0
    gap_days: int = 2
    uses: int = 12
    says: str = ""


MEANS: Mapping[str, Means] = {
    "prune_leaves": Means(None, 3.0, gap_days=10, uses=3),  # leaf must grow again in between
    "water_jet": Means(None, 1.5),  # the hose is asked for by the rulings
    "hand_pick": Means(None, 4.0),
    "vacuum": Means("vacuum", 1.5, 5.0, 1, says="Vacuum the sitting adults off"),
    "bag_enclosure": Means(
        None, 10.0, 2.0, says="Slip an empty bag over each shoot, shake, tie, off again"
    ),
    "board_trap": Means(None, 0.5, 2.0, 1, says="Lift the boards and crush what sits below"),
    "phytoseiulus": Means("predatory mites", 0.3, 3.0, 14, 2, "Let out predatory mites"),
    "lacewing_ladybeetle": Means("lacewing larvae", 0.3, 3.0, 10, 3, "Let out lacewing larvae"),
}

# Methods of the table that are never a step of a course, by the word of the plot file where a
# grower may have them: why, and what of it is true.
NO_COURSE: Mapping[str, tuple[str, str]] = {
    "yellow cards": (
        "sticky_cards",
        "yellow cards are no course: they take a tenth of the adults and none of the young; one "
        "card just below the plant's top shows whether adults fly",
    ),
    "whitefly wasps": (
        "encarsia",
        "whitefly wasps are no course here: they leave an open plot, and take none of the cabbage "
        "whitefly; leave leaves with black scales on, where they breed by themselves",
    ),
    "ladybirds": (
        "lacewing_ladybeetle",
        "ladybirds let out are no course: grown ones fly off within days; spare those that are "
        "there by choosing soft means",
    ),
}
NEVER_A_STEP: Mapping[str, str] = {
    "trap_crop": "a trap crop becomes a nursery on a small plot unless it is pulled before eggs "
    "mature",
    "remove_plant": "pulling is weighed planting by planting under keep or replace",
}

# Crops that set no fruit without bees: the table's "cucurbits", seedless cucumbers not told apart.
NEEDS_BEES = frozenset(
    {"cucumber_pickling", "cucumber_slicing", "summer_squash", "winter_squash", "melon"}
)


def on_hand(plot: Plot) -> dict[str, Means]:
    """The means that this grower can use, by method."""
    there = plot.means.on_hand
    return {m: one for m, one in MEANS.items() if one.needs is None or one.needs in there}


def cover_of(plot: Plot) -> OnHand | None:
    """The cover to use where there are several: the finest mesh; fleece only without any."""
    covers: tuple[OnHand, ...] = ("fine mesh", "mesh", "fleece")
    return next((one for one in covers if one in plot.means.on_hand), None)


def no_course(
    plot: Plot, words: Collection[str], methods: Mapping[str, Method]
) -> Iterator[Because]:
    """What the grower has and the plan does not use against an organism, each with its reason.

    words : what efficacy rows call the organism, as in Crosswalk.targets.
    """
    for word in plot.means.on_hand:
        method, says = NO_COURSE.get(word, ("", ""))
        if method and methods[method].against(tuple(words)):
            yield Because(says, rests_on=(f"table:methods/{method}/name",))
