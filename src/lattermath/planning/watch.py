"""One planting that may carry an organism, and what is known of a look there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lattermath.planning.awaited_count import Awaited
from lattermath.planning.stage_now import StageNow
from lattermath.planning.walk import counted_as, wants_plants
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because


@dataclass(frozen=True, slots=True)
class Watch:
    """One planting that may carry an organism."""

    organism: str
    organism_name: str
    planting: Planting
    last_looked: date | None
    suspected: bool  # something has been seen on it
    found: bool = False  # seen on it, and not missed since
    neighbour_of_sick: bool = False  # adults flushed by work would settle here
    decides: str = ""  # what the count decides
    decides_on: date | None = None  # the visit on which it decides it
    hangs: str = ""  # what of the crop hangs on it, that no look there bears out yet
    because: tuple[Because, ...] = ()  # why it is looked for at all
    worth: LookWorth | None = None  # None where it is not reckoned
    tells: str = ""  # what ten leaves can say and what not
    unseen: float = 0.0  # of what nobody saw yet: share of the yield that it may come to cost
    walked: date | None = None  # last look at leaves, or at plants, of an unseen one's planting
    now: StageNow | None = None  # what a look meets most of; None where that is not known
    flowers: bool = False  # it is tapped out of flowers here
    tells_why: bool = False  # what was seen there is at odds with what is believed
    mixed: bool = False  # the leaves of its walk are of two heights: no early stop is reckoned so
    awaited: tuple[Awaited, ...] = ()  # treatments there that no count has told of yet
    card: date | None = None  # the last on which a card there caught some

    @property
    def what(self) -> str:
        """What a look counts, in the plural."""
        return counted_as(self.organism, self.now)

    @property
    def units(self) -> str:
        """What it is counted on: leaves, plants or flowers."""
        return "flowers" if self.flowers else "plants" if wants_plants(self.organism) else "leaves"
