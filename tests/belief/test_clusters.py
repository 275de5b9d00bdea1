"""Belief of a cluster against populations whose truth is known because they were made here."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from tests.belief.cluster_cases import (
    LIFE,
    METHODS,
    TABLES,
    TODAY,
    believe,
    dice,
    effect,
    plot_of,
    scales,
    sky,
    stands,
)

from lattermath.belief.cluster_past import Past
from lattermath.belief.cluster_plantings import neighbours_at_risk, settling, stands_of
from lattermath.belief.cluster_sightings import meant_stages, read_sighting
from lattermath.belief.cluster_unknowns import Names
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

YOUNG = [LIFE.stages.index(s) for s in ("nymph2", "nymph3", "nymph4_pupa")]


def test_more_seen_is_more_believed_and_zeros_pull_down() -> None:
    few = believe([(40, scales("cucumbers", 3))])
    many = believe([(40, scales("cucumbers", 90))])
    none = believe([(40, scales("cucumbers", 90)), (48, scales("tomatoes", 0, 40))])
    cucumber, tomato = 0, 2
    young = {k: np.median(b.per_leaf()[:, :, YOUNG].sum(2), axis=0) for k, b in
             {"few": few, "many": many, "none": none}.items()}  # fmt: skip
    assert young["many"][cucumber] > 5 * young["few"][cucumber]
    assert young["none"][tomato] < 0.5 * young["many"][tomato]


def test_the_count_of_today_is_what_is_believed_today() -> None:
    """Counted 60 scales on 10 leaves: 9 in 10 on the undersides, three in four of them seen."""
    belief = believe([(TODAY - 1, scales("aubergines", 60)), (TODAY - 6, scales("aubergines", 45))])
    seen_share = np.array([0.6, 0.75, 0.9]) * 0.9
    expected = (belief.per_leaf()[:, 1][:, YOUNG] * seen_share).sum(1) * belief.unknowns.detection
    assert np.quantile(expected, 0.05) < 6.0 < np.quantile(expected, 0.95)


def test_more_leaves_than_taken_bear_more_insects_but_not_more_on_a_leaf() -> None:
    """Thrown leaves widen what is on the planting, and not what a look at ten leaves would find."""
    belief = believe([(TODAY - 1, scales("aubergines", 60)), (TODAY - 6, scales("aubergines", 45))])
    assert belief.leafy is not None
    on_planting, leafy = np.log(belief.past[:, 1, -1].sum(-1)), np.log(belief.leafy[:, 1])
    on_leaf = np.log(belief.per_leaf()[:, 1].sum(-1))
    taken = belief.stands[1].leaves_on(belief.first_day + belief.today)
    assert on_leaf == pytest.approx(on_planting - np.log(taken) - leafy)
    assert on_leaf.std() < on_planting.std()
    assert belief.per_plant()[:, 1].sum(-1) == pytest.approx(np.exp(on_planting) / 5, rel=1e-5)


def test_the_truth_lies_within_its_range_as_often_as_it_should() -> None:
    """Simulated plots: four counts each, thrown from the observation model; 80 % ranges."""
    inside = []
    for case in range(12):
        homes, weather = stands(), sky()
        names = Names("greenhouse_whitefly", homes, METHODS)
        z = names.throw(lambda name, c=case: dice(f"truth {c} {name}"), 1)
        times = [(30, "cucumbers"), (38, "aubergines"), (44, "tomatoes"), (49, "cucumbers")]
        blank = [(day, scales(where, 0)) for day, where in times]
        read = [read_sighting(s, day, n, homes, LIFE.figures) for n, (day, s) in enumerate(blank)]
        first = 30 - 28
        past = Past.of(
            LIFE, names, weather, first, [replace(s, day=s.day - first) for s in read if s], ()
        )
        truth = names.meaning(z, LIFE.figures.field_survival)
        sums = past.run(truth).sums.astype(float)
        rng = dice(f"counts {case}")
        seen = [
            (one.day + first, scales(where, int(one.predicted(
                sums[:, one.place, one.day], truth.detection, rng)[0])))
            for one, (_, where) in zip(past.seen, times, strict=True)
        ]  # fmt: skip
        belief = believe(seen, weather=weather)
        total = np.log(belief.past[:, :, -1].sum((1, 2)) + 1e-9)
        low, high = np.quantile(total, [0.1, 0.9])
        inside.append(low <= np.log(sums[0, :, -1].sum() + 1e-9) <= high)
    # 12 throws at 0.8: fewer than 6 inside has a chance under 1 in 200
    assert sum(inside) >= 6


def test_a_treatment_that_did_not_work_teaches_that_it_does_not() -> None:
    reach = reach_of(effect("soap"), ("underside", "top"), 0.7, LIFE.figures)
    sprays = tuple(Application(day, effect("soap"), (0,), reach) for day in (36, 41, 46))
    before = [(30, scales("cucumbers", 60)), (35, scales("cucumbers", 70))]
    failed = believe([*before, (49, scales("cucumbers", 120))], sprays)
    worked = believe([*before, (49, scales("cucumbers", 4))], sprays)
    quantile = [np.median(b.unknowns.quantiles["soap"]) for b in (failed, worked)]
    assert quantile[0] < quantile[1] - 0.1


# The table's word for cucumber, aubergine and tomato, and the eggs laid on them beside aubergine's.
TWO_READINGS = ((0.85, 190 / 300), (1.0, 1.0), (0.55, 100 / 300))


def test_a_planting_suits_as_the_table_says_within_its_doubt() -> None:
    """Thrown quantiles against the closed form of a log-normal about what the table says.

    Its word and its eggs are the 10th and the 90th percentile, its doubt of 0.25 comes to that.
    """
    homes = stands()
    names = Names("greenhouse_whitefly", homes, METHODS)
    thrown = names.meaning(names.throw(dice, 4000), LIFE.figures.field_survival).suits
    table = TABLES.organisms["sweetpotato_whitefly"].row.figure("hosts.uncertainty").value
    words, eggs = np.array(TWO_READINGS).T  # of the host, beside the best host's
    doubt = np.hypot(table, np.log(words / eggs) / (2 * stats.norm.ppf(0.9)))
    for share in (0.1, 0.5, 0.9):
        due = stats.lognorm.ppf(share, doubt, scale=np.sqrt(words * eggs))
        assert np.quantile(thrown, share, axis=0) == pytest.approx(due, rel=0.03)
    apart = np.corrcoef(np.log(thrown), rowvar=False) - np.eye(len(homes))
    assert np.abs(apart).max() < 0.06, "each planting by itself"


def test_a_sample_never_shrinks_to_a_few() -> None:
    belief = believe([(day, scales("cucumbers", 30 + day)) for day in range(30, 50, 3)])
    assert len(np.unique(belief.unknowns.field)) > belief.n_draws // 2


def test_same_dice_same_bits_and_one_more_planting_reshuffles_nothing_else() -> None:
    seen = [(40, scales("cucumbers", 12))]
    one, two = believe(seen), believe(seen)
    assert np.array_equal(one.state, two.state)
    small = Names("greenhouse_whitefly", stands()[:2], METHODS)
    large = Names("greenhouse_whitefly", stands(), METHODS)
    a, b = small.throw(dice, 8), large.throw(dice, 8)
    for name in small.all:
        assert np.array_equal(a[:, small.all.index(name)], b[:, large.all.index(name)])


def test_draw_and_future_are_paired() -> None:
    belief = believe([(40, scales("cucumbers", 12))])
    assert belief.state.shape == (belief.n_draws, 3, LIFE.layout.n_classes)
    later = belief.ahead().sums
    assert later.shape[2] == belief.cycle.n_days - belief.today + 1
    assert later[:, :, 0] == pytest.approx(belief.past[:, :, -1], rel=1e-4)


def test_only_hosts_belong_to_a_cluster_and_the_neighbours_is_looked_at_only() -> None:
    plot = plot_of(
        Planting("lettuce", "Lettuce", "lettuce_leaf", 20, "a"),
        Planting("beans", "Beans", "bean_bush", 40, "b"),
        Planting("next door", "Next door", "tomato_indeterminate", 6, "c", neighbours_plot=True),
    )
    homes = stands_of(plot, LIFE.figures, TABLES.crosswalk)
    assert [(home.key, home.treatable) for home in homes] == [("beans", True), ("next door", False)]


def test_the_nearest_planting_is_most_at_risk() -> None:
    settle = settling(stands(), 2.0)
    assert neighbours_at_risk(settle, 0, 0.0)[0] == 1
    assert settle[0, 1] > settle[0, 2]


def test_words_for_stages() -> None:
    assert meant_stages("scales", LIFE.stages) == ("nymph2", "nymph3", "nymph4_pupa")
    assert meant_stages("eggs", LIFE.stages) == ("egg",)
    assert meant_stages("", LIFE.stages) == LIFE.stages
    assert meant_stages("Adults", LIFE.stages) == ("adult",)


def test_what_says_nothing_of_the_cluster_is_no_evidence() -> None:
    homes = stands()
    empty = Sighting("cucumbers", "greenhouse_whitefly", "count")
    elsewhere = scales("roses", 10)
    assert read_sighting(empty, 3, 1, homes, LIFE.figures) is None
    assert read_sighting(elsewhere, 3, 1, homes, LIFE.figures) is None
    glance = Sighting("cucumbers", "greenhouse_whitefly", "first seen", "adult")
    seen = read_sighting(glance, 3, 1, homes, LIFE.figures)
    assert seen is not None and seen.leaves == 20 and seen.total is None


def test_a_planting_killed_by_frost_keeps_no_insects_and_a_hardy_one_does() -> None:
    """Nights of -2 C from a week after today on, days of 12; leaves are colder by two degrees."""
    weather = sky()
    low, high = weather.t_min.copy(), weather.t_max.copy()
    low[:, TODAY + 7 :], high[:, TODAY + 7 :] = -2.0, 12.0
    cold = replace(weather, t_min=low, t_max=high)
    homes = tuple(
        replace(home, killed_at_c=kill)
        for home, kill in zip(stands(), (-0.5, -3.5, -12.0), strict=True)
    )
    seen = [(TODAY - 2, scales(k, 60)) for k in ("cucumbers", "aubergines", "tomatoes")]
    belief = believe(seen, weather=cold, homes=homes)
    for by_chance in (True, False):
        total = belief.ahead(by_chance=by_chance).sums.sum(3)
        assert np.all(total[:, :2, 5] > 0)  # not before the frost
        assert not total[:, :2, 12:].any()
        assert np.median(total[:, 2, 12]) > 0.2 * np.median(total[:, 2, 5])
    since = slice(belief.today + 8, None)
    assert not belief.setting.host[:, since, :2].any()
    assert not belief.setting.arrivals[:, since, :2].any()


def test_how_many_leaves_have_any_is_evidence_of_how_many_there_are() -> None:
    """Nine of ten leaves with scales against one of ten: the second has hardly any."""

    def today(with_any: int) -> float:
        told = Sighting("cucumbers", "greenhouse_whitefly", "some", "scales", looked_at=10,
                        total=with_any)  # fmt: skip
        return float(np.median(believe([(45, told)]).past[:, 0, -1].sum(-1)))

    none, one, nine = (today(n) for n in (0, 1, 9))
    assert none < one < nine and nine > 10 * one
