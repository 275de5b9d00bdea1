"""Cups that two beds want: given so that both beds together give most, and told so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.seasons.champion import opened

from lattermath.desk import lots_between_beds
from lattermath.desk.crop_season import believe_crops, believe_lots, growing_season
from lattermath.desk.lots_between_beds import decide_with_exchange
from lattermath.desk.permits import permits_of
from lattermath.desk.plan_crops import CropPlans, decide_crops
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.planning.fates import FateOutlook
from lattermath.planning.lot_exchange import same_way
from lattermath.planning.worth import Weeks, cost, eaten

pytestmark = pytest.mark.usefixtures("few_draws")

ON = date(2011, 7, 26)
PLOT = """
format = 1
season = 2011
[place]
name = "Nowhere Lane"
latitude = 40.4
longitude = -101.73
time_zone = "America/Denver"
usual_first_frost = "10-08"
[water]
hose = true
[household]
people = 3
[[bed]]
name = "A"
x_m = 0
y_m = 0
length_m = 3.0
width_m = 1.2
[[bed]]
name = "B"
x_m = 0
y_m = 1.6
length_m = 3.0
width_m = 1.2
[[bed]]
name = "C"
x_m = 0
y_m = 3.2
length_m = 2.0
width_m = 1.2
[[planting]]
name = "Row 1"
crop = "cucumber"
plants = 2
bed = "A"
set_out = 2011-05-20
vigour = "failing"
[[planting]]
name = "Row 2"
crop = "courgette"
plants = 6
bed = "B"
set_out = 2011-05-20
vigour = "failing"
[[lot]]
name = "Young cucumbers"
crop = "cucumber"
plants = 6
sown = 2011-07-01
cup_ml = 300
[[lot]]
name = "Young courgettes"
crop = "courgette"
plants = 4
sown = 2011-07-08
cup_ml = 300
"""


class Plot:
    def __init__(self, folder: Path) -> None:
        opened(folder, PLOT, datetime(2011, 7, 20, 12, 0))
        with open_journal(folder_at(folder)) as journal:
            self.facts = facts_of(folder_at(folder), journal, ON, None)
        season = growing_season(self.facts)
        beliefs = believe_crops(self.facts, season)
        lots = believe_lots(self.facts, season)
        self.known = self.facts, season, beliefs, lots, {}, permits_of(self.facts, beliefs)
        self.in_turn = decide_crops(*self.known)
        self.together = decide_with_exchange(*self.known)

    def worth(self, crops: CropPlans) -> float:
        """Portions eaten of all ground together, less work and water, by its parts."""
        weather, home = crops.season.weather, self.facts.plot.household
        weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
        told = outlooks(crops).values()
        parts = [part for one in told for part in one.parts]
        spent = sum(cost(home, one.minutes, one.litres, one.treatments) for one in told)
        return float(eaten(parts, {}, home, weeks).mean()) - spent


def outlooks(crops: CropPlans) -> dict[str, FateOutlook]:
    found = {bed: one.chosen for bed, one in crops.fillings.items()}
    return found | {key: one.chosen for key, one in crops.decisions.items()}


@pytest.fixture(scope="module")
def plot(tmp_path_factory: pytest.TempPathFactory) -> Plot:
    return Plot(Path(tmp_path_factory.mktemp("lots")) / "plot")


def test_all_ground_together_gives_more_than_when_each_takes_its_own(plot: Plot) -> None:
    """Reckoned anew from the kilograms: this fails where nothing is exchanged."""
    assert plot.worth(plot.together) > plot.worth(plot.in_turn) + 1.0


def test_it_is_the_exchange_that_does_it(plot: Plot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        lots_between_beds, "exchanged", lambda asked: {s.key: s.now for s in asked.sites}
    )
    again = outlooks(decide_with_exchange(*plot.known))
    was = outlooks(plot.in_turn)
    assert all(same_way(again[key], was[key]) for key in was)


def test_no_cup_is_given_twice(plot: Plot) -> None:
    for lot in plot.facts.plot.lots:
        taken = sum(o.plants for o in outlooks(plot.together).values() if o.lot == lot.key)
        assert taken <= lot.plants


def test_what_is_given_otherwise_says_so_and_stays_decided(plot: Plot) -> None:
    was, now = outlooks(plot.in_turn), outlooks(plot.together)
    verdicts = {key: one.verdict for key, one in plot.together.decisions.items()}
    verdicts |= {bed: one.verdict for bed, one in plot.together.fillings.items()}
    moved = [key for key in now if key not in was or not same_way(was[key], now[key])]
    assert moved
    for key in moved:
        told = any("shared out" in reason.says for reason in verdicts[key].because)
        assert told is (now[key].lot is not None)
    assert {o.planting for o in verdicts.values()} <= {*plot.together.decisions, "a", "b", "c"}


def test_one_bed_alone_is_decided_as_before(plot: Plot) -> None:
    """Where nobody else wants the cups, nothing is asked again."""
    facts, season, beliefs, lots, _, permits = plot.known
    only = {key: one for key, one in beliefs.items() if key == "row-2"}
    alone = replace(facts, plot=replace(facts.plot, beds=facts.plot.beds[1:2]))
    one = decide_crops(alone, season, only, lots, {}, permits)
    other = decide_with_exchange(alone, season, only, lots, {}, permits)
    assert one.decisions["row-2"].verdict == other.decisions["row-2"].verdict
