"""A unit mistaken in plot.toml is refused or asked about, with the value as it was typed."""

from datetime import date

import pytest

from lattermath.record.plot_file import read_plot_file
from lattermath.vocabulary.errors import PlotFileError


def text(week: str, latitude: float = 40.0, units: str = "", first: str = "2026-07-20") -> str:
    return (
        f"format = 1\n{units}\n[place]\nlatitude = {latitude}\nlongitude = 0.1\n"
        f'time_zone = "Europe/London"\n[[week]]\nfirst = {first}\n{week}\n'
    )


def faults(*args: object, **more: object) -> str:
    with pytest.raises(PlotFileError) as refused:
        read(*args, **more)
    (fault,) = refused.value.faults
    return str(fault)


def read(*args: object, **more: object) -> object:
    return read_plot_file(text(*args, **more), today=date(2026, 7, 25), crop_of=lambda word: None)


US = 'units = "us"'


def test_fahrenheit_typed_as_celsius_is_refused_and_shown_as_typed() -> None:
    said = faults("highs_c = [26, 88]\nlows_c = [14, 65]")
    assert "week.2026-07-20.highs_c.2" in said and "88 °C" in said and "highs_f" in said


def test_a_mild_week_in_fahrenheit_is_asked_about() -> None:
    said = faults("highs_c = [52]\nlows_c = [38]")
    assert "38 °C" in said and "checked = true" in said
    read("highs_c = [52]\nlows_c = [38]\nchecked = true")


def test_celsius_typed_as_fahrenheit_is_asked_about_in_summer_only() -> None:
    said = faults("highs_f = [28]\nlows_f = [15]", units=US)
    assert "28 °F" in said and "highs_c" in said
    read("highs_f = [28]\nlows_f = [15]", units=US, first="2026-01-20")
    read("highs_f = [28]\nlows_f = [15]\nchecked = true", units=US)
    assert "28 °F" in faults("highs_f = [28]\nlows_f = [15]", -36.9, US, "2026-01-20")
    read("highs_f = [28]\nlows_f = [15]", -36.9, US)


def test_what_is_impossible_is_refused_though_it_was_looked_at() -> None:
    assert "60 °C" in faults("highs_c = [60]\nlows_c = [20]\nchecked = true")


@pytest.mark.parametrize(
    "week",
    [
        "highs_c = [56.7]\nlows_c = [34]",  # the hottest ever
        "highs_c = [46, '?']\nlows_c = [30, 20]",
        "highs_c = [6]\nlows_c = [2]",
    ],
)
def test_what_may_be_is_taken(week: str) -> None:
    read(week)


def test_usual_months_are_asked_too() -> None:
    said = faults(
        "highs_c = [26]\nlows_c = [14]\n[normals]\nhighs_c = [41, 45, 55, 65, 75, 80, 88, "
        "85, 77, 65, 50, 42]\nlows_c = [20, 25, 30, 40, 50, 60, 65, 63, 55, 45, 35, 25]"
    )
    assert "normals.highs_c.4" in said and "65 °C" in said
