"""The ground a planting stands on: how much there is, and what may follow on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from lattermath.belief.crop_traits import CropTraits
from lattermath.planning.soil_rest import SoilRest
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
    rests: tuple[SoilRest, ...] = ()  # what lives on in the soil, seen here this season

    def suits(self, traits: CropTraits) -> Because:
        """Say whether a crop may follow here: never the same family after a soil-borne cause."""
        if self.bar is not None:
            return self.bar
        rest = next((one for one in self.rests if traits.crop in one.crops), None)
        if rest is not None:
            return Because(
                f"{rest.disease} stays in this ground, and {traits.one} is a host of it",
                holds=False,
                who="our caution",
                rests_on=(f"table:crops/{traits.crop}/family",),
                way_out=f"put something other than {rest.kinds} here",
            )
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


def with_neighbours(ground: Ground, bed_m2: float, others_m2: float) -> Ground:
    """The same ground without what other plantings of its bed need: it never comes free twice.

    others_m2 : ground of what else stands in the bed, at its spacing. [m2]
    """
    return replace(ground, area_m2=min(ground.area_m2, max(bed_m2 - others_m2, 0.0)))
