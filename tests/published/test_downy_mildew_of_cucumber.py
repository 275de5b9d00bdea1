"""Downy mildew of cucurbits: the generic model, and the trials it must respect.

Sources: Magarey, Sutton and Thayer 2005 (equations read on a library page; parameters judgement of
the table); Cohen 1977 (abstract read); Arauz et al. 2010 (abstract read). Checks-diseases 5.
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.belief.infection_weather import Nights, infection_response
from lattermath.knowledge.tables import load_tables
from lattermath.science.development import thermal_response
from lattermath.science.infection import infection, wet_hours_in_trials, wet_hours_needed

ROW = load_tables().diseases["cucurbit_downy_mildew"]
FIVE = [ROW.infection[name].value for name in ("Tmin", "Topt", "Tmax", "Wmin", "Wmax")]
TRIALS = [
    tuple(ROW.row.figure(f"wetness_h_by_temp[{n}][{part}]").value for part in (0, 1))
    for n in range(ROW.row.numbered("wetness_h_by_temp"))
]
STOPS = ROW.temp_stop_c.value


@pytest.mark.parametrize(
    ("heat", "hours", "share"),
    [(20, 2.00, 1.0), (15, 2.45, 0.8165), (10, 5.20, 0.3849), (25, 2.60, 0.7698)],
)
def test_worked_hours(heat: float, hours: float, share: float) -> None:
    assert wet_hours_needed(heat, *FIVE) == pytest.approx(hours, abs=0.005)
    assert thermal_response(heat, *FIVE[:3]) == pytest.approx(share, abs=5e-5)


def test_no_infection_at_the_limits() -> None:
    assert np.isinf(wet_hours_needed([5, 30], *FIVE)).all()


def test_the_optimum_lies_where_arauz_found_it() -> None:
    heat = np.linspace(5, 30, 2501)
    best = heat[thermal_response(heat, *FIVE[:3]).argmax()]
    assert 19.5 <= best <= 21.7
    assert (thermal_response([5.5, 29.9], *FIVE[:3]) < 0.05).all()


def test_two_hours_below_twenty_infect_nothing() -> None:
    """Cohen: with 2 h of wetness none below 20 C, at low inoculum."""
    assert not infection(np.arange(5, 19.95, 0.05), 2.0, *FIVE).any()


@pytest.mark.xfail(strict=True, reason="the curve asks for 2.5 to 5.2 h there, the trials for 6")
def test_less_than_six_hours_infect_nothing_at_ten_to_fifteen() -> None:
    """Cohen: with 6 h down to 10 to 15 C, so that fewer hours infect nothing there."""
    assert not infection(np.arange(10, 15, 0.05), 5.0, *FIVE).any()


@pytest.mark.xfail(strict=True, reason="the curve infects up to 30 C, Cohen's trials none above 28")
def test_nothing_infects_above_twenty_eight() -> None:
    assert not infection(np.arange(28.1, 30, 0.1), 12.0, *FIVE).any()


def test_no_five_numbers_of_the_model_meet_all_the_trials() -> None:
    """Why the two above stay failures, and why a sheet takes the longer of curve and trials.

    Of the curve the trials ask at once: infection at 20 C in 2 h and none at 15 C in 5 h, so a fall
    to 0.4 between them; some below 10 C (12 h), some at 28 C (one treatment); the optimum where
    Arauz found it. Over a grid of all such limits the fall is never that steep.
    """
    low, best, high = np.meshgrid(
        np.arange(0, 10, 0.25), np.arange(19.5, 21.75, 0.05), np.arange(28.05, 33, 0.25)
    )
    power = (best - low) / (high - best)

    def share(heat: float) -> np.ndarray:
        return (high - heat) / (high - best) * ((heat - low) / (best - low)) ** power

    assert (share(15) / share(20)).min() > 0.4
    assert share(20).max() <= 1 + 1e-9


def test_the_hours_of_the_trials_are_kept_beside_the_curve() -> None:
    """Lowest temperature with infection: 20 C at 2 h, 10 to 15 at 6 h, 5 to 10 at 12 h."""
    needed = wet_hours_in_trials([20, 25, 19.9, 15, 14.9, 10], TRIALS, STOPS)
    assert needed.tolist() == [2, 2, 6, 6, 12, 12]
    assert np.isinf(wet_hours_in_trials([4.9, 28.1, 30], TRIALS, STOPS)).all()
    inside = np.arange(10, 20, 0.25)
    assert (wet_hours_in_trials(inside, TRIALS, STOPS) >= wet_hours_needed(inside, *FIVE)).all()


@pytest.mark.parametrize(
    ("heat", "hours", "infects"),
    [(12, 5.0, False), (14.9, 5.0, False), (16, 6.0, True), (20, 2.0, True), (29, 12.0, False)],
)
def test_a_sheet_takes_the_longer_of_curve_and_trials(
    heat: float, hours: float, infects: bool
) -> None:
    """What the curve alone gets wrong above, the weather of a plan gets right."""
    nights = Nights(*(np.full((1, 1, 1), v) for v in (hours, hours, heat)), np.ones(1, bool))
    response = infection_response(ROW, nights)
    assert response is not None
    assert bool(response[0, 0, 0] > 0) is infects
