"""TOM-CAST, whole table cell by cell, and the sprays it calls for.

Source: Madden, Pennypacker and MacNab 1978 as reworked in 1992 (table recalled, and agreed cell by
cell with a public research script that was read); twelve worked cells and the two accumulations of
checks-diseases 1 (computed there). Thresholds: Rutgers 2015 and 2018 (read), 20 of a national
forecasting service (read).
"""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.science.disease_severity_values import sprays_due, tom_cast

# Temperatures from, to; longest hours for 0, 1, 2, 3; above the last: 4. None: never.
PRINTED = [
    (13, 17, (6, 15, 20, None)),
    (18, 20, (3, 8, 15, 22)),
    (21, 25, (2, 5, 12, 20)),
    (26, 29, (3, 8, 15, 22)),
]
WORKED = [(14, 5, 0), (15, 9, 1), (19, 8, 1), (19, 10, 2), (22, 2, 0), (22, 4, 1)]
WORKED += [(23, 7, 2), (24, 14, 3), (22, 22, 4), (27, 9, 2), (12, 20, 0), (31, 18, 0)]


def printed(heat: int, hours: int) -> int:
    for first, last, longest in PRINTED:
        if first <= heat <= last:
            return next(
                (value for value, most in enumerate(longest) if most is None or hours <= most), 4
            )
    return 0


@pytest.mark.parametrize("heat", range(8, 36))
def test_every_cell(heat: int) -> None:
    assert tom_cast(heat, np.arange(25)).tolist() == [printed(heat, h) for h in range(25)]


def test_worked_cells_and_their_sum() -> None:
    heat, hours, value = zip(*WORKED, strict=True)
    assert tom_cast(heat, hours).tolist() == list(value)
    assert tom_cast(heat, hours).sum() == 16


def test_three_a_day_calls_for_the_first_spray_on_day_twelve() -> None:
    daily = np.full(20, 3)
    assert np.cumsum(daily)[11] == 36
    assert [day + 1 for day in sprays_due(daily)] == [12, 19]
    assert [day + 1 for day in sprays_due(daily, next_at=15)] == [12, 17]
