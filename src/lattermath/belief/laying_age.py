"""How a female's laying rises and falls over her laying life."""

from __future__ import annotations

import numpy as np

PARTS = 3  # boxcars of the laying life, of which each has a rate of its own


def laid_by_parts(most_at: float | None) -> tuple[float, ...]:
    """Eggs a day in equal parts of the laying life beside its mean, (PARTS,). [1]

    most_at : share of the laying life at which a female lays most; None: alike all her life.

        x exp(-x / most_at), x the share of the laying life that is over, cut off at its end

    rises from nothing to its peak and falls slowly, as laying does that is counted day by day.
    Source: the form that is fitted to laying by age, of aphids and moths (Bieri and others 1983;
    from memory); that it holds for every kind here is judgement. The mean of the parts is 1, so
    that a life's eggs are as many as without it.
    """
    if most_at is None:
        return (1.0,) * PARTS
    ends = np.linspace(0.0, 1.0, PARTS + 1) / most_at
    by_then = 1.0 - (1.0 + ends) * np.exp(-ends)
    shares = np.diff(by_then) / by_then[-1]
    return tuple(float(share) for share in PARTS * shares)
