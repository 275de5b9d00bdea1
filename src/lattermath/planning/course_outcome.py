"""What becomes of an insect under its course, and what is reckoned after it, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.planning.choices_told import (
    BARRED,
    NOT_FOUND_YET,
    NOTHING_ON_HAND,
    Asked,
    nothing_said,
)
from lattermath.planning.course_task import LEAST_TOLD, Found
from lattermath.planning.going_on import GoingOn
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import inside

STRIP_TAIL_DAYS = 10  # days shown after the last step
BREAKS = "should break its life cycle"
BROKEN = 0.05  # in nine draws of ten fewer than this share of today's insects are left
IN_STEMS = "No picking and no spray reaches what is in the stem"
STAY = "stay until "
HOURS_ONLY = "Something on hand is barred by the hours of your visits only"
NO_WORTH = "Nothing that may be used is worth its work now"
# Why nothing is done, by the reason that the prices give.
IDLE = {
    BARRED: "Nothing that takes of it may be used",
    NOT_FOUND_YET: "Nothing is treated before it is found",
    NOTHING_ON_HAND: "Nothing on hand takes of it",
}


def stage_groups(stages: Sequence[str]) -> dict[str, list[int]]:
    """Stages as a grower tells them apart, in order of life."""
    groups: dict[str, list[int]] = {}
    for n, stage in enumerate(stages):
        if stage.startswith("egg"):
            word = "eggs"
        elif stage.startswith("adult"):
            word = "adults"
        elif stage.startswith(("nymph4_", "pupa", "prepupa")):
            word = "late scales" if stage.startswith("nymph") else "pupae"
        else:
            word = "young"
        groups.setdefault(word, []).append(n)
    return groups


def last_day(belief: ClusterBelief, found: Found, last_visit: int, later: GoingOn | None) -> int:
    """Days from today shown: to the last visit and some days on, before it is gone on with."""
    most = int(found.with_it.shape[2]) - 1
    if later is not None:
        most = min(most, later.rounds[0][0] - belief.today - 1)
    return min(last_visit + STRIP_TAIL_DAYS, most)


def course_says(
    belief: ClusterBelief,
    found: Found,
    visits: Sequence[date],
    today: date,
    treated_with: Sequence[str] = (),
    asked: Asked | None = None,
    later: GoingOn | None = None,
) -> str:
    """Whether what is done ends it, holds it down or only slows it, said plainly.

    treated_with : what is done besides its own steps and takes of it, in words.
    asked        : the search as it was asked, to tell what is barred from what does not pay.
    later        : what is gone on with after the visits.
    """
    if not found.steps and not treated_with:
        why = "" if asked is None else asked.why_not(range(len(asked.visits)))
        idle = by_knife(belief) or _by_the_hour(found, asked) or IDLE.get(why, NO_WORTH)
        idle = f"{idle}. Look again at the next visit."
        if why == BARRED:
            return idle
        idle += _about_pays(found)
        if len(visits) < 2:
            return idle
        then = "nobody treated then" if later is None else f"you went on with {later.name}"
        return f"{idle} What comes after {said(visits[-1])} is told as if {then}."
    outcome = _outcome(belief, found, last_day(belief, found, (visits[-1] - today).days, later))
    if not found.steps:
        what = " and ".join(treated_with)
        return f"It is treated with {what}, which {outcome}. Nothing more is worth its work."
    days = sorted({step.visit for step in found.steps})
    span = (visits[days[-1]] - visits[days[0]]).days
    work = f"Work at {len(days)} visits over {span} days" if len(days) > 1 else "One visit's work"
    again = " Look again after the last one." if outcome == BREAKS else ""
    knife = by_knife(belief)
    return f"{work} {outcome}.{again}" + (f" {knife}." if knife else "")


def _by_the_hour(found: Found, asked: Asked | None) -> str:
    """That only the hours of the visits bar what is on hand, and until when to stay; "" else."""
    stay = next((b.way_out for b in found.refused if b.way_out.startswith(STAY)), "")
    if not stay:
        return ""
    cost = nothing_said(found.cost_of_nothing, asked)
    return (
        f"{HOURS_ONLY}: {stay.partition(';')[0]}. Left alone it costs {cost}, and what else may "
        "be used does not pay"
    )


def by_knife(belief: ClusterBelief) -> str:
    """That nothing reaches what sits in a stem, and what hands do about it; "" for all others."""
    does = belief.life.figures.habits.by_knife
    return f"{IN_STEMS}: {does} (common practice)" if does else ""


def _about_pays(found: Found) -> str:
    """What would save about as much as its work, though it is not advised; "" for nothing."""
    close = [one for one in found.alternatives if one.steps and one.cost + one.besides < LEAST_TOLD]
    if not close:
        return ""
    named = inside(min(close, key=lambda one: one.cost + one.besides).steps[0].candidate.name)
    return f" A close call: {named} saves about what its work is worth."


def _outcome(belief: ClusterBelief, found: Found, last: int) -> str:
    """What becomes of it by a day, if all goes as planned."""
    after = found.with_it[:, :, last].sum((1, 2), dtype=np.float64)
    now = float(np.median(found.with_it[:, :, 0].sum((1, 2), dtype=np.float64)))
    if np.quantile(after, 0.9) < BROKEN * now:
        return BREAKS
    if np.median(after) < now:
        return f"holds it down and does not end it: {_why_not(belief)}"
    return f"slows it and does not hold it: {_why_not(belief)}"


def _why_not(belief: ClusterBelief) -> str:
    """The commonest reason that something is left."""
    comes = float(np.median(belief.unknowns.arrivals.sum(1)))
    if comes >= 1.0:
        return f"about {comes:.0f} adults a day fly in"
    groups = stage_groups(belief.life.stages)
    tough = [word for word in ("eggs", "late scales", "pupae") if word in groups]
    lived = f"{' and '.join(tough)} live through each treatment, and " if tough else ""
    parts = "plants" if belief.life.figures.habits.counted_by_plant else "leaves"
    return f"{lived}some {parts} are missed"


def gone_on_with(later: GoingOn | None, belief: ClusterBelief, today: date) -> Iterator[Because]:
    """What is reckoned after the visits that are searched; its work is counted with the rest."""
    if later is None:
        return
    first, last = (
        said(today + timedelta(days=day - belief.today))
        for day in (later.rounds[0][0], later.rounds[-1][0])
    )
    times = len(later.rounds)
    when = f"on {first}" if times == 1 else f"{counted(times, 'times')} from {first} to {last}"
    yield Because(
        f"reckoned on after these weeks: {later.name} {when}, each ruled again before it comes",
        rests_on=("computed:going on week by week on the same futures (judgement)",),
    )
