"""Leaf disease on plants put in today: beside the whole plot run with that place wiped clean."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import TODAY
from tests.belief.season_cases import autumn
from tests.belief.test_leaf_disease import believe as believe_mildew
from tests.belief.test_leaf_disease import both, effect, severity, sky
from tests.planning.crop_cases import WORN, choices, cups, lots

from lattermath.belief.clean_leaves import on_clean_plants
from lattermath.planning.fates import Care
from lattermath.planning.ground import Ground
from lattermath.planning.new_plants import replacing_at

SEEN = [(TODAY, severity(20.0))]


def believed():  # type: ignore[no-untyped-def]
    return believe_mildew(SEEN)


def test_it_is_the_whole_plot_run_with_that_place_wiped_clean() -> None:
    """Nothing passes from planting to planting in this model, so one place alone is the same."""
    belief = believed()
    for place, stand in enumerate(belief.stands):
        state, hidden = belief.state.copy(), belief.hidden.copy()
        state[:, place] = hidden[:, place] = 0.0
        whole = replace(belief, state=state, hidden=hidden, applied=()).ahead()
        alone = on_clean_plants(belief, place, stand.suits)
        assert alone == pytest.approx(whole[:, place], abs=1e-12)


def test_clean_plants_fall_ill_later_than_those_that_were_ill_and_are_never_worse() -> None:
    belief = believed()
    old = belief.ahead()[:, 0].mean(-1)
    new = on_clean_plants(belief, 0, belief.stands[0].suits).mean(-1)
    assert (new[:, 0] == 0).all() and (new[:, -1] > 0).all()
    assert (new <= old + 1e-9).all()
    assert (np.diff(new.mean(0)) >= -1e-9).all()  # it grows through the season


def test_what_does_not_suit_it_stays_clean_and_what_suits_half_is_less_ill() -> None:
    belief = believed()
    none, half, full = (on_clean_plants(belief, 0, s)[:, -1].mean() for s in (0.0, 0.5, 1.0))
    assert none == 0.0 < half < full


def test_early_on_it_grows_as_arrivals_and_their_offspring_by_hand() -> None:
    """Well before the latent period is over colonies can only be what flew in: a bound by sums."""
    belief = believed()
    new = on_clean_plants(belief, 0, 1.0)
    response = np.broadcast_to(
        belief.response[:, :1], (belief.n_draws, 1, belief.response.shape[-1])
    )[:, 0, belief.today :]
    flew_in = np.cumsum(belief.unknowns.arriving[:, None] * response, axis=1)
    slow = belief.unknowns.latent >= 5.0
    assert slow.sum() > 20
    for day in (1, 2, 3):
        assert (new[slow, day].max(-1) <= flew_in[slow, day - 1] + 1e-9).all()


def test_it_takes_just_its_share_of_what_new_plants_bear() -> None:
    season = autumn()
    waiting = lots(season, cups(season, 18))
    shape = (200, season.weather.n_days - season.weather.today)
    share = np.linspace(1.0, 0.4, shape[1])[None, :].repeat(shape[0], axis=0)
    sick = Care(sickens={"cucumber_slicing": share})
    old = replace(WORN, crop="bean_bush", key="beans")
    visit, free = season.weather.today, Ground(3.0, name="bed C")
    sound = choices(season, old, waiting=waiting, ground=free)
    about = replace(sound, care=sick)
    (well,), (ill,) = ([f for f in replacing_at(c, visit) if not f.keeps] for c in (sound, about))
    (_, kg), (_, less) = well.parts[1], ill.parts[1]
    assert less == pytest.approx(kg * share)
    assert any("leaf disease that is about" in reason.says for reason in ill.reasons)
    assert not any("leaf disease" in reason.says for reason in well.reasons)


def test_material_on_the_old_plants_does_nothing_for_the_new() -> None:
    treated = believe_mildew(SEEN, [both("sulfur", TODAY - 1)])
    assert effect("sulfur").method == "sulfur"
    bare = on_clean_plants(replace(treated, applied=()), 0, 1.0)
    assert on_clean_plants(treated, 0, 1.0) == pytest.approx(bare)
    assert sky().today > 0
