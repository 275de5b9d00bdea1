"""The account says what was written down, why, and which limits the record shows to be kept."""

from __future__ import annotations

import json
import shutil
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, datetime, timedelta
from importlib.resources import files
from pathlib import Path

import pytest

from lattermath.desk.demo import Shown
from lattermath.desk.log_done import log_done
from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.season_account import season_account
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.account import Account, Story
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import (
    Care,
    Payload,
    Picking,
    Sighting,
    Treatment,
    Withdrawal,
)
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

SATURDAY = datetime(2011, 7, 30, 20, 0)


@pytest.fixture(scope="module")
def told(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Plan]:
    shown = make_demo(tmp_path_factory.mktemp("account") / "plot")
    return shown.folder, shown.plan


@pytest.fixture
def plot(told: tuple[Path, Plan], tmp_path: Path) -> Path:
    return Path(shutil.copytree(told[0], tmp_path / "plot"))


Log = Callable[[Payload, datetime], int]


@pytest.fixture
def write(plot: Path) -> Iterator[Log]:
    yield lambda payload, at: log(plot, payload, at).serial


def story(made: Account, key: str) -> Story:
    return next(one for one in made.stories if one.key == key)


def limits(made: Account, key: str) -> list[tuple[str, str]]:
    acts = [act for act in story(made, key).acts if act.kind == "treated"]
    return [(limit.kept, limit.says) for limit in acts[-1].limits]


def test_every_standing_entry_of_an_own_planting_is_in_it_once(told: tuple[Path, Plan]) -> None:
    made = season_account(told[0])
    serials = [act.serial for one in made.stories for act in one.acts]
    written = tomllib.loads((files("lattermath.demo") / "story.toml").read_text("utf-8"))
    waterings = [one["litres"] for one in written["entry"] if one["kind"] == "watering"]
    rounds = [len(r["days"]) * sum(r["beds"].values()) for r in written["watering_round"]]
    assert len(serials) == len(set(serials)) == len(written["entry"]) - len(waterings)
    assert sum(one.litres for one in made.stories) == sum(waterings) + sum(rounds)
    assert [week.week.kg for week in made.weeks] == pytest.approx([3.3, 2.2, 0.8])


def test_nothing_of_holder_place_household_and_neighbour(plot: Path, write: Log) -> None:
    write(Sighting("next-door", "late blight", "first seen"), SATURDAY)
    text = json.dumps(season_account(plot), default=str)
    for word in ("next-door", "Next door", "late blight", "holder of", "Saltgrass", "40.4"):
        assert word not in text


def test_what_a_plan_says_of_the_neighbour_is_no_reason_for_others(
    plot: Path,
) -> None:
    """A plan that names next door's plants in what it believes; the rest of its reasons stay."""
    made = plan(plot, SATURDAY.date())
    task = next(t for t in made.visits[0].tasks if t.kind == "treat" and t.product == "soap")
    says = "Greenhouse whitefly: most on next door's tomatoes, about 50 a leaf. More"
    about = tuple(replace(one, says=says) for one in made.populations)
    other = replace(made, populations=about, as_of=made.as_of + timedelta(minutes=30))
    with open_journal(folder_at(plot)) as journal:
        journal.keep_plan("b" * 16, other.as_of, plan_json(other))
    log_done(plot, task.id, "as written", at=SATURDAY)
    spray = story(season_account(plot), "aubergines").acts[-1]
    assert spray.reason is not None and spray.reason.says
    assert not any("next door" in words for words in spray.reason.says)


def test_same_journal_same_account_and_another_entry_another_stamp(plot: Path, write: Log) -> None:
    before = season_account(plot)
    assert before == season_account(plot)
    write(Care("tomatoes", "hoe"), SATURDAY)
    after = season_account(plot)
    assert after.stamp != before.stamp and after.as_of.replace(tzinfo=None) == SATURDAY
    assert season_account(plot, date(2011, 7, 29)).stories == before.stories


def test_a_picking_before_its_hour_is_told_and_one_after_it_is_kept(plot: Path, write: Log) -> None:
    """Bean spray of 28 Jul 20:05, three days by its label: 31 Jul 20:05."""
    assert ("open", "wait before picking, 3 days by the label: open from Sun 31 Jul 20:05; not "
            "picked since") in limits(season_account(plot), "beans")  # fmt: skip
    late = write(Picking("beans", 0.4), datetime(2011, 7, 31, 20, 6))
    made = season_account(plot)
    assert limits(made, "beans")[0][0] == "kept" and not made.not_kept
    write(Picking("beans", 0.5), datetime(2011, 7, 31, 9, 0))
    made = season_account(plot)
    assert limits(made, "beans")[0][0] == "not kept"
    assert len(made.not_kept) == 1 and "picked before that, Sun 31 Jul 09:00" in made.not_kept[0]
    assert late in [act.serial for act in story(made, "beans").acts]


def test_too_soon_again_and_too_often_are_not_kept(plot: Path, write: Log) -> None:
    """Mildew salt: five days between two."""
    salt = Treatment(("melon",), "potassium_bicarbonate", "bicarbonate", litres=1.0)
    write(salt, datetime(2011, 7, 25, 20, 0))
    assert [says for kept, says in limits(season_account(plot), "melon") if kept == "not kept"] == [
        "used Thu 21 Jul; again after 5 days"
    ]


def test_the_reason_is_that_of_the_plan_kept_for_the_evening(plot: Path, write: Log) -> None:
    tasks = plan(plot, SATURDAY.date()).visits[0].tasks
    task = next(t for t in tasks if t.kind == "treat" and t.product == "soap")
    log_done(plot, task.id, "as written", at=SATURDAY)
    write(Care("melon", "mulch"), SATURDAY + timedelta(minutes=5))
    made = season_account(plot)
    spray = story(made, "aubergines").acts[-1]
    assert spray.reason is not None and spray.reason.asked
    assert spray.reason.says[0].startswith("Greenhouse whitefly: most on Aubergines")
    mulch = story(made, "melon").acts[-1]
    assert mulch.reason is not None and not mulch.reason.asked
    earlier = story(made, "melon").acts[1]
    assert earlier.kind == "treated" and earlier.reason is None, "no plan was kept for that day"


@pytest.mark.parametrize(("later", "fails"), [((190, 90, 160), True), ((3, 0, 1), False)])
def test_a_count_no_lower_after_a_treatment_is_found_not_to_work(
    plot: Path, write: Log, later: tuple[int, ...], fails: bool
) -> None:
    """106.4 a leaf on 28 Jul; the soap of Saturday; then 146.7 or 1.3 a leaf on Tuesday."""
    write(Treatment(("aubergines",), "soap", "soap", "whitefly", 1.0), SATURDAY)
    assert any("soap" in says for says in season_account(plot).uncounted)
    seen = Sighting("aubergines", "whitefly", "count", "nymph", looked_at=3, counts=later)
    write(seen, datetime(2011, 8, 2, 19, 0))
    made = season_account(plot)
    assert not any("soap" in says for says in made.uncounted)
    assert any("106 a leaf on Thu 28 Jul and 147" in says for says in made.failed) == fails


def test_what_was_taken_back_is_gone_from_it(plot: Path, write: Log) -> None:
    serial = write(Care("tomatoes", "hoe"), SATURDAY)
    log(plot, Withdrawal(), supersedes=str(serial))
    assert serial not in [a.serial for a in story(season_account(plot), "tomatoes").acts]


def test_a_day_before_everything_is_refused(plot: Path) -> None:
    with pytest.raises(InputError) as refused:
        season_account(plot, date(2011, 7, 1))
    assert refused.value.faults[0].remedy
