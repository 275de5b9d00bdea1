"""Topsoil: nothing made, nothing lost, and limits of the two stages."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science.topsoil_evaporation import Topsoil, topsoil_evaporation

MM = st.lists(st.floats(0, 30), min_size=12, max_size=12)


@settings(max_examples=40, deadline=None)
@given(MM, MM, st.floats(0, 18), st.floats(0.2, 1), st.floats(0, 0.95))
def test_water_balances_over_the_exposed_wetted_part(rain, cans, start, wetted, cover):
    run = topsoil_evaporation(5.0, rain, cans, 0.4, 1.2, cover, Topsoil(18, 8, wetted), start)
    few = run.exposed_wetted
    came = np.sum(np.array(rain) + np.array(cans) / wetted)
    left = np.sum(run.evaporation_mm / few) + run.drained_mm.sum()
    assert came + run.depletion_mm[-1] - start == pytest.approx(left, abs=1e-9)
    assert (run.depletion_mm >= -1e-12).all() and (run.depletion_mm <= 18 + 1e-9).all()
    assert (run.ke <= few * 1.2 + 1e-12).all()


def test_dry_topsoil_gives_nothing_and_unknown_start_counts_as_dry():
    run = topsoil_evaporation(5.0, np.zeros(3), 0.0, 0.4, 1.2, 0.3, Topsoil(18, 8))
    np.testing.assert_array_equal(run.evaporation_mm, 0)


def test_wet_topsoil_takes_the_full_rate():
    run = topsoil_evaporation(5.0, [30.0], 0.0, 0.4, 1.2, 0.0, Topsoil(18, 8))
    assert run.ke[0] == pytest.approx(0.8) and run.evaporation_mm[0] == pytest.approx(4.0)


def test_refuses_a_topsoil_that_cannot_be():
    with pytest.raises(ValueError, match="topsoil"):
        topsoil_evaporation(5.0, [0.0], 0.0, 0.4, 1.2, 0.0, Topsoil(8, 18))
