"""Rows of FAO-56 tables 11, 12 and 22 as the crop table carries them.

Source: Allen et al. 1998, as transcribed in an open library's tables (read there, not in the paper;
checks-crops A11). Exact; the printed end of tomato is a range, recalled.
"""

from __future__ import annotations

import pytest

from lattermath.knowledge.tables import load_tables

CROPS = load_tables().crops
ROWS = {  # Kc ini, mid, end; stage days; root m low, high; p
    "tomato_determinate": ((0.6, 1.15, 0.80), (30, 40, 45, 30), (0.7, 1.5), 0.40),
    "cucumber_slicing": ((0.6, 1.00, 0.75), (20, 30, 40, 15), (0.7, 1.2), 0.50),
    "summer_squash": ((0.5, 0.95, 0.75), (20, 30, 25, 15), (0.6, 1.0), 0.50),
    "bean_bush": ((0.5, 1.05, 0.90), (15, 25, 25, 10), (0.5, 0.7), 0.45),
    "broccoli": ((0.7, 1.05, 0.95), (35, 45, 40, 15), (0.4, 0.6), 0.45),
    "lettuce_leaf": ((0.7, 1.00, 0.95), (20, 30, 15, 10), (0.3, 0.5), 0.30),
    "cabbage": ((0.7, 1.05, 0.95), (40, 60, 50, 15), (0.5, 0.8), 0.45),
    "cauliflower": ((0.7, 1.05, 0.95), (35, 50, 40, 15), (0.4, 0.7), 0.45),
    "carrot": ((0.7, 1.05, 0.95), (20, 30, 30, 20), (0.5, 1.0), 0.35),
}


@pytest.mark.parametrize("crop", ROWS)
def test_the_row_is_the_transcribed_one(crop: str) -> None:
    kc, stages, roots, share = ROWS[crop]
    row = CROPS[crop].row
    assert tuple(row.figure(f"kc.{k}").value for k in ("ini", "mid", "end")) == kc
    assert tuple(row.figure(f"stage_days.{k}").value for k in ("ini", "dev", "mid", "late")) == (
        stages
    )
    assert row.figure("root_m.max").span == roots
    assert row.figure("p").value == share
