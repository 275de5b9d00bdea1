"""Water held by soils of each texture."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.knowledge.rows import Row
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Soil:
    """One soil texture; water contents as volume of water in volume of soil."""

    row: Row

    @property
    def id(self) -> str:
        """The texture's name, as in plot.toml: `silty clay loam`."""
        return self.row.text("name")

    @property
    def field_capacity(self) -> Figure:
        """Water content a day or two after full wetting. [1]"""
        return self.row.figure("field_capacity")

    @property
    def wilting_point(self) -> Figure:
        """Water content at which plants wilt for good. [1]"""
        return self.row.figure("wilting_point")

    @property
    def readily_evaporable_mm(self) -> Figure | None:
        """Water that evaporates at the full rate from the wet surface. [mm]"""
        return self.row.find("readily_evaporable_mm")
