"""What an insect means on this plot beyond its numbers: wilt, soiled produce, other means."""

from __future__ import annotations

from collections.abc import Collection

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.clean_hosts import means_told
from lattermath.desk.did_it_work import did_it_work
from lattermath.desk.enemies_seen import enemies_told, none_reckoned
from lattermath.desk.insect_belief import is_strange
from lattermath.desk.last_counted import last_counted
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.spoiled_produce import spoiled_of
from lattermath.desk.wilt import late_words
from lattermath.planning.course_task import Found
from lattermath.planning.spoiled_told import spoiled_because, spoiled_says
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.spoiled import Spoiled


def told_of(
    facts: SeasonFacts,
    belief: ClusterBelief,
    sick: Collection[str],
    stakes: Stakes,
    found: Found,
) -> tuple[str, tuple[Because, ...], tuple[Spoiled, ...]]:
    """What it means beyond its numbers: words, reasons, and the produce that it soils.

    Wilt, enemies, what worked, what is soiled, other means.
    sick   : keys of the plantings on which it was seen.
    stakes : what each planting gives, by day.
    found  : the course, beside what would live there if nothing at all were done.
    """
    spoiled = spoiled_of(facts, belief, stakes, found)
    names = [facts.plot.planting(one.planting).name for one in spoiled]
    says, reasons = enemies_told(facts, belief)
    worked, proofs = did_it_work(facts, belief)
    strange = ""
    if is_strange(facts, belief.organism):
        strange = " It is not known from here: have one named before you act."
    soils = spoiled_says(spoiled, names)
    counted = last_counted(facts, belief, sick)
    says = counted + strange + late_words(facts, belief) + soils + says + worked
    unreckoned = none_reckoned(facts, belief.organism)
    why = (
        *reasons,
        *unreckoned,
        *spoiled_because(spoiled, names),
        *proofs,
        *means_told(facts, belief, sick),
    )
    return says, why, spoiled
