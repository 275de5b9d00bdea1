"""Belief of mildew by surface, and its treatments, against what was seen and the trials."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import DAYS, N_DRAWS, TABLES, TODAY, dice, plot_of

from lattermath.belief.leaf_covers import LeafApplication, leaf_reach
from lattermath.belief.leaf_disease import (
    LeafBelief,
    LeafSky,
    believe_leaf_disease,
)
from lattermath.belief.leaf_disease_effect import LeafEffect, leaf_effect
from lattermath.belief.leaf_disease_sightings import leaf_stands, read_leaf_sighting
from lattermath.science.leaf_disease import TOP, UNDERSIDE
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting

MILDEW = TABLES.diseases["cucurbit_powdery_mildew"]
PLOT = plot_of(
    Planting("courgettes", "Courgettes", "summer_squash", 3, "a"),
    Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, "b"),
    Planting(
        "tough", "Tough ones", "cucumber_slicing", 4, "c", resists=("cucurbit_powdery_mildew",)
    ),
    Planting("tomatoes", "Tomatoes", "tomato_indeterminate", 6, "d"),
)
STANDS = leaf_stands(PLOT, MILDEW, TABLES.crosswalk)
MATERIALS = ("sulfur", "potassium_bicarbonate", "mineral_oil")


def effect(method: str) -> LeafEffect:
    found = leaf_effect(TABLES.methods[method], ["powdery mildew"])
    assert found is not None
    return found


def sky(mean: float = 23.0, rain: float = 0.0) -> LeafSky:
    level = np.full((3, DAYS), mean)
    return LeafSky(level - 5, level + 5, np.full(DAYS, rain), np.arange(N_DRAWS) % 3, TODAY)


def severity(percent: float, surface: str = "top", planting: str = "courgettes") -> Sighting:
    return Sighting(planting, "powdery mildew", "severity", surface=surface, percent=percent)


def believe(seen, applied=(), weather=None) -> LeafBelief:
    read = [read_leaf_sighting(s, day, n, STANDS) for n, (day, s) in enumerate(seen)]
    kept = [one for one in read if one is not None]
    return believe_leaf_disease(MILDEW, STANDS, weather or sky(), kept, applied, MATERIALS, dice)


def both(method: str, day: int, places=(0,), surfaces=("top", "underside")) -> LeafApplication:
    one = effect(method)
    return LeafApplication(day, one, places, leaf_reach(one, surfaces, 0.7))


def test_only_hosts_that_do_not_resist() -> None:
    assert [(s.key, s.suits) for s in STANDS] == [("courgettes", 1.0), ("cucumbers", 0.5)]


def test_what_is_seen_today_is_believed_today_by_surface() -> None:
    belief = believe([(48, severity(20.0, "underside")), (49, severity(3.0, "top"))])
    today = np.median(belief.state[:, 0], axis=0)
    assert 0.01 < today[TOP] < 0.09
    assert today[UNDERSIDE] > 1.8 * today[TOP]


def test_clean_leaves_are_evidence() -> None:
    seen = [(40, severity(4.0))]
    clean = Sighting("cucumbers", "powdery mildew", "severity", surface="whole", level="none",
                     looked_at=60)  # fmt: skip
    with_it, without = believe([*seen, (49, clean)]), believe(seen)
    assert np.median(with_it.state[:, 1]) < 0.3 * np.median(without.state[:, 1])


def test_treated_on_top_it_persists_below() -> None:
    """Field fact: a spray that misses the undersides leaves white colonies there."""
    belief = believe([(49, severity(5.0, "whole"))])
    plain = belief.ahead()
    tops = belief.ahead(
        [both("mineral_oil", belief.today + d, surfaces=("top",)) for d in (0, 7, 14)]
    )
    thorough = belief.ahead([both("mineral_oil", belief.today + d) for d in (0, 7, 14)])
    at = {k: np.median(r[:, 0, 21], axis=0) for k, r in
          {"plain": plain, "tops": tops, "both": thorough}.items()}  # fmt: skip
    assert at["tops"][UNDERSIDE] > 0.75 * at["plain"][UNDERSIDE]
    assert at["tops"][TOP] < at["tops"][UNDERSIDE]
    assert at["both"][UNDERSIDE] < 0.8 * at["tops"][UNDERSIDE]


def test_bicarbonate_cures_and_sulfur_covers() -> None:
    assert effect("potassium_bicarbonate").cover[TOP] == (0.0, 0.0, 0.0)
    assert effect("sulfur").cure[TOP] == (0.0, 0.0, 0.0)
    assert effect("sulfur").cover[TOP][1] > effect("sulfur").cover[UNDERSIDE][1]
    assert leaf_effect(TABLES.methods["spinosad"], ["powdery mildew"]) is None
    assert leaf_effect(TABLES.methods["row_cover"], ["powdery mildew"]) is None


def test_six_weekly_bicarbonates_prevent_about_half() -> None:
    """A11.7 (abstract read): 45.6 to 52.7 % of severity prevented, untreated near 90 %.

    Asked of the area under the curve, +-15 points: the paper's figure of a single day depends on
    how far the untreated plots have run into their ceiling.
    """
    belief = believe([(TODAY - 1, severity(0.4, "whole"))])
    sprays = [both("potassium_bicarbonate", belief.today + 7 * n) for n in range(6)]
    plain, sprayed = (r[:, 0, :43].mean((1, 2)) for r in (belief.ahead(), belief.ahead(sprays)))
    assert 1 - np.mean(sprayed) / np.mean(plain) == pytest.approx(0.495, abs=0.15)


def test_rain_takes_the_cover_off() -> None:
    seen = [(49, severity(2.0, "whole"))]
    dry, wet = believe(seen), believe(seen, weather=sky(rain=12.0))
    kept = [
        np.median(b.ahead([both("sulfur", b.today)])[:, 0, 10] / b.ahead()[:, 0, 10])
        for b in (dry, wet)
    ]
    assert kept[0] < kept[1] - 0.05


def test_severities_stay_shares() -> None:
    belief = believe([(30, severity(30.0)), (49, severity(80.0))])
    run = belief.ahead()
    assert np.all(run >= 0) and np.all(run <= 1)
    assert np.all(belief.past[:, 0, -1] > 0)
