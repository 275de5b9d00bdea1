"""Yellow or pale words: hunger only where they say so, else what a look makes of them.

The signs were settled by reading the words against the key's own, as a grower would.
"""

from __future__ import annotations

import pytest

from lattermath.desk.plant_signs import look_at, of_the_plant, until_then
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()
TOMATO, PEPPER = (
    Planting("t", "Tomato", "tomato_indeterminate", 4),
    Planting("p", "Pepper", "sweet_pepper", 4),
)
ELSE = (
    (TOMATO, "yellow stippled leaves with fine webs"),
    (TOMATO, "fruit turning yellow"),
    (TOMATO, "no yellow leaves any more"),
    (PEPPER, "pale patches on the sunny side of fruit"),
    (PEPPER, "pale fruit"),
    (PEPPER, "yellow and black hoverflies"),
    (PEPPER, "yellow cards hung up"),
    (PEPPER, "yellow leaves"),  # a look asks back which of five it is
    (Planting("a", "Aubergine", "eggplant", 4), "pale specks and fine webbing"),
    (Planting("k", "Kale", "kale", 4), "pale moths at dusk"),
    (Planting("k", "Kale", "kale", 4), "yellow ladybirds"),
    (Planting("e", "Aubergine", "eggplant", 4), "yellow flowers"),
)


@pytest.mark.parametrize(("planting", "words"), ELSE)
def test_what_may_be_something_else_is_not_told_as_hunger(planting: Planting, words: str) -> None:
    assert not of_the_plant(words, planting, TABLES)


@pytest.mark.parametrize(
    "words", ("yellow old leaves", "even pale old leaves, no spots", "nitrogen hunger")
)
def test_what_a_look_takes_for_hunger_is_told_as_hunger(words: str) -> None:
    assert of_the_plant(words, TOMATO, TABLES)


def test_where_no_look_reads_them_pale_leaves_are_taken_at_their_word() -> None:
    assert of_the_plant("pale leaves", None, TABLES) and not of_the_plant("pale", None, TABLES)
    assert of_the_plant("curled, twisted tips", TOMATO, TABLES)


def test_what_is_another_sign_is_handed_to_the_look() -> None:
    words = "yellow stippled leaves with fine webs"
    assert look_at(words, TOMATO, TABLES) == f'`lattermath look t --seen "{words}"` weighs it'
    assert look_at("yellow cards hung up", TOMATO, TABLES) == ""


@pytest.mark.parametrize(
    ("planting", "words", "dry"),
    (
        (Planting("c", "Cucumbers", "cucumber", 4), "pale specks and fine webbing", False),
        (Planting("a", "Aubergine", "eggplant", 4), "fine webs", False),
        (TOMATO, "yellow stippled leaves with fine webs", False),
        (TOMATO, "brown spots with concentric rings", True),
        (Planting("c", "Cucumbers", "cucumber", 4), "yellow angular spots", True),
        (TOMATO, "speckled something", True),  # no look reads it
    ),
)
def test_leaves_are_kept_dry_for_diseases_and_not_for_mites(
    planting: Planting, words: str, dry: bool
) -> None:
    """Mites thrive on dry leaves; what no look reads may be a disease, and is kept dry."""
    assert ("dry" in until_then(words, planting, TABLES, "europe")) is dry
