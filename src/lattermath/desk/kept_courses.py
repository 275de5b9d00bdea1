"""The course found before for the very same cluster, visits and rulings, or a new search."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from functools import lru_cache, partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_unknowns import Unknowns
from lattermath.desk.kept_work import Arrays, digest_of, remembered
from lattermath.planning import turning
from lattermath.planning.course_prices import gap_of, repriced
from lattermath.planning.course_search import search_course as search
from lattermath.planning.course_task import Alternative, Candidate, Counts, Found, Step, Task
from lattermath.planning.going_on import GoingOn, LaterPermits, going_on
from lattermath.planning.one_bed import OneBed
from lattermath.planning.one_bed import one_bed_only as in_one_bed
from lattermath.planning.ways_to_look import Way
from lattermath.planning.worth_of_look import LookWorth
from lattermath.planning.worth_of_look import looks_worth as reckoned
from lattermath.science.stage_cohorts import Cycle, Setting
from lattermath.vocabulary.ruling import Because


def search_course(task: Task, *ruled_by: object) -> Found:
    """The best course of a task, searched once and then kept.

    ruled_by : everything the permits of the task read, beside the task itself.
    """
    key = digest_of(bits_of(task), ruled_by)
    held = remembered("course", key, lambda: _packed(search(task)))
    runs = (held[name] for name in ("with_it", "without"))
    return found_in(task, json.loads(held["found"].tobytes()), *runs)


def priced_anew(task: Task, found: Found, *ruled_by: object) -> Found:
    """A course priced as it stands, once, and then kept; `ruled_by` as for `search_course`."""
    key = digest_of(bits_of(task), ruled_by, words_of(found))
    held = remembered("priced", key, lambda: {"found": bytes_of(words_of(repriced(task, found)))})
    return found_in(task, json.loads(held["found"].tobytes()), found.with_it, found.without)


def gap_as_it_stands(task: Task, found: Found, *ruled_by: object) -> float:
    """How far a course may be from the best: by its search, or reckoned once and then kept.

    ruled_by : as for `search_course`.
    """
    if found.gap is not None:
        return found.gap
    key = digest_of(bits_of(task), ruled_by, [said(step) for step in found.steps])
    held = remembered("gap", key, lambda: {"gap": np.array([gap_of(task, found)])})
    return float(held["gap"][0])


def goes_on(
    task: Task, places: Sequence[int], permits: LaterPermits, *ruled_by: object
) -> GoingOn | None:
    """What is gone on with after the weeks of a task, worked out once and then kept.

    ruled_by : as for `search_course`.
    """

    def work() -> Arrays:
        one = going_on(task, places, permits)
        told = None if one is None else [one.candidate.key, one.rounds]
        return {"later": bytes_of(told)}

    key = digest_of(bits_of(task), list(places), ruled_by)
    told = json.loads(remembered("going on", key, work)["later"].tobytes())
    if told is None:
        return None
    by_key = {candidate.key: candidate for candidate in task.candidates}
    rounds = tuple((day, tuple(places)) for day, places in told[1])
    return GoingOn(by_key[told[0]], rounds)


def looks_worth(
    task: Task, found: Found, stages: Mapping[int, str], *ruled_by: object
) -> dict[int, LookWorth]:
    """What a look at each of these places is worth beside a course, reckoned once and then kept.

    stages   : what is counted, by place; "" for what growers count.
    ruled_by : as for `search_course`.
    """
    steps = [said(step) for step in found.steps]
    key = digest_of(bits_of(task), ruled_by, steps, found.without, sorted(stages.items()))

    def work() -> Arrays:
        worths = reckoned(task, found, list(stages), stages)
        return {"worths": bytes_of({str(p): asdict(one) for p, one in worths.items()})}

    held = json.loads(remembered("looks", key, work)["worths"].tobytes())
    return {int(place): _worth_from(told) for place, told in held.items()}


def _worth_from(told: dict[str, Any]) -> LookWorth:
    """What a look is worth, from plain data."""
    ways = tuple(
        Way(**{**way, "few": tuple(way["few"]), "many": tuple(way["many"])}) for way in told["ways"]
    )
    enough = told["enough"] and tuple(told["enough"])
    return LookWorth(**{**told, "ways": ways, "enough": enough})


def times_that_turn(task: Task, found: Found, *ruled_by: object) -> float | None:
    """By how much numbers are multiplied where the course just pays, reckoned once and kept.

    ruled_by : as for `search_course`.
    """
    rivals = [said(step) for step in turning.rival_of(found) or ()]
    key = digest_of(bits_of(task), ruled_by, rivals, bool(found.steps))

    def work() -> Arrays:
        times = turning.times_that_turn(task, found)
        return {"times": np.array([np.nan if times is None else times])}

    held = float(remembered("turn", key, work)["times"][0])
    return None if np.isnan(held) else held


def one_bed_only(task: Task, found: Found, beds: Sequence[str | None]) -> tuple[OneBed, ...]:
    """What a course would cost in one bed alone, reckoned once and then kept.

    beds : bed of each planting of the belief.
    """
    steps = [said(step) for step in found.steps]

    def work() -> Arrays:
        return {"beds": bytes_of([asdict(one) for one in in_one_bed(task, found.steps, beds)])}

    held = json.loads(
        remembered("one bed", digest_of(bits_of(task), steps, list(beds)), work)["beds"].tobytes()
    )
    return tuple(
        OneBed(**{**one, "places": tuple(one["places"]), "left": tuple(one["left"])})
        for one in held
    )


def bits_of(task: Task) -> tuple[object, ...]:
    """Everything the search reads of a task."""
    belief = task.belief
    return (
        belief.organism, belief.stands, belief.state, belief.coming, _bits(belief.setting),
        _bits(belief.cycle), belief.rain, _bits(belief.unknowns), belief.applied,
        belief.today, belief.first_day, belief.pace, belief.standing,
        task.visits, task.candidates, task.stakes, task.minute_costs, task.where,
        sorted(task.taken), sorted(task.bonus.items()), task.width,
    )  # fmt: skip


@lru_cache(maxsize=12)  # those of a few clusters, asked for again with each course
def _bits(part: Setting | Cycle | Unknowns) -> str:
    return digest_of(part)


def beside_what(found: Found, task: Task, *laid: tuple[int, ...]) -> str:
    """A digest of a course, of all that is done beside it, and of what others leave of its
    plantings; laid: places covered or filmed."""
    steps = [said(step) for step in found.steps]
    return digest_of(steps, task.belief.applied, task.stakes.left, laid)


def words_of(found: Found) -> dict[str, Any]:
    """A course and what was weighed beside it, without its runs, in plain words."""
    return {
        "steps": [said(step) for step in found.steps],
        "alternatives": [
            [one.says, [said(step) for step in one.steps], one.cost, one.sd_error]
            for one in found.alternatives
        ],
        "refused": [asdict(bar) for bar in found.refused],
        "costs": [found.cost, found.cost_of_nothing],
        "gap": found.gap,
    }


def bytes_of(words: object) -> NDArray[np.uint8]:
    """Plain words as an array that is kept."""
    return np.frombuffer(json.dumps(words, default=_moment).encode(), dtype=np.uint8)


def _packed(found: Found) -> Arrays:
    return {
        "found": bytes_of(words_of(found)),
        "with_it": found.with_it,
        "without": found.without,
    }


def _moment(value: object) -> str:
    if isinstance(value, datetime):
        return value.isoformat()
    raise TypeError(f"{value!r} has no place in a kept course")


def said(step: Step) -> list[Any]:
    """A step in plain words."""
    return [step.visit, step.candidate.key, list(step.places)]


def found_in(task: Task, words: Mapping[str, Any], with_it: Counts, without: Counts) -> Found:
    """What `words_of` told, with the runs of the course and of nothing done."""
    read = partial(steps_from, task.candidates)
    steps = read(words["steps"])
    cost, nothing = words["costs"]
    return Found(
        steps,
        cost,
        nothing,
        with_it,
        without,
        tuple(
            Alternative(says, read(others), extra, error)
            for says, others, extra, error in words["alternatives"]
        ),
        tuple(bar_from(bar) for bar in words["refused"]),
        words["gap"],
    )


def steps_from(candidates: Sequence[Candidate], words: Sequence[list[Any]]) -> tuple[Step, ...]:
    """Steps as `said` told them."""
    named = {one.key: one for one in candidates}
    return tuple(Step(visit, named[key], tuple(places)) for visit, key, places in words)


def bar_from(words: Mapping[str, Any]) -> Because:
    """A reason as its fields in plain words."""
    lapses = words["lapses"]
    return Because(
        **{**words, "rests_on": tuple(words["rests_on"]),
           "lapses": None if lapses is None else datetime.fromisoformat(lapses)}
    )  # fmt: skip
