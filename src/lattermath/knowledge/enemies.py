"""What the tables say of one kind of natural enemy; every figure with its origin."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Enemy(OfRow):
    """One kind of natural enemy, or the sign it leaves."""

    @property
    def name(self) -> str:
        """As growers call it."""
        return self.row.text("name")

    @property
    def words(self) -> tuple[str, ...]:
        """Words of growers for it."""
        return _parted(self.row.text("words"))

    @property
    def prey(self) -> tuple[str, ...]:
        """Organisms it takes."""
        return _parted(self.row.text("prey"))

    @property
    def stages(self) -> tuple[str, ...]:
        """Beginnings of the stages it takes."""
        return _parted(self.row.text("stages"))

    @property
    def is_a_share(self) -> bool:
        """True where it is a host that was taken, counted beside the living ones."""
        return self.row.words("takes") == "share"

    @property
    def eats_a_day(self) -> Figure | None:
        """Prey that one takes in a day where there is enough. [insects/d]"""
        return self.row.find("eats_a_day")


def _parted(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(","))
