"""The figures of our cautions, as typed in the tests from the trade rules, against the tables."""

from __future__ import annotations

from dataclasses import fields

import pytest
from tests.planning.label_cases import CAUTIONS

from lattermath.knowledge.tables import load_tables
from lattermath.planning.own_cautions import own_cautions

LOADED = own_cautions(load_tables())


NO_FIGURES = ("methods", "crop_names")


@pytest.mark.parametrize("name", [f.name for f in fields(CAUTIONS) if f.name not in NO_FIGURES])
def test_every_figure_is_the_rule_s(name: str) -> None:
    assert getattr(LOADED, name) == getattr(CAUTIONS, name)


def test_crops_are_named_as_a_sheet_names_them() -> None:
    assert LOADED.crop("summer_squash") == "courgettes"
    assert LOADED.crop("something new") == "something new"


def test_methods_as_the_tables_have_them() -> None:
    assert LOADED.facts("soap").dry_hours == 4
    assert LOADED.facts("copper_hydroxide").dry_hours == 12
    assert LOADED.facts("carbaryl").dry_hours is None
    assert LOADED.facts("carbaryl").chemical_class == "carbamate"
    assert (LOADED.facts("myclobutanil").scheme, LOADED.facts("spinosad").scheme) == (
        "FRAC",
        "IRAC",
    )
    free = {key for key, facts in LOADED.methods.items() if not facts.needs_label}
    assert free == {
        "water_jet", "hand_pick", "row_cover", "sticky_cards", "vacuum", "bag_enclosure",
        "prune_leaves", "trap_crop", "remove_plant", "encarsia", "phytoseiulus",
        "lacewing_ladybeetle", "board_trap",
    }  # fmt: skip


def test_what_nobody_tabled_needs_a_label_and_is_slow_to_dry() -> None:
    assert LOADED.facts("something new").needs_label
    assert LOADED.dry_hours("something new") == 4


@pytest.mark.parametrize(
    ("active", "oil", "sulfur", "burns"),
    [
        ("mineral_oil", True, False, True),
        ("rapeseed oil", True, False, True),
        ("soap", False, False, True),
        ("copper_octanoate", False, False, False),
        ("lime_sulfur", False, True, False),
        ("soil_drench", False, False, False),
    ],
)
def test_oils_and_sulfurs_by_any_name(active: str, oil: bool, sulfur: bool, burns: bool) -> None:
    assert LOADED.is_oil(active) is oil
    assert LOADED.is_sulfur(active) is sulfur
    assert LOADED.burns_in_heat(active) is burns
