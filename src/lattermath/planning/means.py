"""Means without a pack: who has them, and what they cost in minutes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from lattermath.vocabulary.plot import OnHand, Plot

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
    of_masses: the same against what lays its eggs in masses; "" for the same words.
    of_aphids: the same against aphids, of which wasps may have some; "" for the same words.
    """

    needs: OnHand | None
    minutes: float
    once: float = 0.0
    gap_days: int = 2
    uses: int = 12
    says: str = ""
    of_masses: str = ""
    of_aphids: str = ""

    def said(self, targets: Collection[str]) -> str:
        """What is done against an organism of these targets; "" for the name of the table."""
        if self.of_aphids and APHID in targets:
            return self.of_aphids
        return self.of_masses if self.of_masses and EGG_MASSES in targets else self.says


APHID = "aphid"  # of the methods' efficacy rows, as the next
EGG_MASSES = "visible egg masses"  # the word of the methods' efficacy rows
MEANS: Mapping[str, Means] = {
    "prune_leaves": Means(None, 3.0, gap_days=10, uses=3),  # leaf must grow again in between
    "water_jet": Means(None, 1.5),  # the hose is asked for by the rulings
    "hand_pick": Means(
        None,
        4.0,
        says="Pick off and crush by hand",
        of_masses="Pick off and crush by hand, egg masses first",
        of_aphids="Pick off and crush by hand, not brown mummies (wasps in them)",
    ),
    "vacuum": Means("vacuum", 1.5, 5.0, 1, says="Vacuum the sitting adults off"),
    "bag_enclosure": Means(
        "bags", 10.0, 2.0, says="Slip an empty bag over each shoot, shake, tie, off again"
    ),
    "board_trap": Means(None, 0.5, 2.0, 1, says="Lift the boards and crush what sits below"),
    "phytoseiulus": Means("predatory mites", 0.3, 3.0, 14, 2, "Let out predatory mites"),
    "lacewing_ladybeetle": Means("lacewing larvae", 0.3, 3.0, 10, 3, "Let out lacewing larvae"),
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
