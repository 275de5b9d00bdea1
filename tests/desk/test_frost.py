"""A frost to come leads the sheet; what a past one killed is no more worked at."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from lattermath.desk.log_visit import log
from lattermath.desk.plan_visit import plan
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.what_if import what_if
from lattermath.doors.supposed import supposition
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Sighting

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
name = "Hollow"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-05"

[[planting]]
name = "Courgettes"
crop = "courgette"
plants = 3
set_out = 2016-06-01

[[week]]
first = 2016-09-18
highs_c = [18, 17, 15]
lows_c = [8, 6, 5]
"""
TODAY = date(2016, 9, 21)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path, datetime.fromisoformat("2016-09-18T12:00:00+00:00"))
    return tmp_path


def lows(folder: Path, first: date, lows_c: list[float], *, forecast: bool) -> None:
    rows = [f"{first + timedelta(days=n)},{low},{low + 9},0" for n, low in enumerate(lows_c)]
    file = folder / f"weather-{first}.csv"
    file.write_text("\n".join(["date,tmin_c,tmax_c,rain_mm", *rows]), "utf-8")
    at = datetime.fromisoformat(f"{TODAY}T12:00:00+00:00")
    take(folder, file, forecast=forecast, at=at)


def test_a_forecast_frost_leads_the_sheet(folder: Path) -> None:
    lows(folder, TODAY, [4, -3, -4, 0], forecast=True)
    visit = plan(folder, TODAY).visits[0]
    assert visit.warning.startswith("FROST LIKELY by the morning of Thu 22 Sep")
    assert "cover" not in visit.warning + visit.short_of_time  # nothing is on hand, nothing bears


def test_a_clear_night_just_above_freezing_at_the_screen_freezes_the_ground(folder: Path) -> None:
    """1 C at 1.5 m after a day nine degrees warmer: leaves fall to about -0.2 C."""
    lows(folder, TODAY, [4, 1, 1, 4], forecast=True)
    assert "at the ground" in plan(folder, TODAY).visits[0].warning


def test_what_the_night_is_likely_to_kill_is_not_tended_and_no_fleece_is_promised(
    folder: Path,
) -> None:
    """-3 C at the screen, nine degrees below the day: courgettes (0 C) die under cloth too."""
    toml = folder / "plot.toml"
    fleece = '[means]\non_hand = ["fleece"]\n\n[[planting]]\nbearing_since = 2016-07-10'
    toml.write_text(toml.read_text("utf-8").replace("[[planting]]", fleece, 1), "utf-8")
    calm = plan(folder, TODAY)
    tended = [t for t in calm.visits[0].tasks if t.part == "care"]
    assert any("courgettes" in t.says.lower() for t in tended)
    lows(folder, TODAY, [4, -3, -4, 0], forecast=True)
    made = plan(folder, TODAY)
    cares = [t for visit in made.visits for t in visit.tasks if t.part == "care"]
    assert not [t for t in cares if "courgettes" in t.says.lower()]
    assert "A cover will not save courgettes" in [bar.what for bar in made.visits[0].not_today]
    assert not [one for one in made.verdicts if "fleece" in one.says]


@pytest.mark.parametrize("frosty", [False, True])
def test_what_dies_that_night_gets_no_water_and_is_not_counted_and_that_is_said(
    folder: Path, frosty: bool
) -> None:
    """Aphids of nine days ago and leaves that hang: both are work on any other evening."""
    seen = Sighting("courgettes", "melon_aphid", "count", looked_at=5, total=500)
    log(folder, seen, datetime(2016, 9, 18, 18, 0))
    hangs = "[water]\ncans_a_visit = 20\n\n[[planting]]\nwilted = true\nbearing_since = 2016-08-20"
    toml = PLOT.replace("[[planting]]", hangs, 1).replace('"10-05"', '"11-20"')
    toml = toml.replace("[18, 17, 15]", "[24, 23, 24]").replace("[8, 6, 5]", "[14, 13, 14]")
    (folder / "plot.toml").write_text(toml, "utf-8")
    lows(folder, TODAY, [14] * 6 + [-3 if frosty else 14] * 4, forecast=True)
    visit = plan(folder, TODAY + timedelta(days=5)).visits[0]
    kinds = {t.kind for t in visit.tasks if t.kind in ("look", "water", "treat")}
    said = [b for b in visit.not_today if "No water" in b.what]
    if not frosty:
        assert kinds == {"look", "water", "treat"} and not said
        return
    assert not kinds
    assert "courgettes" in said[0].what and "Tue 27 Sep" in said[0].because[0].says


@pytest.mark.parametrize(("set_out", "comes_in"), [("2016-06-01", True), ("2016-08-05", False)])
def test_squash_that_is_nearly_ripe_is_brought_in_and_small_fruit_is_not(
    folder: Path, set_out: str, comes_in: bool
) -> None:
    """By its packet ripe 75 days after setting out: 112 days ago, or 47, in which none is grown."""
    toml = PLOT.replace('crop = "courgette"', 'crop = "winter squash"\ndays_to_maturity = 75')
    toml = toml.replace("[18, 17, 15]", "[24, 23, 24]").replace("[8, 6, 5]", "[14, 13, 14]")
    (folder / "plot.toml").write_text(toml.replace("2016-06-01", set_out), "utf-8")
    lows(folder, TODAY, [9, -3, -4, 0], forecast=True)
    picks = [t for t in plan(folder, TODAY).visits[0].tasks if t.kind == "pick"]
    assert bool(picks) is comes_in
    assert all("with its stalk" in t.says for t in picks)


def test_no_frost_no_alarm(folder: Path) -> None:
    lows(folder, TODAY, [9, 10, 11, 10, 9], forecast=True)
    assert plan(folder, TODAY).visits[0].warning == ""


def test_what_frost_has_killed_is_not_tended(folder: Path) -> None:
    lows(folder, TODAY, [1, -5, -2, 1], forecast=False)
    after = plan(folder, TODAY + timedelta(days=5))
    assert not [t for visit in after.visits for t in visit.tasks if t.planting == "courgettes"]
    (words,) = [words for words in after.rough if "killed Courgettes" in words]
    assert "did the frost" not in words  # the screen itself was cold enough


def around_half_a_degree_over_what_kills(folder: Path, rose_c: float) -> None:
    """Four nights at 6 C but one, half a degree above what kills courgettes at the leaf."""
    kill_c = load_tables().crops["summer_squash"].frost_kill_c.value
    night = [f"{TODAY + timedelta(days=n)},6,15,0" for n in range(4)]
    night[2] = f"{TODAY + timedelta(days=2)},{kill_c + 0.5},{kill_c + 0.5 + rose_c},0"
    file = folder / "nights.csv"
    file.write_text("\n".join(["date,tmin_c,tmax_c,rain_mm", *night]), "utf-8")
    take(folder, file, forecast=False, at=datetime.fromisoformat(f"{TODAY}T12:00:00+00:00"))


def test_what_a_clear_night_killed_does_not_stand_again_and_it_is_asked(folder: Path) -> None:
    """A day 12 degrees warmer: leaves fall two degrees below the screen, to 1.5 below what kills.

    A day after it the plants are taken for dead, as the futures of the evening before have it, and
    the sheet asks whether they are.
    """
    around_half_a_degree_over_what_kills(folder, 12.0)
    after = plan(folder, TODAY + timedelta(days=4))
    assert not [t for visit in after.visits for t in visit.tasks if t.planting == "courgettes"]
    (words,) = [words for words in after.rough if "killed Courgettes" in words]
    assert "Frost since 23 Sep" in words and "did the frost take them?" in words


def test_a_cloudy_night_as_cold_at_the_screen_kills_nothing(folder: Path) -> None:
    around_half_a_degree_over_what_kills(folder, 4.0)
    after = plan(folder, TODAY + timedelta(days=4))
    assert not any("killed" in words for words in after.rough)


def test_what_was_seen_alive_since_still_stands(folder: Path) -> None:
    """The night to the 26th nobody measured: the range that fills it says nothing of its sky."""
    lows(folder, TODAY, [1, -5, -2, 1], forecast=False)
    seen = Sighting("courgettes", "whitefly", "count", looked_at=5, total=0)
    log(folder, seen, datetime(2016, 9, 25, 18, 0))
    after = plan(folder, TODAY + timedelta(days=5))
    assert not any("killed" in words for words in after.rough)


WEEKLY = PLOT.replace(
    "[[planting]]", '[visiting]\ndays = ["wed"]\n\n[[planting]]\nbearing_since = 2016-07-10', 1
)


@pytest.fixture
def weekly(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(WEEKLY, "utf-8")
    start(tmp_path, datetime.fromisoformat("2016-09-18T12:00:00+00:00"))
    return tmp_path


def test_a_forecast_frost_makes_a_visit_of_its_own(weekly: Path) -> None:
    """Visits are on Wednesdays; the frost is forecast for the morning of Sunday 25 September."""
    lows(weekly, TODAY, [9, 9, 8, 8, -2, 3, 6], forecast=True)
    made = plan(weekly, TODAY + timedelta(days=1))
    visit = made.visits[0]
    assert visit.date == date(2016, 9, 24)
    assert visit.warning.startswith("FROST LIKELY by the morning of Sun 25 Sep")
    kinds = [task.kind for task in visit.tasks if task.planting == "courgettes" and task.must]
    assert kinds[0] == "pick"
    assert all(day.date.weekday() == 2 for day in made.visits[1:])


def test_a_visit_the_evening_before_is_frost_visit_enough(weekly: Path) -> None:
    lows(weekly, TODAY, [9, -2, 3, 6], forecast=True)
    made = plan(weekly, TODAY)  # a Wednesday; the frost comes on Thursday morning
    assert [visit.date for visit in made.visits] == [TODAY, TODAY + timedelta(days=7)]
    assert [t for t in made.visits[0].tasks if t.kind in ("pick", "cover") and t.must]


def test_no_visit_is_made_for_a_frost_that_is_only_usual(weekly: Path) -> None:
    lows(weekly, TODAY, [9, 9, 8, 8], forecast=True)
    made = plan(weekly, TODAY + timedelta(days=1))
    assert all(visit.date.weekday() == 2 for visit in made.visits)


def test_what_if_keeps_the_frosts_own_visit_and_moves_it_with_the_frost(weekly: Path) -> None:
    lows(weekly, TODAY, [9, 9, 8, 8, -2, 3, 6], forecast=True)
    on = TODAY + timedelta(days=1)
    same = what_if(weekly, supposition(minutes=75), on)  # as it is anyway
    assert not same.tasks and {one.difference.high for one in same.work} == {0}
    later = what_if(weekly, supposition(frost_days=2), on)
    assert [one for one in later.tasks if one.was == date(2016, 9, 24)]
