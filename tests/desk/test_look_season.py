"""What the time of the year, and what the plot already has, say of a cause; factors by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from lattermath.desk.diagnose import diagnose
from lattermath.desk.look_facts import known_of
from lattermath.desk.look_season import by_season
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
MARROW = Planting("m", "Marrows", "summer_squash", 3, "a", set_out=date(2025, 5, 20))
KALE = Planting("k", "Kale", "kale", 3, "a", set_out=date(2025, 5, 20))
SIGNS = ("white_powder_top",)
NORTH, SOUTH = 50.8, -37.8


def factor(cause: str, day: date, latitude: float = NORTH) -> float:
    return {c: f for c, f, _ in by_season(TABLES, day, latitude)}.get(cause, 1.0)


@pytest.mark.parametrize(
    ("cause", "day", "expected"),
    [
        ("cucurbit_powdery_mildew", date(2025, 5, 15), 0.1),  # day 135, eight weeks before 191
        ("cucurbit_powdery_mildew", date(2025, 7, 1), 0.1 ** (9 / 42)),  # day 182
        ("cucurbit_powdery_mildew", date(2025, 8, 10), 1.0),
        ("cutworm", date(2025, 5, 15), 2.0),
        ("cutworm", date(2025, 8, 20), 0.1 ** (22 / 42)),  # day 232, from 210 on
        ("squash_vine_borer", date(2025, 6, 1), 0.1 ** (6 / 42)),  # flies in from day 172
        ("whitefly", date(2025, 5, 1), 1.0),  # one of the two is about all season
        ("slugs", date(2025, 5, 1), 1.0),
    ],
)
def test_factors_by_hand(cause: str, day: date, expected: float) -> None:
    assert factor(cause, day) == pytest.approx(expected)


def test_in_the_south_half_a_year_on_and_near_the_tropics_not_at_all() -> None:
    assert factor("cucurbit_powdery_mildew", date(2025, 11, 13), SOUTH) == pytest.approx(0.1)
    assert factor("cucurbit_powdery_mildew", date(2026, 2, 10), SOUTH) == 1.0
    assert not list(by_season(TABLES, date(2025, 5, 15), 12.0))


def test_every_season_is_of_a_cause_and_in_order() -> None:
    assert set(TABLES.cause_seasons) <= set(TABLES.causes)
    for cause, one in TABLES.cause_seasons.items():
        ends = [day.value for day in (one.from_day, one.to_day) if day is not None]
        assert ends and ends == sorted(ends) and all(1 <= end <= 366 for end in ends), cause


def test_white_powder_in_may_is_less_surely_mildew_than_in_august() -> None:
    told = {}
    for name, day in (("may", date(2025, 5, 28)), ("august", date(2025, 8, 10))):
        known = known_of(MARROW, (), None, day, TABLES, None, NORTH)
        told[name] = diagnose(TABLES, "summer_squash", "europe", SIGNS, (), known.factors).told
    chance = {name: one.probabilities["cucurbit_powdery_mildew"] for name, one in told.items()}
    assert chance["may"] < chance["august"]


def test_only_causes_of_the_crop_are_told() -> None:
    says = known_of(KALE, (), None, date(2025, 5, 28), TABLES, None, NORTH).says
    assert not any("cucurbits" in line for line in says)
    marrow = known_of(MARROW, (), None, date(2025, 5, 28), TABLES, None, NORTH).says
    assert any("less likely: powdery mildew (cucurbits), from late July" in m for m in marrow)
    unasked = known_of(MARROW, (), None, date(2025, 5, 28), TABLES).says
    assert not any("less likely" in m for m in unasked)


def seen(day: date, what: str, *counts: int) -> Event:
    at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    look = Sighting("m", what, "count", counts=counts)
    return Event(1, "id", "sighting", 1, at, "Europe/London", at, look)


def factors(planting: Planting, *events: Event) -> dict[str, float]:
    return known_of(planting, events, None, date(2025, 8, 10), TABLES).factors


def test_what_the_plot_has_had_and_what_was_looked_for_in_vain() -> None:
    early = seen(date(2025, 6, 1), "melon_aphid", 3)
    assert factors(MARROW, early)["aphids"] == 1.5 and factors(KALE, early)["aphids"] == 1.2
    none = seen(date(2025, 8, 7), "whitefly", 0, 0)  # of a kind, without its species
    assert factors(MARROW, none)["whitefly"] == 0.3 and "whitefly" not in factors(KALE, none)
    assert factors(MARROW, none, seen(date(2025, 8, 9), "whitefly", 2))["whitefly"] == 5.0
    assert "whitefly" not in factors(MARROW, seen(date(2025, 7, 20), "whitefly", 0))


@pytest.mark.parametrize(
    ("cause", "days", "expected"),
    [
        ("root_bound_shock", 10, 1.0),
        ("root_bound_shock", 28, 1 - 0.97 / 2),  # 21, and half of the fortnight after
        ("root_bound_shock", 76, 0.03),
        ("cutworm", 30, 1.0),
        ("cutworm", 60, 0.1),
        ("damping_off", 60, 0.0),
        ("sun_scorch_setout", 60, 0.03),
        ("water_stress", 60, 1.0),
    ],
)
def test_what_strikes_young_plants_falls_off_as_they_age(
    cause: str, days: int, expected: float
) -> None:
    """Factors by hand from the rows; dates known to five days give five days more."""
    out = date(2025, 6, 5)
    for about in (0, 5):
        kale = Planting("k", "Kale", "kale", 3, "a", set_out=out, about_days=about)
        known = known_of(kale, (), None, out + timedelta(days=days + about), TABLES)
        assert known.factors.get(cause, 1.0) == pytest.approx(expected)


def test_a_cucumber_of_ten_weeks_is_not_asked_for_shock_nor_a_fruiting_pepper_for_cutworms() -> (
    None
):
    out = date(2025, 6, 5)
    for crop, sign, cause in (
        ("cucumber_slicing", "wilt_midday_recovers", "root_bound_shock"),
        ("pepper_sweet", "sunken_dark_blossom_end", "cutworm"),
    ):
        planting = Planting("p", "P", crop, 3, "a", set_out=out)
        known = known_of(planting, (), None, out + timedelta(days=76), TABLES)
        told = diagnose(TABLES, crop, "europe", [sign], known.absent, known.factors)
        assert told.told.probabilities[cause] < 0.02 and cause not in told.look_alikes
        look = told.verdict.next_look
        assert look is None or cause not in {c for c, p in look.sign.chances.items() if p > 0.5}
        young = diagnose(TABLES, crop, "europe", [sign])
        assert young.told.probabilities[cause] > 2 * told.told.probabilities[cause]
