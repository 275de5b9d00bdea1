"""`why frost` tells the usual day, the autumns measured, and the weather it was counted in."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from tests.desk.hollow_plot import HOLLOW, MILD, NORTH, begun

from lattermath.desk.plan_visit import plan
from lattermath.desk.why import why
from lattermath.desk.why_frost import about_frost
from lattermath.vocabulary.errors import InputError
from lattermath.weather.daily_record import daily_record
from lattermath.weather.days import Reading, WeatherFile

NORMALS = "Monthly normals typed by hand (12 months)."
# By hand: the first night at or below nought of each autumn; 2022 had none by the end of the year.
FROSTS = {date(2021, 10, 12), date(2021, 11, 3), date(2023, 9, 30)}


def record() -> Any:
    first = date(2021, 7, 1)
    days = (first + timedelta(days=n) for n in range(3 * 365))
    readings = tuple(Reading(day, -1.0 if day in FROSTS else 6.0, 15.0, 0.0) for day in days)
    return daily_record([WeatherFile("w", "test", "w", readings, 51.5, 0.0, 10.0, ())])


def told(usual: str | None, measured: Any, frost: str) -> tuple[str, str]:
    """The head, and all that is said below it with what it rests on."""
    place = SimpleNamespace(usual_first_frost=usual, latitude=51.5)
    ground: Any = SimpleNamespace(plot=SimpleNamespace(place=place), record=measured)
    held = {"as_of": "2024-06-01T18:00:00", "frost": frost, "warnings": (NORMALS,)}
    head, reasons = about_frost(held, ground)
    below = (f"{one['says']}; {'; '.join(one['rests_on'])}; {one['way_out']}" for one in reasons)
    return head, "\n".join(below)


def test_autumns_measured_are_told_by_year() -> None:
    head, says = told("10-25", record(), "First frost about 20 Oct (3 years).")
    assert head == "First frost about 20 Oct (3 years)"
    assert "measured in 3 autumns" in says
    assert "12 Oct 2021; 2022 none; 30 Sep 2023" in says
    assert "about 25 Oct" in says and "plot:place/usual_first_frost" in says
    assert "Monthly normals" not in says  # the line itself says what it was counted in


def test_what_is_not_there_is_said_and_how_to_give_it() -> None:
    _, says = told(None, None, "A frost before 30 Nov in 48 of 100 futures.")
    assert "no usual first frost is given" in says and "usual_first_frost in plot.toml" in says
    assert "no whole autumn was measured" in says
    assert "Monthly normals typed by hand (12 months)" in says


@pytest.mark.usefixtures("few_draws")
def test_every_word_for_it_is_answered_and_rests_on_what_is_there(tmp_path: Path) -> None:
    visiting = 'days = ["tue", "sat"]\nminutes = 75'
    text = HOLLOW.format(place=NORTH, visiting=visiting, courgettes=3, more="", week=MILD)
    folder = begun(tmp_path, text)
    made = plan(folder, date(2016, 8, 2))
    answer = why(folder, "frost")
    assert answer[0] == re.sub("[«»]", "", made.frost).rstrip(".")  # without the marks of measures
    assert answer == why(folder, "First frost") == why(folder, "the frost")
    assert not any("no longer there" in line for line in answer)
    with pytest.raises(InputError) as refused:
        why(folder, "frostbite of unicorns")
    assert "frost" in refused.value.faults[0].remedy
