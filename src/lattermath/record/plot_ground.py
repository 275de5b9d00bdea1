"""What stands where: beds, plantings and the neighbour's plantings of a plot file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from lattermath.record.plot_references import Complain
from lattermath.record.plot_sections import (
    BedSection,
    GrowingSection,
    NeighbourSection,
    PlantingSection,
    Section,
)
from lattermath.record.rough_dates import RoughDate
from lattermath.vocabulary.plot import Bed, Planting

# Judgement, where the file gives no position: a path between beds, and the next plot's distance.
PATH_M = 0.5
NEXT_PLOT_M = 2.0


def given(section: Section, *names: str) -> dict[str, Any]:
    """The named values that were written, lists as tuples; the rest keeps its default."""
    values = {name: getattr(section, name) for name in names}
    return {
        name: tuple(value) if isinstance(value, list) else value
        for name, value in values.items()
        if value is not None
    }


def lay_out(sections: Iterable[tuple[str, BedSection]]) -> list[Bed]:
    """Beds at their positions; a bed without one lies east of those before it, a path away."""
    beds: list[Bed] = []
    for key, section in sections:
        east = max((bed.x_m + bed.length_m + PATH_M for bed in beds), default=0.0)
        beds.append(
            Bed(
                key=key,
                name=section.name,
                x_m=east if section.x_m is None else section.x_m,
                y_m=0.0 if section.y_m is None else section.y_m,
                length_m=section.length_m,
                width_m=section.width_m,
                placed=section.x_m is not None and section.y_m is not None,
                **given(section, "texture", "mulched", "root_limit_m", "watering"),
            )
        )
    return beds


@dataclass(frozen=True, slots=True)
class Ground:
    """The beds of a file, by which plantings are placed."""

    beds: Sequence[Bed]
    bed_words: Mapping[str, str]  # key or name in small letters of each bed, to its key

    def planting(self, key: str, section: PlantingSection, complain: Complain) -> Planting:
        """An own planting, in its bed."""
        planting = _growing(key, section, f"planting.{key}", complain)
        bed = None if section.bed is None else self.bed_words.get(section.bed.casefold())
        return replace(planting, bed=bed)

    def neighbour(self, key: str, section: NeighbourSection, complain: Complain) -> Planting:
        """A planting on the neighbour's plot, placed by its side and distance."""
        planting = _growing(key, section, f"neighbour.{key}", complain)
        x_m, y_m = self._beside(section)
        if section.x_m is not None and section.y_m is not None:
            x_m, y_m = section.x_m, section.y_m
        return replace(planting, neighbours_plot=True, x_m=x_m, y_m=y_m)

    def _beside(self, section: NeighbourSection) -> tuple[float, float]:
        """Centre of a planting that many metres beyond the outermost bed on its side."""
        west = min((bed.x_m for bed in self.beds), default=0.0)
        east = max((bed.x_m + bed.length_m for bed in self.beds), default=0.0)
        south = min((bed.y_m for bed in self.beds), default=0.0)
        north = max((bed.y_m + bed.width_m for bed in self.beds), default=0.0)
        away = NEXT_PLOT_M if section.distance_m is None else section.distance_m
        middle_x, middle_y = (west + east) / 2, (south + north) / 2
        return {
            "north": (middle_x, north + away),
            "south": (middle_x, south - away),
            "west": (west - away, middle_y),
            "east": (east + away, middle_y),
        }[section.side or "east"]


def _growing(key: str, section: GrowingSection, where: str, complain: Complain) -> Planting:
    sown, set_out = section.sown, section.set_out
    rough = [found.about_days for found in (sown, set_out) if found is not None]
    about_days = max(rough, default=0) if section.about_days is None else section.about_days
    if sown and set_out and (set_out.day - sown.day).days < -2 * about_days:
        found = f"{sown.day} and {set_out.day}"
        complain("it was set out before it was sown", f"{where}.set_out", found, "Mend one date.")
    return Planting(
        key=key,
        name=section.name or key.replace("-", " "),
        crop=section.crop,
        plants=section.plants or 1,
        sown=_day(sown),
        set_out=_day(set_out),
        about_days=about_days,
        bearing_since=_day(section.bearing_since),
        **given(
            section,
            *("variety", "days_to_maturity", "resists", "vigour"),
            *("wilted", "in_bloom", "x_m", "y_m"),
        ),
    )


def _day(found: RoughDate | None) -> date | None:
    return None if found is None else found.day
