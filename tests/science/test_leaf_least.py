"""What more treatments could leave at the least, against the days of the model itself."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from lattermath.science.leaf_disease import LeafPace, LeafWork, run_leaf_disease
from lattermath.science.leaf_least import Done, LeafDays, Least, More
from lattermath.science.leaf_loss import LeafLoss

DRAWS, DAYS, SORTS = 4, 40, 5


def case(seed: int) -> tuple[LeafDays, Done, More]:
    """A planting, something done on it at any time, and five treatments that may come."""
    dice = np.random.default_rng(seed)

    def shares(*shape: int, most: float = 1.0) -> np.ndarray:
        return dice.uniform(0, most, shape)

    pace = LeafPace(
        dice.uniform(0.05, 0.6, DRAWS),
        dice.uniform(2, 9, DRAWS),
        dice.uniform(0.02, 0.3, DRAWS),
        shares(DRAWS, 1, DAYS),
        np.full(DAYS, 0.02),
        np.full((DRAWS, 1), 1e-4),
        np.array([dice.uniform(0.3, 1.0)]),
        shares(DRAWS, DAYS),
        np.full(DAYS, dice.uniform(0, 0.3)),
    )
    start, hidden = shares(DRAWS, 2, most=0.2), shares(DRAWS, 2, 3, most=0.05)
    loss = LeafLoss(0.6, 0.1 * (seed % 2))
    days = LeafDays(start, hidden, pace, 0, loss, dice.uniform(0, 3, DAYS))
    cure, back = np.zeros((2, DAYS, DRAWS, 2))
    bare = np.ones((DAYS, DRAWS, 2))
    if seed % 3:
        at = int(dice.integers(DAYS))
        cure[at], back[at] = shares(DRAWS, 2, most=0.9), shares(DRAWS, 2, most=0.9)
        bare[at:] = 1 - shares(DAYS - at, DRAWS, 2, most=0.6)
    when = np.sort(dice.integers(0, DAYS, SORTS))
    bares = np.ones((SORTS, DAYS, DRAWS, 2))
    for n, at in enumerate(when):
        bares[n, at:] = 1 - shares(DAYS - at, DRAWS, 2, most=0.9 * (n % 2))
    cured = shares(SORTS, DRAWS, 2, most=0.98) * (np.arange(SORTS) % 2 == 0)[:, None, None]
    undone = shares(SORTS, DRAWS, 2, most=0.9) * (np.arange(SORTS) == 3)[:, None, None]
    return days, Done(cure, back, bare), More(when, cured, undone, bares)


def damage(days: LeafDays, done: Done) -> float:
    """By the days of the model, which has no part in the bound."""
    work = LeafWork(done.cure[:, :, None], 1 - done.bare[:, :, None], done.back[:, :, None])
    out, _ = run_leaf_disease(days.pace, days.start[:, None], days.hidden[:, None], work)
    lost = days.loss.lost(out[:, 0, 1:].mean(2))
    return float((lost @ days.yields).mean())


def by_hand(done: Done, more: More, chosen: tuple[int, ...]) -> Done:
    cure, back, bare = done.cure.copy(), done.back.copy(), done.bare.copy()
    for n in chosen:
        at = more.days[n]
        cure[at] = 1 - (1 - cure[at]) * (1 - more.cured[n])
        back[at] = 1 - (1 - back[at]) * (1 - more.undone[n])
        bare[at:] *= more.bares[n, at:]
    return Done(cure, back, bare)


@pytest.mark.parametrize("seed", range(24))
def test_no_way_on_leaves_less_than_is_said(seed) -> None:
    """All 32 sets of five treatments, first none and then the first of them done before.

    What several save together is never more than what each saves alone, reckoned at the least.
    """
    days, done, more = case(seed)
    for begun in ((), (0,)):
        first = int(more.days[0]) if begun else 0
        so_far = by_hand(done, more, begun)
        least = Least.of(days, so_far, first)
        assert least.damage == pytest.approx(damage(days, so_far), rel=1e-9)
        rest = [n for n in range(SORTS) if n not in begun]
        none, *each = least.with_each(more.some(np.array(rest)))
        assert none <= least.damage * (1 + 1e-9)
        everything = least.with_all(more.some(np.array(rest)))
        for size in range(1, len(rest) + 1):
            for chosen in itertools.combinations(range(len(rest)), size):
                true = damage(days, by_hand(so_far, more, tuple(rest[n] for n in chosen)))
                alone = none - sum(none - each[n] for n in chosen)
                assert true >= max(alone, everything) - 1e-9
                if size == 1:
                    assert each[chosen[0]] <= true + 1e-9
