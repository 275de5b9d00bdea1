"""Worth of a look at a planting against enumeration of every total that could be counted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.belief.cluster_cases import LIFE, believe, effect, scales, stands
from tests.planning.kept_by_hand import yield_kept

from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.coming_look import ComingLook
from lattermath.belief.count_likelihood import LOOK_SD, clumping, size_of
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Candidate, Step, Task, cost_in_draws, run_course
from lattermath.planning.stakes import Stakes
from lattermath.planning.ten_leaves import LEAVES, WRONG
from lattermath.planning.worth_of_look import looks_worth, none_settles
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, ruling

APPETITE = np.array([LIFE.figures.appetite(stage) for stage in LIFE.stages])
HOME = stands(Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"))
A_MINUTE = 4 / 60


def soap(hazard: float = 0.3) -> Candidate:
    return Candidate(
        "soap", "soap", "soap", "Soap", effect("soap"), ("underside", "top"), 0.7, 2.0, 8.0, hazard
    )


def task(belief: ClusterBelief, *candidates: Candidate, portions: float = 600.0) -> Task:
    visits = tuple(range(belief.today, belief.today + 12, 4))
    n_days = belief.cycle.n_days - belief.today
    bearing = np.full((len(belief.stands), n_days), portions / n_days)
    stakes = Stakes.of(belief.stands, APPETITE, bearing, 70.0)
    return Task(belief, visits, candidates, lambda *_: ruling([Because("free")]), stakes, A_MINUTE)


def old_look() -> ClusterBelief:
    """Some scales three weeks ago, and nothing looked at since."""
    return believe([(29, scales("cucumbers", 12))], homes=HOME)


def enumerated(asked: Task, courses: list[tuple[Step, ...]]) -> float:
    """Every total from 0 to 60,000, another library's chances, plain simulation of each choice."""
    belief = asked.belief
    costs = []
    for steps in courses:
        sums = run_course(belief, steps, asked.visits, by_chance=False)
        work = sum(8 * A_MINUTE + s.candidate.hazard
                   + s.candidate.minutes * HOME[0].area_m2 * A_MINUTE for s in steps)  # fmt: skip
        kept = yield_kept(sums[:, 0], HOME[0], APPETITE, 70.0)
        costs.append((1 - kept) @ asked.stakes.bearing[0] + work)
    cost = np.stack(costs, axis=1)
    blank = replace(scales("cucumbers", 0), stage="", looked_at=LEAVES)
    seen = read_sighting(blank, asked.visits[0] + belief.first_day, 0, HOME, LIFE.figures)
    mean = seen.expected(belief.past[:, 0, -1].astype(float), belief.unknowns.detection)
    mean = np.maximum(mean[:, None], 1e-4)
    size = size_of(mean, LEAVES, seen.spread, seen.evenness)
    total = np.arange(60_000)
    chance = stats.nbinom.pmf(total, size, size / (size + mean))
    after = (chance.T @ cost / len(cost)).min(1).sum()
    return float(cost.mean(0).min() - after)


def test_the_worth_is_that_of_enumeration() -> None:
    """One planting, one product, three visits; classes of totals lose at most 3 in 100 of it."""
    asked = task(old_look(), soap())
    found = search_course(asked)
    (worth,) = looks_worth(asked, found, [0]).values()
    one = soap()
    rivals = [found.steps, (), *(other.steps for other in found.alternatives)]
    rivals += [(Step(0, one, (0,)),), (Step(1, one, (0,)),)]
    exact = enumerated(asked, list(dict.fromkeys(rivals)))
    assert exact > 0.05
    assert 0.97 * exact <= worth.minutes * A_MINUTE <= exact * 1.0001


def test_the_count_says_what_is_done() -> None:
    """From some total on it is treated, below it is not; both ends of the scale agree."""
    asked = task(old_look(), soap(), portions=800.0)  # where one spray alone is no compromise
    worth = looks_worth(asked, search_course(asked), [0])[0]
    assert worth.turns_at is not None and worth.turns_at >= 1
    assert worth.above.startswith("treat") and worth.below != worth.above
    assert 0 < worth.would_change < 1


def test_where_no_course_treats_it_the_number_says_what_would_then_be_done() -> None:
    """Kale was told "13 or more: treat" where no course and no task treated it, and not with what.

    The number that a course waits for names nothing: the course stands on the same sheet.
    """
    asked = task(old_look(), soap(), portions=800.0)
    found = search_course(asked)
    assert looks_worth(asked, found, [0])[0].above in ("treat", "treat at once")
    idle = looks_worth(asked, replace(found, steps=()), [0])[0]
    assert idle.above in ("treat (Soap)", "treat at once (Soap)"), idle
    jet = replace(soap(), key="jet", product=None, name="Strong water jet")
    barred = replace(
        task(old_look(), jet, portions=800.0),
        permits=lambda _c, visit, *_: ruling([Because("wind", holds=visit > 0)]),
    )
    later = looks_worth(barred, replace(search_course(barred), steps=()), [0])[0]
    assert later.above == "treat (strong water jet, at a later visit)"


def test_where_nothing_can_be_done_no_look_is_worth_its_minutes() -> None:
    asked = task(old_look())
    assert looks_worth(asked, search_course(asked), [0])[0].minutes == 0


def test_where_it_is_known_already_a_look_is_worth_less() -> None:
    """Counted ten times of late, hundreds each time: the same would be done after one more."""
    sure = believe([(day, scales("cucumbers", 900)) for day in range(40, 50)], homes=HOME)
    known, unknown = task(sure, soap()), task(old_look(), soap())
    worth = [looks_worth(t, search_course(t), [0])[0].minutes for t in (known, unknown)]
    assert worth[0] < 0.2 * worth[1]


def test_a_crop_with_little_to_come_is_not_worth_looking_at() -> None:
    poor = task(old_look(), soap(), portions=0.2)
    assert looks_worth(poor, search_course(poor), [0])[0].minutes < 1


def test_costs_are_those_of_the_search() -> None:
    asked = task(old_look(), soap())
    found = search_course(asked)
    assert cost_in_draws(asked, found.steps).mean() == pytest.approx(found.cost, rel=1e-6)
    assert cost_in_draws(asked, ()).mean() == pytest.approx(found.cost_of_nothing, rel=1e-6)


def test_none_on_the_first_leaves_settles_what_thrown_looks_say_it_settles() -> None:
    """Leaf by leaf, 200,000 looks at plantings from clean to heavy: where the first leaves show
    none, the ten reach the total in one case in ten or fewer."""
    rng = np.random.default_rng(5)
    mean = np.exp(rng.normal(np.log(2.0), 1.5, 2_000))  # insects a leaf, over the draws
    blank = replace(scales("cucumbers", 0), stage="", looked_at=LEAVES)
    seen = read_sighting(blank, 30, 0, HOME, LIFE.figures)
    assert seen is not None
    look = ComingLook(seen, mean * LEAVES)
    many = np.repeat(mean, 100)[:, None]
    error = np.exp(rng.normal(-(LOOK_SD**2) / 2, LOOK_SD, many.shape))
    k = clumping(many)
    counts = rng.poisson(rng.gamma(k, many / k, (len(many), LEAVES)) * error)
    told = {turns_at: none_settles(look, turns_at) for turns_at in (1, 5, 20, 60)}
    assert told[20] is not None and told[60] is not None
    for turns_at, leaves in told.items():
        if leaves is None:
            continue
        none = counts[:, :leaves].sum(1) == 0
        assert (counts[none].sum(1) >= turns_at).mean() <= WRONG + 0.01
    assert (counts.sum(1) >= 20).mean() > 3 * WRONG  # without a look nobody would say so
    assert none_settles(look, None) is None
