"""Two readings of the same limits, made apart: the rulings and the audit, on random plots.

Neither shares code with the other, so that where they agree on thousands of plots a slip would
have to be made twice. A treatment that the rulings allow is never a fault of the audit, and one
that they refuse is never passed by it.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.audit.random_plots import a_case
from tests.audit.random_trials import (
    Tally,
    a_small_planner,
    clearances,
    single_treatment,
    whole_plan,
)

from lattermath.audit.plan_audit import audit
from lattermath.vocabulary.plan import Clearance

SINGLE = 4000
WHOLE = 600
CLEARED = 600
TURNING = 6000


@pytest.fixture(scope="module")
def singles() -> Tally:
    """Single treatments on as many plots, ruled and audited once for all that is asked of them."""
    tally = Tally()
    for seed in range(SINGLE):
        single_treatment(seed, tally)
    return tally


def test_rulings_and_audit_agree_on_single_treatments(singles: Tally) -> None:
    assert not singles.wrong
    allowed = singles.tried["treatments allowed"]
    assert SINGLE / 10 < allowed < SINGLE / 2, "the plots should be neither all right nor all wrong"


def test_they_agree_on_turns_with_actives_that_the_tables_lack() -> None:
    """Half of what is on these shelves stands in no table, the rest in few modes of action."""
    tally = Tally()
    for seed in range(TURNING):
        single_treatment(700_000 + seed, tally, few_modes=True)
    assert not tally.wrong
    turns = [bar for _, bar in tally.bars if "rule:rotate_by_generation" in bar.rests_on]
    assert sum("twice in a row" in bar.says for bar in turns) > TURNING / 100
    assert tally.tried["treatments allowed"] > TURNING / 20


def test_every_bar_says_who_forbids_on_what_and_the_way_out(singles: Tally) -> None:
    voices = set()
    for seed, bar in singles.bars:
        assert bar.way_out, (seed, bar.says)
        assert bar.rests_on, (seed, bar.says)
        voices.add(bar.who)
    assert voices == {"label", "garden", "our caution"}


def test_whole_plans_made_by_the_rulings_are_clean() -> None:
    """Picks, hoeing, planting, then every treatment of two evenings that the rulings allow."""
    tally = Tally()
    for seed in range(WHOLE):
        whole_plan(100_000 + seed, tally)
    assert not tally.wrong
    assert all(tally.tried[f"tasks to {kind}"] > WHOLE / 4 for kind in ("treat", "pick", "care"))
    assert tally.tried["tasks to sow"] > WHOLE / 20


def test_no_clearance_is_early() -> None:
    tally = Tally()
    for seed in range(CLEARED):
        clearances(200_000 + seed, tally)
    assert not tally.wrong
    assert tally.tried["clearances that bar"] > CLEARED / 5
    assert tally.tried["clearances nobody knows"] > CLEARED / 10


def test_a_tag_a_minute_early_is_caught_on_random_plots() -> None:
    """Of now and of after the next visit, to pickers and to everybody: each by itself."""
    caught = dict.fromkeys([(p, who) for p in (False, True) for who in ("picking", "entering")], 0)
    for seed in range(WHOLE):
        case = a_case(300_000 + seed)
        plan = a_small_planner(case, random.Random(seed))
        for one in plan.closed:
            for who in ("picking", "entering"):
                clear: Clearance = getattr(one, who)
                if clear.clear_now or clear.safe_from is None:
                    continue
                early = replace(clear, safe_from=clear.safe_from - timedelta(minutes=1))
                broken = replace(one, **{who: early})
                faults = audit(
                    replace(plan, closed=(broken,)), case.plot, case.events, case.evenings
                )
                whom = "pickers" if who == "picking" else "everybody"
                assert [f.what for f in faults] == [f"is opened to {whom} too early"], seed
                caught[one.planned, who] += 1
    assert min(caught.values()) >= 5, caught
