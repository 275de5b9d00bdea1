"""Which plantings work has shaken and will, and where those that it puts up go."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, TODAY, believe, scales, sky, stands

from lattermath.belief.cluster_runs import PlotDays
from lattermath.desk.demo import demo
from lattermath.desk.homes_of_insects import worked
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.pulled_pests import clean
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.science.adult_flight import points_of
from lattermath.vocabulary.events import Picking, Treatment


def test_work_sends_adults_next_door_and_only_flyers() -> None:
    """Work on the cucumbers every third evening for six weeks: more on the aubergines beside them,
    none more without wings to rise on."""
    homes = tuple(
        replace(home, points=points_of(1.5 * n, 0, 1, 1)) for n, home in enumerate(stands())
    )
    seen = [(TODAY - 3, scales("cucumbers", 300)), (TODAY - 3, scales("aubergines", 0, 40))]
    work = np.zeros((100, 3))
    work[TODAY + 1 :: 3, 0] = 1.0
    still = believe(seen, homes=homes)
    busy = believe(seen, homes=homes, weather=replace(sky(), plot_days=PlotDays(work)))
    beside = [b.ahead(by_chance=False, n_days=40).sums[:, 1].sum(-1).mean(0) for b in (still, busy)]
    assert beside[1][1] == pytest.approx(beside[0][1])
    assert beside[1][-1] > 1.05 * beside[0][-1]
    assert busy.setting.shaken.max() <= LIFE.figures.put_up * 1.25


def test_pulling_lets_a_fifth_of_the_adults_go_and_bags_the_rest() -> None:
    """Table of treatments: 80 % of adults are caught where a plant is bagged before the cut."""
    belief = believe([(TODAY - 1, scales("cucumbers", 60))])
    out = clean(belief, (0,))
    before, after = (LIFE.layout.by_stage(b.state).sum(0) for b in (belief, out))
    assert not after[0].any()
    assert after[1:, :-1] == pytest.approx(before[1:, :-1])
    gained = after[1:, -1] - before[1:, -1]
    assert gained.sum() == pytest.approx(0.2 * before[0, -1], rel=1e-3)
    assert gained[0] > gained[1]  # the aubergines stand nearer and suit better
    assert not clean(belief, (0, 1, 2)).state.any()


def test_the_journal_says_where_work_was_done(tmp_path: Path) -> None:
    """The demonstration's own journal, read by hand for three of its entries."""
    demo(tmp_path / "plot")
    folder = folder_at(tmp_path / "plot")
    with open_journal(folder) as journal:
        facts = facts_of(folder, journal, date(2011, 7, 30), None)
    homes = tuple(replace(stands()[0], key=p.key, treatable=not p.neighbours_plot)
                  for p in facts.plot.standing())  # fmt: skip
    share = worked(facts, homes)
    done = [e for e in facts.events if isinstance(e.payload, (Treatment, Picking))]
    assert done
    for event in done:
        keys = getattr(event.payload, "plantings", None) or (event.payload.planting,)
        for place in (n for n, home in enumerate(homes) if home.key in keys):
            assert share[facts.day_index(event.day), place] == 1.0
    coming = [facts.day_index(day) for day in facts.visits]
    own = np.array([home.treatable for home in homes])
    assert np.all(share[coming][:, own] >= 0.5) and not share[coming][:, ~own].any()
    between = [n for n in range(facts.today_index + 1, len(share)) if n not in coming]
    assert not share[between].any()
