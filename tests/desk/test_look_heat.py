"""Heat on flowers, as the plot's own weather has it, is a cause of none setting, rain or no rain.

The days too hot are counted here by hand from the list of highs, with the limits of the table's
sources: 35 C for tomatoes, 32 C for peppers.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk.look import Looked, look
from lattermath.desk.look_words import told
from lattermath.desk.start import start
from lattermath.desk.take_weather import take

DAY = date(2024, 8, 4)
HEAD = """
format = 1
[place]
name = "Green Lane"
latitude = 40.5
longitude = -100.6
time_zone = "America/Denver"
usual_first_frost = "10-05"
region = "north_america"
"""
HOT = [36, 37, 36, 30, 37, 36, 29, 30, 31, 30]  # five of the last nine are 35 C or more
MILD = [29, 30, 31, 30, 29, 28, 29, 30, 31, 30]
RAIN, DRY = [9, 0, 0, 12, 0, 0, 0, 4, 0, 0], [0] * 10
SEEN = ("flowers drop, no fruit set",)


def looked(folder: Path, crop: str, highs: list[int], rain: list[int], low: int = 15) -> Looked:
    planting = f'[[planting]]\nname = "Plants"\ncrop = "{crop}"\nplants = 6\nset_out = 2024-06-01\n'
    week = f"[[week]]\nfirst = 2024-07-26\nhighs_c = {highs}\nlows_c = {[low] * 10}\n"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "plot.toml").write_text(f"{HEAD}{planting}{week}rain_mm = {rain}\n", "utf-8")
    start(folder, datetime(2024, 8, 4, 18, tzinfo=ZoneInfo("America/Denver")))
    return look(folder, "Plants", SEEN, (), DAY)


def heat(one: Looked) -> float:
    return one.found.told.probabilities["heat_no_set"]


def test_hot_days_make_heat_the_cause_although_it_rained(tmp_path: Path) -> None:
    wet = looked(tmp_path / "wet", "cordon tomato", HOT, RAIN)
    mild = looked(tmp_path / "mild", "cordon tomato", MILD, RAIN)
    assert next(iter(wet.found.told.probabilities)) == "heat_no_set"
    assert heat(wet) > 3 * heat(mild)
    assert "hot_dry_spell" not in {*wet.known.absent, *wet.known.present}
    assert "  5 of the last 9 days too hot for flowers to set." in told(wet)
    open_ = {one.look.sign.id for one in wet.found.verdict.looks}
    assert not open_ & {"night_temp_record", "hot_dry_spell"}


def test_a_dry_hot_spell_is_not_counted_a_second_time(tmp_path: Path) -> None:
    dry = looked(tmp_path, "cordon tomato", HOT, DRY)
    assert "hot_dry_spell" in dry.known.present and dry.known.factors["heat_no_set"] == 1.0


def test_each_hot_day_tells_a_little_more(tmp_path: Path) -> None:
    """One day more took heat from nothing to four in five, and three more changed nothing."""
    chances, says = [], []
    for days in range(6):
        highs = [30 + n % 2 for n in range(9 - days)] + [36 + n % 2 for n in range(days)] + [30]
        one = looked(tmp_path / str(days), "cordon tomato", highs, RAIN)
        chances.append(heat(one))
        says.append(" ".join(one.known.says))
    steps = [after - before for before, after in pairwise(chances)]
    assert all(step > 0 for step in steps[:4]) and max(steps) < 0.3, chances
    assert chances[2] < 0.6 < chances[4], chances
    assert "Not hot: none of the last 9 days too hot" in says[0]
    for days in (1, 2, 3):
        assert (
            f"Only {days} of the last 9 days too hot" in says[days] and "Not hot" not in says[days]
        )
    assert "5 of the last 9 days too hot for flowers to set." in says[5]


def test_the_limit_is_that_of_the_crop(tmp_path: Path) -> None:
    """At 33 C tomatoes still set and peppers do not."""
    warm = [33] * 10
    tomato, pepper = (
        looked(tmp_path / crop, crop, warm, RAIN) for crop in ("cordon tomato", "sweet pepper")
    )
    assert tomato.known.factors["heat_no_set"] < 1 < pepper.known.factors["heat_no_set"]


def test_cold_nights_are_said_and_where_no_limit_is_known_nothing_is(tmp_path: Path) -> None:
    cold = looked(tmp_path / "cold", "cordon tomato", MILD, RAIN, low=10)
    assert any("9 of the last 9 nights below 12.5 C" in says for says in cold.known.says)
    courgettes = looked(tmp_path / "c", "courgette", HOT, RAIN)
    assert "heat_no_set" not in courgettes.known.factors


def taken_in(folder: Path, highs: list[int], first: date, on: date) -> Looked:
    """A look at peppers where the weather is a diary file, taken in on 1 September.

    Every other day is a degree warmer than told: a meter that never moves is taken for stuck.
    """
    folder.mkdir(parents=True, exist_ok=True)
    days = (
        f"{first + timedelta(days=n)},{15 + n % 3},{high + n % 2},0" for n, high in enumerate(highs)
    )
    diary = "\n".join(("date,tmin_c,tmax_c,rain_mm", *days))
    (folder / "w.csv").write_text(f"{diary}\n", "utf-8")
    planting = '[[planting]]\nname = "Plants"\ncrop = "sweet pepper"\nplants = 6\n'
    text = f"{HEAD}{planting}set_out = 2024-06-01\n"
    (folder / "plot.toml").write_text(text, "utf-8")
    at = datetime(2024, 9, 1, 18, tzinfo=ZoneInfo("America/Denver"))
    start(folder, at)
    take(folder, folder / "w.csv", at=at)
    return look(folder, "Plants", SEEN, (), on)


def test_a_file_taken_in_later_tells_of_its_days_and_of_none_after_the_look(tmp_path: Path) -> None:
    """Cool until 3 August and hot from the day of the look on; and hot before with cool after."""
    first = date(2024, 7, 20)
    cool, hot = [25] * 15, [38] * 15
    before = taken_in(tmp_path / "cool", cool + hot, first, DAY)
    assert "Not hot: none of the last 9 days too hot for flowers to set." in before.known.says
    after = taken_in(tmp_path / "hot", hot + cool, first, DAY)
    assert "9 of the last 9 days too hot for flowers to set." in after.known.says


def test_days_not_measured_yet_leave_the_others_to_tell(tmp_path: Path) -> None:
    """Asked two days after the last day of the file: eight of the nine days are known."""
    first = date(2024, 7, 20)
    mild = taken_in(tmp_path / "mild", [25] * 14, first, DAY)
    assert mild.known.factors["heat_no_set"] < 1
    assert any("none of the last 9 days (8 measured)" in says for says in mild.known.says)
    hot = taken_in(tmp_path / "hot", [25] * 6 + [38] * 8, first, DAY)
    assert any("8 of the last 9 days (8 measured)" in says for says in hot.known.says)
    old = taken_in(tmp_path / "old", [25] * 12, first, DAY)  # six of nine
    assert "heat_no_set" not in old.known.factors
