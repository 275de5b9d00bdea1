"""The cells on spoiled produce: whole, in order, and as its words are in the pest table."""

from __future__ import annotations

import pytest

from lattermath.belief.spoiled_pickings import ON_THE_PLANT_D
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
KINDS = [
    (habits, eaten)
    for habits in TABLES.habits.values()
    for eaten in sorted(ON_THE_PLANT_D)
    if habits.spoils(eaten) is not None
]


@pytest.mark.parametrize("habits,eaten", KINDS, ids=lambda one: getattr(one, "id", one))
def test_it_soils_before_it_spoils(habits, eaten) -> None:
    spoils = habits.spoils(eaten)
    assert spoils.by and spoils.remedy
    for figure in (spoils.soils, spoils.discards):
        if figure is not None:
            assert 0 < figure.low <= figure.value <= figure.high
    if spoils.discards is not None:
        ends = [(spoils.soils.low, spoils.discards.low), (spoils.soils.high, spoils.discards.high)]
        assert all(soils <= discards for soils, discards in ends)
        assert spoils.soils.value < spoils.discards.value
        assert habits.row.words(f"thrown.{eaten}")


def test_no_cell_is_without_its_curve() -> None:
    for habits in TABLES.habits.values():
        named = {*habits.row.figures, *habits.row.texts}
        of = {
            k.partition(".")[2] for k in named if k.startswith(("discards.", "remedy.", "thrown."))
        }
        assert of <= {eaten for eaten in ON_THE_PLANT_D if habits.spoils(eaten)}


def test_every_crop_says_what_is_eaten() -> None:
    assert all(row.words("eaten") for row in TABLES.produce.values())
    assert set(TABLES.produce) == set(TABLES.crops)


def test_words_of_the_pest_table() -> None:
    """Leaves and sprouts are soiled by the cabbage whitefly, hearts little; rinds are scarred."""
    said = TABLES.organisms["cabbage_whitefly"].row.text("damage")
    assert "sprouts that are eaten" in said and "heads little affected" in said
    soils = TABLES.habits["cabbage_whitefly"].spoils
    assert soils("leaves") and soils("sprouts") and soils("heads") is None
    assert "rind scarring" in TABLES.organisms["striped_cucumber_beetle"].row.text("damage")
    assert TABLES.habits["striped_cucumber_beetle"].spoils("fruit")


def test_mould_of_the_tomato_trial() -> None:
    """By the mean pick 38 to 52 of 70 immature-days had been, so of 300 some 160 to 220."""
    row = TABLES.organisms["greenhouse_whitefly"].row
    all_days = row.figure("damage.sooty_mould_loss5pct").value
    share = [n / row.figure("damage.loss5pct_grade_a").value for n in (38, 52)]
    soils = TABLES.habits["greenhouse_whitefly"].spoils("fruit").soils
    assert share[0] * all_days <= soils.value <= share[1] * all_days
    assert soils.high == all_days
