"""From what lives on a cluster to what may be used, what it costs, and what the sheet says."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand, neighbours_at_risk
from lattermath.belief.cluster_sightings import counted_shares, is_tapped
from lattermath.belief.treatment_effect import Effect, effect_of
from lattermath.knowledge.methods import Method
from lattermath.planning.choices_told import Asked, about, nothing_told, others_told, with_about
from lattermath.planning.course_outcome import (
    course_says,
    gone_on_with,
    last_day,
    stage_groups,
)
from lattermath.planning.course_task import Candidate, Found, Step
from lattermath.planning.means import MEANS, Means
from lattermath.planning.strips import strip
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import CourseStep, Population, Span
from lattermath.vocabulary.plot import Household
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.season_series import Strip
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.tenths import NEAR_THE_ENDS

if TYPE_CHECKING:
    from lattermath.belief.clusters import ClusterBelief
    from lattermath.planning.going_on import GoingOn

FloatArray = NDArray[np.float64]

SPRAY_MINUTES_M2 = 2.0  # judgement: undersides to run-off
MIX_MINUTES = 8.0  # judgement: mixing, rinsing, changing
HANDS = {method: one for method, one in MEANS.items() if one.needs is None}
HAND_COVERAGE = 0.7
SOFT_HAZARD = 0.3  # judgement: soap and oil beside a nerve poison
ONE = {"young": "young", "pupae": "pupa"}  # the rest lose their s
MOST_SAID = 90  # judgement: a bound that leaves nearly all open says nothing [%]
A_LEAF = "a leaf, overlooked ones too, over all these plantings"
MORE_BY_FAR = 1.5  # judgement: less is not worth a word
A_PLANT = "a plant, overlooked ones too, over all these plantings"
PER = (" a leaf", " a plant", " a week", " a flower")  # how a threshold's note names its unit
SELDOM = 0.05  # least share of leaving adults that makes a neighbour worth a look


def candidates_of(
    shelf: Sequence[ProductLabel],
    methods: Mapping[str, Method],
    targets: Sequence[str],
    belief_stages: Sequence[str],
    organism: str,
    household: Household,
    means: Mapping[str, Means] = HANDS,
) -> tuple[Candidate, ...]:
    """Everything on the shelf, and all means on hand, that kill some stage of the organism.

    targets : what efficacy rows call it (Crosswalk.targets).
    means   : what the grower has besides the shelf (means.on_hand).
    Whether any of it is permitted is for the rulings.
    """
    found = []
    for label in shelf:
        method = methods.get(label.active)
        if method is None:
            continue
        effect = effect_of(method, organism, targets, belief_stages)
        if effect is None:
            continue
        soft = "not classified" in method.group.lower()
        found.append(
            Candidate(
                label.key,
                label.active,
                label.key,
                label.name,
                effect,
                ("underside", "top"),
                HAND_COVERAGE,
                SPRAY_MINUTES_M2,
                MIX_MINUTES,
                household.worth_of_treatment * (SOFT_HAZARD if soft else 1.0),
            )
        )
    for key, one in means.items():
        effect = effect_of(methods[key], organism, targets, belief_stages)
        if effect is not None:
            found.append(
                Candidate(
                    key,
                    key,
                    None,
                    one.said(targets) or methods[key].name,
                    effect,
                    ("underside", "top"),
                    HAND_COVERAGE,
                    one.minutes,
                    one.once,
                    least_gap_days=one.gap_days,
                    most_uses=one.uses,
                )
            )
    return tuple(found)


def no_effect(method: str) -> Effect:
    """The effect on insects of a material that is used against something else."""
    return Effect(method, {})


def gap_told(gap: float | None, method: str) -> Iterator[Because]:
    """By how much a course may miss the best there is; None: there is none, or it is not reckoned.

    method : by which it is bounded, in words.
    """
    if gap is None:
        return
    most = max(round(100 * gap), 1)
    says = f"of what any allowed course could save it misses at most {most} %"
    if most > MOST_SAID:
        says = "how much of what any allowed course could save it misses is not known"
    yield Because(says, rests_on=(f"computed:bound by {method} on the same futures",))


def look_beside(belief: ClusterBelief, found: Found) -> tuple[str, ...]:
    """Plantings to look at in the same visit as the first step: adults put up settle there."""
    first = [step for step in found.steps if step.visit == found.steps[0].visit]
    treated = {place for step in first for place in step.places}
    beside = [n for p in treated for n in neighbours_at_risk(belief.settle, p, SELDOM)]
    return tuple(dict.fromkeys(belief.stands[n].key for n in beside if n not in treated))


def population_of(
    belief: ClusterBelief,
    found: Found,
    visits: Sequence[date],
    today: date,
    organism_name: str,
    seen: Collection[str] = (),
    treated_with: Sequence[str] = (),
    asked: Asked | None = None,
    later: GoingOn | None = None,
) -> Population:
    """What the sheet says of a cluster and its course.

    visits : dates of the visits of the search.
    seen   : plantings on which it was seen; the worst of these is named.
    treated_with : what is done besides its own steps and takes of it, in words.
    asked  : the search as it was asked, so that what has no price says why.
    later  : what is gone on with after the visits.
    """
    last = last_day(belief, found, (visits[-1] - today).days, later)
    return Population(
        organism=belief.organism,
        plantings=tuple(stand.key for stand in belief.stands),
        says=_says(belief, organism_name, seen),
        strips=_strips(belief, found, today, last),
        course=tuple(_course_step(step, belief, visits) for step in found.steps),
        course_says=course_says(belief, found, visits, today, treated_with, asked, later),
        left_on_last_day=_left_share(found, last),
        because=(
            *_reasons(belief, found, alone=not treated_with, asked=asked),
            *gone_on_with(later, belief, today),
            *found.refused,
        ),
    )


def _says(belief: ClusterBelief, name: str, seen: Collection[str]) -> str:
    """How many there are today where most were found, and where more are likely unseen."""
    number, word, unit = counted_today(belief)
    few, usual, many = np.quantile(number, [0.1, 0.5, 0.9], axis=0)
    worst, most = worst_place(belief, seen), int(usual.argmax())
    low, middle, high = few[worst], usual[worst], many[worst]
    where, elsewhere = belief.stands[worst].name, belief.stands[most].name
    unseen = usual[most] > MORE_BY_FAR * usual[worst]
    more = f" More are likely on {elsewhere}: {with_about(about(usual[most]))} " if unseen else ""
    more += f"({about(few[most])} to {about(many[most])})." if unseen else ""
    return (
        f"{capital(name)}: {'found' if unseen else 'most'} on {where}, {with_about(about(middle))} "
        f"{word} a {unit} today ({about(low)} to {about(high)}).{more}"
        f"{threshold_said(belief, word, unit, belief.stands[worst])}"
        f"{_flower_said(belief, belief.stands[worst])}"
    )


def worst_place(belief: ClusterBelief, seen: Collection[str]) -> int:
    """Where most are believed, of the plantings on which it was seen; of all, where of none."""
    usual = np.median(counted_today(belief)[0], axis=0)
    named = np.array([not seen or stand.key in seen for stand in belief.stands])
    return int(np.where(named, usual, -1.0).argmax())


def tapped_on(belief: ClusterBelief, stand: Stand) -> bool:
    """Is it looked for in flowers on a planting?"""
    return is_tapped(belief.life.figures, stand)


def _flower_said(belief: ClusterBelief, stand: Stand) -> str:
    """How a count in flowers is read, where that is where it is counted."""
    holds = belief.life.figures.habits.flower_holds
    if holds is None or not tapped_on(belief, stand):
        return ""
    return (
        f" In a count logged as of flowers, one is taken to hold as many as {holds.value:g} leaves."
    )


def counted_today(belief: ClusterBelief) -> tuple[FloatArray, str, str]:
    """What a grower would count today on a leaf or plant, (n_draws, n_plantings); word and unit.

    Not what is there: eggs, the smallest and what sits above are overlooked, and numbers from
    which growers treat are counts too.
    """
    habits = belief.life.figures.habits
    per, there = (
        ("plant", belief.per_plant()) if habits.counted_by_plant else ("leaf", belief.per_leaf())
    )
    shown = there @ counted_shares(belief.life.figures)
    return shown * belief.unknowns.detection[:, None], habits.counted_word, per


def threshold_said(belief: ClusterBelief, word: str, unit: str, stand: Stand | None = None) -> str:
    """The number from which growers treat, with its origin; it is not the plan's.

    stand : of which it is told; the table may have numbers of its own for the crop.
    """
    habits = belief.life.figures.habits
    own, action = habits.action_on(stand.crop if stand else ""), habits.action
    if own:
        numbers = " or ".join(f"{one.value:g} {one.origin.note}" for one in own)
        return f" Growers often act at {numbers}; the plan weighs this plot instead."
    if action is None:
        return ""
    note = action.origin.note or f"{word} a {unit}"
    nouns = {one for one in word.split() if len(one) > len("and")}
    per = next((per for per in PER if per in note), f" a {unit}")
    other = per != f" a {unit}" or (per in note and not any(noun in note for noun in nouns))
    on = f" on {stand.name}" if stand and not stand.crop.startswith(habits.action_of) else ""
    than = f", which is another count than {word} a {unit}{on}" if other or on else ""
    return (
        f" Growers often act at {action.value:g} ({note}){than}; the plan weighs this plot instead."
    )


def _strips(belief: ClusterBelief, found: Found, today: date, last: int) -> tuple[Strip, ...]:
    """Eggs, young, late scales and adults over the cluster, with and without the course."""
    units, unit = over_all(belief)
    strips = []
    for name, members in stage_groups(belief.life.stages).items():
        with_it, without = (
            runs[:, :, : last + 1][..., members].sum((1, 3), dtype=np.float64) / units
            for runs in (found.with_it, found.without)
        )
        strips.append(strip(name, today, with_it, without, unit))
    return tuple(strips)


def over_all(belief: ClusterBelief) -> tuple[float, str]:
    """Leaves of a cluster, or plants where it is counted by plant; and the unit in words."""
    if belief.life.figures.habits.counted_by_plant:
        return sum(stand.plants for stand in belief.stands), A_PLANT
    return sum(stand.all_leaves for stand in belief.stands), A_LEAF


def _course_step(step: Step, belief: ClusterBelief, visits: Sequence[date]) -> CourseStep:
    named = "underside" in step.candidate.name
    how = ", undersides first" if step.candidate.effect.by_surface and not named else ""
    return CourseStep(
        visits[step.visit],
        step.candidate.method,
        step.candidate.product,
        tuple(belief.stands[p].key for p in step.places),
        f"{step.candidate.name}{how}",
    )


def _left_share(found: Found, last: int) -> Span:
    total = found.without[:, :, last].sum((1, 2), dtype=np.float64)
    left = found.with_it[:, :, last].sum((1, 2), dtype=np.float64)
    share = left / np.maximum(total, 1e-9)
    low, middle, high = (float(q) for q in np.quantile(share, [0.1, 0.5, 0.9]))
    return Span(low, middle, high, "share of untreated")


def _reasons(
    belief: ClusterBelief, found: Found, *, alone: bool, asked: Asked | None
) -> tuple[Because, ...]:
    """What the course rests on: sightings, figures, and what the other courses would cost."""
    seen = tuple(f"event:{serial}" for serial in belief.serials)
    told = [Because("what was seen and counted, weighed against the weather since", rests_on=seen)]
    used = {step.candidate.key: step.candidate for step in found.steps}
    for candidate in used.values():
        told.append(takes_told(candidate, belief))
    if alone and not found.steps:
        by_hand = bool(belief.life.figures.habits.by_knife)
        told.append(nothing_told(found.cost_of_nothing, asked, by_hand=by_hand))
    return (*told, *others_told(found, asked))


def takes_told(candidate: Candidate, belief: ClusterBelief) -> Because:
    """What one treatment takes here, and the figures that it rests on."""
    return Because(_takes(candidate, belief), rests_on=candidate.effect.rests_on)


def _takes(candidate: Candidate, belief: ClusterBelief) -> str:
    """How many of each kind one treatment takes, at the coverage that is usual by hand."""
    kill = candidate.effect.kill
    parts = []
    for word, members in stage_groups(belief.life.stages).items():
        shares = [kill.get(belief.life.stages[n], (0.0, 0.0, 0.0))[1] for n in members]
        tenths = round(10 * sum(shares) / len(shares))
        few = NEAR_THE_ENDS.get(tenths)
        parts.append(f"{few} {word}" if few else counted(tenths, word, ONE.get(word, "")))
    about = "about " if parts and parts[0][0].isdigit() else ""
    return f"{candidate.name}: of every 10 it takes {about}{', '.join(parts)}"


def first_treatment(found: Found, visits: Sequence[date]) -> str:
    """The day on which the course begins, in words; "" where there is none."""
    return said(visits[found.steps[0].visit]) if found.steps else ""
