"""A state extension service's own printed degree-days, Ojai, California, January to June 2016.

Source: saved output in the test data of an MIT-licensed ecology library (read, whole files);
lower 12 C, upper 33 C, horizontal cutoff. Tolerance 0.006 a day (the print has two decimals) and
0.05 on the total. Hand values: the same library's unit tests, and recomputed independently.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from lattermath.science.degree_days import degree_days

DATA = Path(__file__).parent / "data" / "ojai_2016_degree_days.csv"


@pytest.fixture(scope="module")
def ojai():
    with DATA.open() as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return {
        name: np.array([float(row[name]) for row in rows]) for name in rows[0] if name != "date"
    }


def test_every_row_arrived(ojai):
    assert len(ojai["tmin"]) == 182  # 1 January to 30 June of a leap year


@pytest.mark.parametrize(
    ("method", "total"),
    [
        ("single-sine", 905.54),
        ("double-sine", 906.74),
        ("single-triangle", 856.65),
        ("double-triangle", 858.23),
    ],
)
def test_each_day_and_the_season(ojai, method, total):
    ours = degree_days(ojai["tmin"], ojai["tmax"], 12, 33, method, "horizontal")
    printed = ojai[method.replace("-", "_")]
    # The file ends on 30 June and the printed double methods looked at 1 July, so the last day
    # of a double method is left out here and its size bounded in the total.
    compared = slice(None, -1) if method.startswith("double") else slice(None)
    assert np.abs(ours - printed)[compared].max() <= 0.006
    season = ours[:-1].sum() + printed[-1] if method.startswith("double") else ours.sum()
    assert season == pytest.approx(total, abs=0.05)


@pytest.mark.parametrize(
    ("t_min", "t_max", "sine", "triangle"),
    [
        (7, 14, 0.468, 0.286),
        (7, 20, 2.874, 2.462),
        (13, 14, 1.5, 1.5),
        (7, 10, 0.0, 0.0),
        (13, 40, 12.944, 13.593),
        (7, 40, 10.940, 11.136),
        (35, 40, 21.0, 21.0),
    ],
)
def test_hand_values(t_min, t_max, sine, triangle):
    for method, expected in (("single-sine", sine), ("single-triangle", triangle)):
        ours = degree_days([t_min], [t_max], 12, 33, method, "horizontal")[0]
        assert ours == pytest.approx(expected, abs=0.0006)


@pytest.mark.parametrize(
    ("method", "cutoff", "expected"),
    [
        ("single-sine", "horizontal", 12.944),
        ("single-sine", "intermediate", 11.389),
        ("single-sine", "vertical", 5.802),
        ("single-triangle", "horizontal", 13.593),
        ("single-triangle", "intermediate", 12.685),
        ("single-triangle", "vertical", 8.148),
    ],
)
def test_cutoffs_on_a_hot_day(method, cutoff, expected):
    ours = degree_days([13], [40], 12, 33, method, cutoff)[0]
    assert ours == pytest.approx(expected, abs=0.0006)
