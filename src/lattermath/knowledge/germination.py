"""Days to emergence and final stand by soil temperature, as tested."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class GerminationRow(OfRow):
    """One crop of the germination tables. A temperature that is absent was not tested."""

    @property
    def days(self) -> Mapping[float, Figure | None]:
        """Days to emergence by soil temperature [C]; None: none germinated, which is an answer."""
        found: dict[float, Figure | None] = dict(_by_temperature(self.row.under("days")))
        for column in self.row.texts:
            if column.startswith("days.t"):
                found[float(column.removeprefix("days.t"))] = None
        return dict(sorted(found.items()))

    @property
    def stand(self) -> Mapping[float, Figure]:
        """Normal seedlings of 100 seeds by soil temperature [C]; 0 is an answer. [%]"""
        return _by_temperature(self.row.under("stand"))

    @property
    def line(self) -> tuple[Figure, Figure] | None:
        """Base temperature [C] and heat [C d] of the straight line, which holds at 10 to 25 C."""
        base, total = self.row.find("tb"), self.row.find("dd")
        return (base, total) if base and total else None


def _by_temperature(figures: Mapping[str, Figure]) -> dict[float, Figure]:
    found = {float(k.removeprefix("t")): f for k, f in figures.items() if k.startswith("t")}
    return dict(sorted(found.items()))
