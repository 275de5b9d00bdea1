"""What waits in cups and what to sow in them, and what each bare bed of a plan may carry."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from lattermath.desk.permits import Permits
from lattermath.desk.plan_crops import CropPlans, part_bare
from lattermath.desk.plan_standby import last_useful, standby
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.young_in_beds import beside_part, infested_of
from lattermath.planning.bare_ground_told import ground_told
from lattermath.planning.next_spring import next_spring
from lattermath.planning.pest_beside import Treated
from lattermath.planning.season_left import gap_crops
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.plan import LastSowing, StandbyAdvice
from lattermath.vocabulary.plot import Bed
from lattermath.vocabulary.ruling import Because


class CupsAndGround(NamedTuple):
    """Standby lots with what to sow, the last useful sowings of the tin, and bare ground."""

    standby: tuple[StandbyAdvice, ...]
    last_sowings: tuple[LastSowing, ...]
    bare: tuple[BareGround, ...]


def cups_and_ground(
    facts: SeasonFacts, crops: CropPlans, permits: Permits, treated: Treated
) -> CupsAndGround:
    """All of it, once every planting and bed is decided, and every course."""
    return CupsAndGround(
        standby(facts, crops),
        last_useful(facts, crops),
        tuple(_told(facts, crops, permits, treated)),
    )


def _told(
    facts: SeasonFacts, crops: CropPlans, permits: Permits, treated: Treated
) -> Iterator[BareGround]:
    """Every bed with ground left, in the order of the plot."""
    fillers, _ = gap_crops(crops.season)
    sown = {*fillers, *(packet.crop for packet in facts.plot.tin.packets)}
    seen = infested_of(facts)
    for bed in facts.plot.beds:
        spring = tuple(_spring(facts, bed))
        filling = crops.fillings.get(bed.key)
        asked = crops.bare.get(bed.key) if filling is None else filling.asked
        if asked is not None:
            yield ground_told(*asked, filled=filling is not None, spring=spring)
            continue
        care = beside_part(facts, bed, sown, treated, seen)
        if (part := part_bare(facts, crops, permits, bed, care)) is not None:
            yield ground_told(*part, filled=False, whole=False, spring=spring)


def _spring(facts: SeasonFacts, bed: Bed) -> Iterator[Because]:
    """What it bore this year, as far as it should not bear it next spring."""
    families = {key: crop.family for key, crop in facts.tables.crops.items()}
    for rest in next_spring((bed,), facts.plot.plantings, families):
        _, _, kinds = rest.says.partition(": ")
        words = f"next spring {kinds} there"
        yield Because(words, who="our caution", rests_on=(f"plot:bed/{bed.key}",))
