"""The season trial adds up: one tiny season under several policies, through the seam."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from bench.trial import interval, shelf

from lattermath.desk.outside_treating import faults_of, rule_on
from lattermath.desk.outside_world import OutsidePlot, open_plot
from lattermath.desk.season_play import setting_dice
from lattermath.desk.season_setting import RECORD, ZONE, set_up
from lattermath.desk.season_trial import Calendar, Outcome, Policy, Season, open_season, play
from lattermath.desk.trial_policies import EVERY_DAYS, FollowsPlan, Nothing, RuleOfThumb, Threshold
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Treatment

ROOT = Path(__file__).resolve().parents[2]
YEAR, SEED = 2010, 31_002
APHIDS = ("melon_aphid",)
CROPS = (("cucumber_slicing", 4), ("melon", 2))
DAYS = Calendar(date(YEAR, 6, 24), date(YEAR, 7, 8), date(YEAR, 7, 25), date(YEAR, 8, 8))


def opened(folder: Path) -> Season:
    folder.mkdir(parents=True, exist_ok=True)
    also = shelf(crop for crop, _ in CROPS)
    setting = set_up(folder, YEAR, setting_dice(SEED, YEAR), CROPS, "invented", also)
    return open_season(setting, OutsidePlot(folder), APHIDS, SEED)


def played(folder: Path, policy: Policy, days: Calendar = DAYS) -> Outcome:
    return play(opened(folder), policy, days, SEED)


def treatments(folder: Path) -> list[Treatment]:
    with open_journal(folder_at(folder)) as journal:
        payloads = [event.payload for event in journal.events()]
    return [one for one in payloads if isinstance(one, Treatment)]


@pytest.fixture(scope="module")
def nothing(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    return played(tmp_path_factory.mktemp("nothing"), Nothing())


def test_the_same_seed_gives_the_same_season(tmp_path: Path, nothing: Outcome) -> None:
    assert played(tmp_path, Nothing()) == nothing
    assert nothing.kg > 0
    assert nothing.sprays == nothing.handwork == nothing.hours == 0


def test_a_policy_that_looks_and_does_nothing_harvests_as_nothing_does(
    tmp_path: Path, nothing: Outcome
) -> None:
    looking = played(tmp_path, Nothing(looks=True))
    assert looking.hours > 0
    assert replace(looking, hours=0.0) == nothing


@pytest.mark.parametrize("policy", [RuleOfThumb("soap"), Threshold("soap")], ids=lambda p: p.name)
def test_sprays_counted_are_those_logged(tmp_path: Path, policy: Policy, nothing: Outcome) -> None:
    season = opened(tmp_path)
    found = play(season, policy, DAYS, SEED)
    done = treatments(tmp_path)
    assert found.sprays == sum(len(one.plantings) for one in done) > 0
    assert {one.product for one in done} == {"soap"}
    assert not found.faults
    assert found.fed < nothing.fed  # soap kills aphids in nature too
    assert found.visits == nothing.visits
    gaps = [
        (later - earlier).days
        for days in season.sprayed.values()
        for earlier, later in pairwise(days)
    ]
    if isinstance(policy, RuleOfThumb):
        assert gaps
        assert min(gaps) >= EVERY_DAYS


def test_what_the_plan_asks_is_done_and_logged(tmp_path: Path) -> None:
    """One evening with the plan: its treatments are the entries, and nature has fewer aphids."""
    one = replace(DAYS, treats=date(YEAR, 7, 8), stops=date(YEAR, 7, 12), ends=date(YEAR, 7, 14))
    without = played(tmp_path / "without", Nothing(), one)
    found = played(tmp_path / "with", FollowsPlan(), one)
    assert found.sprays + found.handwork == len(treatments(tmp_path / "with")) > 0
    assert not found.faults
    assert found.fed < without.fed


def test_the_audit_of_the_trial_finds_a_spray_at_noon(tmp_path: Path) -> None:
    facts = opened(tmp_path).seam.facts(date(YEAR, 7, 13))
    ruled = rule_on(facts, "soap", ["p0", "p1"])
    assert len(ruled.tasks) == 2
    assert not faults_of(facts, ruled.tasks)
    first = ruled.tasks[0]
    assert first.starts is not None
    assert first.ends is not None
    noon = replace(first, starts=first.starts.replace(hour=12), ends=first.ends.replace(hour=12))
    assert faults_of(facts, [noon])


def test_a_day_without_a_visit_has_no_treatment(tmp_path: Path) -> None:
    facts = opened(tmp_path).seam.facts(date(YEAR, 7, 14))
    with pytest.raises(InputError, match="no visit on that day"):
        rule_on(facts, "soap", ["p0"])


def test_the_planner_never_sees_the_days_to_come(tmp_path: Path) -> None:
    """The same plot with every later day of the weather file made ten degrees warmer, and wet."""
    day = date(YEAR, 7, 13)
    kept = opened(tmp_path / "kept").seam.facts(day)
    changed = []
    for line in (tmp_path / "kept" / RECORD).read_text("utf-8").splitlines():
        cells = line.split(",")
        if cells[0][:4].isdigit() and cells[0] > day.isoformat():
            low, high = (f"{float(c) + 10:g}" if c else c for c in cells[1:3])
            cells = [cells[0], low, high, "30", *cells[4:]]
        changed.append(",".join(cells))
    altered = tmp_path / "altered"
    altered.mkdir()
    (altered / RECORD).write_text("\n".join(changed) + "\n", "utf-8")
    text = (tmp_path / "kept" / "plot.toml").read_text("utf-8")
    at = datetime(YEAR, 6, 8, 12, 0, tzinfo=ZoneInfo(ZONE))
    facts = open_plot(altered, text, at, [altered / RECORD]).facts(day)
    for name in ("t_min", "t_max", "rain"):
        np.testing.assert_array_equal(getattr(facts, name), getattr(kept, name))
    assert facts.evenings == kept.evenings


def test_the_example_of_the_documents_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (ROOT / "docs" / "outside-worlds.md").read_text("utf-8")
    found = re.search(r"<!-- checked: outside world -->\n```python\n(.*?)```", text, re.DOTALL)
    assert found
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    exec(compile(found[1], "outside-worlds.md", "exec"), names)
    said = capsys.readouterr().out
    assert "treat cucumbers " in said
    assert treatments(tmp_path / "world")


def test_intervals_hold_the_mean_of_even_seasons() -> None:
    rng = np.random.default_rng(1)
    mean, low, high = interval(np.arange(9.0), rng)
    assert mean == 4.0
    # closed form: the bootstrap's spread is the sample's over the root of the number
    wanted = 1.96 * np.arange(9.0).std() / 3
    assert abs((high - low) / 2 - wanted) < 0.15
    assert interval(np.full(5, 2.0), rng) == (2.0, 2.0, 2.0)
