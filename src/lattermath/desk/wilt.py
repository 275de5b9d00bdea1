"""The wilt that beetles carry: what it threatens, and how few beetles are then enough."""

from __future__ import annotations

from datetime import date

from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.figure import Figure
from lattermath.vocabulary.plot import Planting

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
    """Feeding days on a square centimetre that cost a twentieth, by planting. [d/cm2]"""
    plot = facts.plot
    return {s.key: harm_on(facts, belief, plot.planting(s.key)) for s in belief.stands}


def harm_on(facts: SeasonFacts, belief: ClusterBelief, planting: Planting) -> float:
    """Feeding days on a square centimetre that cost one planting a twentieth. [d/cm2]

    The figure of the habits takes wilt in at the spring's share of infective beetles; on late
    plantings the same harm is reached at the table's share of it.
    """
    usual = facts.tables.habits[belief.organism].days_for_5_percent.value
    share = late_share(facts, belief)
    return usual * share.value if share is not None and is_late(facts, planting) else usual


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
