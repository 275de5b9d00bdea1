"""The audit's own figures against the tables, which it may not read: a slip shows here."""

from __future__ import annotations

import pytest

from lattermath.audit import figures
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
RULES = TABLES.rows["rules"]


@pytest.mark.parametrize(
    ("rule", "column", "figure"),
    [
        ("heat_ceiling", "soap_oil.refuse_above_c", figures.HOTTEST_C),
        ("heat_ceiling", "sulfur.refuse_above_c", figures.HOTTEST_C),
        ("heat_ceiling", "soap_oil.oil_refuse_below_c", figures.COOLEST_OIL_C),
        ("sulfur_oil_gap", "gap_days", figures.OIL_SULFUR_DAYS),
        ("rain", "refuse_deposit_within_h", figures.DEPOSIT_DRY_HOURS),
        ("wind", "refuse_above_m_s", figures.STRONGEST_WIND_M_S),
    ],
)
def test_figures_of_rules(rule: str, column: str, figure: float) -> None:
    assert RULES[rule].figure(column).value == figure


def test_lists_of_rules() -> None:
    assert set(RULES["bloom"].listed("blocked")) == figures.NEVER_IN_BLOOM
    assert set(RULES["bloom"].listed("evening_only_if_label_permits")) == figures.NEEDS_BEE_WORDS
    assert set(RULES["rain"].listed("contact_only")) == figures.CONTACT


def test_drying_hours_of_methods() -> None:
    tabled = {
        key: dry.value
        for key, row in TABLES.rows["methods"].items()
        if (dry := row.find("rain.dry_h")) is not None
    }
    assert tabled == figures.DRY_HOURS


def test_methods_that_leave_nothing_and_fungicides() -> None:
    rows = TABLES.rows["methods"]
    assert {key for key, row in rows.items() if not row.words("moa.group")} == figures.LEAVE_NOTHING
    fungicides = {key for key, row in rows.items() if "FRAC" in row.words("moa.scheme")}
    assert fungicides == figures.FUNGICIDES


def test_ground_of_plants() -> None:
    tabled = {key: pytest.approx(crop.plant_ground_m2) for key, crop in TABLES.crops.items()}
    assert tabled == figures.PLANT_GROUND_M2
