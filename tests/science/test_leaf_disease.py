"""Mildew on two surfaces against the logistic closed form and the field facts of the checks."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate

from lattermath.science.deposits import deposit_left
from lattermath.science.leaf_disease import (
    LATENT_CLASSES,
    TOP,
    UNDERSIDE,
    LeafPace,
    LeafWork,
    cover_over_days,
    run_leaf_disease,
    warmth_response,
)

DAYS = 60


def pace(rate=0.2, latent=5.0, crossing=0.1, response=1.0, growth=0.0, arriving=0.0) -> LeafPace:
    return LeafPace(
        np.array([rate]),
        np.array([latent]),
        np.array([crossing]),
        np.full((1, DAYS), response),
        np.full(DAYS, growth),
        np.full((1, 1), arriving),
        np.ones(1),
    )


def work(cure=(), cover=None) -> LeafWork:
    """cure: (day, surface, share); cover: (days, surface, share by day)."""
    done = np.zeros((DAYS, 1, 1, 2))
    held = np.zeros((DAYS, 1, 1, 2))
    for day, surface, share in cure:
        done[day, 0, 0, surface] = share
    if cover is not None:
        held[: len(cover[1]), 0, 0, cover[0]] = cover[1]
    return LeafWork(done, held)


def run(start, p: LeafPace, w: LeafWork) -> np.ndarray:
    first = np.broadcast_to(np.asarray(start, dtype=float), (1, 1, 2))
    return run_leaf_disease(p, first, np.zeros((1, 1, 2, LATENT_CLASSES)), w)[0][0, 0]


@pytest.mark.parametrize(("rate", "latent"), [(0.10, 5.0), (0.20, 5.0), (0.20, 3.0), (0.30, 7.0)])
def test_young_epidemics_grow_at_the_rate_asked_for(rate, latent) -> None:
    severity = run(1e-7, pace(rate, latent), work())[:, TOP]
    grown = np.diff(np.log(severity))[30:40]
    assert grown == pytest.approx(np.full(10, rate), rel=0.01)


def test_the_whole_curve_follows_its_differential_equation() -> None:
    """The same chain of latent steps in continuous time, integrated apart from the daily steps."""
    rate, latent, k = 0.2, 5.0, LATENT_CLASSES
    spread = rate * (1 + rate * latent / k) ** k

    def change(_: float, y: np.ndarray) -> list[float]:
        seen, hidden = y[0], y[1:]
        ripening = hidden * k / latent
        caught = spread * seen * max(1 - y.sum(), 0.0)
        return [ripening[-1], caught - ripening[0], *(ripening[:-1] - ripening[1:])]

    start = [0.005] + [0.0] * k
    truth = integrate.solve_ivp(change, (0, DAYS), start, t_eval=range(DAYS + 1), rtol=1e-8).y[0]
    severity = run(0.005, pace(rate, latent), work())[:, TOP]
    assert np.abs(severity - truth).max() < 0.05
    assert np.all(np.diff(severity) >= 0) and severity[-1] <= 1.0


def test_nothing_shows_before_the_latent_period() -> None:
    severity = run(0.0, pace(latent=6.0, arriving=0.01), work())[:, TOP]
    assert severity[1] == 0 and severity[2] == 0 and severity[12] > 0


def test_treating_the_tops_leaves_it_going_underneath() -> None:
    """Field fact: a contact cure that misses the undersides leaves white colonies below."""
    tops = [(day, TOP, 0.9) for day in range(0, DAYS, 7)]
    both = tops + [(day, UNDERSIDE, 0.9) for day in range(0, DAYS, 7)]
    untreated = run(0.02, pace(), work())
    half, whole = run(0.02, pace(), work(tops)), run(0.02, pace(), work(both))
    assert half[28, UNDERSIDE] > 0.7 * untreated[28, UNDERSIDE]
    assert half[28, TOP] < 0.5 * untreated[28, TOP]
    assert whole[28].max() < 0.4 * half[28, UNDERSIDE]
    # and the undersides carry it back to the tops
    assert half[28, TOP] > 1.5 * whole[28, TOP]


def test_a_cure_without_cover_does_nothing_for_infections_two_days_later() -> None:
    """Check: bicarbonate acts on colonies wetted and leaves no protection."""
    p = pace(arriving=0.01)
    treated, untreated = (
        run(0.0, p, work([(0, TOP, 0.95), (0, UNDERSIDE, 0.95)])),
        run(0.0, p, work()),
    )
    assert treated == pytest.approx(untreated)


def test_cover_holds_infection_off_and_is_thinned_by_rain_and_new_leaf() -> None:
    growth, dry, wet = np.full(14, 0.03), np.zeros(14), np.zeros(14)
    wet[3] = 25.0
    left, rained = (deposit_left(7.0, np.ones(14), rain, mm_halves=25.0) for rain in (dry, wet))
    kept = cover_over_days(0.9, left, growth)
    washed = cover_over_days(0.9, rained, growth)
    bare = cover_over_days(0.9, left, 0 * growth)
    assert washed[4] == pytest.approx(kept[4] / 2)  # 25 mm halves it (rule of thumb, A12)
    assert bare[7] == pytest.approx(0.45) and kept[7] < bare[7]
    protected = run(0.01, pace(), work(cover=(TOP, kept)))
    assert protected[14, TOP] < run(0.01, pace(), work())[14, TOP]


def test_a_dry_warm_week_is_no_week_off() -> None:
    """Check: 25 C and 45 % RH gives risk; warmth best at 25.7 +-0.2, under 0.05 at 35 C."""
    heat = np.arange(10.0, 36.0, 0.05)
    response = warmth_response(heat, heat, 10.0, 25.7, 35.0)
    assert warmth_response(25.0, 25.0, 10.0, 25.7, 35.0) > 0.9
    assert heat[response.argmax()] == pytest.approx(25.7, abs=0.2)
    assert response[heat > 34.99].max() < 0.05
    assert np.all(np.diff(response[heat < 25.7]) > 0)


def plot_of(n_draws: int, n_plantings: int) -> tuple[LeafPace, np.ndarray, np.ndarray, LeafWork]:
    """Many draws and plantings, no two alike."""
    throw = np.random.default_rng(20260725)
    shape = (DAYS, n_draws, n_plantings, 2)
    p = LeafPace(
        throw.uniform(0.1, 0.4, n_draws),
        throw.uniform(2.0, 8.0, n_draws),
        throw.uniform(0.0, 0.3, n_draws),
        throw.uniform(0.0, 1.0, (n_draws, DAYS + 9))[:, 9:],
        throw.uniform(0.0, 0.05, DAYS),
        throw.uniform(0.0, 1e-3, (n_draws, n_plantings)),
        throw.uniform(0.2, 1.0, n_plantings),
        throw.uniform(0.3, 1.0, (n_draws, DAYS)),
    )
    w = LeafWork(*(throw.uniform(0, most, shape) for most in (0.98, 1.0, 0.5)))
    start = throw.uniform(0.0, 0.3, (n_draws, n_plantings, 2))
    return p, start, throw.uniform(0.0, 0.1, (n_draws, n_plantings, 2, LATENT_CLASSES)), w


def in_arrays(
    p: LeafPace, start: np.ndarray, latent: np.ndarray, w: LeafWork
) -> tuple[np.ndarray, np.ndarray]:
    """The same days written as whole arrays, surface by surface, with matrices for the moves."""
    seen, hidden, out = start.copy(), latent.copy(), [start]
    s = np.minimum(LATENT_CLASSES / p.latent, 1)
    grown = np.exp(p.rate) - 1
    spread = grown * (1 + grown / s) ** LATENT_CLASSES
    cross = np.stack([[1 - p.crossing, p.crossing], [p.crossing, 1 - p.crossing]])
    for day in range(DAYS):
        left = seen * (1 - w.cure[day])
        hidden[..., 0] *= 1 - w.back[day]
        landing = np.einsum("stn,nps->npt", cross, left) * p.suits[:, None]
        pressure = landing * spread[:, None, None] + p.arriving[..., None]
        pressure = pressure * p.response[:, day, None, None] * (1 - w.cover[day])
        bare = np.clip(1 - left - hidden.sum(-1), 0, None)
        q = np.minimum(p.ripening[:, day] * LATENT_CLASSES / p.latent, 1)
        move = np.stack([np.diag(np.full(3, 1 - x)) + np.diag(np.full(2, x), 1) for x in q])
        ripe = q[:, None, None] * hidden[..., -1]
        hidden = np.einsum("npsk,nkj->npsj", hidden, move)
        hidden[..., 0] += bare * (1 - np.exp(-pressure))
        seen, hidden = (left + ripe) / (1 + p.growth[day]), hidden / (1 + p.growth[day])
        out.append(seen)
    return np.stack(out, axis=2), hidden


def test_the_compiled_days_are_the_days_of_the_formula() -> None:
    asked = plot_of(40, 3)
    kept = [asked[1].copy(), asked[2].copy()]
    for ours, theirs in zip(run_leaf_disease(*asked), in_arrays(*asked), strict=True):
        np.testing.assert_allclose(ours, theirs, rtol=1e-11, atol=1e-14)
    np.testing.assert_array_equal(asked[1], kept[0])
    np.testing.assert_array_equal(asked[2], kept[1])


def test_draws_never_meet() -> None:
    """Bit for bit the same, together or one by one: any number of threads may share the draws."""
    p, start, latent, w = plot_of(6, 2)
    severity, hidden = run_leaf_disease(p, start, latent, w)
    for i in range(6):
        one = slice(i, i + 1)
        alone = LeafPace(
            p.rate[one],
            p.latent[one],
            p.crossing[one],
            p.response[one],
            p.growth,
            p.arriving[one],
            p.suits,
            p.ripening[one],
        )
        cut = LeafWork(w.cure[:, one], w.cover[:, one], w.back[:, one])
        by_itself = run_leaf_disease(alone, start[one], latent[one], cut)
        np.testing.assert_array_equal(severity[one], by_itself[0])
        np.testing.assert_array_equal(hidden[one], by_itself[1])
