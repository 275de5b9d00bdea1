"""Hargreaves against thirty years of a record's own reference evapotranspiration, Brussels.

Source: the daily record packaged with AquaCrop's open port (1976-2005, read whole; where the
station's figures come from is not documented). Bias measured there: +16 % from May to September,
by month 1.18, 1.18, 1.13, 1.16 from June to September.
"""

from __future__ import annotations

import importlib.util
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from lattermath.science.reference_et import HARGREAVES_OCEANIC_SCALE, hargreaves


@pytest.fixture(scope="module")
def brussels():
    spec = importlib.util.find_spec("aquacrop")
    if spec is None:
        pytest.skip("aquacrop is not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / "brussels_climate.txt"
    table = np.loadtxt(path, skiprows=1)
    doy = [date(int(y), int(m), int(d)).timetuple().tm_yday for d, m, y in table[:, :3]]
    return table, hargreaves(np.array(doy), 50.8, table[:, 3], table[:, 4])


@pytest.mark.parametrize(("month", "ratio"), [(6, 1.18), (7, 1.18), (8, 1.13), (9, 1.16)])
def test_monthly_bias(brussels, month, ratio):
    table, ours = brussels
    when = table[:, 1] == month
    assert ours[when].sum() / table[when, 6].sum() == pytest.approx(ratio, abs=0.01)


def test_the_scale_undoes_the_bias_of_the_growing_season(brussels):
    table, ours = brussels
    when = (table[:, 1] >= 5) & (table[:, 1] <= 9)
    scaled = HARGREAVES_OCEANIC_SCALE * ours[when].sum()
    assert scaled == pytest.approx(table[when, 6].sum(), rel=0.01)
    assert np.sqrt(np.mean((ours[when] - table[when, 6]) ** 2)) == pytest.approx(0.73, abs=0.02)
