"""The ground a planting stands on: how much there is, and what may follow on it."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.belief.crop_traits import CropTraits
from lattermath.vocabulary.plot import Planting, Plot
from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class Ground:
    """A piece of ground that comes free, and what it has behind it."""

    area_m2: float
    family: str = ""  # of what stood there
    soil_borne: str = ""  # a cause that stays in the soil, in the grower's words; "" for none
    name: str = ""
    bar: Because | None = None  # why nothing at all may be planted here yet

    def suits(self, traits: CropTraits) -> Because:
        """Say whether a crop may follow here: never the same family after a soil-borne cause."""
        if self.bar is not None:
            return self.bar
        if self.soil_borne and traits.family == self.family:
            return Because(
                f"{self.soil_borne} stays in this ground, and {traits.one} is of the same family",
                holds=False,
                who="our caution",
                rests_on=(f"table:crops/{traits.crop}/family",),
                way_out="put a crop of another family here",
            )
        return Because(
            f"nothing in this ground bars {traits.many}",
            rests_on=(f"table:crops/{traits.crop}/family",),
        )


def ground_of(plot: Plot, planting: Planting, traits: CropTraits, soil_borne: str = "") -> Ground:
    """The ground of one planting: its plants at their spacing, and never more than its bed."""
    in_row, between = traits.spacing_m
    area = planting.plants * in_row * between
    bed = plot.bed_of(planting)
    if bed is not None:
        area = min(area, bed.area_m2)
    name = planting.name if bed is None else bed.name
    return Ground(area, traits.family, soil_borne, name)
