"""Rows of the treatment table against outside lists: groups, residues, sample sizes, units.

Sources: IRAC and FRAC codes (checks-treatments A10: rows recalled, six of them second-hand in
read pages); SWAT and GLEAMS table (A12, read); Azam et al. 1997 and a Sydney glasshouse study (A4,
abstracts read); Naranjo 1996, Zalom 1984, Kabaluk 2006 (A6, abstracts read); exact units (A13).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from lattermath.knowledge.tables import load_tables
from lattermath.record.plot_units import US_NAMES
from lattermath.science.counting import (
    Taylor,
    leaves_for_precision,
    plants_to_detect,
    share_above,
)
from lattermath.science.spray_kill import residue

TABLES = load_tables()
GROUPS = {
    "carbaryl": "1A", "malathion": "1B", "pyrethrins": "3A", "permethrin": "3A",
    "bifenthrin": "3A", "lambda_cyhalothrin": "3A", "acetamiprid": "4A", "spinosad": "5",
    "btk": "11A", "btt": "11A", "azadirachtin": "UN", "neem_oil": "UNE", "beauveria": "UNF",
    "diatomaceous_earth": "UNM", "copper_hydroxide": "M01", "copper_octanoate": "M01",
    "sulfur": "M02", "chlorothalonil": "M05", "myclobutanil": "3", "qst713": "BM02",
    "potassium_bicarbonate": "NC",
}  # fmt: skip


@pytest.mark.parametrize("active", GROUPS)
def test_mode_of_action_is_the_listed_one(active: str) -> None:
    words = TABLES.methods[active].group.replace("/", " ").replace("(", " ").split()
    assert GROUPS[active] in [word.strip(",;)") for word in words]


@pytest.mark.parametrize(
    ("active", "half_life", "washed"),
    [("carbaryl", 7.0, 0.55), ("malathion", 1.0, 0.90), ("permethrin", 8.0, 0.30),
     ("chlorothalonil", 5.0, 0.50)],
)  # fmt: skip
def test_residues_of_the_public_table(active, half_life, washed) -> None:
    method = TABLES.methods[active]
    low, high = method.half_life_range_days.span
    assert low <= half_life <= high
    assert method.row.figure("rain.washoff_fraction").value == pytest.approx(washed)
    left = residue(half_life, 7)
    assert left[7] == pytest.approx(0.5 ** (7 / half_life), abs=5e-4)


@pytest.mark.parametrize(
    ("active", "words", "percent"),
    [("spinosad", "153 trials", 73.9), ("pyrethrins", "153 trials", 48.6),
     ("azadirachtin", "153 trials", 46.1), ("pyrethrins", "pyrethrins + azadirachtin", 61.7)],
)  # fmt: skip
def test_means_of_153_vegetable_trials(active: str, words: str, percent: float) -> None:
    """A11.1, Dively 2020 (read)."""
    rows = [row for row in TABLES.methods[active].efficacy if words in row.target]
    assert percent in [row.percent.value for row in rows]


def test_soap_on_mites_kills_what_it_wets_and_nothing_after() -> None:
    """A11.3: females 93.1 to 98.6, nymphs 89.2 to 98.8, eggs 0, dry film 0 (read)."""
    rows = {(r.target, r.stage): r.percent for r in TABLES.methods["soap"].efficacy}
    dip = "two-spotted mite, 4 g/l soap dip"
    assert rows[dip, "adult female"].span == (93.1, 98.6)
    assert rows[dip, "nymph"].span == (89.2, 98.8)
    assert rows["two-spotted mite", "egg"].value == 0
    assert rows["two-spotted mite, dry residue", "adult"].value == 0


def test_neem_on_whitefly_nymphs_follows_its_own_probit_line() -> None:
    """A11.2, Pinheiro: LC50 0.32 %, LC95 2.78 %, and over 80 % of young nymphs at 1 % (read)."""
    rows = TABLES.methods["neem_oil"].efficacy
    slope = norm.ppf(0.95) / np.log10(2.78 / 0.32)
    assert slope == pytest.approx(1.752, abs=5e-4)
    at_one_percent = 100 * norm.cdf(slope * np.log10(1 / 0.32))
    assert at_one_percent == pytest.approx(80.7, abs=0.05)
    sprayed = next(row.percent for row in rows if "1% spray" in row.target)
    assert sprayed.span[0] <= at_one_percent <= sprayed.span[1]


def test_hand_sprayers_on_whitefly_nymphs_lie_within_the_rows() -> None:
    """A11.5, Simmons 2015 (abstract): 73 to 95 % by material and day, ten points by sprayer."""
    soap = next(r for r in TABLES.methods["soap"].efficacy if "garden sprayer" in r.target)
    low, high = soap.percent.span
    assert low <= 73 <= high < 95  # a row for gardens is kept below the trial's best


def test_chlorothalonil_fades_by_light_as_the_table_says() -> None:
    """A12: photolysis half-life on leaf wax 5.3 days, abstract; the table has 5."""
    usual = TABLES.methods["chlorothalonil"].half_life_days
    assert usual is not None and usual.value == pytest.approx(5.3, rel=0.1)


def test_half_the_error_takes_four_times_the_leaflets() -> None:
    """Azam: 149 and 163 leaflets at 10 % error, 37 and 41 at 20 %."""
    for fine, coarse in ((149, 37), (163, 41)):
        variance_over_square = fine * 0.1**2  # n = (s/m)^2 / D^2
        law = Taylor(variance_over_square, 2.0)  # b of 2: the same ratio at every mean
        assert leaves_for_precision(3.0, 0.1, law) == pytest.approx(fine, abs=0.5)
        assert leaves_for_precision(3.0, 0.2, law) == pytest.approx(coarse, abs=0.5)


def test_plants_that_find_a_fifth_infested() -> None:
    """Sydney: 20 plants detect more than 20 % infested with over 95 %; 59, 29, 14, 9 suffice."""
    missed = 0.8**20
    assert missed == pytest.approx(1 - 0.98847, abs=5e-6)
    assert [plants_to_detect(p, 0.95) for p in (0.05, 0.10, 0.20, 0.30)] == [59, 29, 14, 9]
    assert plants_to_detect(0.20, 0.95) <= 20


def test_a_tally_of_three_finds_more_than_presence_where_aphids_crowd() -> None:
    """A6: a higher tally separates dense stands that presence alone calls alike (Naranjo 1996)."""
    law = Taylor(6.110, 1.55)  # Myzus persicae on potato, Kabaluk 2006

    def k(mean: float) -> float:
        return mean**2 / (law.a * mean**law.b - mean)

    present = [share_above(0, mean, k(mean)) for mean in (5.0, 10.0)]
    three = [share_above(2, mean, k(mean)) for mean in (5.0, 10.0)]
    assert present == pytest.approx([0.623, 0.774], abs=5e-4)
    assert three[1] / three[0] > present[1] / present[0]


@pytest.mark.parametrize(
    ("name", "ours", "exact"),
    [("rate_fl_oz_per_gal", 2.5, 19.53), ("rate_fl_oz_per_gal", 1.0, 7.8125),
     ("rate_fl_oz_per_gal", 0.5, 3.90625), ("max_gal_per_1000_sq_ft", 1.0 / 128, 0.318327e-3)],
)  # fmt: skip
def test_rates_of_american_labels(name: str, ours: float, exact: float) -> None:
    """A13: ounces and tablespoons a gallon in ml a litre; ounces a 1000 square feet in l/m2."""
    _, convert = US_NAMES[name]
    assert convert(ours) == pytest.approx(exact, rel=5e-4)
