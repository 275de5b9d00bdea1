"""Short days and a low sun, worked by hand from the rule."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.late_light import development_share, yield_share


def test_development_slows_only_late_and_only_on_short_days() -> None:
    hours = np.array([12.15, 12.15, 14.0, 12.15])
    since = np.array([40.0, 55.0, 60.0, 200.0])  # early August, mid August, the same, January
    assert development_share(hours, since) == pytest.approx([1.0, 0.9, 1.0, 1.0])


def test_yield_follows_light_and_full_light_is_enough() -> None:
    assert yield_share(np.array([0.0, 20.0, 30.0])).tolist() == [0.0, 1.0, 1.0]
    assert yield_share(np.array([10.0]), exponent=1.0)[0] == 0.5
