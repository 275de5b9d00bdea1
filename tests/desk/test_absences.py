"""An absence takes its visits, bars what it would leave dry, and its loss is told."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from tests.desk.hollow_plot import HOLLOW, begun

from lattermath.desk.plan_visit import plan
from lattermath.doors.command import run
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.plan import Plan

pytestmark = pytest.mark.usefixtures("few_draws")

SOUTH = """latitude = 44.0
longitude = 2.0
time_zone = "Europe/Paris"
usual_first_frost = "10-25\""""
CUPS = """[[lot]]
name = "Young cucumbers"
crop = "cucumber"
plants = 6
sown = 2016-07-11
cup_ml = 200"""
HOT = """highs_c = [29, 30, 31, 29, 28, 30, 29]
lows_c = [16, 17, 18, 17, 16, 17, 17]"""
TUESDAY = date(2016, 8, 2)
AWAY = "away = [[2016-08-05, 2016-08-19]]"


def planned(folder: Path, away: str) -> Plan:
    visiting = f'days = ["tue", "thu", "sat"]\nminutes = 120\n{away}'
    told = HOLLOW.format(place=SOUTH, visiting=visiting, courgettes=4, more=CUPS, week=HOT)
    return plan(begun(folder, told), TUESDAY)


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Plan, Plan]:
    root = tmp_path_factory.mktemp("away")
    return root, planned(root / "home", ""), planned(root / "away", AWAY)


def set_out(made: Plan) -> list[str]:
    return [t.says for visit in made.visits for t in visit.tasks if t.kind in ("set out", "sow")]


def test_the_visits_it_takes_are_told_and_no_step_falls_in_it(
    both: tuple[Path, Plan, Plan],
) -> None:
    _, home, away = both
    assert home.away == ()
    [told] = away.away
    assert [day.day for day in told.missed] == [6, 9, 11, 13, 16, 18]
    first, last = date(2016, 8, 5), date(2016, 8, 19)
    assert not [v for v in away.visits if first <= v.date <= last]
    steps = [step.day for population in away.populations for step in population.course]
    assert not [day for day in steps if first <= day <= last]


def test_nothing_is_set_out_that_nobody_waters(both: tuple[Path, Plan, Plan]) -> None:
    _, home, away = both
    assert [says for says in set_out(home) if "cucumbers" in says]
    assert not set_out(away)
    # Visits are on Tuesdays, Thursdays and Saturdays.
    dry = "between Thu 4 Aug and Sat 20 Aug nobody would water it"
    assert f"nothing is set out or sown: {dry}" in away.away[0].says


def test_its_loss_is_what_staying_would_have_brought(both: tuple[Path, Plan, Plan]) -> None:
    """Courgettes pass size within days: a fortnight unpicked costs some kilograms, never more than
    a fortnight's crop of the outlook (by week, at its high end)."""
    _, home, away = both
    [told] = away.away
    assert 0 < told.loss.low <= told.loss.median <= told.loss.high
    [courgettes] = [one for one in home.outlook if one.planting == "courgettes"]
    most = sum(week.high for week in courgettes.with_plan)
    assert told.loss.high < most
    words = " ".join(text_sheet(away, away.plot).split())
    assert "You are away Fri 5 Aug to Fri 19 Aug, which takes 6 visits" in words
    assert "kg less" in words and "Somebody must water the cups" in words


def test_the_helpers_card_names_the_days(
    both: tuple[Path, Plan, Plan], capsys: pytest.CaptureFixture[str]
) -> None:
    root, _, _ = both
    for name, there in (("away", True), ("home", False)):
        file = root / f"{name}.html"
        asked = ["print", "helper", str(file), "--plot", str(root / name), "--on", str(TUESDAY)]
        assert run(asked) == 0
        capsys.readouterr()
        page = file.read_text("utf-8")
        assert ("Sat 6 Aug" in page and "Thu 18 Aug" in page) is there
        assert "Treat nothing" in page


def test_an_absence_that_takes_no_visit_is_not_told(tmp_path: Path) -> None:
    made = planned(tmp_path / "short", "away = [[2016-08-07, 2016-08-08]]")
    assert made.away == () and set_out(made)


def test_a_helper_is_told_cans_by_day_before_the_ground_is_dry(
    both: tuple[Path, Plan, Plan],
) -> None:
    """Held against the plan's own course of water, which is watered once and never again: the
    first round comes before it is dry; no round is more than the roots hold, and all of them no
    more than a crop can use (7 mm a day in the hottest week of such a summer) over those days."""
    _, home, away = both
    [told], [course] = away.away, away.water
    assert home.away == () and {one.day for one in told.water} <= set(told.missed)
    assert (
        course.dry_by.middle is not None and min(d.day for d in told.water) < course.dry_by.middle
    )
    most = max(course.full) * course.litres_a_mm
    assert all(0 < one.litres <= most + 5 and one.litres % 5 == 0 for one in told.water)
    days = (date(2016, 8, 20) - TUESDAY).days
    assert sum(one.litres for one in told.water) <= 7 * days * course.litres_a_mm


def test_of_two_absences_each_has_its_days_and_its_water(tmp_path: Path) -> None:
    """The helper of the second comes to ground that the helper of the first has watered."""
    spans = "away = [[2016-08-05, 2016-08-10], [2016-08-13, 2016-08-19]]"
    first, second = planned(tmp_path / "twice", spans).away
    for told in (first, second):
        assert told.water and {one.day for one in told.water} <= set(told.missed)
        assert told.can
    assert first.missed[-1] < second.missed[0]
