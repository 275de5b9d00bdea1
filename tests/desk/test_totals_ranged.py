"""A total of some leaves has a range as well: held against counts thrown leaf by leaf."""

from __future__ import annotations

from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from lattermath.belief.count_likelihood import clumping
from lattermath.desk.totals_ranged import ranged
from lattermath.planning.treated_beside import Looked
from lattermath.science.efficacy import Efficacy, changes_compared, survivors_compared
from lattermath.vocabulary.events import Event, Sighting

NOON = datetime(2026, 8, 1, 12, 0, tzinfo=UTC)
NO_RANGE = Efficacy(float("nan"))


def facts_of(*leaves: int) -> Any:
    """Totals of so many leaves, by serial."""
    return SimpleNamespace(events=tuple(
        Event(serial, str(serial), "sighting", 1, NOON, "UTC", NOON,
              Sighting("okra", "melon_aphid", "count", looked_at=n, total=1))
        for serial, n in enumerate(leaves)
    ))  # fmt: skip


def total(mean: float, serial: int) -> Looked:
    return Looked(date(2026, 8, 1), "okra", "okra", ("underside",), (mean,), serial)


@pytest.mark.parametrize("kept", [0.1, 0.5])
def test_ranges_of_totals_hold_the_truth_as_often_as_they_say(kept: float) -> None:
    """Leaves of mean 20 thrown with the clumping of the belief, and only their sums handed on."""
    rng = np.random.default_rng(8)
    n, held, known = 6, 0, 0
    for _ in range(600):
        sums = []
        for mean in (20.0, 20.0 * kept, 20.0, 20.0):
            k = float(clumping(mean))
            sums.append(rng.poisson(rng.gamma(k, mean / k, n)).sum() / n)
        found = ranged(facts_of(n, n, n, n), NO_RANGE, [total(m, s) for s, m in enumerate(sums)])
        if found.low_percent is None or found.high_percent is None:
            continue
        known += 1
        held += found.low_percent <= 100 * (1 - kept) <= found.high_percent
    assert known == 600
    assert 0.93 <= held / known <= 0.99


def test_counted_leaves_give_the_range_of_their_own_spread() -> None:
    tb, ta, cb, ca = ((40, 22, 31), (4, 2, 3), (12, 9, 15), (13, 10, 14))
    looks = [
        Looked(date(2026, 8, 1), "okra", "okra", (), tuple(map(float, counts)), n)
        for n, counts in enumerate((tb, ta, cb, ca))
    ]
    both, own = ranged(facts_of(3, 3, 3, 3), NO_RANGE, looks), changes_compared(tb, ta, cb, ca)
    assert both.low_percent == pytest.approx(own.low_percent)
    assert both.high_percent == pytest.approx(own.high_percent)
    after = ranged(facts_of(3, 3), NO_RANGE, [looks[1], looks[3]])
    assert after.low_percent == pytest.approx(survivors_compared(ta, ca).low_percent)
    assert after.high_percent == pytest.approx(survivors_compared(ta, ca).high_percent)


def test_none_left_on_treated_leaves_still_allows_some_that_were_missed() -> None:
    counts = (0.0,) * 6, (20.0, 14.0, 30.0, 11.0, 25.0, 20.0)
    looks = [Looked(date(2026, 8, 1), "okra", "okra", (), c, n) for n, c in enumerate(counts)]
    found = ranged(facts_of(6, 6), NO_RANGE, looks)
    assert found.low_percent == pytest.approx(survivors_compared(*counts).low_percent)
    assert found.high_percent == 100
    summed = ranged(facts_of(6, 6), NO_RANGE, [total(0.0, 0), total(20.0, 1)])
    assert summed.low_percent is not None and summed.low_percent < 100


def test_a_look_at_one_leaf_has_no_range() -> None:
    found = ranged(facts_of(1, 6), NO_RANGE, [total(2.0, 0), total(20.0, 1)])
    assert found.percent == pytest.approx(90) and found.low_percent is None
