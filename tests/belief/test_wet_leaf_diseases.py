"""Diseases that wet nights drive: dry ones stop them, a systemic reaches back, sightings teach."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import DAYS, N_DRAWS, TABLES, TODAY, dice, plot_of

from lattermath.belief.infection_weather import Nights, nights_of
from lattermath.belief.leaf_covers import LeafApplication
from lattermath.belief.leaf_disease import (
    LeafBelief,
    LeafSky,
    believe_leaf_disease,
)
from lattermath.belief.leaf_disease_effect import LeafEffect, leaf_effect
from lattermath.belief.leaf_disease_sightings import leaf_stands, read_leaf_sighting
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

PLOT = plot_of(
    Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "a"),
    Planting("tomatoes", "Tomatoes", "tomato_indeterminate", 6, "b"),
    Planting("beans", "Beans", "bean_bush", 30, "c"),
)
FOLLOWED = ("cucurbit_downy_mildew", "early_blight_tomato", "septoria_leaf_spot_tomato",
            "late_blight", "bean_rust")  # fmt: skip
WET, DRY = "h" * 10 + "-" * 10 + "h" * 4, "-" * 24


def sky(word: str | None, rain: float = 0.0) -> LeafSky:
    """Days of 14 to 24 C; `word` is what every hour of each was, None: not measured."""
    t_min, t_max, fell = (np.full((3, DAYS), v) for v in (14.0, 24.0, rain))
    hours = np.full((DAYS, 24), np.nan)
    if word is not None:
        hours[:] = [float(c == "h") for c in word]
    nights: Nights = nights_of(t_min, t_max, fell, np.full(DAYS, 14.0), hours, hours.copy())
    return LeafSky(t_min, t_max, np.full(DAYS, rain), np.arange(N_DRAWS) % 3, TODAY, (nights,))


def believe(disease: str, weather: LeafSky, percents, applied=()) -> LeafBelief:
    row = TABLES.diseases[disease]
    stands = leaf_stands(PLOT, row, TABLES.crosswalk)
    told = []
    for n, (day, percent) in enumerate(percents):
        look = Sighting(stands[0].key, disease, "severity", surface="whole", percent=percent)
        told.append(read_leaf_sighting(look, day, n, stands))
    kept = [one for one in told if one is not None]
    methods = sorted({one.effect.method for one in applied})
    return believe_leaf_disease(row, stands, weather, kept, applied, methods, dice)


def after(belief: LeafBelief, days: int, planned=()) -> float:
    return float(np.median(belief.ahead(planned)[:, 0, days].mean(-1)))


@pytest.mark.parametrize("disease", FOLLOWED)
def test_wet_nights_drive_it_and_dry_ones_do_not(disease: str) -> None:
    seen = [(TODAY - 1, 4.0)]
    wet, dry = (after(believe(disease, sky(word), seen), 25) for word in (WET, DRY))
    assert wet > 2 * dry
    assert dry < 0.06  # what is seen today, thinned by new leaf


def test_latent_infections_ripen_in_dry_weather_too() -> None:
    """Infected in a wet week, shown in a dry one: the latent period asks for warmth alone."""
    hours = np.zeros((DAYS, 24))
    hours[: TODAY + 1] = [float(c == "h") for c in WET]
    weather = sky(DRY)
    t = (weather.t_min, weather.t_max, np.zeros((3, DAYS)))
    nights = nights_of(*t, np.full(DAYS, 14.0), hours, hours.copy())
    turned = LeafSky(*t[:2], np.zeros(DAYS), weather.future_of_draw, TODAY, (nights,))
    belief = believe("cucurbit_downy_mildew", turned, [(TODAY - 1, 2.0)])
    assert after(belief, 8) > 1.3 * after(belief, 0)


def test_what_is_seen_teaches_how_wet_the_place_is() -> None:
    """Nothing was measured. A fast epidemic leans to the wet side, one that stood still to dry."""
    fast = believe("cucurbit_downy_mildew", sky(None, 1.0), [(TODAY - 14, 0.5), (TODAY - 1, 40.0)])
    slow = believe("cucurbit_downy_mildew", sky(None, 1.0), [(TODAY - 14, 2.0), (TODAY - 1, 1.0)])
    assert fast.unknowns.lean.mean() > slow.unknowns.lean.mean() + 0.2


def test_a_protectant_holds_back_and_a_systemic_reaches_back() -> None:
    protects = leaf_effect(TABLES.methods["chlorothalonil"], ["downy mildew"])
    assert protects is not None and not protects.moves_in
    parts = {name: getattr(protects, name) for name in LeafEffect.__slots__}
    moves = LeafEffect(**(parts | {"moves_in": True}))
    belief = believe("cucurbit_downy_mildew", sky(WET), [(TODAY - 1, 4.0)], [past(protects)])

    def spray(effect: LeafEffect) -> list[LeafApplication]:
        return [LeafApplication(belief.today, effect, (0,), (1.0, 1.0))]

    nothing, held, back = (
        after(belief, 14),
        after(belief, 14, spray(protects)),
        after(belief, 14, spray(moves)),
    )
    assert back < held < nothing


def past(effect: LeafEffect) -> LeafApplication:
    """An old treatment, so that the method has its draws."""
    return LeafApplication(TODAY - 20, effect, (0,), (0.0, 0.0))


def test_only_methods_whose_route_says_so_move_in() -> None:
    found = leaf_effect(TABLES.methods["myclobutanil"], ["powdery mildew"])
    assert found is not None and found.moves_in
    copper = leaf_effect(TABLES.methods["copper_hydroxide"], ["late blight"])
    assert copper is not None and not copper.moves_in


def test_a_disease_without_its_weather_is_refused() -> None:
    with pytest.raises(ValueError, match="does not say what weather"):
        believe("bacterial_spot", sky(WET), [(TODAY - 1, 4.0)])
