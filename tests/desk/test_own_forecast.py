"""Days typed in plot.toml before they came are the grower's own forecast."""

from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from lattermath.desk import clock
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.plan_visit import plan
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.start import start
from lattermath.desk.take_weather import take
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.record.journal import Journal
from lattermath.vocabulary.errors import WeatherFileError

pytestmark = pytest.mark.usefixtures("few_draws")

PLOT = """
format = 1

[place]
latitude = 52.2
longitude = 0.1
time_zone = "Europe/London"
usual_first_frost = "20 October"

[[planting]]
crop = "courgette"
set_out = 2026-05-15

[[week]]
first = 2026-07-17
highs_c = [22, 22, 22, 22, 22, 22, 22]
lows_c = [12, 12, 12, 12, 12, 12, 12]
rain_mm = [0, 0, 0, 0, 0, 0, 0]
"""
AHEAD = """
[[week]]
first = 2026-07-24
highs_c = [33, 33, 33, 33]
lows_c = [20, 20, 20, 20]
rain_mm = [0, 20, 20, 0]
"""
TODAY = date(2026, 7, 23)
NOW = datetime(2026, 7, 23, 9, 0, tzinfo=UTC)


def begun(folder: Path, text: str, monkeypatch: pytest.MonkeyPatch, now: datetime = NOW) -> Path:
    folder.mkdir(exist_ok=True)
    monkeypatch.setattr(clock, "now", lambda: now)
    (folder / "plot.toml").write_text(text, "utf-8")
    start(folder)
    return folder


def facts(folder: Path, on: date | None = TODAY, as_known: date | None = None) -> SeasonFacts:
    at = folder_at(folder)
    with open_journal(at) as journal:
        return facts_of(at, journal, on, as_known)


def test_typed_days_do_what_a_forecast_file_does(tmp_path: Path, monkeypatch) -> None:
    typed = facts(begun(tmp_path / "a", PLOT + AHEAD, monkeypatch))
    filed = begun(tmp_path / "b", PLOT, monkeypatch)
    rows = ["date,tmin_c,tmax_c,rain_mm"]
    rows += [f"2026-07-{24 + n},20,33,{rain}" for n, rain in enumerate((0, 20, 20, 0))]
    (filed / "told.csv").write_text("\n".join(rows), "utf-8")
    take(filed, filed / "told.csv", forecast=True)
    by_file = facts(filed)
    for name in ("t_min", "t_max", "rain"):
        assert np.array_equal(getattr(typed.runs, name), getattr(by_file.runs, name))
    ahead = typed.runs.t_max[:, 1:4]
    assert ahead.mean(axis=0) == pytest.approx(33.0, abs=0.2)
    assert (ahead.std(axis=0) > 1.0).all()  # as forecasts err, not as what was read


def test_the_sheet_says_whose_forecast_it_is(tmp_path: Path, monkeypatch) -> None:
    made = plan(begun(tmp_path, PLOT + AHEAD, monkeypatch), date(2026, 7, 25))
    assert "by your own forecast" in made.visits[0].weather
    without = plan(begun(tmp_path / "bare", PLOT, monkeypatch), date(2026, 7, 25))
    assert "by a rough reckoning, no forecast" in without.visits[0].weather


def test_what_came_takes_the_place_of_what_was_told(tmp_path: Path, monkeypatch) -> None:
    folder = begun(tmp_path, PLOT + AHEAD, monkeypatch)
    came = AHEAD.replace("33, 33, 33, 33", "21, 33, 33, 33").replace(
        "20, 20, 20, 20", "11, 20, 20, 20"
    )
    begun(folder, PLOT + came, monkeypatch, datetime(2026, 7, 25, 9, 0, tzinfo=UTC))
    at = facts(folder, date(2026, 7, 26))
    n = at.record.at(date(2026, 7, 24))
    assert (at.record.t_max[n], at.record.filled_max[n]) == (21.0, False)
    n = at.record.at(date(2026, 7, 26))  # nobody has read it yet
    assert (at.record.t_max[n], at.record.filled_max[n]) == (33.0, True)
    then = facts(folder, date(2026, 7, 23), as_known=date(2026, 7, 23))
    assert then.runs.t_max[:, 1].mean() == pytest.approx(33.0, abs=0.2)


def test_days_typed_only_since_are_no_forecast(tmp_path: Path, monkeypatch) -> None:
    late = datetime(2026, 9, 1, 9, 0, tzinfo=UTC)
    folder = begun(begun(tmp_path, PLOT, monkeypatch), PLOT + AHEAD, monkeypatch, late)
    bare = facts(begun(tmp_path / "bare", PLOT, monkeypatch, late))
    at = facts(folder)
    assert at.runs.forecast_days == 0
    assert "what you wrote down later of days after 23 Jul is not used" in at.runs.says
    assert np.array_equal(at.runs.t_max, bare.runs.t_max)


def test_a_plot_written_down_as_a_whole_since_says_so_once(tmp_path: Path, monkeypatch) -> None:
    """A first sheet made as of a day gone by says it of the plot, and not of the weather again."""
    late = datetime(2026, 9, 1, 9, 0, tzinfo=UTC)
    at = facts(begun(tmp_path, PLOT + AHEAD, monkeypatch, late))
    assert at.runs.forecast_days == 0 and "later" not in at.runs.says


def test_rain_told_before_the_next_visit_never_raises_the_water(
    tmp_path: Path, monkeypatch
) -> None:
    def litres(name: str, mm: str) -> float:
        text = PLOT + AHEAD.replace("[0, 20, 20, 0]", mm)
        made = plan(begun(tmp_path / name, text, monkeypatch), TODAY)
        amounts = (a for visit in made.visits[:1] for t in visit.tasks for a in t.amounts)
        return sum(a.value for a in amounts if a.what.startswith("water"))

    poured = [litres(str(n), f"[{mm}, {mm}, 0, 0]") for n, mm in enumerate((0, 5, 30))]
    assert poured == sorted(poured, reverse=True)


def test_readings_are_read_once(tmp_path: Path, monkeypatch) -> None:
    folder = begun(tmp_path, PLOT, monkeypatch)
    (folder / "a.csv").write_text("date,tmin_c,tmax_c\n2026-07-01,12,22\n", "utf-8")
    take(folder, folder / "a.csv")
    asked: list[int] = []
    read = Journal.readings
    monkeypatch.setattr(Journal, "readings", lambda j, n: asked.append(n) or read(j, n))
    first, again = facts(folder), facts(folder)
    assert len(asked) == 1
    assert again.record.t_min.tolist() == first.record.t_min.tolist() != []


def test_a_week_too_old_says_the_last_day_known(tmp_path: Path, monkeypatch) -> None:
    folder = begun(tmp_path, PLOT, monkeypatch)
    with pytest.raises(WeatherFileError, match="23 Jul 2026"):
        plan(folder, date(2026, 9, 20))


def test_nothing_typed_of_the_days_before_says_what_is_typed(tmp_path: Path, monkeypatch) -> None:
    folder = begun(tmp_path, PLOT, monkeypatch, datetime(2026, 9, 1, 9, 0, tzinfo=UTC))
    with pytest.raises(WeatherFileError, match="typed in: 2026-07-17 to 2026-07-23"):
        plan(folder, date(2026, 6, 20))
