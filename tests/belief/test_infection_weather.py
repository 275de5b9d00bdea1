"""What the weather does for a disease: measured hours count, unknown ones widen, sums run."""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import TABLES

from lattermath.belief.disease_risk import blight_risk, night_risk, severity_risk
from lattermath.belief.infection_weather import (
    LEANS,
    Nights,
    by_lean,
    infection_response,
    nights_of,
)

DAYS = 30
UP = np.full(DAYS, 14.0)


def run(low=12.0, high=20.0, rain=0.0, hours: str | None = None, unknown: str | None = None):
    """Nights of equal days; `hours` is the word of every day, if measured."""
    t_min, t_max, fell = (np.full((2, DAYS), v) for v in (low, high, rain))
    humid = np.full((DAYS, 24), np.nan)
    if hours is not None:
        humid[:] = [np.nan if c == "?" else float(c == "h") for c in hours]
    return nights_of(t_min, t_max, fell, UP, humid, humid.copy())


NIGHT = "h" * 8 + "-" * 12 + "h" * 4  # twelve hours from 20:00 to 08:00


def test_measured_nights_join_across_midnight() -> None:
    nights = run(hours=NIGHT)
    assert (nights.humid_h[:, :, 1:] == 12).all() and nights.measured[1:].all()
    assert not nights.measured[0]  # the evening before the first day is not known


def test_unknown_hours_are_dry_on_one_side_and_wet_on_the_other() -> None:
    nights = run(hours="h" * 6 + "?" * 4 + "-" * 14)
    assert nights.wet_h[0, 0, 5] == 6 and nights.wet_h[-1, 0, 5] == 10


def test_reckoned_nights_are_a_range() -> None:
    nights = run(rain=3.0)
    assert (np.diff(nights.wet_h[:, 0, 10]) >= 0).all()
    assert nights.wet_h[-1, 0, 10] - nights.wet_h[0, 0, 10] > 5
    assert not nights.measured.any()


def test_a_lean_between_two_lies_between_them() -> None:
    response = np.arange(5.0)[:, None, None] * np.ones((1, 1, 3))
    found = by_lean(response, np.array([-1.0, -0.25, 1.0]))
    assert found[:, 0] == pytest.approx([0.0, 1.5, 4.0])
    assert by_lean(np.ones((1, 1, 3)), np.zeros(4)).shape == (4, 3)
    assert len(LEANS) == 5


@pytest.mark.parametrize("disease", ["cucurbit_downy_mildew", "bean_rust", "late_blight"])
def test_dry_nights_infect_nothing(disease: str) -> None:
    wet, dry = run(hours=NIGHT), run(hours="-" * 24)
    row = TABLES.diseases[disease]
    assert (infection_response(row, dry)[:, :, 2:] == 0).all()
    assert (infection_response(row, wet)[:, :, 2:] > 0.3).all()


def test_a_disease_without_figures_has_no_response() -> None:
    assert infection_response(TABLES.diseases["bacterial_spot"], run()) is None
    assert night_risk(TABLES.diseases["bacterial_spot"], run(), 20) is None


def blight(nights: Nights, low=12.0):
    flat = (np.full(DAYS, low), np.full(DAYS, 20.0), np.zeros(DAYS))
    return blight_risk(nights, *flat, 20)


def test_hutton_days_by_measured_hours() -> None:
    """Six humid hours and a night of 10 C two days running."""
    assert blight(run(hours=NIGHT)).sure == "yes"
    assert blight(run(hours="h" * 5 + "-" * 19)).sure == "no"
    assert blight(run(low=9.9, hours=NIGHT), low=9.9).sure == "no"


def test_hours_only_reckoned_are_never_certain_for_blight() -> None:
    risk = blight(run(rain=4.0))
    assert risk.sure != "yes" and risk.counted[0] == 0 < risk.counted[2]


def unread(rain: float, low: float = 13.5, high: float = 19.0):
    fell = np.full(DAYS, rain)
    nights = run(low, high, rain=rain)
    return blight_risk(nights, np.full(DAYS, low), np.full(DAYS, high), fell, 20)


def test_a_wet_fortnight_of_reckoned_hours_is_not_passed_over() -> None:
    """The wet side alone meets Hutton, and 30 mm fell in ten days (Hyre): told as a range."""
    wet = unread(7.0)
    assert wet.counted[0] == 0 and wet.counted[2] >= 10
    assert wet.sure == "likely"


@pytest.mark.parametrize(("rain", "low", "high"), [(0, 13.5, 19), (0, 12, 26), (2, 13.5, 19)])
def test_dry_weather_and_cold_nights_stay_quiet(rain: float, low: float, high: float) -> None:
    assert unread(rain, low, high).sure == "no"
    assert unread(7.0, 9.0, 19.0).sure == "no"  # Hutton and Smith ask for 10 C


def test_hours_that_were_read_are_believed() -> None:
    """Rain at noon over a dry-leaved fortnight, the hours measured: nothing is told."""
    flat = (np.full(DAYS, 13.5), np.full(DAYS, 19.0), np.full(DAYS, 7.0))
    assert blight_risk(run(13.5, 19.0, rain=7.0, hours="-" * 24), *flat, 20).sure == "no"


def test_severity_values_run_up_from_setting_out() -> None:
    """Twelve hours at 14 to 17 C score 1 a day, at 18 to 20 C 2: the printed table."""
    cool = severity_risk("early_blight_tomato", run(11, 19, hours=NIGHT), 5, 24, sprayed=False)
    warm = severity_risk("early_blight_tomato", run(16, 24, hours=NIGHT), 5, 24, sprayed=False)
    assert cool.counted == (20, 20, 20) and cool.sure == "no"
    assert warm.counted == (40, 40, 40) and warm.sure == "yes"
    again = severity_risk("early_blight_tomato", run(11, 19, hours=NIGHT), 5, 24, sprayed=True)
    assert again.needed == 20 and again.sure == "yes"


def test_nights_long_enough_are_counted() -> None:
    risk = night_risk(TABLES.diseases["cucurbit_downy_mildew"], run(hours=NIGHT), 20)
    assert risk is not None and risk.counted == (14, 14, 14) and risk.sure == "yes"
