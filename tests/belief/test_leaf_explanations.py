"""What explains a severity: likelihoods by quadrature of another kind, and which comes first."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, special, stats

from lattermath.belief.leaf_disease_sightings import LOOK_SD, LeafSeen
from lattermath.belief.leaf_explanations import MISJUDGED_SD, USUAL, leaf_explained
from lattermath.belief.slips import leaf_slip_log_likelihood
from lattermath.science.leaf_disease import TOP

RNG = np.random.default_rng(5)
TRUE = special.expit(RNG.normal(-2.0, 0.4, 60))
THIN = special.expit(RNG.normal(-6.0, 1.0, 60))


def severity(true: np.ndarray) -> np.ndarray:
    out = np.zeros((len(true), 1, 1, 2))
    out[:, 0, 0, TOP] = true
    return out


def said(percent: float) -> LeafSeen:
    return LeafSeen(0, 0, TOP, percent, None, 10, 1)


def test_odds_by_plain_sums_and_a_misjudgement_by_quadrature() -> None:
    """Ten leaves with a thick disease always show it, so that the law is normal on the logit."""
    one = said(60.0)
    shares = dict(leaf_explained(one, severity(TRUE)))
    assert sum(shares.values()) == pytest.approx(1.0)
    x = special.logit(0.6)

    def fit(move: float) -> float:
        true = special.expit(special.logit(TRUE) + move)
        spread = np.sqrt(LOOK_SD**2 + 1 / (1 + np.minimum(10 * true / 0.02, 30)))
        return float(stats.norm.pdf(x, special.logit(true), spread).mean())

    more = USUAL["suited more"] * (fit(0.7) + fit(1.4)) / 2 / fit(0.0)
    assert shares["suited more"] / shares["chance"] == pytest.approx(more, rel=1e-3)

    def at(z: float) -> float:
        return fit(MISJUDGED_SD * z) * float(stats.norm.pdf(z))

    wrong = USUAL["misjudged"] * integrate.quad(at, -7, 7, limit=200)[0] / fit(0.0)
    assert shares["misjudged"] / shares["chance"] == pytest.approx(wrong, rel=0.02)


def test_what_was_left_after_a_spray_speaks_of_the_spray() -> None:
    """30 % where a spray should have left 12 and none would have left 30."""
    bare = special.expit(special.logit(TRUE) + 1.1)
    found = leaf_explained(said(30.0), severity(TRUE), severity(bare), severity(THIN))
    assert found[0][0] in ("spray failed", "suited more")
    assert dict(found)["spray failed"] > dict(found)["chance"]
    assert dict(found)["another disease"] < 0.05
    assert "spray failed" not in dict(leaf_explained(said(30.0), severity(TRUE)))


def test_less_than_expected_and_a_first_find() -> None:
    less = dict(leaf_explained(said(1.0), severity(TRUE)))
    assert less["leaves off"] > less["suited more"] and "here longer" not in less
    first = leaf_explained(said(40.0), severity(THIN), first=True)
    assert first[0][0] == "here longer" and "suited more" not in dict(first)


def test_none_found_is_no_other_disease_and_may_be_a_slip() -> None:
    """Twelve in a hundred some days before, and nothing now."""
    none = leaf_explained(
        LeafSeen(0, 0, TOP, 0.0, None, 10, 1), severity(TRUE), None, severity(THIN)
    )
    assert "another disease" not in dict(none)
    assert none[0][0] == "slip"
    some = leaf_explained(said(0.05), severity(TRUE), None, severity(THIN))
    assert "another disease" in dict(some)


def test_the_law_of_a_slip_by_quadrature() -> None:
    """Over all severities it is what is not none; of a class it is that part of it."""

    def law(x: float) -> float:
        one = LeafSeen(0, 0, TOP, 100 * float(special.expit(x)), None, 10, 1)
        return float(np.exp(leaf_slip_log_likelihood(one))) / np.sqrt(2 * np.pi)

    whole = integrate.quad(law, -9.2, 9.2, limit=200)[0]
    assert whole == pytest.approx(2 / 3, rel=1e-4)
    heavy = LeafSeen(0, 0, TOP, None, "heavy", 10, 1)
    above = integrate.quad(law, special.logit(0.30), 9.2, limit=200)[0]
    assert np.exp(leaf_slip_log_likelihood(heavy)) == pytest.approx(above, rel=1e-3)


def test_none_found_by_hand() -> None:
    """Chance of none on ten leaves: the mean of exp(-leaves x severity / 0.02)."""
    none = LeafSeen(0, 0, TOP, 0.0, None, 10, 1)
    shares = dict(leaf_explained(none, severity(THIN)))

    def fit(move: float) -> float:
        true = special.expit(special.logit(THIN) + move)
        return float(np.exp(-np.minimum(10 * true / 0.02, 30)).mean())

    off = USUAL["leaves off"] * (fit(-1.0) + fit(-2.0)) / 2 / fit(0.0)
    assert shares["leaves off"] / shares["chance"] == pytest.approx(off, rel=1e-6)
