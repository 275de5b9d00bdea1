"""What a night of frost leaves of insects, by its depth."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

FROST_C = -1.0  # judgement: screen temperature at which leaves of tender hosts freeze
GIVEN_AT_C = -3.0  # at which the days of `left_of_night` are given
LEFT = 0.1  # judgement: what "they endure so many days" leaves
# Derived: eggs of the greenhouse whitefly endure 14 or 15 days at -3 C and 3 or 5 at -6 C, so that
# each degree takes 0.44 off the logarithm of the days; for every insect (judgement).
FASTER_PER_C = float(np.log(np.sqrt(14 * 15) / np.sqrt(3 * 5)) / 3)


def left_of_night(t_min: ArrayLike, days: ArrayLike) -> NDArray[np.float64]:
    """Share alive after one night, shapes broadcast. [0 to 1]

    t_min : lowest screen temperature of the night; above -1 C all live. [C]
    days  : days at -3 C that leave a tenth; inf where frost takes none. [d]

        left = 0.1 ** (exp(0.44 (-3 - t_min)) / days)

    A night counts as a day of its lowest temperature: it lasts a third as long, but leaves in the
    open are some two degrees colder than the screen, which is 2.4 times as deadly (judgement).

    Source: shape our own (judgement), its slope from two depths of frost of one table row.
    Holds for: -1 to -6 C as in the row; deeper is extrapolated.
    """
    low = np.asarray(t_min, dtype=np.float64)
    nights = np.exp(np.minimum(FASTER_PER_C * (GIVEN_AT_C - low), 50.0)) / np.asarray(days)
    return np.asarray(np.where(low <= FROST_C, LEFT**nights, 1.0))
