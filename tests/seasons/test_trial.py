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

from lattermath.desk.outside_treating import faults_of, rule_on
from lattermath.desk.outside_world import OutsidePlot, open_plot
from lattermath.desk.season_play import setting_dice
from lattermath.desk.season_setting import RECORD, ZONE, set_up
from lattermath.desk.season_trial import Calendar, Outcome, Policy, play
from lattermath.desk.trial_plot import Grown, Lot, TrialPlot, open_trial, shelf
from lattermath.desk.trial_policies import (
    EVERY_DAYS,
    FollowsPlan,
    Holder,
    Nothing,
    RuleOfThumb,
    Threshold,
)
from lattermath.desk.trial_report import interval, lines_of, report_of
from lattermath.desk.trial_season import Season, open_season
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Pulling, SettingOut, Sowing, Treatment

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
    found = interval(np.arange(9.0))
    assert found.mean == 4.0
    # closed form: the bootstrap's spread is the sample's over the root of the number
    wanted = 1.96 * np.arange(9.0).std() / 3
    assert abs((found.high - found.low) / 2 - wanted) < 0.15
    same = interval([2.0] * 5)
    assert (same.mean, same.low, same.high) == (2.0, 2.0, 2.0)


SMALL = TrialPlot(
    (Grown("cucumber_slicing", 3, "set_out", (5, 14)), Grown(length_m=1.5)),
    (Lot("summer_squash", 4, (6, 20)), Lot("cucumber_slicing", 5, (6, 22))),
    APHIDS,
)


def ground_events(folder: Path) -> list[Pulling | SettingOut | Sowing]:
    with open_journal(folder_at(folder)) as journal:
        payloads = [event.payload for event in journal.events()]
    return [one for one in payloads if isinstance(one, Pulling | SettingOut | Sowing)]


def stands_alike(season: Season, day: date) -> None:
    """What the record says of the ground is what stands in nature."""
    told = {p.key: (p.crop, p.bed) for p in season.seam.facts(day).plot.standing()}
    assert told == {p.key: (p.crop, p.bed) for p in season.standing()}


@pytest.mark.parametrize("policy", [RuleOfThumb("soap"), Holder("soap")], ids=lambda p: p.name)
def test_worn_plants_go_and_the_bare_bed_is_filled(tmp_path: Path, policy: Policy) -> None:
    season = open_trial(OutsidePlot(tmp_path), YEAR, SEED, SMALL)
    assert season.nature.today == date(YEAR, 7, 8)
    assert [lot.key for lot in season.setting.plot.lots] == []  # written down after nature lived
    days = replace(DAYS, looks=date(YEAR, 7, 8), treats=date(YEAR, 7, 8), stops=date(YEAR, 8, 6))
    found = play(season, policy, days, SEED)
    done = ground_events(tmp_path)
    assert found.changes == len(done)
    assert "p0" in {one.planting for one in done if isinstance(one, Pulling)}
    assert {"b0", "b1"} <= {one.bed for one in done if isinstance(one, SettingOut | Sowing)}
    stands_alike(season, season.today)
    lots = {lot.key: lot.plants for lot in season.seam.plot.lots}
    assert lots == {key: one.plants for key, one in season.nature.cups.items() if one.plants}


def test_the_plan_changes_ground_as_it_says_and_knows_it(tmp_path: Path) -> None:
    season = open_trial(OutsidePlot(tmp_path), YEAR, SEED, SMALL)
    one = replace(
        DAYS, looks=date(YEAR, 7, 8), treats=date(YEAR, 7, 8),
        stops=date(YEAR, 7, 14), ends=date(YEAR, 7, 15),
    )  # fmt: skip
    found = play(season, FollowsPlan(), one, SEED)
    assert found.changes == len(ground_events(tmp_path)) > 0
    assert found.left == 0
    stands_alike(season, season.today)
    assert "b1" in {p.bed for p in season.standing()}  # a ready lot beside a bare bed


def test_the_report_says_where_the_plan_loses() -> None:
    def one(policy: str, seed: int, used: float, sprays: int) -> Outcome:
        return Outcome(policy, 2000 + seed, seed, 9, used, 0, sprays, 0, 1, 0, 0, 0, 0, (), used)

    rows = [one("nothing", n, 5, 0) for n in range(3)]
    rows += [one("thumb", n, 6, 4) for n in range(3)]
    rows += [one("the plan", 0, 9, 1), one("the plan", 1, 4, 1)]  # the third was broken off
    found = report_of(rows, interrupted=True)
    assert found.seasons == 2
    assert found.beside[1].sprays == 0.25
    assert found.beside[1].used.mean == 0.5
    assert found.beside[0].less_in == found.beside[1].less_in == (2001,)
    assert "beside thumb: less used in 1 of 2 seasons (2001)" in found.loses
    assert found.loses in list(lines_of(found))
