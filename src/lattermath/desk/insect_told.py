"""What an insect means on this plot beyond its numbers: the wilt it carries, other means."""

from __future__ import annotations

from collections.abc import Collection

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.did_it_work import did_it_work
from lattermath.desk.enemies_seen import enemies_told
from lattermath.desk.insect_belief import is_strange
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wilt import late_words
from lattermath.planning.means import MESH, cover_of, on_hand
from lattermath.planning.other_means import other_means
from lattermath.vocabulary.ruling import Because


def told_of(
    facts: SeasonFacts, belief: ClusterBelief, sick: Collection[str]
) -> tuple[str, tuple[Because, ...]]:
    """Words for the sheet beyond the numbers, and reasons: wilt, enemies, what worked, other means.

    sick : keys of the plantings on which it was seen.
    """
    says, reasons = enemies_told(facts, belief)
    worked, proofs = did_it_work(facts, belief)
    strange = ""
    if is_strange(facts, belief.organism):
        strange = " It is not known from here: have one named before you act."
    says = strange + late_words(facts, belief) + says + worked
    return says, (*reasons, *proofs, *means_told(facts, belief, sick))


def means_told(
    facts: SeasonFacts, belief: ClusterBelief, sick: Collection[str]
) -> tuple[Because, ...]:
    """What mesh, cards and the like would do, and why they are no step of the course.

    sick : keys of the plantings on which it was seen.
    """
    hosts = [facts.plot.planting(stand.key) for stand in belief.stands]
    clean = [p for p in hosts if p.key not in sick and not p.neighbours_plot]
    cucurbits = {p.name for p in clean if facts.tables.crops[p.crop].family == "Cucurbitaceae"}
    targets = facts.tables.crosswalk.targets.get(belief.organism, ())
    names = [planting.name for planting in clean]
    usable = {*on_hand(facts.plot), *((MESH,) if cover_of(facts.plot) else ())}
    return other_means(facts.tables.methods, targets, facts.plot.visiting, names, cucurbits, usable)
