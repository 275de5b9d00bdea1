"""Rotation: no bed is offered next spring the family it bore this year."""

from __future__ import annotations

from datetime import date

from lattermath.knowledge.tables import load_tables
from lattermath.planning.next_spring import FAMILY_SAYS, ROTATED, BedRest, next_spring, rests_said
from lattermath.vocabulary.plot import Bed, Planting

FAMILIES = {key: crop.family for key, crop in load_tables().crops.items()}
A, B, C = (Bed(key, f"bed {key.upper()}", 0, 0, 3, 1) for key in "abc")


def test_what_stood_and_what_was_pulled_both_count() -> None:
    stood = Planting("1", "Courgettes", "summer_squash", 3, "a", pulled=date(2026, 7, 30))
    after = Planting("2", "Kale", "kale", 8, "a")
    lettuce = Planting("3", "Lettuce", "lettuce_leaf", 8, "b")
    (rest,) = next_spring([A, B, C], [stood, after, lettuce], FAMILIES)
    assert rest.bed == "bed A" and set(rest.families) == {"Cucurbitaceae", "Brassicaceae"}
    assert rest.says == "bed A: no cucumbers, squash or melons; nor cabbages or other brassicas"


def test_next_door_and_bare_ground_bind_nobody() -> None:
    theirs = Planting("4", "Next door's", "potato", 5, "a", neighbours_plot=True)
    assert next_spring([A], [theirs, Planting("5", "bare", "kale", 0, "a")], FAMILIES) == ()


def test_every_rotated_family_can_be_said() -> None:
    assert set(ROTATED) <= set(FAMILY_SAYS) & set(FAMILIES.values())


def test_beds_that_bore_the_same_are_named_together() -> None:
    """Each family's plants are said once, whatever the order of the beds."""
    rests = [
        BedRest("bed A", ("Cucurbitaceae",)),
        BedRest("bed B", ("Solanaceae",)),
        BedRest("bed C", ("Cucurbitaceae",)),
    ]
    said = rests_said(rests)
    assert said.startswith("bed A and bed C: no ") and "; bed B: no " in said
    assert said.count("melons") == 1
