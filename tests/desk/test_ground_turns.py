"""What would leave bare ground bare, beside the ground weighed anew with that changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from lattermath.desk.crop_season import believe_crops, believe_lots, growing_season
from lattermath.desk.demo import Shown
from lattermath.desk.ground_turns import _moved, crops_with_turns
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_crops import CropPlans, decide_crops
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.verdict_turns import MovedFrosts
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.bare_ground import Filling, fill, pays
from lattermath.vocabulary.plan import Turn

SATURDAY = date(2011, 7, 30)
BED = '\n[[bed]]\nkey = "empty"\nname = "the empty bed"\nx_m = 30.0\ny_m = 30.0\n' \
      "length_m = 3.0\nwidth_m = 1.2\n"  # fmt: skip


@pytest.fixture(scope="module")
def facts(
    make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory
) -> SeasonFacts:
    folder = make_demo(Path(tmp_path_factory.mktemp("shown")) / "plot").folder
    with (folder / "plot.toml").open("a") as file:
        file.write(BED)
    with open_journal(folder_at(folder)) as journal:
        return facts_of(folder_at(folder), journal, SATURDAY, None)


@pytest.fixture(scope="module")
def plans(facts: SeasonFacts) -> CropPlans:
    season = growing_season(facts)
    beliefs = believe_crops(facts, season)
    permits = permits_of(facts, beliefs)
    crops = decide_crops(facts, season, beliefs, believe_lots(facts, season), {}, permits)
    assert "empty" in crops.fillings
    return crops


def turn(filling: Filling, name: str) -> Turn:
    return next(one for one in filling.verdict.turns if one.input == name)


def at_price(filling: Filling, price: float) -> Filling | None:
    """The same ground weighed anew with an hour worth so much."""
    assert filling.asked is not None
    choices, table = filling.asked
    return fill(choices, replace(table, household=replace(table.household, worth_of_hour=price)))


def test_it_is_left_bare_from_the_price_told(facts: SeasonFacts, plans: CropPlans) -> None:
    """Where four times the price leaves it filled, the dearest price tried shows that."""
    dear = 1.0
    while (held := at_price(plans.fillings["empty"], dear)) is not None and dear < 1000:
        filling, dear = held, 2 * dear  # the dearest power of two at which it still is filled
    crops = replace(plans, decisions={}, fillings={"empty": filling})
    told = crops_with_turns(facts, plans.season, crops).fillings["empty"]
    hour = turn(told, "price of an hour")
    assert hour.at is not None and hour.turns_to == "leaving it bare"
    assert dear / 2 == hour.now < hour.at <= dear
    assert at_price(told, 0.98 * hour.at) is not None
    assert at_price(told, 1.02 * hour.at) is None
    assert any("leaving it bare" in reason.says for reason in told.verdict.because)


def test_the_frost_that_leaves_it_bare_is_the_nearest(facts: SeasonFacts, plans: CropPlans) -> None:
    told = crops_with_turns(facts, plans.season, replace(plans, decisions={})).fillings["empty"]
    frost = turn(told, "first frost")
    assert told.asked is not None
    choices, table = told.asked
    frosts = MovedFrosts(facts, plans.season)
    days = -28 if frost.at is None else round(frost.at - frost.now)
    assert pays(_moved(choices, frosts.by(days)), table) is (frost.at is None)
    nearer = days + (1 if days < 0 else -1)
    assert nearer == 0 or pays(_moved(choices, frosts.by(nearer)), table)
    assert timedelta(days=abs(days)) <= timedelta(days=28)
