"""Ways to look against looks thrown leaf by leaf: what they call wrong, their stops and worth."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.planning.test_looking import VISIT, watch

from lattermath.belief.count_likelihood import LOOK_SD, clumping
from lattermath.planning.evening_sprays import with_numbers
from lattermath.planning.looking import looking_tasks
from lattermath.planning.stage_now import StageNow
from lattermath.planning.ten_leaves import LEAVES
from lattermath.planning.treating import Spraying
from lattermath.planning.watch import Watch
from lattermath.planning.ways_to_look import Way, enough, precision_at, ways_to_look
from lattermath.planning.ways_told import finds_enough, reckoned, stops_at
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

TURNS_AT, NONE_ON, A_MINUTE = 136, 3, 0.02
LOOKS = 20_000


def expected(seed: int = 0) -> NDArray[np.float64]:
    """Seen on ten leaves in each draw, from hardly any to hundreds."""
    return 130 * np.exp(1.3 * np.random.default_rng(seed).standard_normal(200))


def costs(seen: NDArray[np.float64]) -> NDArray[np.float64]:
    """Of leaving it, and of treating it, which are alike at the number that turns it."""
    return np.stack([3 * seen / TURNS_AT, 0.6 * seen / TURNS_AT + 2.4], axis=1)


@pytest.fixture(scope="module")
def ways() -> dict[str, Way]:
    look = SimpleNamespace(expected=expected())
    found = ways_to_look(look, TURNS_AT, NONE_ON, costs(look.expected), A_MINUTE)
    return {way.kind: way for way in found}


def thrown(mean: float, seed: int = 4) -> NDArray[np.int64]:
    """Looks at ten leaves by the belief's own clumping and error. (n_looks, 10)"""
    rng, k = np.random.default_rng(seed), float(clumping(mean))
    look = rng.gamma(1 / LOOK_SD**2, LOOK_SD**2, (LOOKS, 1))
    return rng.poisson(mean * look * rng.gamma(k, 1 / k, (LOOKS, LEAVES)))


def walked(way: Way, leaves: NDArray[np.int64]) -> tuple[NDArray[np.bool_], float]:
    """Which looks end with many, and the leaves turned, as a grower would go along the stops."""
    counted = (leaves > 0).astype(int) if way.kind == "some" else leaves
    totals = counted.cumsum(1)
    over = (totals <= np.array(way.few)) | (totals >= np.array(way.many))
    # Who counts out turns every leaf, whatever the total is on the way.
    last = np.full(len(over), LEAVES - 1) if way.kind == "all" else over.argmax(1)
    at = np.arange(len(last))
    return totals[at, last] >= np.array(way.many)[last], float(last.mean() + 1)


@pytest.mark.parametrize("kind", ["all", "stopped", "lines", "some"])
def test_what_each_way_calls_wrong_and_when_it_stops(ways: dict[str, Way], kind: str) -> None:
    way = ways[kind]
    assert len(way.few) == len(way.many) == LEAVES  # never more than ten
    few, few_leaves = walked(way, thrown(TURNS_AT / LEAVES / 2))
    many, many_leaves = walked(way, thrown(TURNS_AT / LEAVES * 2))
    assert way.few_wrong == pytest.approx(few.mean(), abs=0.02)
    assert way.many_wrong == pytest.approx(1 - many.mean(), abs=0.02)
    assert way.few_leaves == pytest.approx(few_leaves, abs=0.15)
    assert way.many_leaves == pytest.approx(many_leaves, abs=0.15)


def test_the_worth_of_a_way_is_that_of_thrown_looks(ways: dict[str, Way]) -> None:
    """Of each draw many looks are thrown; after few or many the better choice is taken."""
    seen = expected()
    cost = costs(seen)
    chance = np.array([walked(ways["all"], thrown(mean / LEAVES, 9))[0].mean() for mean in seen])
    after = (chance @ cost, (1 - chance) @ cost)
    worth = (cost.mean(0).min() - sum(part.min() for part in after) / len(seen)) / A_MINUTE
    assert ways["all"].worth == pytest.approx(worth, rel=0.03)


def test_no_way_is_worth_more_than_counting_and_the_best_gains_most(ways: dict[str, Way]) -> None:
    assert all(way.worth <= ways["all"].worth for way in ways.values())
    assert ways["some"].takes < ways["lines"].takes < ways["stopped"].takes < ways["all"].takes
    first, *others = ways.values()
    assert all(way.gains <= first.gains + 0.25 for way in others)


def test_where_few_insects_are_counted_nothing_is_gained_by_lines() -> None:
    look = SimpleNamespace(expected=0.02 * expected())
    few = ways_to_look(look, 3, None, costs(look.expected * TURNS_AT / 3), A_MINUTE)
    assert all(way.kind != "lines" for way in few)


def test_what_misses_many_far_oftener_than_counting_is_no_way() -> None:
    """Where hardly any draw has many, missing them all costs next to nothing in the mean."""
    seen = 4 * np.exp(0.9 * np.random.default_rng(3).standard_normal(200))
    found = ways_to_look(SimpleNamespace(expected=seen), 16, None, costs(seen * TURNS_AT / 16), 0.2)
    counted = next(way for way in found if way.kind == "all")
    for way in found:
        many = walked(way, thrown(2 * 16 / LEAVES))[0].mean()
        few = walked(way, thrown(16 / LEAVES / 2))[0].mean()
        assert 1 - many <= counted.many_wrong + 0.1 + 0.02, way.kind
        assert few <= counted.few_wrong + 0.1 + 0.02, way.kind


def test_what_treatment_waits_for_is_the_number_that_the_look_names(ways: dict[str, Way]) -> None:
    counted = LookWorth(30.0, 0.2, TURNS_AT, "treat", "leave it", ways=(ways["lines"],))
    for asked in (True, False):
        finds = finds_enough(counted, "scales", "leaves", some=asked)
        assert finds == "the look finds 136 scales or more in all"
    one = replace(counted, turns_at=1)
    assert finds_enough(one, "beetle eggs", "plants", some=True) == "the look finds any beetle eggs"
    most = ways["some"].many[-1]
    some = replace(counted, ways=(ways["some"],))
    assert (
        finds_enough(some, "scales", "leaves", some=True)
        == f"the look finds {most} leaves or more with scales"
    )
    assert finds_enough(some, "scales", "leaves", some=False) == finds
    for unsettled in (None, LookWorth(5.0, 0.1), replace(counted, above="take it out")):
        assert not finds_enough(unsettled, "scales", "leaves", some=True)


def test_a_stop_that_is_told_has_its_error_rates_whatever_it_is_worth(ways: dict[str, Way]) -> None:
    slight = with_way(ways, "some")
    assert slight.worth is not None
    slight = replace(slight, decides="the treatment", worth=replace(slight.worth, minutes=0.3))
    (task,) = looking_tasks(VISIT, [slight])
    assert "leaves with pale scales: treat." in task.says
    assert any("calls wrong" in reason.says for reason in task.because)


def test_ten_leaves_tell_a_mean_as_closely_as_thrown_looks_do() -> None:
    """Green's fixed precision: the scatter of the mean of ten leaves, and of as many as named."""
    mean = TURNS_AT / LEAVES
    reached, wanted = precision_at(mean)
    k, rng = float(clumping(mean)), np.random.default_rng(6)
    for leaves, precision in ((LEAVES, reached), (round(wanted), 0.25)):
        sums = rng.poisson(mean * rng.gamma(k, 1 / k, (LOOKS, leaves))).mean(1)
        assert sums.std() / mean == pytest.approx(precision, rel=0.03)


@pytest.mark.parametrize("leaves", [3, 5, 8])
def test_enough_is_where_leaves_scatter_as_little_as_a_look_errs(leaves: int) -> None:
    mean = enough(leaves) / leaves
    k, rng = float(clumping(mean)), np.random.default_rng(7)
    sums = rng.poisson(mean * rng.gamma(k, 1 / k, (LOOKS, leaves))).mean(1)
    assert sums.std() / mean == pytest.approx(LOOK_SD, rel=0.04)


def with_way(ways: dict[str, Way], kind: str) -> Watch:
    others = tuple(way for way in ways.values() if way.kind != kind)
    worth = LookWorth(
        30.0, 0.2, TURNS_AT, "treat", "leave it", None, NONE_ON, (ways[kind], *others)
    )
    return watch("c", None, worth=worth)


def test_the_sheet_has_one_line_and_why_has_the_rest(ways: dict[str, Way]) -> None:
    said = {}
    for kind in ways:
        (task,) = looking_tasks(VISIT, [with_way(ways, kind)])
        said[kind] = task.says
        aside = [reason.says for reason in task.because if reason.aside]
        assert any("(nominal 10 and 10)" in one for one in aside)
        assert any("47 % (standard error); 25 % would take about 36 leaves" in one for one in aside)
        assert any(one.startswith("Wald's lines after 1 to 10 leaves") for one in aside)
        assert len(task.says) < 150
    assert said["all"] == (
        "C: turn 10 low leaves, count pale scales. Pale scales: treat from 136 in all."
    )
    assert said["stopped"].endswith(
        "Pale scales: none on first 3 leaves: leave it. 136 or more: treat."
    )
    most = ways["some"].many[-1]
    assert said["some"] == (
        f"C: turn 10 low leaves, count leaves with pale scales. "
        f"{most} leaves with pale scales: treat. {11 - most} without: leave it."
    )
    few = next(n for n, total in enumerate(ways["lines"].few, start=1) if total >= 0)
    least = ways["lines"].few[few - 1]
    assert f"Pale scales: {least} or fewer on first {few} leaves, " in said["lines"]
    assert ": leave it. " in said["lines"]
    assert said["lines"].endswith(", 136 in all: treat.")


def test_some_or_none_asks_back_leaves(ways: dict[str, Way]) -> None:
    (task,) = looking_tasks(VISIT, [with_way(ways, "some")])
    (wanted,) = task.wanted
    assert wanted.some and wanted.says == "leaves with pale scales" and wanted.stage == "scales"
    aphids = watch("c", None, organism="melon_aphid", planting=Planting("c", "C", "kale", 12))
    mildew = replace(aphids, organism="cucurbit_powdery_mildew")  # on old leaves, which are low too
    both = [with_way(ways, "some"), mildew]
    (task,) = looking_tasks(VISIT, [replace(one, planting=aphids.planting) for one in both])
    assert "leaves with pale scales" in task.says and "half of them" not in task.says


@pytest.mark.parametrize("kind", ["some", "stopped", "lines"])
def test_leaves_of_two_heights_are_counted_out(ways: dict[str, Way], kind: str) -> None:
    """No stop is offered that the walk cannot reach, or that its first low leaf would end."""
    eggs = StageNow(True, "young", "youngest leaves", Because("eggs now"))
    here = Planting("c", "C", "tomato", 12)
    whitefly = replace(with_way(ways, kind), now=eggs, planting=here)
    (alone,) = looking_tasks(VISIT, [whitefly])
    assert "10 young leaves" in alone.says and ": treat." in alone.says
    mites = watch("c", None, organism="twospotted_spider_mite", planting=here)
    (task,) = looking_tasks(VISIT, [whitefly, mites])
    assert task.says == (
        "C: turn 10 leaves, half of them low, count whitefly eggs, mites. "
        "Whitefly eggs: treat from 136 in all."
    )
    assert not any(wanted.some for wanted in task.wanted)
    assert any("counted out" in reason.says for reason in task.because if reason.aside)
    assert not any("Wald" in reason.says for reason in task.because)


@pytest.mark.parametrize("mixed", [True, False])
def test_a_treatment_names_the_number_of_its_look_on_leaves_of_two_heights_too(
    ways: dict[str, Way], mixed: bool
) -> None:
    here = Planting("c", "C", "tomato", 12)
    eggs = StageNow(True, "young", "youngest leaves", Because("eggs now"))
    watches = [replace(with_way(ways, "some"), now=eggs, planting=here)]
    if mixed:
        watches.append(watch("c", None, organism="twospotted_spider_mite", planting=here))
    looks = looking_tasks(VISIT, watches)
    spray = Spraying(
        "soap", "soap", watches[0].organism, "W", here, 9.0, (), ("underside",), "Soap", True,
        only_if="the look finds some there",
    )  # fmt: skip
    (told,) = with_numbers([spray], watches, looks)
    most = ways["some"].many[-1]
    if mixed:
        assert "Whitefly eggs: treat from 136 in all." in looks[0].says
        assert told.only_if == "the look finds 136 whitefly eggs or more in all"
    else:
        assert f"{most} leaves with whitefly eggs: treat." in looks[0].says
        assert told.only_if == f"the look finds {most} leaves or more with whitefly eggs"
    other = replace(spray, target="melon_aphid")
    assert with_numbers([other], watches, looks) == [other]  # no look asks for it: no number


def test_where_nothing_turns_a_look_may_stop_when_it_is_close_enough() -> None:
    worth = LookWorth(6.0, 0.2, enough=(5, enough(5)))
    assert stops_at(worth, "aphids", "leaves") == (
        f"Aphids: with {enough(5)} on 5 leaves stop, more tell little."
    )
    assert not list(reckoned(worth, "leaves")) and not stops_at(None, "aphids", "leaves")
