"""The course search against enumeration, its rulings, and the common practice of the trade."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, TABLES, believe, effect, scales, sky, stands
from tests.planning.kept_by_hand import yield_kept

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory, life_of
from lattermath.planning.course_search import search_course
from lattermath.planning.course_task import Candidate, Step, Task, run_course
from lattermath.planning.courses import (
    candidates_of,
    course_says,
    look_beside,
    population_of,
    threshold_said,
)
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plot import Household, Planting
from lattermath.vocabulary.ruling import Because, Ruling, ruling

APPETITE = np.array([LIFE.figures.appetite(stage) for stage in LIFE.stages])

A_DAY = date(2025, 8, 5)


def candidate(method: str, hazard: float = 0.3, minutes: float = 2.0, **more) -> Candidate:
    return Candidate(
        method, method, method, method, effect(method), ("underside", "top"), 0.7, minutes,
        hazard=hazard, **more,
    )  # fmt: skip


SOAP, PRUNE = candidate("soap"), candidate("prune_leaves", 0.0, 3.0)


def freely(one: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]) -> Ruling:
    return ruling([Because("nothing forbids it")])


def heavy(weather=None, homes=None) -> ClusterBelief:
    """Cucumbers full of scales, aubergines beside them with some."""
    homes = stands() if homes is None else homes
    seen = [(40, scales(homes[0].key, 90)), (48, scales(homes[0].key, 140))]
    return believe(seen, weather=weather, homes=homes)


def task(
    belief: ClusterBelief, candidates=(SOAP, PRUNE), permits=freely, n=6, gap=3, portions=600.0
) -> Task:
    """What there is to lose is much, so that treating pays; in a garden it often is too little."""
    visits = tuple(range(belief.today, belief.today + n * gap, gap))
    return Task(belief, visits, tuple(candidates), permits, stakes_of(belief, portions), 4 / 60)


def stakes_of(belief: ClusterBelief, portions: float) -> Stakes:
    """As many portions to come on each planting, the same every day."""
    n_days = belief.cycle.n_days - belief.today
    bearing = np.full((len(belief.stands), n_days), portions / n_days)
    return Stakes.of(belief.stands, APPETITE, bearing, 70.0)


def cost_of(asked: Task, steps: tuple[Step, ...]) -> float:
    """Damage and work of one schedule by plain simulation on all draws."""
    belief = asked.belief
    sums = run_course(belief, steps, asked.visits, by_chance=False)
    damage = 0.0
    for place, bearing in enumerate(asked.stakes.bearing):
        kept = yield_kept(sums[:, place], belief.stands[place], APPETITE, 70.0)
        damage += float(((1 - kept) * bearing).sum(1).mean())
    work = sum(
        s.candidate.hazard * len(s.places)
        + (s.candidate.minutes_once + s.candidate.minutes * sum(
            belief.stands[p].area_m2 for p in s.places)) * asked.minute_costs
        for s in steps
    )  # fmt: skip
    return damage + work


@pytest.mark.parametrize(("mean", "portions"), [(18.0, 600.0), (24.0, 600.0), (24.0, 50.0)])
def test_the_beam_finds_what_enumeration_finds(mean, portions) -> None:
    """One planting, two candidates, four visits, each alone or both: all 256 schedules. Gap within
    1 %, or 0.05 portions where that is less to tell (design, joint search)."""
    belief = heavy(
        sky(mean), stands(Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"))
    )
    asked = task(belief, n=4, gap=4, portions=portions)
    ours = search_course(asked)
    every = itertools.product(((), (SOAP,), (PRUNE,), (SOAP, PRUNE)), repeat=4)
    costs = [
        cost_of(asked, tuple(Step(v, c, (0,)) for v, both in enumerate(plan) for c in both))
        for plan in every
    ]
    gap = (ours.cost - min(costs)) / (ours.cost_of_nothing - min(costs))
    assert ours.cost == pytest.approx(cost_of(asked, ours.steps), rel=1e-6)
    assert ours.cost_of_nothing == pytest.approx(cost_of(asked, ()), rel=1e-6)
    assert gap >= -1e-9
    assert gap <= 0.01 or ours.cost - min(costs) <= 0.05


def test_what_is_not_permitted_is_never_planned() -> None:
    """A label interval of 7 days, one use at most on aubergines, and none at all on tomatoes."""

    def strictly(one: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]) -> Ruling:
        place = [s.key for s in belief.stands].index(planting)
        used = [s.visit for s in so_far if place in s.places]
        reasons = [Because("on the label", holds=planting != "tomatoes")]
        reasons.append(Because("7 days apart", holds=all((visit - v) * 3 >= 7 for v in used)))
        reasons.append(Because("once", holds=planting != "aubergines" or not used))
        return ruling(reasons)

    belief = heavy()
    found = search_course(task(belief, (SOAP,), strictly))
    assert found.steps
    for place, stand in enumerate(belief.stands):
        visits = [s.visit for s in found.steps if place in s.places]
        assert stand.key != "tomatoes" or not visits
        assert stand.key != "aubergines" or len(visits) <= 1
        assert all((b - a) * 3 >= 7 for a, b in itertools.pairwise(visits))


def test_an_empty_ruling_refuses_and_the_reasons_are_told() -> None:
    belief = heavy()
    none = search_course(task(belief, (SOAP,), lambda *_: Ruling(())))
    assert none.steps == () and none.cost == none.cost_of_nothing
    barred = search_course(
        task(belief, (SOAP,), lambda *_: ruling([Because("not on the label", False, "label")]))
    )
    assert [bar.says for bar in barred.refused] == ["not on the label"]
    assert "Nothing that may be used" in course_says(belief, barred, visit_dates(), A_DAY)


def test_what_is_treated_with_the_course_against_another_is_not_told_that_nothing_pays() -> None:
    """Soap sprayed against aphids takes of whitefly: what becomes of it is told by its own run."""
    belief = heavy()
    barred = search_course(task(belief, (SOAP,), lambda *_: Ruling(())))
    soaped = search_course(task(belief, (SOAP,)))
    beside = replace(barred, with_it=soaped.with_it)
    with_aphids = ("the course against melon aphid",)
    says = course_says(belief, beside, visit_dates(), A_DAY, with_aphids)
    assert says.startswith("It is treated with the course against melon aphid, which ")
    assert says.endswith(". Nothing more is worth its work.")
    its_own = course_says(belief, soaped, visit_dates(), A_DAY)
    for word in ("break its life cycle", "holds it down", "slows it"):
        assert (word in says) == (word in its_own)


def visit_dates(n: int = 6, gap: int = 3) -> list[date]:
    return [A_DAY + timedelta(days=gap * k) for k in range(n)]


def test_waiting_and_doing_nothing_are_always_weighed() -> None:
    found = search_course(task(heavy()))
    assert found.steps[0].visit == 0
    assert {"Do nothing", "Wait and look again"} <= {one.says for one in found.alternatives}
    assert all(one.cost >= 0 for one in found.alternatives)


def test_a_few_insects_are_not_worth_a_spray() -> None:
    belief = believe([(45, scales("cucumbers", 1, 40)), (49, scales("cucumbers", 0, 60))])
    asked = task(belief, (candidate("soap", hazard=1.0),))
    found = search_course(replace(asked, stakes=stakes_of(belief, 1.0)))
    assert found.steps == ()


def test_the_neighbours_plot_is_never_treated() -> None:
    homes = stands(
        Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"),
        Planting("theirs", "Next door", "eggplant", 8, "b", neighbours_plot=True),
    )
    found = search_course(task(heavy(homes=homes)))
    assert found.steps and all(1 not in step.places for step in found.steps)
    assert "theirs" in look_beside(heavy(homes=homes), found)


def test_our_own_spacing_of_pruning_is_kept() -> None:
    prune = replace(PRUNE, least_gap_days=9, most_uses=2)
    found = search_course(task(heavy(), (prune,)))
    for place in range(3):
        visits = [s.visit * 3 for s in found.steps if place in s.places]
        assert len(visits) <= 2 and all(b - a >= 9 for a, b in itertools.pairwise(visits))


def test_infested_neighbours_are_treated_in_the_same_visit() -> None:
    """Common practice: adults rise and settle next door, so the cluster is treated together."""
    both = believe(
        [
            (44, scales("cucumbers", 90)),
            (44, scales("aubergines", 150)),
            (49, scales("tomatoes", 0, 60)),
        ]
    )
    found = search_course(task(both, (replace(SOAP, minutes_once=8.0),)))
    assert {0, 1} <= set(found.steps[0].places)


def test_a_course_of_contact_sprays_is_a_series_of_five_to_seven_days() -> None:
    """Common practice O18 (c): one spray never ends it; under a label interval of 5 days the
    repeats follow at 5 to 8 days for two weeks and more."""
    belief = heavy(sky(24.0))

    def five_days(one: Candidate, visit: int, planting: str, so_far: tuple[Step, ...]) -> Ruling:
        place = [s.key for s in belief.stands].index(planting)
        near = [s for s in so_far if place in s.places and (visit - s.visit) * 2 < 5]
        return ruling([Because("5 days apart", holds=not near)])

    soap = replace(SOAP, hazard=0.8, minutes_once=8.0)
    asked = task(belief, (soap,), five_days, n=12, gap=2)
    found = search_course(asked)
    days = sorted({asked.visits[s.visit] - belief.today for s in found.steps if 0 in s.places})
    assert len(days) >= 3 and days[-1] >= 12
    assert all(5 <= gap <= 8 for gap in np.diff(days))
    once = run_course(belief, found.steps[:1], asked.visits)[:, :, 28].sum((1, 2))
    series = run_course(belief, found.steps, asked.visits)[:, :, 28].sum((1, 2))
    assert np.median(series) < 0.5 * np.median(once)


def test_a_course_that_misses_the_undersides_is_not_worth_starting() -> None:
    tops = replace(SOAP, key="tops", surfaces=("top",))
    belief = heavy()
    found = search_course(task(belief, (tops, SOAP)))
    assert all(step.candidate.key == "soap" for step in found.steps)
    only_tops = search_course(task(belief, (tops,)))
    assert only_tops.cost > 1.5 * found.cost


def test_soap_is_said_to_suppress_and_not_to_end() -> None:
    belief = heavy()
    found = search_course(task(belief))
    words = course_says(belief, found, visit_dates(), A_DAY)
    assert "holds it down and does not end it" in words or "slows it and does not hold it" in words
    fading = np.where(np.arange(found.with_it.shape[2]) > 5, 1e-4, 1.0)
    ended = replace(found, with_it=found.with_it * fading[None, None, :, None])
    assert "should break its life cycle" in course_says(belief, ended, visit_dates(), A_DAY)


def test_the_population_of_a_sheet() -> None:
    belief = heavy()
    found = search_course(task(belief))
    population = population_of(belief, found, visit_dates(), A_DAY, "greenhouse whitefly")
    assert population.organism == "greenhouse_whitefly"
    assert population.plantings == ("cucumbers", "aubergines", "tomatoes")
    assert [strip.name for strip in population.strips] == ["eggs", "young", "late scales", "adults"]
    for strip in population.strips:
        assert len(strip.days) == len(strip.median) == len(strip.without)
        assert all(a <= b <= c for a, b, c in zip(strip.low, strip.median, strip.high, strict=True))
    leaves = sum(stand.all_leaves for stand in belief.stands)
    today = np.median(belief.past[:, :, -1, -1].sum(1)) / leaves
    assert population.strips[-1].median[0] == pytest.approx(today, rel=1e-4)
    left = population.left_on_last_day
    assert 0 < left.low <= left.median <= left.high < 1
    assert population.course[0].day == A_DAY and population.course[0].says.startswith("soap, under")
    assert any("event:0" in reason.rests_on for reason in population.because)


def test_candidates_come_from_the_shelf_and_from_hands() -> None:
    shelf = (ProductLabel("my soap", "Soap", "soap", "not classified"),
             ProductLabel("slug bait", "Slug bait", "iron_phosphate", "NC"),
             ProductLabel("pyr", "Pyrethrum", "pyrethrins", "3A"))  # fmt: skip
    found = candidates_of(
        shelf, TABLES.methods, ["whitefly"], LIFE.stages, "greenhouse_whitefly", Household()
    )
    by_key = {one.key: one for one in found}
    assert "slug bait" not in by_key and {"my soap", "pyr", "prune_leaves"} <= set(by_key)
    assert by_key["my soap"].hazard < by_key["pyr"].hazard
    assert by_key["prune_leaves"].product is None and by_key["prune_leaves"].hazard == 0


def test_worth_agrees_with_the_published_loss() -> None:
    """O16: 70 immature-days per cm2 cost 5 %: of 50 portions 2.5, to first order."""
    (home,) = stands(Planting("tomatoes", "Tomatoes", "tomato_indeterminate", 6, "a"))
    nothing_then_all = np.append(np.zeros(69), 50.0)
    stakes = Stakes.of([home], APPETITE, nothing_then_all[None], 70.0)
    area = home.all_leaves * home.leaf_cm2
    nymph = LIFE.stages.index("nymph2")
    counts = np.zeros((1, 71, 6))
    counts[:, :, nymph] = area
    assert stakes.lost(counts[None])[0, 0] == pytest.approx(2.5)
    few = stakes.prices(counts[None] * 1e-9)[0, 0]
    assert few[1:, nymph] * 70 * area == pytest.approx(50 * -np.log(0.95))
    assert not few[:, 0].any() and not few[:, -1].any() and not few[0].any()
    assert yield_kept(counts, home, APPETITE, 70.0)[0, -1] == pytest.approx(0.95)


def test_visits_in_the_past_are_refused() -> None:
    belief = heavy()
    with pytest.raises(ValueError, match="from today on"):
        search_course(replace(task(belief), visits=(belief.today - 1,)))


@pytest.mark.parametrize(
    ("organism", "says"),
    [
        ("squash_bug", "1 (egg masses a plant), which is another count than bugs a plant;"),
        ("squash_vine_borer", "bush types), which is another count than grubs or sawdust holes "),
        ("greenhouse_whitefly", "whitefly), which is another count than pale scales a leaf;"),
        ("cabbage_whitefly", "scales a leaf on kale meant for the table"),
        ("flea_beetles", "2 (beetles a plant on small aubergines, of another species; 8 on tall "),
        ("twospotted_spider_mite", "1.5 (mites a leaf, grower's threshold);"),
    ],
)
def test_the_growers_number_is_told_with_what_it_counts(organism: str, says: str) -> None:
    """Words of the table of habits; where the plan counts something else the sheet says so."""
    defaults, habits = TABLES.constants["defaults"].figures, TABLES.habits[organism]
    life = LifeHistory(read_life(TABLES.organisms[organism], defaults, habits))
    unit = "plant" if habits.counted_by_plant else "leaf"
    told = threshold_said(replace(heavy(), life=life), habits.counted_word, unit)
    assert told.startswith(" Growers often act at ") and says in told
    assert told.endswith("; the plan weighs this plot instead.")


@pytest.mark.parametrize(
    ("crop", "says"),
    [
        ("tomato_indeterminate", "act at 0.5 (beetles a plant on tomato); the plan"),
        ("eggplant", "which is another count than beetles and grubs a plant on Row;"),
        ("potato", "act at 4 small grubs a plant or 1.5 large grubs a plant; the plan"),
    ],
)
def test_each_crop_has_the_growers_number_of_its_own(crop: str, says: str) -> None:
    """Delaware and Georgia, read: beetles on tomatoes, small and large grubs on potatoes."""
    belief = replace(heavy(), life=life_of(TABLES, "colorado_potato_beetle"))
    row = replace(belief.stands[0], crop=crop, name="Row")
    assert says in threshold_said(belief, "beetles and grubs", "plant", row)


def test_a_number_a_flower_is_another_than_one_a_leaf() -> None:
    belief = replace(heavy(), life=life_of(TABLES, "western_flower_thrips"))
    assert "which is another count than thrips a leaf;" in threshold_said(belief, "thrips", "leaf")
