"""The generic infection model: its shape by search, its cap, and what it leaves unknown."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from lattermath.knowledge.tables import load_tables
from lattermath.science.development import thermal_response
from lattermath.science.infection import infection, wet_hours_in_trials, wet_hours_needed

MODELLED = {d.id: d for d in load_tables().diseases.values() if d.infection}


def figures(disease: str) -> list[float]:
    held = MODELLED[disease].infection
    return [held[name].value for name in ("Tmin", "Topt", "Tmax", "Wmin", "Wmax")]


@pytest.mark.parametrize("disease", MODELLED)
def test_the_best_temperature_needs_the_fewest_hours(disease: str) -> None:
    low, best, high, fewest, most = figures(disease)
    found = minimize_scalar(
        lambda t: float(wet_hours_needed(t, low, best, high, fewest, most)),
        bounds=(best - 3, best + 1),
        method="bounded",
    )
    assert found.x == pytest.approx(best, abs=0.05)
    assert found.fun == pytest.approx(fewest, abs=1e-4)
    inside = wet_hours_needed(np.linspace(low + 0.01, high - 0.01, 200), low, best, high, 2, 12)
    assert inside.max() == 12  # capped wherever infection is possible at all
    assert np.isinf(wet_hours_needed([low, high, low - 5, high + 5], low, best, high, 2, 12)).all()


@pytest.mark.parametrize("disease", MODELLED)
def test_too_short_a_wet_period_infects_nothing(disease: str) -> None:
    low, best, high, fewest, most = figures(disease)
    for heat in np.linspace(low + 1, high - 1, 9):
        needed = float(wet_hours_needed(heat, low, best, high, fewest, most))
        assert infection(heat, needed - 0.01, low, best, high, fewest, most) == 0
        assert infection(heat, needed, low, best, high, fewest, most) == pytest.approx(
            float(thermal_response(heat, low, best, high))
        )


def test_unknown_stays_unknown() -> None:
    assert np.isnan(infection([np.nan, 20], [9, np.nan], 5, 20, 30, 2, 12)).all()
    assert np.isnan(wet_hours_in_trials(np.nan, [(20, 2)], 28))


def test_hours_that_do_not_rise_are_refused() -> None:
    with pytest.raises(ValueError, match="hours must rise"):
        wet_hours_needed(20, 5, 20, 30, 12, 2)
