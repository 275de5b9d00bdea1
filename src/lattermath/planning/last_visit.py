"""The last visit at which something still pays, asked for at few of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

STRIDE = 3  # visits skipped at first


def last_still_better(visits: Sequence[int], better: Callable[[int], bool]) -> int | None:
    """The last of the visits at which something is still better; None if it is not at any.

    Exact where it is better up to some visit and not after; strides first, to ask seldom.
    """
    found = next((k for k in range(0, len(visits), STRIDE) if better(visits[k])), None)
    if found is None:
        return None
    step = found
    while step + STRIDE < len(visits) and better(visits[step + STRIDE]):
        step += STRIDE
    for k in range(min(step + STRIDE, len(visits)) - 1, step, -1):
        if better(visits[k]):
            return visits[k]
    return visits[step]
