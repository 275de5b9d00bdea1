"""What may come over to a planting from one beside it, said where it is decided."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.desk.pest_parts import PestPlans, last_looked
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.stand_ins import name_of
from lattermath.vocabulary.plan import Population, Verdict
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import are_many, inside
from lattermath.vocabulary.tenths import about

WORTH_SAYING = 0.1  # judgement: share of the harvest from which what may come over is named
MOST_NAMED = 2  # plantings that it may come from


def with_coming_over(
    facts: SeasonFacts, verdict: Verdict, belief: CropBelief | None, pests: PestPlans
) -> Verdict:
    """A verdict with what lowers its harvest though nobody looked for it there.

    belief : of the planting; None: nothing is known of its harvest.

    A planting with nothing else to say names the worst on the front, the rest are its reasons.
    """
    if belief is None or verdict.verdict not in ("let run", "fight"):
        return verdict
    kg = belief.kg[:, facts.today_index :].mean(0)
    found = sorted(_coming(facts, verdict.planting, kg, pests), key=lambda one: -one[0])
    if not found:
        return verdict
    reasons = tuple(_because(facts, one, share, verdict.planting) for share, one in found)
    because = (*verdict.because[:1], *reasons, *verdict.because[1:])
    verdict = replace(verdict, because=because)
    if verdict.minds or verdict.verdict != "let run":
        return verdict
    share, worst = found[0]
    clause = f"{_comes(facts, worst)}, not looked for here"
    if _looked_over(facts, verdict.planting, worst):
        clause = f"{_stays(facts, worst, share)}: {_why_left(worst)}"
    says = f"{verdict.says}; {clause}"
    return replace(verdict, says=says, minds=True)


def _coming(
    facts: SeasonFacts, planting: str, kg: NDArray[np.float64], pests: PestPlans
) -> Iterator[tuple[float, Population]]:
    """What was not found here, or never looked for, and is reckoned to take of it all the same,
    with the share that it takes beside the courses."""
    for one in pests.populations:
        left = pests.kept.get((one.organism, planting))
        insect = one.organism in facts.tables.organisms
        if left is None or not insect or any(planting in step.plantings for step in one.course):
            continue
        if any(here.planting == planting and here.seen for here in one.where):
            continue
        share = lost(kg, left)
        if share > WORTH_SAYING:
            yield share, one


def _looked_over(facts: SeasonFacts, planting: str, one: Population) -> bool:
    """Whether somebody looked for it there, by its name or by its kind's."""
    kinds = facts.tables.crosswalk.kinds
    words = (one.organism, *(kind for kind, species in kinds.items() if one.organism in species))
    return any(last_looked(facts, planting, word) is not None for word in words)


def lost(kg: NDArray[np.float64], left: NDArray[np.float64]) -> float:
    """Share of a harvest that is lost; kg and share left of each coming day, (n_days,)."""
    days = min(len(kg), len(left))
    whole = float(kg[:days].sum())
    return 1.0 - float((kg[:days] * left[:days]).sum()) / whole if whole > 0 else 0.0


def _because(facts: SeasonFacts, one: Population, share: float, planting: str) -> Because:
    rests = (f"plot:planting/{planting}", "computed:what comes over between the plantings")
    if _looked_over(facts, planting, one):
        return Because(_stays(facts, one, share), rests_on=rests, way_out="look for it again")
    it = "them" if are_many(name_of(one, facts.tables)) else "it"
    says = (
        f"{_comes(facts, one)}, reckoned to take {about(share)} of its harvest beside the courses; "
        f"nobody has looked for {it} here"
    )
    return Because(says, rests_on=rests, way_out="look for it here")


def _comes(facts: SeasonFacts, one: Population) -> str:
    """What may come over, and from where."""
    names = [facts.plot.planting(here.planting).name for here in one.where if here.seen]
    there = " and ".join(names) if 0 < len(names) <= MOST_NAMED else "beside it"
    return f"{name_of(one, facts.tables)} may come over from {there}"


def _stays(facts: SeasonFacts, one: Population, share: float) -> str:
    """What the last look did not find and may be there yet, or come back."""
    name = name_of(one, facts.tables)
    return f"{name}, none at the last look, may still take {about(share)} of its harvest"


def _why_left(one: Population) -> str:
    """Why nothing is done about it here, in the words of its course."""
    if one.course:
        return "treated on other plantings only"
    return inside(one.course_says.partition(". ")[0])
