"""Degree-days and water of the demonstration, reckoned again from its weather file by other means.

The file is read here with the standard library alone; no kernel of the program is called.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from datetime import date, timedelta
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from lattermath.desk.demo import Shown
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.season_series import HeatCourse

TODAY = date(2011, 7, 30)
MOMENTS = 20_000  # of a day: the sum under a sine, told by adding it up


@cache
def weather() -> dict[date, tuple[float, float, float]]:
    text = (files("lattermath.demo") / "champion.csv").read_text("utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {
        date.fromisoformat(r["date"]): (
            float(r["tmin_c"]), float(r["tmax_c"]), float(r["rain_mm"] or 0)
        )
        for r in rows
        if r["tmin_c"] and r["tmax_c"]
    }  # fmt: skip


def days(first: date, last: date) -> list[tuple[float, float, float]]:
    """The weather from the first day to the day before the last."""
    return [weather()[first + timedelta(days=n)] for n in range((last - first).days)]


def under_a_sine(low: float, high: float, base: float, upper: float) -> float:
    middle, half = (low + high) / 2, (high - low) / 2
    warm = (middle + half * math.sin(2 * math.pi * (n + 0.5) / MOMENTS) for n in range(MOMENTS))
    return sum(min(max(t, base), upper) - base for t in warm) / MOMENTS


@pytest.fixture(scope="module")
def made(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Plan:
    shown = make_demo(Path(tmp_path_factory.mktemp("series")) / "plot")
    assert shown.plan.as_of.date() == TODAY
    return shown.plan


def heat_of(made: Plan, key: str) -> HeatCourse:
    return next(course for course in made.heat if course.of == key)


def test_the_whitefly_s_degree_days_are_those_under_a_sine_of_each_day(made: Plan) -> None:
    course = heat_of(made, "greenhouse_whitefly")
    told = [
        under_a_sine(*day[:2], course.base_c, course.upper_c) for day in days(course.since, TODAY)
    ]
    assert course.so_far.median[0] == 0.0
    assert course.so_far.days[-1] == TODAY == course.ahead.days[0]
    assert course.so_far.median[-1] == pytest.approx(sum(told), abs=0.2)
    assert course.so_far.low == course.so_far.high, "what was is known"


def test_simple_averaging_comes_within_a_tenth_of_it(made: Plan) -> None:
    """The sum a grower makes with pencil and paper: the day's mean less the base."""
    course = heat_of(made, "greenhouse_whitefly")
    pencil = sum((low + high) / 2 - course.base_c for low, high, _ in days(course.since, TODAY))
    assert course.so_far.median[-1] == pytest.approx(pencil, rel=0.1)


def test_a_crop_s_degree_days_are_its_extremes_brought_within_and_averaged(made: Plan) -> None:
    """Before mid-August no late light is taken, so that pencil and paper are enough."""
    growing = [course for course in made.heat if course.begins != "first seen"]
    assert len(growing) == 2, "the melons and the aubergines bear not yet"
    for one in growing:
        told = sum(
            (sum(min(max(t, one.base_c), one.upper_c) for t in extremes) / 2 - one.base_c)
            for *extremes, _ in days(one.since, TODAY)
        )
        assert one.so_far.median[-1] == pytest.approx(told, abs=0.2)


def test_the_sums_to_come_rise_within_what_single_summer_days_can_bring(made: Plan) -> None:
    for course in made.heat:
        rows = course.ahead.low, course.ahead.median, course.ahead.high
        for low, middle, high in zip(*rows, strict=True):
            assert low <= middle <= high
        most = course.upper_c - course.base_c
        steps = [b - a for a, b in zip(course.ahead.median, course.ahead.median[1:], strict=False)]
        assert all(-1e-6 <= step <= most for step in steps)


def test_each_day_named_is_where_the_line_reaches_the_sum(made: Plan) -> None:
    """The day of the stage model and the sum of the table may part by two days, no more."""
    for course in made.heat:
        for mark in course.marks:
            reached = [d for d, sum_ in zip(course.ahead.days, course.ahead.median, strict=True)
                       if sum_ >= mark.needs]  # fmt: skip
            assert mark.when.middle is not None and reached
            assert abs((reached[0] - mark.when.middle).days) <= 2, (course.of, mark)


def test_the_hatch_is_that_of_the_population(made: Plan) -> None:
    population = next(one for one in made.populations if one.organism == "greenhouse_whitefly")
    (hatch,) = (m for m in heat_of(made, "greenhouse_whitefly").marks if m.what == "hatch")
    told = population.hatch
    assert told is not None
    assert (hatch.when.early, hatch.when.middle, hatch.when.late) == (
        told.early, told.middle, told.late
    )  # fmt: skip


def test_rain_of_the_file_and_cans_of_the_sheet_stand_in_the_water(made: Plan) -> None:
    planned = {
        share.planting: share.quantity
        for task in made.visits[0].tasks
        if task.kind == "water"
        for share in task.amounts
    }
    assert planned
    for one in made.water:
        for gain in one.gains:
            if gain.how == "rain":
                assert gain.mm == pytest.approx(weather()[gain.day][2], abs=0.01)
        poured = sum(g.mm for g in one.gains if g.how == "planned") * one.litres_a_mm
        assert poured == pytest.approx(planned.get(one.planting, 0.0), abs=0.01)
    days = [one.dry_by.middle or date.max for one in made.water]
    assert days == sorted(days)
