"""What a sheet asks back of a task beyond a tick, so that a pencilled answer becomes an entry."""

from __future__ import annotations

from dataclasses import dataclass

from lattermath.vocabulary.events import Surface


@dataclass(frozen=True, slots=True)
class Wanted:
    """One figure that a look brings home.

    organism : what is looked for, as the tables name it.
    says     : the word beside the blank.
    stage    : which stage is counted, in the grower's word; "" where all of them are.
    share_of : the surface of which a share is judged, in percent; None where leaves are counted.
    some     : only the leaves that have any are counted.
    flowers  : it is tapped out of flowers, and the number is of those.
    plants   : it is counted on whole plants.
    """

    organism: str
    says: str
    stage: str = ""
    share_of: Surface | None = None
    some: bool = False
    flowers: bool = False
    plants: bool = False


@dataclass(frozen=True, slots=True)
class GoesIn:
    """What a task sets out or sows, and where.

    crop : id in the tables; bed, lot : keys of the plot file, None where there is none.
    """

    crop: str
    called: str  # the crop as the grower reads it, in the plural
    bed: str | None = None
    lot: str | None = None
