"""Powdery mildew of cucurbits by temperature alone.

Sources: Trecate et al. 2019 (abstract read): infection best at 25.7 C, close to none at 35; UMass
and Purdue extension (read): favoured at 20 to 27 C, infection at 10 to 32, halted at 38, no free
water needed, infection even below 50 % humidity. Checks-diseases 4.
"""

from __future__ import annotations

import json

import numpy as np

from lattermath.desk.compute import answer

HEAT = np.arange(8, 40, 0.1).round(1)


def responses(heat: np.ndarray, **more: float) -> np.ndarray:
    asked = [
        {"disease": "cucurbit_powdery_mildew", "temperature_c": float(t), **more} for t in heat
    ]
    return np.array([one["response"] for one in json.loads(answer("infection", json.dumps(asked)))])


def test_shape_of_the_response() -> None:
    found = responses(HEAT)
    assert abs(HEAT[found.argmax()] - 25.7) <= 0.2
    assert responses(np.array([35.0]))[0] < 0.05 * found.max()
    rising = found[(HEAT >= 10) & (HEAT <= 25.7)]
    assert (np.diff(rising) > 0).all()
    assert (responses(np.array([38.0, 39.0])) == 0).all()
    favoured = found[(HEAT >= 20) & (HEAT <= 27)]
    assert favoured.min() > 0.65


def test_a_dry_week_is_no_protection() -> None:
    """25 C and no wet hour at all: humidity is no gate."""
    assert responses(np.full(7, 25.0), wet_hours=0).min() > 0.9
