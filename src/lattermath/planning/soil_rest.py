"""Ground in which a disease lives on: how long its hosts stay off it."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.vocabulary.sentence import capital


@dataclass(frozen=True, slots=True)
class SoilRest:
    """One disease of the soil seen in one bed this season.

    place : key of the bed; of the planting where it stands in none.
    kinds : the crops it lives on, as a grower says it; crops : their ids.
    years : low and high of how long it lasts there.
    """

    place: str
    bed: str
    disease: str
    kinds: str
    crops: frozenset[str]
    years: tuple[float, float]

    @property
    def says(self) -> str:
        """In a line: `Clubroot stays in the soil: no cabbages in bed C for 7 to 20 years.`"""
        low, high = (f"{n:g}" for n in self.years)
        span = low if low == high else f"{low} to {high}"
        return (
            f"{capital(self.disease)} stays in the soil: no {self.kinds} in {self.bed} for {span} "
            "years."
        )
