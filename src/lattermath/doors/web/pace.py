"""How often one asker may ask: so many at once, and then so many a minute."""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable

from lattermath.desk import clock

ENOUGH = 1 - 1e-6  # sums of seconds are not exact
MOST_ASKERS = 4096  # whoever asked longest ago is forgotten first


class Pace:
    """A bucket for each asker that fills again with time."""

    def __init__(
        self,
        a_minute: float,
        at_once: int,
        running: Callable[[], float] = clock.running_seconds,
    ) -> None:
        """Let each ask `at_once` times in a row and `a_minute` times a minute ever after."""
        self._a_second, self._at_once, self._running = a_minute / 60, at_once, running
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def wait(self, asker: str) -> int:
        """Whole seconds that this asker has to wait; 0: go on, and one is taken off."""
        now = self._running()
        left, last = self._left.get(asker, (float(self._at_once), now))
        left = min(left + (now - last) * self._a_second, self._at_once)
        allowed = left >= ENOUGH
        self._left[asker] = (max(left - 1, 0.0) if allowed else left, now)
        self._left.move_to_end(asker)
        if len(self._left) > MOST_ASKERS:
            self._left.popitem(last=False)
        return 0 if allowed else math.ceil((1 - left) / self._a_second)
