"""Soil water of one planting: records narrow it, what is poured shows, nothing is invented."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lattermath.belief.soil import (
    Ground,
    Poured,
    SoilWeather,
    WaterUse,
    believe_soil,
    between,
    chance_of_stress,
    days_until_due,
    refill_litres,
    short_mm,
    watered,
)

GROUND = Ground("d", 4.8, 0.25, 0.12)  # loam
USE = WaterUse("cucumbers", 0, (20, 30, 40, 15), (0.6, 1.0, 0.75), (0.15, 0.95, 0.7), 0.7, 0.5)
N, TODAY, DAYS = 300, 60, 75


def sky(rain=0.0, et0=5.0, known_from=0, today=TODAY):
    water = np.zeros((N, DAYS)) + rain
    return SoilWeather(today, known_from, np.full((N, DAYS), et0), water)


def believe(ground=GROUND, use=USE, weather=None, poured=(), seed=1):
    weather = sky() if weather is None else weather
    return believe_soil(ground, use, weather, poured, np.random.default_rng(seed))


def test_a_wet_spell_wipes_out_what_was_not_known():
    rain = np.zeros((N, DAYS))
    rain[:, TODAY - 2] = 150.0
    soil = believe(weather=sky(rain))
    # Field capacity two evenings ago, then two days at Kc 1.0 and 5 mm.
    np.testing.assert_allclose(soil.depletion_mm[:, 0], 10.0)
    assert soil.n_coming == DAYS - TODAY - 1


def test_without_records_only_the_guess_remains():
    soil = believe(weather=sky(et0=0.0, known_from=TODAY))
    raw = 0.5 * 130 * 0.7
    assert soil.raw_mm[0] == pytest.approx(raw)
    assert soil.depletion_mm[:, 0].min() < 0.05 * raw
    assert soil.depletion_mm[:, 0].max() == pytest.approx(raw, rel=0.05)
    assert soil.depletion_mm[:, 0].mean() == pytest.approx(raw / 2, rel=0.1)
    assert soil.rough


def test_more_days_of_record_narrow_the_guess():
    rain = np.zeros((N, DAYS))
    rain[:, 20] = 60.0
    long, short = (believe(weather=sky(rain, known_from=k)) for k in (0, TODAY - 5))
    assert long.depletion_mm[:, 0].std() < 0.2 * short.depletion_mm[:, 0].std()
    assert not long.rough


def test_poured_cans_count_from_the_day_they_are_written():
    rain = np.zeros((N, DAYS))
    rain[:, TODAY - 4] = 150.0
    weather = sky(rain, et0=4.0)
    dry = believe(weather=weather)
    wet = believe(weather=weather, poured=[Poured(TODAY - 1, 24.0, 7), Poured(TODAY + 1, 99.0, 8)])
    np.testing.assert_allclose(dry.depletion_mm[:, 0] - wet.depletion_mm[:, 0], 24.0 / 4.8)
    assert wet.events == (7,)


def test_drip_wets_less_ground_more_deeply():
    rain = np.zeros((N, DAYS))
    rain[:, TODAY - 6] = 150.0
    pour = [Poured(TODAY, 10.0)]
    broad, narrow = (
        believe(replace(GROUND, wetted_share=share), weather=sky(rain), poured=pour)
        for share in (1.0, 0.4)
    )
    unwatered = believe(weather=sky(rain)).depletion_mm[0, 0]
    assert unwatered - broad.depletion_mm[0, 0] == pytest.approx(10 / 4.8)
    assert unwatered - narrow.depletion_mm[0, 0] == pytest.approx(10 / (4.8 * 0.4))


def test_pouring_this_evening_is_as_if_it_had_been_journalled():
    rain = np.zeros((N, DAYS))
    rain[:, TODAY - 6] = 150.0
    planned = watered(believe(weather=sky(rain)), 20.0)
    written = believe(weather=sky(rain), poured=[Poured(TODAY, 20.0)])
    np.testing.assert_allclose(planned.depletion_mm, written.depletion_mm)
    np.testing.assert_allclose(planned.ks[:, 1:], written.ks[:, 1:])


def test_refill_leaves_nothing_wanting():
    soil = believe()
    full = watered(soil, refill_litres(soil) * 3)
    assert (full.depletion_mm[:, 0] == 0).all()
    assert chance_of_stress(full, 3) == 0 < chance_of_stress(soil, 3)
    assert short_mm(full, 3) == 0 < short_mm(soil, 3)


def test_shortfall_is_what_the_bucket_withholds():
    soil = believe()
    # Water that left, rebuilt from the depletion itself: no rain, so all change is use.
    used = np.diff(soil.depletion_mm, axis=1)[:, :4].sum(axis=1).mean()
    assert short_mm(soil, 4) == pytest.approx(4 * 5.0 * soil.kc[1] - used)


def test_mulch_saves_the_soils_share_only():
    bare, covered = (believe(replace(GROUND, mulched=m)) for m in (False, True))
    young = replace(USE, starts=TODAY - 3)
    bare_young, covered_young = (believe(replace(GROUND, mulched=m), young) for m in (False, True))
    assert covered.kc[0] == pytest.approx(0.5 * (1.0 + 0.95))
    assert bare.kc[0] == 1.0
    assert covered_young.kc[0] / bare_young.kc[0] < covered.kc[0] / bare.kc[0]


def test_roots_deepen_and_stop_at_the_bottom_of_the_bed():
    young = believe(use=replace(USE, starts=TODAY - 2))
    assert young.taw_mm[0] < 0.35 * believe().taw_mm[0]
    assert (np.diff(young.taw_mm) > 0).all()
    shallow = believe(replace(GROUND, root_limit_m=0.3))
    assert shallow.taw_mm[0] == pytest.approx(130 * 0.3)


def test_picked_on_plants_keep_drinking():
    old = replace(USE, starts=-60)
    assert believe(use=old).kc[0] == pytest.approx(0.75)
    assert believe(use=replace(old, still_bearing=True)).kc[0] == pytest.approx(1.0)


def test_wilted_plants_outrank_the_reckoning():
    rain = np.zeros((N, DAYS))
    rain[:, TODAY - 2] = 150.0
    soil = believe(use=replace(USE, wilted=True), weather=sky(rain))
    assert (soil.depletion_mm[:, 0] >= soil.raw_mm[0]).all()
    assert "feel the soil" in soil.disagrees
    parched = believe(use=replace(USE, wilted=True))
    assert not parched.disagrees


def test_same_dice_same_water():
    one, two, other = believe(seed=5), believe(seed=5), believe(seed=6)
    np.testing.assert_array_equal(one.depletion_mm, two.depletion_mm)
    assert (one.depletion_mm != other.depletion_mm).any()


def test_refusals():
    with pytest.raises(ValueError, match="after today"):
        believe(use=replace(USE, starts=TODAY + 1))
    with pytest.raises(ValueError, match="cover today"):
        believe(weather=sky(today=DAYS))
    with pytest.raises(ValueError, match="less than nothing"):
        watered(believe(), -1.0)


def test_a_later_visit_starts_where_the_earlier_left_off():
    rain = np.zeros((N, DAYS))
    rain[:, TODAY - 6] = 150.0
    rain[:, TODAY + 2] = 6.0
    now = watered(believe(weather=sky(rain)), 20.0)
    then = between(now, 3, 9)
    assert then.n_coming == 6
    np.testing.assert_array_equal(then.depletion_mm, now.depletion_mm[:, 3:10])
    np.testing.assert_allclose(watered(then, 0.0).depletion_mm, then.depletion_mm)
    with pytest.raises(ValueError, match="not among"):
        between(now, 3, DAYS)


def test_gaps_in_the_weather_are_refused():
    rain = np.zeros((N, DAYS))
    rain[5, TODAY + 1] = np.nan
    with pytest.raises(ValueError, match="gaps"):
        believe(weather=sky(rain))


def test_days_until_water_is_due_are_the_first_short_days() -> None:
    """Each draw walked day by day, and its quantiles against the chance of going short."""
    soil = believe(weather=sky(et0=3.0, known_from=TODAY))
    due = days_until_due(soil)
    for draw in range(len(due)):
        walked = next((k for k in range(1, soil.n_coming + 1) if soil.ks[draw, k] < 1), np.inf)
        assert due[draw] == walked
    for days in (1, 3, 6):
        assert (due <= days).mean() == pytest.approx(chance_of_stress(soil, days))
