"""What an insect means on this plot beyond its numbers: the wilt it carries, other means."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.did_it_work import did_it_work
from lattermath.desk.enemies_seen import enemies_told, share_undone, worth_of_enemies
from lattermath.desk.insect_belief import is_strange
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.course_search import Candidate
from lattermath.planning.other_means import other_means
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

LATE_NORTH = (7, 1)  # the table: plants set out from July; half a year on in the south
WILTS = ("cucumber", "melon")  # hosts that wilt; squash hardly does (the table's thresholds)


def late_share(facts: SeasonFacts, belief: ClusterBelief) -> Figure | None:
    """Share of the usual number that does the same harm on late plantings; None: no wilt."""
    row = facts.tables.organisms[belief.organism].row
    return row.find("scouting.late_planting")


def is_late(facts: SeasonFacts, planting: Planting) -> bool:
    """Whether a planting that wilts was set out or sown late enough to meet infective beetles."""
    begun = planting.started
    host = facts.tables.crosswalk.host(planting.crop, WILTS)
    if begun is None or host is None:
        return False
    month, day = LATE_NORTH
    if facts.plot.place.latitude < 0:
        return date(begun.year, 1, day) <= begun < date(begun.year, 7, day)
    return begun >= date(begun.year, month, day)


def harm(facts: SeasonFacts, belief: ClusterBelief) -> dict[str, float]:
    """Feeding days on a square centimetre that cost a twentieth, by planting. [d/cm2]

    The figure of the habits takes wilt in at the spring's share of infective beetles; on late
    plantings the same harm is reached at the table's share of it.
    """
    usual = facts.tables.habits[belief.organism].days_for_5_percent.value
    share = late_share(facts, belief)
    found = {}
    for stand in belief.stands:
        late = share is not None and is_late(facts, facts.plot.planting(stand.key))
        found[stand.key] = usual * share.value if share is not None and late else usual
    return found


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


def dearer_for_enemies(
    candidates: Sequence[Candidate],
    facts: SeasonFacts,
    belief: ClusterBelief,
    worth: NDArray[np.float64],
) -> tuple[Candidate, ...]:
    """The candidates, each with what it would undo of the enemies' work as part of its cost.

    worth : of one insect of a stage for a day, (n_plantings, n_stages). [portions]
    """
    spared = worth_of_enemies(belief, worth)
    if spared <= 0:
        return tuple(candidates)
    return tuple(
        replace(one, hazard=one.hazard + spared * _undone(one, facts)) for one in candidates
    )


def _undone(one: Candidate, facts: SeasonFacts) -> float:
    return share_undone(one.method, facts.tables.methods[one.method].group) if one.product else 0.0


def late_words(facts: SeasonFacts, belief: ClusterBelief) -> str:
    """The lower number for late plantings of this plot, with its reason; "" where none is late."""
    share = late_share(facts, belief)
    names = [
        stand.name
        for stand in belief.stands
        if stand.treatable and is_late(facts, facts.plot.planting(stand.key))
    ]
    if share is None or not names:
        return ""
    return (
        " They carry wilt, and about ten times as many of them do late in summer: on "
        f"{' and '.join(names)}, begun since July, act at the first beetle ({share.value:g} a "
        "plant), and mesh at once."
    )


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
    return other_means(facts.tables.methods, targets, facts.plot.visiting, names, cucurbits)
