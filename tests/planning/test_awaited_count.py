"""Which planting's count tells what a treatment took, and from when: worked out by hand."""

from __future__ import annotations

from datetime import date, timedelta

from lattermath.planning.awaited_count import awaited, due, still_awaited, tells
from lattermath.planning.treated_beside import Looked

SPRAYED = date(2026, 7, 12)


def counted(planting: str, days: int, mean: float, serial: int = 1) -> Looked:
    """A count some days after the spray."""
    return Looked(SPRAYED + timedelta(days=days), planting, "kale", ("whole",), (mean,), serial)


def test_the_planting_last_counted_before_the_spray_tells_most() -> None:
    looks = [counted("old", -9, 90.0), counted("few", -1, 2.0), counted("many", -1, 40.0),
             counted("beside", 0, 99.0)]  # fmt: skip
    assert tells(looks, {"old", "few", "many"}, SPRAYED) == "many"
    assert tells(looks, {"old"}, SPRAYED) == "old"  # long ago, and better than none
    assert tells(looks, {"never"}, SPRAYED) is None


def test_the_count_is_due_two_days_after_and_then_it_is_told() -> None:
    one = awaited("Soap", SPRAYED, 4)
    assert one.treatment == "Soap of 12 Jul"
    days = [bool(due((one,), SPRAYED + timedelta(days=n))) for n in range(4)]
    assert days == [False, False, True, True]
    assert still_awaited((one,), None) == (one,)
    assert still_awaited((one,), SPRAYED + timedelta(days=1)) == (one,)
    assert not still_awaited((one,), SPRAYED + timedelta(days=2))
