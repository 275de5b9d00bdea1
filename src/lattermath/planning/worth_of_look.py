"""What a look at each planting is worth: by how much it would cheapen the course that is kept.

Choices are the course found and its rivals, and for each planting the course without its treatment
there, with one at the first visit, and with it put off. Each is run on the same draws; the count of
ten leaves has a chance in each draw; so the worth follows without throws (value_of_looking).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.coming_look import COUNTABLE, ComingLook, coming_look
from lattermath.belief.count_likelihood import at_most
from lattermath.planning.course_task import Candidate, Found, Step, Task, cost_in_draws
from lattermath.planning.near_courses import without_work_on
from lattermath.planning.ten_leaves import LEAVES, WRONG
from lattermath.planning.ways_to_look import Way, enough, ways_to_look
from lattermath.science.value_of_looking import SampleWorth, worth_of_sample
from lattermath.vocabulary.sentence import inside

FloatArray = NDArray[np.float64]
Course = tuple[Step, ...]

LEAST_CHANGE = 0.02  # judgement: a chance below this is no reason to go and look
LEAST_LEAVES = 3  # judgement: fewer leaves say nothing of a planting, whatever is reckoned


@dataclass(frozen=True, slots=True)
class LookWorth:
    """What one look at one planting is worth.

    minutes      : of work that it is worth at the household's own rate. [min]
    would_change : chance that something else is done afterwards. [0 to 1]
    turns_at     : total on all that is looked at from which something else is done, or None.
    above, below : what is done on this planting from there on, and below.
    severity     : of a leaf disease, from which something else is done; None where none is. [%]
    none_on      : leaves after which, none found on them, the rest need not be turned; None where
        all ten are wanted.
    ways : how to do it where it turns on a number, the best first.
    enough : leaves and the total on them after which more tell hardly more; where nothing turns.
    of     : leaves or plants that are looked at in all.
    """

    minutes: float
    would_change: float
    turns_at: int | None = None
    above: str = ""
    below: str = ""
    severity: float | None = None
    none_on: int | None = None
    ways: tuple[Way, ...] = ()
    enough: tuple[int, int] | None = None
    of: int = LEAVES


def looks_worth(
    task: Task, found: Found, places: Sequence[int], stages: Mapping[int, str] | None = None
) -> dict[int, LookWorth]:
    """Worth of a look at each of these places at the first visit.

    Only what is done from that visit on can change; the label's rulings hold for every choice.

    stages : what is counted at a place, in a grower's word; "" for what growers count, and adults.
    """
    belief, shared = task.belief, _rivals(found)
    known: dict[Course, FloatArray] = {}
    worths = {}
    for place in places:
        choices = list(dict.fromkeys([found.steps, *shared, *_here(task, found.steps, place)]))
        for steps in choices:
            if steps not in known:
                known[steps] = cost_in_draws(task, steps) + task.lost_picks(steps)
        costs = np.stack([known[steps] for steps in choices], axis=1)
        look = coming_look(
            belief.life.figures,
            belief.stands,
            place,
            belief.first_day + task.visits[0],
            found.without[:, place, task.visits[0] - belief.today].astype(np.float64),
            belief.unknowns.detection,
            (of := units_looked_at(task, place)),
            stage=(stages or {}).get(place, ""),
        )
        sample = worth_of_sample(costs, look.chances())
        told = replace(_told(task, sample, choices, place), of=of)
        if told.above and first_visit_on(found.steps, place) is None:
            told = replace(told, above=f"{told.above} ({_with(choices[sample.after[-1]], place)})")
        worths[place] = with_ways(told, look, costs, task, place)
    return worths


def units_looked_at(task: Task, place: int) -> int:
    """Leaves that are turned; of what is counted by the plant, no more than there are plants."""
    by_plant = task.belief.life.figures.habits.counted_by_plant
    return min(LEAVES, task.belief.stands[place].plants) if by_plant else LEAVES


def with_ways(
    told: LookWorth, look: ComingLook, costs: FloatArray, task: Task, place: int
) -> LookWorth:
    """The same with how the look is best done, and where it may stop.

    costs : of each choice in each draw, (n_draws, n_choices).
    """
    if units_looked_at(task, place) < LEAVES:
        return told  # all of so few plants are looked over
    if told.turns_at is None:
        return replace(told, enough=_enough(look))
    none_on = none_settles(look, told.turns_at)
    ways = ways_to_look(look, told.turns_at, none_on, costs, task.minute_costs)
    return replace(told, none_on=none_on, ways=ways)


def _enough(look: ComingLook) -> tuple[int, int] | None:
    """Fewest leaves on which so many are to be expected that more tell hardly more."""
    usual = float(np.median(look.expected)) / LEAVES
    return next(
        ((n, enough(n)) for n in range(LEAST_LEAVES, LEAVES) if enough(n) <= usual * n), None
    )


def none_settles(look: ComingLook, turns_at: int | None) -> int | None:
    """Leaves after which none found makes it unlikely that the ten would reach a total.

    In no more than one case in ten (`WRONG`), under the observation model of looks; what a look has
    wrong in common is left to each part by itself, which asks for more leaves rather than fewer.
    None where ten leaves cannot say it sooner.
    """
    if turns_at is None:
        return None
    for leaves in range(LEAST_LEAVES, LEAVES):
        first, rest = (look.expected * n / LEAVES for n in (leaves, LEAVES - leaves))
        none = at_most(first, 0, leaves, look.seen.spread)
        over = 1.0 - at_most(rest, turns_at - 1, LEAVES - leaves, look.seen.spread)
        if float((none * over).sum()) <= WRONG * float(none.sum()):
            return leaves
    return None


def _rivals(found: Found) -> list[Course]:
    return [(), *(other.steps for other in found.alternatives)]


def _here(task: Task, course: Course, place: int) -> Iterator[Course]:
    """The course with other work on one planting: none, at the first visit, or put off.

    With what it uses there, or else anywhere, or else with anything that may be used.
    """
    without = without_work_on(course, place)
    yield without
    mine = [step for step in course if place in step.places]
    used = list(dict.fromkeys(step.candidate for step in mine or course))
    for candidate in used or task.candidates:
        for visit in range(min(2, len(task.visits))):
            if _allowed(task, candidate, visit, place, without):
                yield with_more(without, Step(visit, candidate, (place,)))


def _allowed(task: Task, candidate: Candidate, visit: int, place: int, so_far: Course) -> bool:
    stand = task.belief.stands[place]
    if (candidate.key, visit, place) in task.taken:
        return False
    before = tuple(step for step in so_far if step.visit <= visit)
    return stand.treatable and task.permits(candidate, visit, stand.key, before).allowed


def with_more(course: Course, more: Step) -> Course:
    """The course with one more planting; what is mixed anyway is mixed once."""
    steps = []
    for step in course:
        if step.visit == more.visit and step.candidate.key == more.candidate.key:
            more = replace(more, places=tuple(sorted((*step.places, *more.places))))
        else:
            steps.append(step)
    return tuple(sorted((*steps, more), key=lambda step: step.visit))


def _told(task: Task, sample: SampleWorth, choices: Sequence[Course], place: int) -> LookWorth:
    """The worth in minutes, and the total at which the grower would turn."""
    minutes = sample.worth / task.minute_costs if task.minute_costs > 0 else 0.0
    if sample.would_change < LEAST_CHANGE:
        return LookWorth(0.0, sample.would_change)
    turn = turn_of([first_visit_on(choices[n], place) for n in sample.after])
    if turn is None:
        return LookWorth(minutes, sample.would_change)
    at, above, below = turn
    return LookWorth(minutes, sample.would_change, COUNTABLE[at - 1] + 1, above, below)


def _with(course: Course, place: int) -> str:
    """What a course begins with on a planting for which none is laid out, and when."""
    first = min((s for s in course if place in s.places), key=lambda step: step.visit)
    name = first.candidate.name
    if not first.candidate.product:
        name = inside(name.partition(", ")[0])  # how it is done stands with the task
    return name if first.visit == 0 else f"{name}, at a later visit"


def turn_of(done: Sequence[int | None]) -> tuple[int, str, str] | None:
    """Where what is done changes once as more is seen, with what is done above it and below.

    done : visit of the first work after each thing that may be seen, the least first.
    """
    for above, below, does in (
        ("treat", "leave it", [visit is not None for visit in done]),
        ("treat at once", "wait", [visit == 0 for visit in done]),
    ):
        turns = [n for n in range(1, len(does)) if does[n] != does[n - 1]]
        if len(turns) == 1 and does[-1]:
            return turns[0], above, below
    return None


def first_visit_on(course: Course, place: int) -> int | None:
    """Visit at which a course first works on a planting; None where it never does."""
    return min((step.visit for step in course if place in step.places), default=None)
