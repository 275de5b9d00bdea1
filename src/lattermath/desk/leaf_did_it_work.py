"""Whether a treatment of leaves worked: what severities beside untreated ones say, and belief.

A leaf that is spotted stays so, and a protectant only keeps new spots off. So it is told how much
less of the leaf is ill than if the disease had grown as it did untreated: on a planting beside it
that was looked at too, and by what is believed of this weather.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.leaf_covers import MOST_CURED, LeafApplication
from lattermath.belief.leaf_disease import LeafBelief
from lattermath.belief.leaf_disease_sightings import read_leaf_sighting
from lattermath.belief.leaf_untreated import less_ill, without
from lattermath.desk.did_it_work import LATELY_DAYS, POORLY, called, lies
from lattermath.desk.leaf_progress import last_judged
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.leaf_beside import LeafLooked, comparing, severity_of, shows_from
from lattermath.planning.leaf_disease_told import worst_leaf_place
from lattermath.planning.treated_beside import Beside, beside_untreated, not_compared
from lattermath.science.disease_control import nothing_new
from lattermath.science.efficacy import Efficacy
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital
from lattermath.vocabulary.tenths import about, span_of, tenths

FloatArray = NDArray[np.float64]

FAR, FAR_BELOW = -999.0, "far below 0 %"
POOR = 0.3  # judgement: place among all that it might do, from which it is said not to work
MORE = ". Your looks say it does more than is believed of it"


@dataclass(frozen=True, slots=True)
class _Course:
    """What is believed of the last look's planting and day: with the treatment, and without it."""

    place: int
    day: date
    now: FloatArray
    left_alone: FloatArray
    less: FloatArray


def did_it_work_on_leaves(
    facts: SeasonFacts, belief: LeafBelief
) -> tuple[str, tuple[Because, ...]]:
    """What was last judged where most is believed ill, then a sentence for each material lately
    used on this disease, and their reasons."""
    worst = belief.stands[worst_leaf_place(belief)]
    says, reasons = [last_judged(facts, belief.disease.id, worst.key)], []
    looks = _looks(facts, belief)
    for one in _lately(belief):
        day = _date(facts, belief, one.day)
        treated = {belief.stands[place].key for place in one.places}
        mine = [w for w in looks if w.planting in treated]
        soon = day + timedelta(days=shows_from(belief.disease, one.effect))
        after = [w for w in mine if w.day >= soon]
        name = capital(called(facts, one.effect.method))
        if not after:
            if mine:  # else it was no work against this disease
                says.append(f" {name} of {short(day)}: {_not_yet(max(soon, facts.today), one)}.")
            continue
        by = comparing(belief.disease, one.effect)
        applied = [
            (_date(facts, belief, a.day), belief.stands[p].key)
            for a in belief.applied
            for p in a.places
        ]
        told = beside_untreated(looks, applied, day, treated, by)
        course = _course(facts, belief, one, after[-1] if told is None else _last(told))
        untold = not_compared(looks, applied, day, treated, by) if told is None else ()
        gone = next((pair.untreated for pair in untold if _gone(*pair.looks[2:])), "")
        words, sure = _told(facts, belief, one, told, course, gone)
        says.append(f" {name} of {short(day)}: {words}.")
        rests_on = tuple(f"event:{w.serial}" for w in after)
        reasons.append(Because(f"{name} here: {sure}", rests_on=rests_on))
        if told is not None:
            reasons.append(_compared(facts, told, name))
    return "".join(says), tuple(reasons)


def _not_yet(due: date, one: LeafApplication) -> str:
    if _protects(one):
        return (
            f"not looked at since; a look there from {said(due)} on tells what it kept off (what "
            "shows before was in the leaf already), with one at an untreated planting"
        )
    return (
        f"not looked at since; a look there from {said(due)} on tells what it took, with one at an "
        "untreated planting"
    )


def _protects(one: LeafApplication) -> bool:
    return not any(any(spread) for spread in one.effect.cure)


def _last(told: Beside[LeafLooked]) -> LeafLooked:
    """The last look at the treated planting of a comparison."""
    return max((w for w in told.looks if w.planting == told.treated), key=lambda w: w.day)


def _lately(belief: LeafBelief) -> Iterator[LeafApplication]:
    """The last treatment with each material, where it lies not too far back."""
    last: dict[str, LeafApplication] = {}
    for one in sorted(belief.applied, key=lambda a: a.day):
        if belief.today - one.day <= LATELY_DAYS and one.serial is not None:
            last[one.effect.method] = one
    yield from last.values()


def _course(
    facts: SeasonFacts, belief: LeafBelief, one: LeafApplication, look: LeafLooked
) -> _Course:
    place = next(n for n, stand in enumerate(belief.stands) if stand.key == look.planting)
    day = facts.day_index(look.day) - belief.first_day
    left = without(belief, one)
    now, alone = (run[:, place, day].mean(-1) for run in (belief.past, left))
    return _Course(place, look.day, now, alone, less_ill(belief, left, place, day))


def _told(
    facts: SeasonFacts,
    belief: LeafBelief,
    one: LeafApplication,
    told: Beside[LeafLooked] | None,
    course: _Course,
    gone: str,
) -> tuple[str, str]:
    """What looks say and what is believed, and the latter with what the weather alone would have
    done, for the reasons; told outright only where no looks can be set beside each other.

    gone : key of an untreated planting on which none was left; "" for none.
    """
    quantile = belief.unknowns.quantiles[one.effect.method]
    does = _does(one, quantile)
    sure = f"{does}; {_alone(course)}"
    if told is None:  # no verdict: what is believed may come of counts of insects alone
        there = facts.plot.planting(gone).name if gone else ""
        alone = f"none was left on untreated {there} either, so your looks tell nothing of it"
        return f"{alone if gone else _no_pair(belief, one)}; {sure}", sure
    low, high = (float(q) for q in np.quantile(course.less, (0.1, 0.9)))
    looks_lie = lies(told.found, low, high)
    words = f"{_beside(facts, told, one)}; {does}"
    if float(np.median(quantile)) < POOR or looks_lie < 0:
        return f"{words}. {POORLY}: {_why(one)}", sure
    return f"{words}{MORE if looks_lie > 0 else ''}", sure


def _gone(before: LeafLooked, after: LeafLooked) -> bool:
    return after.severity.share <= 0 < before.severity.share


def _does(one: LeafApplication, quantile: FloatArray) -> str:
    """What a treatment is believed to do, in the words used of insects."""
    means = []
    for draws in (quantile, np.array([0.5])):
        cured, cover = one.effect.draws(draws)
        share = np.clip((cover if _protects(one) else cured) * one.reach, 0, MOST_CURED)
        means.append(share.mean(axis=1))
    low, middle, high = np.quantile(means[0], (0.1, 0.5, 0.9))
    does = "keeps off" if _protects(one) else "takes"
    what = "new spots while it is fresh" if _protects(one) else "the spots"
    return (
        f"{does} {about(middle)} of {what}{span_of(low, high)} by the tables and what was seen; "
        f"{tenths(float(means[1][0]))} would be usual"
    )


def _alone(course: _Course) -> str:
    """The belief's own course with the treatment, and without it in the same weather."""
    return (
        f"by {short(course.day)} about {_leaf(course.now)} of the leaf is believed ill, "
        f"{_leaf(course.left_alone)} without it"
    )


def _leaf(share: FloatArray) -> str:
    low, middle, high = 100 * np.quantile(share, (0.1, 0.5, 0.9))
    return f"{_short(middle)} % ({_short(low)} to {_short(high)})"


def _short(figure: float) -> str:
    return f"{figure:.0f}" if figure >= 1 else f"{figure:.1f}"


def _beside(facts: SeasonFacts, told: Beside[LeafLooked], one: LeafApplication) -> str:
    """What the looks say, with the looks themselves where each planting has two."""
    there = facts.plot.planting(told.untreated).name
    found, tail = told.found, ""
    if found.low_percent is not None and found.low_percent < 0 < (found.high_percent or 0):
        tail = ", which leaves open whether it did anything"
    if len(told.looks) < 4:
        return f"{_less(found)} by your looks than on untreated {there}, if both began alike{tail}"
    tb, ta, cb, ca = (w.severity.share for w in told.looks)
    most = ""
    if _protects(one):
        best = nothing_new(*(told.looks[n].severity for n in (0, 2, 3)))
        most = f"; no new spot: {best:.0f} %" if best > 0 else ""
    return (
        f"{_less(found)} by your looks than had it gone as on untreated {there} "
        f"(here {_rise(tb, ta)}, there {_rise(cb, ca)}{most}){tail}"
    )


def _less(found: Efficacy) -> str:
    """How much less is ill, or that it is more; below nothing no number is of use."""
    low, high = found.low_percent, found.high_percent
    if found.percent < 0:
        if high is None or high <= 0:
            return "more leaf ill, not less,"
        return f"no less leaf ill (at most {high:.0f} % less)"
    if low is None or high is None:
        return f"{found.percent:.0f} % less leaf ill"
    worst = f"{low:.0f}" if low > 0 else "nothing"
    return f"{found.percent:.0f} % ({worst} to {high:.0f}) less leaf ill"


def _rise(before: float, after: float) -> str:
    ended = f"{_short(100 * after)} %" if after > 0 else "none"
    return f"{_short(100 * before)} to {ended}"


def _no_pair(belief: LeafBelief, one: LeafApplication) -> str:
    """Why looks alone tell nothing, and which would."""
    keys = {belief.stands[place].key for place in one.places}
    others = [stand.name for stand in belief.stands if stand.key not in keys]
    would = "a bed left unsprayed and looked at too would"
    if others:
        would = f"looks at untreated {others[0]} too, before a spray and after it, would"
    return f"your looks alone tell nothing of it ({would})"


def _why(one: LeafApplication) -> str:
    """What may be behind a treatment that works poorly, in the order of the trade, and the look."""
    if not one.effect.by_surface:
        return "some spotted leaves were passed over, or they came anew from beside"
    late = "it was in the leaf already" if _protects(one) else "it came anew from beside"
    return (
        f"undersides missed, it washed off, {late}, or it withstands it; turn leaves an hour after "
        "the next spray and see if the undersides are wet"
    )


def _compared(facts: SeasonFacts, told: Beside[LeafLooked], name: str) -> Because:
    """Treated beside untreated plants, by the formula that the looks allow."""
    here, there = (facts.plot.planting(key).name for key in (told.treated, told.untreated))
    how = (
        "before and after, Henderson and Tilton's formula on ill leaf for each healthy leaf"
        if len(told.looks) == 4
        else "after only, after Abbott, taken that both began alike"
    )
    return Because(
        f"{name} on {here} beside untreated {there} ({how}): {_in_full(told.found)} less leaf ill; "
        "the range is that of the eye, of the leaves taken and of how plantings part by themselves",
        rests_on=tuple(f"event:{serial}" for serial in sorted(w.serial for w in told.looks)),
    )


def _in_full(found: Efficacy) -> str:
    """The same with the whole interval, as far as a number of it says something."""
    ends = (found.percent, found.low_percent, found.high_percent)
    told = [FAR_BELOW if one is not None and one < FAR else f"{one or 0:.0f} %" for one in ends]
    return told[0] if None in ends else f"{told[0]} ({told[1]} to {told[2]})"


def _date(facts: SeasonFacts, belief: LeafBelief, day: int) -> date:
    return facts.first + timedelta(days=day + belief.first_day)


def _looks(facts: SeasonFacts, belief: LeafBelief) -> list[LeafLooked]:
    """Severities of the disease, in order."""
    found = []
    for event in facts.events:
        sighting = event.payload
        if not isinstance(sighting, Sighting) or sighting.what != belief.disease.id:
            continue
        seen = read_leaf_sighting(sighting, 0, event.serial, belief.stands)
        severity = None if seen is None else severity_of(seen)
        if seen is not None and severity is not None:
            stand = belief.stands[seen.place]
            what = (sighting.surface,)
            leaves = seen.leaves
            found.append(
                LeafLooked(event.day, stand.key, stand.crop, what, severity, leaves, seen.serial)
            )
    return sorted(found, key=lambda w: (w.day, w.serial))
