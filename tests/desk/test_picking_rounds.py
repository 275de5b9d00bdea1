"""A missed visit or a bar costs crop: the demonstration's beans and courgettes, visit by visit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.demo import Shown
from lattermath.desk.permits import permits_of
from lattermath.desk.pest_parts import PestPlans
from lattermath.desk.picking_rounds import with_picks
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_picking import bearings
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.desk.work_out import work_out
from lattermath.planning.picking_tasks import Bearing, picking_tasks
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting

pytestmark = pytest.mark.usefixtures("few_draws")

SHOWN = date(2011, 7, 30)


@pytest.fixture(scope="module")
def facts(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> SeasonFacts:
    made = make_demo(tmp_path_factory.mktemp("rounds") / "plot")
    folder = folder_at(made.folder)
    with open_journal(folder) as journal:
        return facts_of(folder, journal, SHOWN, None)


def eaten(facts: SeasonFacts, key: str) -> np.ndarray:
    """Share of the crop of each coming day that is eaten where no pest takes any."""
    beliefs = believe_crops(facts, growing_season(facts))
    permits = permits_of(facts, {})
    left = with_picks(facts, beliefs, PestPlans(), permits).cares[key].left
    assert left is not None
    return left


def test_visits_made_in_time_cost_nothing(facts: SeasonFacts) -> None:
    """Three visits a week are three days apart at most, and a courgette waits three."""
    share = eaten(facts, "courgettes")
    assert share[:, 3:40].min() == 1.0


def test_a_missed_week_costs_crop_and_slows_the_plant(facts: SeasonFacts) -> None:
    away = replace(
        facts, visits=tuple(v for v in facts.visits if not date(2011, 8, 2) < v < date(2011, 8, 13))
    )
    share = eaten(away, "courgettes")
    lost = slice(3, 11)  # from 2 August, picked, to three days before 13 August
    assert share[:, lost].max() == 0.0
    assert 0 < share[:, 11:14].max() < 1.0
    assert share[:, 14:40].min() == 1.0


def test_a_bar_costs_what_passes_size_under_it(facts: SeasonFacts) -> None:
    """The spray of 28 July repeated every other day to 11 August: nothing is eaten meanwhile."""
    beans = next(p.key for p in facts.plot.standing() if p.crop == "bean_pole")
    spray = next(a for a in facts.applied if a.planting == beans)
    again = tuple(replace(spray, at=spray.at + timedelta(days=2 * n)) for n in range(8))
    barred = eaten(replace(facts, applied=again), beans)
    free = eaten(replace(facts, applied=()), beans)
    assert free[:, 3:30].min() == 1.0
    assert barred[:, 1:9].max() == 0.0
    assert barred[:, 14:30].min() == 1.0


def test_the_verdict_says_why_nothing_is_to_be_picked(facts: SeasonFacts) -> None:
    """The spray on the beans was of something that is not on the shelf: no picking ever clears."""
    beans = next(p.key for p in facts.plot.standing() if p.crop == "bean_pole")
    spray = next(a for a in facts.applied if a.planting == beans)
    unknown = replace(spray, product="what a neighbour lent", label=None)
    for applied, says_so in (((unknown,), True), ((spray,), False)):
        known = work_out(replace(facts, applied=applied), lambda *_: None)
        verdicts = {key: one.verdict for key, one in known.crops.decisions.items()}
        kept = [o.kg.high for o in verdicts[beans].options if o.fate in ("fight", "leave")]
        assert kept and (max(kept) == 0) is says_so
        tail = "not known when it is clear, so no picking of it is reckoned"
        assert verdicts[beans].says.endswith(tail) is says_so
        assert any("copy the lines" in one.way_out for one in verdicts[beans].because) is says_so
        assert not [k for k, one in verdicts.items() if k != beans and one.says.endswith(tail)]


def test_what_never_clears_gives_nothing_in_weeks_of_absence_either(facts: SeasonFacts) -> None:
    """Tomatoes wait on the plant while nobody comes; under a bar without an end they wait in vain.

    A bar that ends while nobody is there costs what was ready too long before it, and no more.
    """
    toms = next(p.key for p in facts.plot.standing() if p.crop.startswith("tomato"))
    spray = replace(facts.applied[0], planting=toms, product="what a neighbour lent", label=None)
    gap = tuple(v for v in facts.visits if not date(2011, 8, 5) < v < date(2011, 9, 12))
    away = replace(facts, visits=gap, applied=(spray,))
    assert eaten(away, toms).max() == 0.0
    home = replace(facts, applied=(spray,))
    assert eaten(home, toms).max() == 0.0
    beliefs = believe_crops(facts, growing_season(facts))
    free = with_picks(replace(away, applied=()), beliefs, PestPlans(), permits_of(facts, {})).cares
    assert toms not in free, "without a bar nothing is lost by going away"


def test_crops_that_wait_on_the_plant_lose_nothing(facts: SeasonFacts) -> None:
    beliefs = believe_crops(facts, growing_season(facts))
    cares = with_picks(facts, beliefs, PestPlans(), permits_of(facts, {})).cares
    assert not {k for k in cares if beliefs[k].traits.crop.startswith(("tomato", "eggplant"))}


def test_what_passed_size_is_said_only_where_pickings_are_written_down(facts: SeasonFacts) -> None:
    """The cucumbers were last picked a week ago, and hang four days; without entries nothing is."""
    beliefs = believe_crops(facts, growing_season(facts))
    cucumbers = next(k for k, b in beliefs.items() if b.traits.crop == "cucumber_slicing")
    some = {cucumbers: beliefs[cucumbers]}
    (written,) = bearings(facts, SHOWN, some, frozenset(), {})
    quiet = replace(facts, events=tuple(e for e in facts.events if e.kind != "picking"))
    (unwritten,) = bearings(quiet, SHOWN, some, frozenset(), {})
    assert written.past_kg > 0 and written.kg > 0
    assert unwritten.past_kg == 0 and unwritten.kg == written.kg
    # The day from the same draws, one by one: what grew since the picking, and four days more.
    belief = beliefs[cucumbers]
    since = SHOWN - timedelta(days=7)
    bears = np.broadcast_to(belief.condition.bears, len(belief.kg))
    n = next(
        n
        for n in range(8)
        if np.median(belief.kg[:, facts.day_index(since) :][:, : n + 1].sum(axis=1) * bears) >= 0.05
    )
    assert written.passes == since + timedelta(days=n + 5) and written.passes <= SHOWN
    assert unwritten.passes is None or unwritten.passes > SHOWN
    clear = {cucumbers: Clearance(cucumbers, True, None, ())}
    for one, says in ((written, "since the last picking"), (unwritten, "no picking of it")):
        ((task,), _) = picking_tasks(SHOWN, [one], clear, datetime(2026, 8, 4, 18, tzinfo=UTC))
        assert says in task.because[0].says, "only a picking that there was is spoken of"


def test_while_barred_what_passes_size_is_taken_off_and_nothing_is_picked() -> None:
    """A task to take off, uneaten, beside the bar; crops that wait on the plant get none."""
    at = datetime(2026, 8, 4, 18, 30, tzinfo=UTC)
    barred = {key: Clearance(key, False, at + timedelta(days=5), ()) for key in ("b", "t")}
    friday = date(2026, 8, 7)
    beans = Bearing(
        Planting("b", "Beans", "bean_pole", 9), 0.6, 0.3, 1.0, "", "go stringy", passes=friday
    )
    toms = Bearing(Planting("t", "Tomatoes", "tomato_determinate", 9), 1.0, 0.5, 1.6)
    tasks, bars = picking_tasks(date(2026, 8, 4), [beans, toms], barred, at)
    assert [(task.kind, task.planting) for task in tasks] == [("care", "b")]
    assert "Not to be eaten" in tasks[0].says and "9 Aug" in tasks[0].says
    assert tasks[0].due == friday and "the first about Fri 7 Aug" in tasks[0].says
    assert {bar.planting for bar in bars} == {"b", "t"}
    # Open again before anything passes size: nothing good is thrown away.
    late = replace(beans, passes=date(2026, 8, 10))
    assert not picking_tasks(date(2026, 8, 4), [late], barred, at)[0]
    never = {"b": Clearance("b", False, None, ())}
    assert picking_tasks(date(2026, 8, 4), [late], never, at)[0]
