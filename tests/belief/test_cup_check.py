"""Looks at cups against thrown lots: how often all is well, and what an odd one is put to."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import steady

from lattermath.belief.cup_check import CLASSES, CupOdds, cup_odds, stand_chances
from lattermath.belief.cup_looks import LOOK_SD, PACE_SD, PRIOR_CUPS
from lattermath.belief.lot_belief import believe_lot
from lattermath.planning.cups_told import cup_odds_says
from lattermath.planning.standby import lot_advice
from lattermath.science.root_fill import CupHeat
from lattermath.vocabulary.plot import CupLook, StandbyLot

HEAT = CupHeat(ready=200.0, full=240.0, closes=280.0, coils=360.0)
SOWN = date(2026, 6, 1)
DAY = SOWN + timedelta(days=20)
USUAL, UP_IN = 0.85, 6.0


def odds(*looks: CupLook, heat: float = 230.0, usual: float = USUAL) -> tuple[CupOdds, ...]:
    gathered = [heat * (look.day - SOWN).days / 20 for look in looks]
    return cup_odds(looks, gathered, HEAT, SOWN, looks[-1].day, usual, UP_IN)


def test_how_many_come_up_is_thrown_from_the_table_and_its_doubt() -> None:
    rng = np.random.default_rng(1)
    share = rng.beta(PRIOR_CUPS * USUAL, PRIOR_CUPS * (1 - USUAL), 200_000)
    up = rng.binomial(12, share)
    told = stand_chances(12, PRIOR_CUPS * USUAL, PRIOR_CUPS * (1 - USUAL))
    assert np.abs(told - np.bincount(up, minlength=13) / up.size).max() < 0.004
    low, high = np.quantile(up, [0.05, 0.95], method="inverted_cdf")
    (found,) = odds(CupLook(DAY, 2, 12))
    assert (found.check.low, found.check.high) == (low, high)
    tail = 2 * ((up < 2).mean() + (up == 2).mean() / 2)
    assert found.check.tail == pytest.approx(tail, abs=0.002)


def test_of_lots_as_believed_about_one_look_in_twenty_is_called_at_odds() -> None:
    """Stand and roots thrown from what is believed beforehand; each look tells both."""
    rng, n, called = np.random.default_rng(2), 3000, 0
    for share, pace, slip in zip(
        rng.beta(PRIOR_CUPS * USUAL, PRIOR_CUPS * (1 - USUAL), n),
        np.exp(PACE_SD * rng.standard_normal(n)),
        np.exp(LOOK_SD * rng.standard_normal(n)),
        strict=True,
    ):
        seen = 230.0 * pace * slip
        roots = CLASSES[int(seen >= HEAT.ready) + int(seen >= HEAT.coils)]
        look = CupLook(DAY, int(rng.binomial(12, share)), 12, roots)
        called += bool(odds(look))
    assert 0.01 < called / n < 0.07


def test_few_up_is_called_at_odds_and_what_may_be_behind_it_is_ranked() -> None:
    assert not odds(CupLook(DAY, 10, 12))
    (found,) = odds(CupLook(DAY, 1, 12))
    assert not found.check.more
    ranked = dict(found.ranked)
    assert sum(ranked.values()) == pytest.approx(1.0) and ranked["chance"] < 0.1
    assert "late" not in ranked and max(ranked, key=ranked.__getitem__) in ("old seed", "died")
    early = SOWN + timedelta(days=7)
    (soon,) = odds(CupLook(early, 1, 12))
    assert dict(soon.ranked)["late"] > dict(soon.ranked)["chance"]
    assert not odds(CupLook(SOWN + timedelta(days=4), 0, 12))  # nobody expects them yet


def test_each_of_fewer_is_as_likely_as_thrown_lots_say() -> None:
    """Lots of old seed, and lots that are well: how often four of twelve come up in each."""
    rng, n = np.random.default_rng(3), 400_000
    share = rng.beta(PRIOR_CUPS * USUAL, PRIOR_CUPS * (1 - USUAL), n)
    left = rng.choice([0.25, 0.5], n)
    old, well = (rng.binomial(12, one) == 4 for one in (share * left, share))
    (found,) = odds(CupLook(DAY, 4, 12))
    ranked = dict(found.ranked)
    assert ranked["old seed"] / ranked["chance"] == pytest.approx(
        0.7 * old.mean() / well.mean(), rel=0.1
    )


def test_more_than_cups_can_give_is_called_so() -> None:
    (found,) = odds(CupLook(DAY, 12, 12), usual=0.3)
    assert found.check.more and dict(found.ranked)["two seeds"] > 0.3


def test_plants_that_stood_and_are_gone_are_at_odds_though_the_table_would_allow_it() -> None:
    first = CupLook(DAY - timedelta(days=5), 9, 12)
    assert not odds(CupLook(DAY, 6, 9))  # as a first look it is nothing odd
    (found,) = odds(first, CupLook(DAY, 4, 9))
    ranked = dict(found.ranked)
    assert "old seed" not in ranked and "late" not in ranked and ranked["died"] > ranked["chance"]


def test_roots_far_from_what_the_weather_gave_are_at_odds_and_a_look_before_is_believed() -> None:
    assert not odds(CupLook(DAY, roots="filling"))
    (found,) = odds(CupLook(DAY, roots="coiled"), heat=150.0)
    assert found.check.more and found.expected == ("few", "filling")
    assert dict(found.ranked)["place"] > dict(found.ranked)["chance"]
    (slow,) = odds(CupLook(DAY, roots="few"), heat=420.0)
    assert not slow.check.more and "few" not in slow.expected
    fast = CupLook(DAY - timedelta(days=2), roots="coiled")
    assert odds(CupLook(DAY, roots="coiled"), heat=190.0)
    assert not odds(fast, CupLook(DAY, roots="coiled"), heat=190.0)  # it was told before


def test_a_look_is_new_for_a_week() -> None:
    looks = (CupLook(DAY, 1, 12),)
    assert cup_odds(looks, (230.0,), HEAT, SOWN, DAY + timedelta(days=7), USUAL, UP_IN)
    assert not cup_odds(looks, (230.0,), HEAT, SOWN, DAY + timedelta(days=8), USUAL, UP_IN)
    assert not cup_odds((), (), HEAT, SOWN, DAY, USUAL, UP_IN)


def test_a_lot_at_odds_says_so_what_it_may_be_and_what_would_tell() -> None:
    season = steady(24.0)
    day = season.weather.day(season.weather.today)
    lot = StandbyLot("spare", "cucumber_slicing", 12, day - timedelta(days=20))
    odd = StandbyLot("spare", "cucumber_slicing", 12, lot.sown, looks=(CupLook(day, 1, 12),))
    (says,) = cup_odds_says(believe_lot(odd, season))
    assert "1 of 12 came up by" in says and "were expected. May be" in says
    assert "To tell: " in says and says.count(";") <= 1
    reasons = [one.says for one in lot_advice(believe_lot(odd, season), season).because]
    assert says.rstrip(".") in reasons
    assert not list(cup_odds_says(believe_lot(lot, season)))
