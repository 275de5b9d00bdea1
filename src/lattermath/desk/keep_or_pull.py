"""Keep or replace and the courses against insects, weighed together where they meet.

Coordinate ascent, at most two rounds: courses are found as if all stayed, plantings are decided by
what these leave of them; then taking out is run through for those in doubt, one by one, with what
it saves the neighbours and what still flies to clean plants, and they are decided again; and where
one comes out tonight that a course had to do with, courses are searched again without it and the
rest is decided by these.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from typing import Protocol

from lattermath.belief.crop_growth import GrowingSeason
from lattermath.desk.ground_turns import crops_with_turns
from lattermath.desk.pest_parts import PestPlans
from lattermath.desk.plan_crops import CropPlans
from lattermath.desk.pulled_pests import MOST_ASKED
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.fates import Care, Seen

Plan = Callable[[Collection[str], PestPlans | None], PestPlans]


class Decide(Protocol):
    """Decides every planting by what is left of it."""

    def __call__(self, cares: Mapping[str, Care], *, dated: bool, rough: bool = False) -> CropPlans:
        """All decisions; undated ones lack the last day of each, rough ones give lots in turn."""


IN_DOUBT = 0.1  # judgement: a chance of replacing from which taking out is run through


def decide_together(
    facts: SeasonFacts, season: GrowingSeason, plan: Plan, decide: Decide
) -> tuple[CropPlans, PestPlans]:
    """The decisions with what would turn each, and the courses that go with them.

    plan   : works out what lives on the plantings when some come out at the first visit, from
             what was found if none does.
    decide : decides every planting by what is left of it.
    """
    crops, pests = in_rounds(facts, plan, decide)
    return crops_with_turns(facts, season, crops), pests


def in_rounds(facts: SeasonFacts, plan: Plan, decide: Decide) -> tuple[CropPlans, PestPlans]:
    """The same, before it is asked what would turn them."""
    pests = plan((), None)
    keys = _in_doubt(decide(pests.cares, dated=False, rough=True), pests)
    if not keys or pests.if_pulled is None:
        return decide(pests.cares, dated=True), pests
    cares = pests.if_pulled(pests.cares, keys)
    out = _going(facts, decide(cares, dated=False)) & pests.treated
    if not out:
        return decide(cares, dated=True), pests
    pests = replace(pests, parts=(), if_pulled=None)  # runs of many MB, found again if need be
    anew = plan(out, pests)
    carried = {key: care for key, care in cares.items() if key in out}
    others = {key: _as_asked(cares.get(key), care) for key, care in anew.cares.items()}
    again = decide({**others, **carried}, dated=True)
    if not out <= _going(facts, again):  # they lean on each other: the first answer stands
        return decide(cares, dated=True), plan((), None)
    return again, anew


def _as_asked(before: Care | None, care: Care) -> Care:
    """What taking it out would do, as it was run through before."""
    if before is None:
        return care
    return replace(
        care,
        anew=before.anew,
        beside=before.beside,
        helps=before.helps,
        treated=before.treated,
        seen=_seen_as_asked(before.seen, care.seen),
    )


def _seen_as_asked(before: Seen | None, seen: Seen | None) -> Seen | None:
    if before is None or seen is None:
        return seen
    return replace(
        seen,
        anew=before.anew,
        beside=before.beside,
        helps=before.helps,
        treated=before.treated,
    )


def _in_doubt(crops: CropPlans, pests: PestPlans) -> list[str]:
    """Plantings in a cluster of insects that may be replaced, the likeliest first."""
    doubts = [
        (decision.verdict.chance_replacing_better, key)
        for key, decision in crops.decisions.items()
        if key in pests.homes and (key in pests.sick or decision.verdict.verdict == "replace"
                              or decision.verdict.chance_replacing_better >= IN_DOUBT)
    ]  # fmt: skip
    return [key for _, key in sorted(doubts, key=lambda one: (-one[0], one[1]))][:MOST_ASKED]


def _going(facts: SeasonFacts, crops: CropPlans) -> frozenset[str]:
    """What comes out whole at the first visit."""
    first = facts.visits[0] if facts.visits else None
    return frozenset(
        key
        for key, day in crops.pulled(facts).items()
        if day == first and not crops.decisions[key].chosen.keeps
    )
