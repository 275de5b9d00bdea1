"""The boxcar trains against closed forms: the gamma distribution, exponentials and transposes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import special

from lattermath.science.stage_cohorts import (
    Cycle,
    Kills,
    Setting,
    run_cohorts,
    value_of_insects,
    wind_clock,
)
from lattermath.science.stage_layout import (
    Layout,
    Part,
    boxcars_for,
    just_entered,
    lay_out,
    push_fraction,
    spread_evenly,
)

DAYS = 80


def life(cv: float = 0.15, by_age: tuple[float, ...] = ()) -> Layout:
    return lay_out(
        [
            Part("egg", boxcars_for(cv), cv),
            Part("nymph", 12, 0.2),
            Part("adult", 2, 0.6, flies=1.0),
            Part("adult", 4, 0.45, lays=1.0, flies=0.3, by_age=by_age),
        ]
    )


OLD_LAY_LITTLE = (1.6, 1.4, 0.7, 0.3)


def cycle_of(layout: Layout, days_of_part, n_days=DAYS, survival=1.0, laying=0.0, flight=0.0):
    """A steady climate for one draw; infinite days stop a part's clock."""
    development = np.broadcast_to(1.0 / np.asarray(days_of_part), (1, n_days, layout.n_parts))
    return Cycle(
        layout,
        *wind_clock(layout, development),
        np.full((1, n_days, layout.n_parts), survival, dtype=np.float32),
        np.full((1, n_days), laying, dtype=np.float32),
        np.full((1, n_days), flight, dtype=np.float32),
    )


def setting_of(n_plantings=1, n_days=DAYS, arrivals=0.0, settle=None, shaken=0.0):
    stay = np.eye(n_plantings)
    return Setting(
        np.ones((1, n_days, n_plantings), dtype=np.float32),
        np.full((1, n_days, n_plantings), arrivals, dtype=np.float32),
        stay if settle is None else settle,
        np.full(n_days, shaken, dtype=np.float32),
        stay if settle is None else settle,
    )


def emergence(series: np.ndarray) -> tuple[float, float]:
    """Mean and standard deviation of a daily cumulative series, daily counting taken off."""
    share = np.diff(series.astype(np.float64))
    middle = np.arange(len(share)) + 0.5
    mean = float((share * middle).sum() / share.sum())
    return mean, float(np.sqrt((share * (middle - mean) ** 2).sum() / share.sum() - 1 / 12))


@pytest.mark.parametrize("cv", [0.1, 0.12, 0.15, 0.2, 0.25, 0.3])
@pytest.mark.parametrize("days", [4.0, 4.7, 5.3, 7.0, 9.0, 14.0, 20.0, 27.0])
def test_a_stage_is_passed_as_the_gamma_distribution_says(cv: float, days: float) -> None:
    """Closed form: gamma of shape 1/cv^2, counted once a day like the cohort."""
    layout = life(cv)
    cycle = cycle_of(layout, [days, np.inf, np.inf, np.inf])
    start = just_entered(layout, "egg", 1.0)[None, None]
    run = run_cohorts(cycle, setting_of(), start)
    mean, spread = emergence(run.sums[0, 0, :, 1])
    truth = special.gammainc(1 / cv**2, np.arange(DAYS + 1) / (cv**2 * days))
    true_mean, true_spread = emergence(truth)
    assert mean == pytest.approx(true_mean, abs=max(0.1, 0.01 * days))
    assert spread == pytest.approx(true_spread, rel=0.05)


@pytest.mark.parametrize("cv", [0.1, 0.15, 0.2, 0.25, 0.3])
@pytest.mark.parametrize("days", [1.0, 1.3, 1.7, 2.0, 2.6, 3.0, 3.5])
def test_a_stage_of_few_days_comes_out_as_the_gamma_counted_once_a_day(
    cv: float, days: float
) -> None:
    """Closed form, whole: the share out by each evening, for stages shorter than four days.

    Their own spread is below a day's counting, so that a spread cannot be asked for as above.
    """
    layout = life(cv)
    cycle = cycle_of(layout, [days, np.inf, np.inf, np.inf])
    run = run_cohorts(cycle, setting_of(), just_entered(layout, "egg", 1.0)[None, None])
    out = run.sums[0, 0, :, 1].astype(np.float64)
    truth = special.gammainc(1 / cv**2, np.arange(DAYS + 1) / (cv**2 * days))
    later = float((truth - out).sum())  # difference of the mean days, from the two shares alone
    assert abs(later) < 0.1
    assert np.abs(out - truth).max() < 0.05


def test_two_stages_add_their_means_and_variances() -> None:
    layout = life(0.15)
    for first, second in [(7.0, 4.0), (10.0, 6.3), (6.0, 12.0), (9.0, 9.0)]:
        cycle = cycle_of(layout, [first, second, np.inf, np.inf])
        run = run_cohorts(cycle, setting_of(), just_entered(layout, "egg", 1.0)[None, None])
        mean, spread = emergence(run.sums[0, 0, :, 2])
        assert mean == pytest.approx(first + second, rel=0.01)
        assert spread == pytest.approx(np.hypot(0.15 * first, 0.2 * second), rel=0.05)


def test_a_changing_rate_adds_up_to_the_same_development() -> None:
    """The day of a steady rate is the day on which the summed rate is one."""
    layout = life(0.1)
    rate = 0.06 + 0.05 * np.sin(np.arange(DAYS) / 3.0)
    development = np.zeros((1, DAYS, layout.n_parts))
    development[0, :, 0] = rate
    clock = wind_clock(layout, development)
    steady = cycle_of(layout, [np.inf] * 4)
    cycle = Cycle(layout, *clock, steady.survival, steady.laying, steady.flight)
    run = run_cohorts(cycle, setting_of(), just_entered(layout, "egg", 1.0)[None, None])
    out = run.sums[0, 0, :, 1].astype(np.float64)
    passed = np.concatenate([[0.0], np.cumsum(rate)])
    mean_development = float((np.diff(out) * (passed[:-1] + passed[1:]) / 2).sum())
    assert mean_development == pytest.approx(1.0, abs=0.01)


def test_mass_is_conserved_to_the_last_bits() -> None:
    layout = life()
    cycle = cycle_of(layout, [6.0, 8.0, 2.0, np.inf], flight=0.3)
    settle = np.array([[0.5, 0.5, 0.0], [0.2, 0.6, 0.2], [0.1, 0.1, 0.8]])
    start = np.random.default_rng(1).uniform(0, 5, (4, 3, layout.n_classes))
    run = run_cohorts(cycle, setting_of(3, settle=settle, shaken=0.2), start)
    assert run.final.sum((1, 2)) == pytest.approx(start.sum((1, 2)), rel=1e-12)


def test_deaths_follow_the_exponential() -> None:
    layout = life()
    cycle = cycle_of(layout, [np.inf] * 4, survival=0.9)
    run = run_cohorts(cycle, setting_of(), just_entered(layout, "egg", 1.0)[None, None], n_days=20)
    assert run.final.sum() == pytest.approx(0.9**20, rel=1e-5)


def test_the_run_is_linear_in_start_and_arrivals() -> None:
    layout = life()
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=3.0, flight=0.2)
    a, b = np.random.default_rng(2).uniform(0, 5, (2, 1, 1, layout.n_classes))
    alone = [run_cohorts(cycle, setting_of(), start).final for start in (a, b)]
    coming = run_cohorts(cycle, setting_of(arrivals=2.0), 0 * a).final
    together = run_cohorts(cycle, setting_of(arrivals=2.0), a + b).final
    assert together == pytest.approx(alone[0] + alone[1] + coming, rel=1e-10)


@pytest.mark.parametrize("adult_days", [7.0, 11.3, 20.0, 33.0])
def test_a_life_has_as_many_eggs_however_they_lie_in_it(adult_days: float) -> None:
    """By hand: a mother at 1 egg a day lays as many as she has days, more of them early."""
    half = []
    for by_age in (OLD_LAY_LITTLE, (), (0.3, 0.7, 1.4, 1.6)):
        layout = life(by_age=by_age)
        cycle = cycle_of(layout, [np.inf, np.inf, 2.0, adult_days], 200, laying=1.0)
        start = np.zeros((1, 1, layout.n_classes))
        start[0, 0, layout.first[2] + 1] = 1.0
        eggs = run_cohorts(cycle, setting_of(n_days=200), start).sums[0, 0, :, 0]
        assert eggs[-1] == pytest.approx(adult_days, rel=0.02)  # counted once a day
        half.append(np.interp(0.5 * eggs[-1], eggs, np.arange(201)))
    assert half[0] < 0.85 * half[1] and half[2] > 1.15 * half[1]


def test_laying_by_age_wants_a_figure_for_each_boxcar() -> None:
    with pytest.raises(ValueError, match="each boxcar"):
        life(by_age=(1.5, 0.5))


def test_crowding_slows_growth() -> None:
    layout = life()
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=5.0)
    start = spread_evenly(layout, [100, 100, 50])[None, None]
    roomy = setting_of()
    tight = Setting(
        roomy.host, roomy.arrivals, roomy.settle, roomy.shaken, roomy.settle, np.array([500.0])
    )
    free, crowded = (run_cohorts(cycle, s, start).final.sum() for s in (roomy, tight))
    assert crowded < 0.5 * free


def test_a_run_goes_on_from_a_kept_state_and_threads_change_no_bit() -> None:
    layout = life()
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=3.0, flight=0.2)
    settle = np.array([[0.7, 0.3], [0.3, 0.7]])
    start = np.random.default_rng(3).uniform(0, 5, (6, 2, layout.n_classes))
    setting = setting_of(2, settle=settle)
    left = np.full((1, 1, 2, 3), 0.4, dtype=np.float32)
    event = np.full(DAYS, -1, dtype=np.int64)
    event[[10, 33]] = 0
    kills = Kills(event, left)
    whole = run_cohorts(cycle, setting, start, kills, keep_days=[33], threads=1)
    split = run_cohorts(cycle, setting, start, kills, keep_days=[33], threads=2)
    rest = run_cohorts(cycle, setting, whole.kept[:, 0], kills, first_day=33)
    assert np.array_equal(whole.sums, split.sums) and np.array_equal(whole.final, split.final)
    assert rest.sums == pytest.approx(whole.sums[:, :, 33:], rel=1e-5)


@pytest.mark.parametrize("by_age", [(), OLD_LAY_LITTLE], ids=["alike", "by age"])
def test_the_value_of_an_insect_is_what_a_run_of_it_costs(by_age: tuple[float, ...]) -> None:
    """Dot-product test of the transpose on states drawn at random."""
    layout = life(by_age=by_age)
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=3.0, flight=0.25)
    settle = np.array([[0.7, 0.3], [0.1, 0.9]])
    setting = setting_of(2, settle=settle, shaken=0.1)
    weight = np.array([[0.0, 1.0, 0.2], [0.1, 0.4, 0.0]])
    value = value_of_insects(cycle, setting, weight, [0, 41], 3)
    start = np.random.default_rng(4).uniform(0, 5, (3, 2, layout.n_classes))
    for k, day in enumerate((0, 41)):
        run = run_cohorts(cycle, setting, start, first_day=day)
        cost = (run.sums[:, :, 1:].astype(np.float64) * weight[None, :, None]).sum((1, 2, 3))
        assert (start * value[:, k]).sum((1, 2)) == pytest.approx(cost, rel=1e-5)


def test_the_value_follows_prices_that_change_with_draw_and_day() -> None:
    """The same, priced by draw and day: nothing is worth anything after the last priced day."""
    layout = life()
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=3.0, flight=0.25)
    setting = setting_of(2, settle=np.array([[0.7, 0.3], [0.1, 0.9]]), shaken=0.1)
    rng = np.random.default_rng(5)
    prices = rng.uniform(0, 1, (3, 2, DAYS + 1, layout.n_stages))
    prices[:, :, 50:] = 0.0
    value = value_of_insects(cycle, setting, prices, [0, 41, 49], 3)
    start = rng.uniform(0, 5, (3, 2, layout.n_classes))
    for k, day in enumerate((0, 41, 49)):
        run = run_cohorts(cycle, setting, start, first_day=day)
        priced = prices[:, :, day + 1 :]
        cost = (run.sums[:, :, 1:].astype(np.float64) * priced).sum((1, 2, 3))
        assert (start * value[:, k]).sum((1, 2)) == pytest.approx(cost, rel=1e-5)
    assert not value[:, 2].any()


def test_the_value_under_treatments_is_what_those_left_by_them_cost() -> None:
    """The same dot product where some of the later days kill, by draw, planting and stage."""
    layout = life()
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=3.0, flight=0.25)
    setting = setting_of(2, settle=np.array([[0.7, 0.3], [0.1, 0.9]]), shaken=0.1)
    rng = np.random.default_rng(6)
    prices = rng.uniform(0, 1, (3, 2, DAYS + 1, layout.n_stages))
    events = np.full(DAYS, -1, dtype=np.int64)
    events[[10, 41, 60]] = (0, 1, 2)
    left = rng.uniform(0.1, 1, (3, 3, 2, layout.n_stages)).astype(np.float32)
    kills = Kills(events, left)
    value = value_of_insects(cycle, setting, prices, [0, 41], 3, kills=kills)
    start = rng.uniform(0, 5, (3, 2, layout.n_classes))
    for k, day in enumerate((0, 41)):
        later = Kills(np.where(np.arange(DAYS) == day, -1, events), left)
        run = run_cohorts(cycle, setting, start, later, first_day=day)
        cost = (run.sums[:, :, 1:].astype(np.float64) * prices[:, :, day + 1 :]).sum((1, 2, 3))
        assert (start * value[:, k]).sum((1, 2)) == pytest.approx(cost, rel=1e-5)


def test_layouts_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="too many"):
        push_fraction(60, 0.2)
    with pytest.raises(ValueError, match="at most 64"):
        lay_out([Part("egg", 40, 0.1), Part("adult", 30, 0.1)])
    with pytest.raises(ValueError, match="once adult"):
        lay_out([Part("adult", 4, 0.3, flies=1.0), Part("egg", 4, 0.3)])
    with pytest.raises(ValueError, match="outside the cycle"):
        layout = life()
        run_cohorts(
            cycle_of(layout, [5, 5, 5, 5]),
            setting_of(),
            just_entered(layout, "egg", 1.0)[None, None],
            first_day=DAYS,
            n_days=1,
        )


def test_work_puts_up_those_of_the_plantings_it_is_done_on() -> None:
    """By hand, one day without births, deaths or flight: of 10 adults a share lands next door."""
    layout = life()
    cycle = cycle_of(layout, [np.inf] * 4, flight=0.25)
    shaken = np.zeros((DAYS, 2), dtype=np.float32)
    shaken[5], shaken[6], shaken[7] = (2.0, 0.0), (0.0, 1.0), (9.0, 9.0)  # the last: all of them
    away = np.array([[0.6, 0.4], [0.3, 0.7]])
    setting = replace(setting_of(2), shaken=shaken, settle_shaken=away)
    start = np.zeros((1, 2, layout.n_classes))
    start[:, :, layout.first[2]] = 10.0  # adults
    start[:, :, layout.first[1]] = 7.0  # nymphs stay
    sums = run_cohorts(cycle, setting, start, n_days=9).sums
    adults = sums[0, :, :, -1]
    assert adults[:, 5] == pytest.approx(10.0)
    assert adults[:, 6] == pytest.approx([10 - 10 * 0.5 * 0.4, 10 + 10 * 0.5 * 0.4])
    over = 12 * 0.25 * 0.3
    assert adults[:, 7] == pytest.approx([8 + over, 12 - over])
    assert adults[:, 8] == pytest.approx(adults[:, 7] @ away)
    assert sums[0, :, :, 1] == pytest.approx(7.0)


def test_the_value_of_an_insect_counts_where_work_puts_it() -> None:
    """The transpose, with work on one planting or both on some days."""
    layout = life(by_age=OLD_LAY_LITTLE)
    cycle = cycle_of(layout, [6, 9, 2, 14], survival=0.97, laying=3.0, flight=0.25)
    rng = np.random.default_rng(6)
    shaken = (4 * rng.random((DAYS, 2)) * (rng.random((DAYS, 2)) < 0.2)).astype(np.float32)
    setting = replace(setting_of(2, settle=np.array([[0.7, 0.3], [0.1, 0.9]])), shaken=shaken)
    weight = np.array([[0.0, 1.0, 0.2], [0.1, 0.4, 0.0]])
    value = value_of_insects(cycle, setting, weight, [7], 3)
    start = rng.uniform(0, 5, (3, 2, layout.n_classes))
    run = run_cohorts(cycle, setting, start, first_day=7)
    cost = (run.sums[:, :, 1:].astype(np.float64) * weight[None, :, None]).sum((1, 2, 3))
    assert (start * value[:, 0]).sum((1, 2)) == pytest.approx(cost, rel=1e-5)
    still = run_cohorts(cycle, replace(setting, shaken=0 * shaken), start, first_day=7)
    assert not np.allclose(still.sums, run.sums, rtol=1e-3)
