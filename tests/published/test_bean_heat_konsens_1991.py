"""Snap bean and hot nights.

Sources: Konsens, Ofir & Kigel 1991, Annals of Botany 67:391-399 (abstract read): nights raised
from 17 to 27 C cut pods strongly, days from 22 to 32 C much less; Univ. of Delaware (read):
trouble starts at nights of 20 to 21 C (checks-crops A12.1 and A12.2).
"""

from __future__ import annotations

import numpy as np

from lattermath.belief.crop_reckoning import fruit_set_of
from lattermath.belief.crop_traits import crop_traits
from lattermath.knowledge.tables import load_tables


def _set(day_c: float, night_c: float) -> float:
    traits = crop_traits(load_tables(), "bean_bush")
    return float(fruit_set_of(traits, np.array([night_c]), np.array([day_c]))[0])


def test_hot_nights_cut_set_by_more_than_half() -> None:
    assert _set(27, 27) < 0.5 * _set(27, 17)


def test_hot_days_matter_less_than_hot_nights() -> None:
    assert abs(_set(32, 17) - _set(27, 17)) < abs(_set(32, 17) - _set(32, 27))


def test_trouble_begins_at_nights_of_about_21() -> None:
    assert _set(27, 19) == 1.0
    assert _set(27, 22) < 1.0
