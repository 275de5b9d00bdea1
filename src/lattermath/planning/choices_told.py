"""What nothing done, beginning now and waiting would cost beside what is advised, in words.

None of the three is left out in silence: one that has no price says why it cannot be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from lattermath.planning.course_task import LATER, LEAST_TOLD, Alternative, Candidate, Step, kind_of
from lattermath.planning.steps_allowed import Ruled, allowed
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.ruling import Because

NOW = "begin now"
WAIT = "wait and look again"
NO_OTHER = "no other visit is known"
NOTHING_ON_HAND = "nothing on hand takes of it"
NOT_FOUND_YET = "nothing is treated before it is found"
DONE_ANYWAY = "what may be used then is done anyway, against something else"
BARRED = "nothing that takes of it may be used then"
EVEN = "makes no difference worth telling"
SURE_ERRORS = 2.0  # judgement: standard errors below which a difference may be chance
NOT_WORTH = "nothing was found that is worth its work then"


class Weighed(Protocol):
    """What a search found, of insects or of a leaf disease."""

    @property
    def steps(self) -> tuple[Step, ...]:
        """The course."""

    @property
    def alternatives(self) -> tuple[Alternative, ...]:
        """What else was weighed."""


class Searched(Ruled, Protocol):
    """What was asked of the search."""

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """All that might be used."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A search as it was asked: places are those that may be treated at all; visits are dates.

    nothing : what doing nothing costs in each draw, (n_draws,); None: not at hand. [portions]
    """

    task: Searched
    places: tuple[int, ...]
    visits: tuple[date, ...]
    nothing: NDArray[np.float64] | None = None

    def why_not(self, visits: Sequence[int]) -> str:
        """Why no course begins at one of these visits, the rulings asked again."""
        if not visits:
            return NO_OTHER
        ways = [(c, p) for c in self.task.candidates for p in self.places]
        if not ways:
            return NOTHING_ON_HAND if self.places else NOT_FOUND_YET
        if any(allowed(self.task, (Step(v, c, (p,)),)) for v in visits for c, p in ways):
            return NOT_WORTH
        taken = any((c.key, v, p) in self.task.taken for v in visits for c, p in ways)
        return DONE_ANYWAY if taken else BARRED


def others_told(found: Weighed, asked: Asked | None = None) -> Iterator[Because]:
    """What the other courses would cost: doing nothing, beginning now, waiting for a look.

    asked : lets what has no price say why; None: nothing is said of it.

    Who waits may still do nothing, so that waiting is never dearer than that.
    """
    told = set[str]()
    nothing = min((o.cost for o in found.alternatives if not o.steps), default=float("inf"))
    for other in found.alternatives:
        kind = kind_of(other.steps, found.steps).lower()  # what is advised may have changed since
        if other.steps == found.steps or kind in told:
            continue
        told.add(kind)
        cost = other.cost if kind != WAIT else min(other.cost, nothing)
        yield Because(
            f"{kind}: {_price(cost, other.besides, other.sd_error, done=bool(found.steps))}",
            rests_on=("computed:courses on the same futures",),
        )
    if asked is not None and asked.visits:
        yield from _without_a_price(found, asked)


def _price(cost: float, besides: float = 0.0, error: float = 0.0, *, done: bool) -> str:
    """How much worse another course is than what is advised; done: something is.

    besides : what is lost of others more, of which what is advised takes too.
    error   : standard error of the cost.
    """
    if besides >= LEAST_TOLD:
        alone, together = portions_said(max(cost, 0.0)), portions_said(cost + besides)
        if alone == together:
            return f"{alone} worse"
        by_itself = f"{alone} worse" if cost >= LEAST_TOLD else "no worse by itself"
        return f"{by_itself}, or {together} counting what else this work treats"
    if abs(cost) < LEAST_TOLD and (cost > 0 or not done):
        return EVEN
    if cost > 0:
        doubt = ", too little to be sure" if cost < SURE_ERRORS * error else ""
        return f"{portions_said(cost)} worse{doubt}"
    return "no worse by itself; what else this work treats decides"


def _without_a_price(found: Weighed, asked: Asked) -> Iterator[Because]:
    courses = [steps for steps in (found.steps, *(o.steps for o in found.alternatives)) if steps]
    now = any(step.visit == 0 for steps in courses for step in steps)
    later = any(all(step.visit > 0 for step in steps) for steps in courses)
    wait = WAIT if found.steps else LATER.lower()
    rests_on = ("computed:courses on the same futures",)
    if not now:
        why = asked.why_not((0,))
        yield Because(f"{NOW}: {why} ({said(asked.visits[0])})", rests_on=rests_on)
    if not later:
        why = asked.why_not(range(1, len(asked.visits)))
        yield Because(f"{wait}: {why}", rests_on=rests_on)


def nothing_told(cost: float, asked: Asked | None, *, by_hand: bool = False) -> Because:
    """What doing nothing costs where it is advised, with its range. [portions]

    by_hand : what hands do about it is advised instead, and is not reckoned.
    """
    advised = "left alone" if by_hand else "do nothing, as is advised"
    says = f"{advised}: it costs {nothing_said(cost, asked)}"
    return Because(says, rests_on=("computed:courses on the same futures",))


def nothing_said(cost: float, asked: Asked | None) -> str:
    """The mean cost of doing nothing, and between what it lies in eight draws of ten. [portions]"""
    says = portions_said(cost)
    if asked is None or asked.nothing is None or not asked.nothing.size:
        return says
    low, high = (about(float(q)) for q in np.quantile(asked.nothing, [0.1, 0.9]))
    if low == high:
        return says
    return f"{says} ({f'up to {high}' if low.startswith('under') else f'{low} to {high}'})"


def barred_now(reasons: Iterable[Because]) -> bool:
    """Whether the prices of a course say that nothing may be used at the coming visit."""
    return any(reason.says.startswith(f"{NOW}: {BARRED}") for reason in reasons)


def portions_said(cost: float) -> str:
    """A cost as roughly as it is known. [portions]"""
    return with_about(counted(about(cost).removesuffix(".0"), "portions"))


def with_about(number: str) -> str:
    """About so many, as `about` tells them; what is told as under so much needs no about."""
    return number if number.startswith("under") else f"about {number}"


def about(number: float) -> str:
    """A number as roughly as it is known."""
    if number >= 10:
        return f"{round(number, -1 if number >= 100 else 0):.0f}"
    return f"{number:.1f}" if number >= LEAST_TOLD else "under 0.1"
