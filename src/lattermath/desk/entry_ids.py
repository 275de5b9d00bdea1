"""Fresh ids for journal entries, from this machine's clock and dice."""

from __future__ import annotations

from lattermath.desk import clock
from lattermath.record.ids import id_maker


def new_id() -> str:
    """An id that no other entry has and that sorts by time."""
    return id_maker(clock.now, clock.random_bytes)()
