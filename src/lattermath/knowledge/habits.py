"""How an insect or mite sits, feeds and is counted on a plant: our own table beside the pest's."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure

Place = Literal[
    "underside", "top", "growing point", "flowers", "stem base", "inside the stem",
    "inside the leaf", "soil",
]  # fmt: skip

# Judgement: share of what sits in a place that stands on the underside and on the top of leaves,
# and share that can be wetted, seen and picked at all when the whole plant is worked over.
ON_SURFACES: dict[Place, tuple[float, float, float]] = {
    "underside": (0.9, 0.1, 1.0),
    "top": (0.2, 0.8, 1.0),
    "growing point": (0.4, 0.4, 0.8),
    "flowers": (0.2, 0.3, 0.6),
    "stem base": (0.0, 0.2, 0.5),
    "inside the stem": (0.0, 0.0, 0.0),
    "inside the leaf": (0.0, 0.0, 0.0),
    "soil": (0.0, 0.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class Habits(OfRow):
    """One insect or mite; stages are those of its pest table, places words of our own."""

    def place(self, stage: str) -> Place:
        """Where a stage sits; the underside where the table does not say."""
        named = self.row.texts
        keys = (k for k in named if k.startswith("place.") and stage.startswith(k[6:]))
        key = max(keys, key=len, default=None)
        return "underside" if key is None else cast(Place, named[key].value)

    def on_surfaces(self, stage: str) -> tuple[float, float, float]:
        """Shares of a stage on undersides, on tops, and within reach at all. [0 to 1]"""
        return ON_SURFACES[self.place(stage)]

    def appetite(self, stage: str) -> float:
        """What one insect of a stage eats a day, where one feeding young eats 1."""
        if stage.startswith(("egg", "pupa", "prepupa")):
            return 0.0
        found = self.row.find("feeds.adult" if stage.startswith("adult") else "feeds.young")
        return found.value if found else 0.0

    @property
    def days_for_5_percent(self) -> Figure:
        """Feeding days on a square centimetre of leaf that cost a twentieth. [d/cm2]"""
        return self.row.figure("days_for_5_percent")

    @property
    def crowded_per_cm2(self) -> float:
        """Density at which half of the laying is lost. [insects/cm2]"""
        return self.row.figure("crowded_per_cm2").value

    @property
    def start_per_plant(self) -> float:
        """Insects of all stages on a plant of the best host before they are first seen."""
        return self.row.figure("start_per_plant").value

    @property
    def arrivals_per_plant_day(self) -> float:
        """Adults that fly in on a plant of the best host in a day. [insects/d]"""
        return self.row.figure("arrivals_per_plant_day").value

    @property
    def survives_as_in_the_field(self) -> bool:
        """True when the pest table's survival needs no further loss outdoors."""
        return self.row.words("survival_is") == "field"

    @property
    def counted(self) -> tuple[str, ...]:
        """Beginnings of the stages that a grower counts."""
        return tuple(word.strip() for word in self.row.text("counts").split(","))

    @property
    def counted_word(self) -> str:
        """What a grower calls them: `pale scales`."""
        return self.row.text("counts_word")

    @property
    def counted_by_plant(self) -> bool:
        """True when they are counted on whole plants, not on leaves."""
        return self.row.words("counted_a") == "plant"

    @property
    def action(self) -> Figure | None:
        """Published or customary number from which growers treat, a leaf or plant. [insects]"""
        return self.row.find("action")

    @property
    def new_adults_lay_to(self) -> Figure | None:
        """Day of the year, north, from which new adults no longer lay; None where all lay."""
        return self.row.find("new_adults_lay_to")
