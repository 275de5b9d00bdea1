"""Which plantings work has shaken and will, and where those that it puts up go."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from tests.belief import cluster_cases
from tests.belief.cluster_cases import LIFE, TABLES, TODAY, believe, dice, scales, sky, stands

from lattermath.belief.cluster_runs import setting_of
from lattermath.belief.clusters import ClusterBelief
from lattermath.desk.demo import Shown
from lattermath.desk.homes_of_insects import worked
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.pulled_pests import clean, escape_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.science.adult_flight import points_of
from lattermath.vocabulary.events import Picking, Treatment


def close_beds() -> tuple:  # type: ignore[type-arg]
    return tuple(
        replace(home, points=points_of(1.5 * n, 0, 1, 1)) for n, home in enumerate(stands())
    )


def salted(throw: int) -> Callable[[str], np.random.Generator]:
    return lambda name: dice(f"{throw}{name}")


SEEN = [(TODAY - 3, scales("cucumbers", 300)), (TODAY - 3, scales("aubergines", 0, 40))]


@pytest.fixture(scope="module")
def still() -> ClusterBelief:
    return believe(SEEN, homes=close_beds())


def worked_on(belief: ClusterBelief, work: np.ndarray, rises: float) -> ClusterBelief:
    """The same belief with work to come, of a kind of which this share rises."""
    life = replace(belief.life, figures=replace(belief.life.figures, put_up=rises))
    first, days = belief.first_day, belief.cycle.n_days
    setting = setting_of(belief.stands, belief.unknowns, belief.settle, life, first, days,
                         belief.cycle, worked=work[first:])  # fmt: skip
    return replace(belief, setting=replace(belief.setting, shaken=setting.shaken))


def test_work_sends_adults_next_door_and_only_flyers(still: ClusterBelief) -> None:
    """Work on the cucumbers every third evening for six weeks: more on the aubergines beside them,
    none more of a kind that sits."""
    work = np.zeros((100, 3))
    work[TODAY + 1 :: 3, 0] = 1.0
    busy, firm = worked_on(still, work, 0.8), worked_on(still, work, 0.0)
    beside = [
        b.ahead(by_chance=False, n_days=40).sums[:, 1].sum(-1).mean(0) for b in (still, busy, firm)
    ]
    assert beside[1][1] == pytest.approx(beside[0][1])
    assert beside[1][-1] > 1.05 * beside[0][-1]
    assert np.array_equal(beside[2], beside[0])


def test_past_work_is_believed_to_have_spread_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """With four weeks of picking behind them more is believed on aubergines nobody looked at, for
    each that is on the cucumbers.

    Of 24 throws the mean logarithm of that share rose by 0.15, with a standard deviation of 0.18;
    the mean of eight is above 0 in 99 of 100, as that of 24 throws of the median number was (0.14
    and 0.31). Work that spreads nobody leaves it where it was, to the last bit.
    """
    work = np.zeros((100, 3))
    work[TODAY - 28 : TODAY : 2, 0] = 1.0
    seen, more = SEEN[:1], []
    for throw in range(8):
        monkeypatch.setattr(cluster_cases, "dice", salted(throw))
        quiet = believe(seen, homes=close_beds())
        picked = believe(seen, homes=close_beds(), weather=replace(sky(), worked=work))
        assert picked.setting.busy.sum() > 5 and not quiet.setting.busy.any()
        there = (b.past[:, :2, -1].sum(-1) for b in (quiet, picked))
        today = [np.log(both[:, 1] / both[:, 0]).mean() for both in there]
        more.append(today[1] - today[0])
    assert np.mean(more) > 0


def test_pulling_lets_a_fifth_of_the_adults_go_and_bags_the_rest(still: ClusterBelief) -> None:
    """Table of treatments: 80 % of adults are caught where a plant is bagged before the cut."""
    escape = escape_of(TABLES)
    assert escape == pytest.approx(0.2)
    roomy = replace(still, unknowns=replace(still.unknowns, crosses=np.ones(still.n_draws)))
    out = clean(roomy, (0,), escape)
    before, after = (LIFE.layout.by_stage(b.state).sum(0) for b in (roomy, out))
    assert not after[0].any()
    assert after[1:, :-1] == pytest.approx(before[1:, :-1])
    gained = after[1:, -1] - before[1:, -1]
    assert gained.sum() == pytest.approx(0.2 * before[0, -1], rel=1e-3)
    assert gained[0] > gained[1]  # the aubergines stand nearer and suit better
    assert not clean(roomy, (0, 1, 2), escape).state.any()
    sits = replace(LIFE, figures=replace(LIFE.figures, put_up=0.0))
    bagged = clean(replace(roomy, life=sits), (0,), escape)
    assert np.array_equal(bagged.state[:, 1:], roomy.state[:, 1:])


@pytest.fixture(scope="module")
def facts(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> SeasonFacts:
    folder = folder_at(make_demo(tmp_path_factory.mktemp("demo") / "plot").folder)
    with open_journal(folder) as journal:
        return facts_of(folder, journal, date(2011, 7, 30), None)


def test_the_journal_says_where_work_was_done(facts: SeasonFacts) -> None:
    """The demonstration's own journal, held against its entries one by one."""
    standing = [p for p in facts.plot.plantings if p.pulled is None]
    homes = tuple(replace(stands()[0], key=p.key) for p in standing)
    share = worked(facts, homes)
    done = [e for e in facts.events if isinstance(e.payload, (Treatment, Picking))]
    assert done
    for event in done:
        keys = getattr(event.payload, "plantings", None) or (event.payload.planting,)
        for place in (n for n, home in enumerate(homes) if home.key in keys):
            assert share[facts.day_index(event.day), place] == 1.0


def test_what_is_picked_now_is_picked_at_the_coming_visits_and_nothing_between(
    facts: SeasonFacts,
) -> None:
    standing = [p for p in facts.plot.plantings if p.pulled is None]
    share = worked(facts, tuple(replace(stands()[0], key=p.key) for p in standing))
    coming = [facts.day_index(day) for day in facts.visits]
    ahead = [n for n in range(facts.today_index + 1, len(share)) if n not in coming]
    assert not share[ahead].any()
    picked = {
        e.payload.planting
        for e in facts.events
        if isinstance(e.payload, Picking) and 0 <= (facts.today - e.day).days <= 14
    }
    for place, planting in enumerate(standing):
        if planting.neighbours_plot:
            assert not share[coming, place].any()
        elif planting.key in picked and planting.crop == "cucumber_slicing":
            assert np.all(share[coming, place] == 1.0)
    own = [n for n, planting in enumerate(standing) if not planting.neighbours_plot]
    assert share[coming][:, own].any()
