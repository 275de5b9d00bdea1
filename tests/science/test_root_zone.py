"""Root zone: mass balance, a closed form for drying, and when water comes due."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.science import root_zone as bed

MM = st.lists(st.floats(0, 40), min_size=15, max_size=15)


@settings(max_examples=60, deadline=None)
@given(MM, MM, MM, st.floats(5, 160), st.floats(0.1, 0.8), st.floats(0, 1), st.booleans())
def test_no_water_is_made_or_lost(et0, rain, cans, taw, p, start, adjust):
    begin = start * taw
    run = bed.root_zone(et0, rain, 1.1, taw, p, begin, cans, adjust_fraction=adjust)
    came = np.sum(rain) + np.sum(cans) - run.ignored_rain_mm.sum()
    went = run.evapotranspiration_mm.sum() + run.drained_mm.sum()
    stored = begin - run.depletion_mm[-1]
    assert came == pytest.approx(went + stored, abs=1e-9)
    assert (run.depletion_mm >= 0).all() and (run.depletion_mm <= taw + 1e-9).all()
    assert (run.ks >= 0).all() and (run.ks <= 1).all()


@settings(max_examples=40, deadline=None)
@given(MM, MM, st.floats(30, 160), st.floats(0.1, 0.8), st.floats(0, 10))
def test_more_water_never_dries_a_bed_and_more_sun_never_wets_it(et0, rain, taw, p, extra):
    # Small demand, so that no single day empties the bucket: Ks looks back one day.
    et0 = np.array(et0) / 10
    base = bed.root_zone(et0, 0.0, 1.0, taw, p, 0.3 * taw, rain)
    wetter = bed.root_zone(et0, 0.0, 1.0, taw, p, 0.3 * taw, np.array(rain) + extra)
    assert (wetter.depletion_mm <= base.depletion_mm + 1e-9).all()
    sunnier = bed.root_zone(1.2 * et0, 0.0, 1.0, taw, p, 0.3 * taw, rain)
    assert (sunnier.depletion_mm >= base.depletion_mm - 1e-9).all()


def test_stressed_drying_is_exponential():
    # Beyond RAW the bed loses a constant share of what is left each day.
    taw, p, demand = 100.0, 0.4, 4.0
    run = bed.root_zone(np.full(20, demand), 0.0, 1.0, taw, p, 50.0)
    left = (taw - 50.0) * (1 - demand / ((1 - p) * taw)) ** np.arange(1, 21)
    np.testing.assert_allclose(taw - run.depletion_mm, left)


def test_small_rain_only_wets_leaves():
    run = bed.root_zone([5.0, 5.0], [0.9, 1.1], 1.0, 100, 0.5, 20)
    np.testing.assert_array_equal(run.ignored_rain_mm, [0.9, 0.0])


def test_deepening_roots_bring_moist_soil():
    shallow = bed.root_zone(np.full(10, 5.0), 0.0, 1.0, 40.0, 0.5, 10.0)
    deep = bed.root_zone(np.full(10, 5.0), 0.0, 1.0, np.linspace(40, 80, 10), 0.5, 10.0)
    assert deep.ks[-1] > shallow.ks[-1]


def test_adjusted_fraction_moves_with_demand_and_stays_in_bounds():
    assert bed.adjusted_fraction(0.4, [5.0, 3.0, 8.0]) == pytest.approx([0.4, 0.48, 0.28])
    assert bed.adjusted_fraction(0.2, 12.0) == 0.1 and bed.adjusted_fraction(0.8, 0.0) == 0.8


def test_water_is_due_from_the_day_the_easy_water_is_gone():
    assert bed.water_due([63.9, 64.0, 70.0], 64.0) == pytest.approx([0, 64, 70])
    assert np.isnan(bed.water_due(np.nan, 64.0))


def test_when_over_the_futures():
    depletion = np.array([[10, 20, 30.0], [10, 31, 12.0], [1, 2, 3.0], [30, 1, 1.0]])
    np.testing.assert_array_equal(bed.days_until_due(depletion, 30.0), [2, 1, np.inf, 0])
    assert bed.chance_due(depletion, 30.0) == pytest.approx([0.25, 0.5, 0.75])
    unknown = np.array([[10, np.nan, 30.0], [40, np.nan, 2.0]])
    got = bed.days_until_due(unknown, 30.0)
    assert np.isnan(got[0]) and got[1] == 0
    assert np.isnan(bed.chance_due(unknown, 30.0)[1])


def test_draws_are_answered_together_and_unknown_days_stay_unknown():
    rain = np.zeros((3, 6))
    rain[1, 2], rain[2, 3] = 20.0, np.nan
    run = bed.root_zone(5.0, rain, 1.0, 80.0, 0.5, [10.0, 20.0, 30.0])
    assert run.depletion_mm.shape == (3, 6)
    alone = bed.root_zone(5.0, rain[1], 1.0, 80.0, 0.5, 20.0)
    np.testing.assert_array_equal(run.depletion_mm[1], alone.depletion_mm)
    assert np.isnan(run.depletion_mm[2, 3:]).all() and np.isfinite(run.depletion_mm[2, :3]).all()


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"rain_mm": [-1.0]}, "rain"),
        ({"et0_mm": [-1.0]}, "et0"),
        ({"depletion_fraction": 1.0}, "fraction"),
        ({"taw_mm": 0.0}, "above 0"),
        ({"start_depletion_mm": 200.0}, "start"),
    ],
)
def test_refusals(change, sentence):
    call = {"et0_mm": [5.0], "rain_mm": [0.0], "kc": 1.0, "taw_mm": 100.0}
    with pytest.raises(ValueError, match=sentence):
        bed.root_zone(**{**call, "depletion_fraction": 0.5, **change})
    with pytest.raises(ValueError, match="wilting"):
        bed.total_available_water(0.1, 0.2, 0.5)
