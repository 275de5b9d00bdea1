"""Practices told over the fence, covers over plants, and planting into treated ground."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from tests.planning.label_cases import (
    CAUTIONS,
    NONE,
    TUESDAY,
    ZURICH,
    applied,
    limits,
    product,
    value,
)

from lattermath.knowledge.tables import load_tables
from lattermath.planning.folk_practices import folk_ruling
from lattermath.planning.garden_limits import Covering, may_cover, may_plant
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.plot import Planting

COURGETTE = Planting("courgettes", "Courgettes", "summer_squash", 2, bed="A")


@pytest.mark.parametrize("key", sorted(load_tables().folk_practices))
def test_every_folk_practice_of_the_tables_is_known_by_its_own_claim(key: str) -> None:
    """Refused, but for what the tables call a small help; always with a reason and another way."""
    row = load_tables().rows["folk_practices"][key]
    ruling = folk_ruling(row.text("claim"))
    assert ruling.allowed == ("small help" in row.text("verdict"))
    found = [address for reason in ruling.reasons for address in reason.rests_on]
    assert f"table:folk_practices/{key}" in found
    assert all(reason.says and reason.way_out for reason in ruling.reasons)


@pytest.mark.parametrize(
    "words",
    [
        "spray bleach on the mildew",
        "boil cigarette ends and spray the brew",
        "vinegar and salt on the weeds between lettuces",
        "flea powder for the beetles",
        "use double the dose to be sure",
        "dust inside the greenhouse with the door shut",
        "mix soap with copper and put both on together",
        "keep the left over spray in a lemonade bottle",
    ],
)
def test_the_never_list(words: str) -> None:
    bars = folk_ruling(words).bars
    assert any("rule:never_list" in bar.rests_on for bar in bars)


@pytest.mark.parametrize(
    "words", ["bag the leaves with powdery mildew and take them off the plot", "potassium salts"]
)
def test_words_that_only_sound_alike(words: str) -> None:
    addresses = [a for reason in folk_ruling(words).reasons for a in reason.rests_on]
    assert addresses == ["rule:label_in_hand"]


def test_what_is_not_recognised_is_not_allowed_either() -> None:
    ruling = folk_ruling("sing to the aubergines")
    assert not ruling.allowed
    assert ruling.bars[0].way_out


# --- covers ------------------------------------------------------------------------------------


def bag(off_hour: int, off_minute: int, **over: object) -> Covering:
    covering = Covering(
        "bag",
        COURGETTE,
        on=datetime(2026, 8, 4, 20, 30, tzinfo=ZURICH),
        off=datetime(2026, 8, 5, off_hour, off_minute, tzinfo=ZURICH),
        sunset=datetime(2026, 8, 4, 20, 38, tzinfo=ZURICH),
        sunrise=datetime(2026, 8, 5, 6, 11, tzinfo=ZURICH),
    )
    return replace(covering, **over)  # type: ignore[arg-type]


def test_a15_a_clear_bag_by_night_and_not_in_sun() -> None:
    """On in the evening, off 05:30, nothing inside: allowed; the same bag until 10:00: refused."""
    for cover in ("bag", "clear sheet"):
        assert may_cover(bag(5, 30, cover=cover), (), CAUTIONS).allowed
        assert not may_cover(bag(10, 0, cover=cover), (), CAUTIONS).allowed
    assert not may_cover(
        bag(5, 30, on=datetime(2026, 8, 4, 16, tzinfo=ZURICH)), (), CAUTIONS
    ).allowed
    before_sunrise = bag(6, 0, on=datetime(2026, 8, 5, 5, 15, tzinfo=ZURICH))
    assert may_cover(before_sunrise, (), CAUTIONS).allowed
    assert not may_cover(bag(5, 30, off=None), (), CAUTIONS).allowed
    assert not may_cover(bag(5, 30, sunrise=None), (), CAUTIONS).allowed


def test_nothing_is_sprayed_or_dusted_inside() -> None:
    assert not may_cover(bag(5, 30, with_pesticide=True), (), CAUTIONS).allowed
    soap = product()
    sprayed = applied(soap, datetime(2026, 8, 4, 20, 10, tzinfo=ZURICH), planting="courgettes")
    assert not may_cover(bag(5, 30, applied=(sprayed,)), (soap,), CAUTIONS).allowed
    assert not may_cover(
        bag(5, 30, applied=(replace(sprayed, product="lost"),)), (), CAUTIONS
    ).allowed
    long_dry = replace(sprayed, at=sprayed.at - timedelta(days=2))
    assert may_cover(bag(5, 30, applied=(long_dry,)), (soap,), CAUTIONS).allowed


def test_mesh_may_stay_and_fleece_comes_off_in_heat() -> None:
    assert may_cover(bag(5, 30, cover="open mesh", off=None), (), CAUTIONS).allowed
    assert may_cover(bag(5, 30, cover="fleece", hottest_c=20.0), (), CAUTIONS).allowed
    assert not may_cover(bag(5, 30, cover="fleece", hottest_c=33.0), (), CAUTIONS).allowed
    assert not may_cover(bag(5, 30, cover="fleece"), (), CAUTIONS).allowed


# --- planting into treated ground --------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "days", "allowed"),
    [
        (value(30.0), 29.9, False),
        (value(30.0), 30.0, True),
        (NONE, 0.16, False),  # re-entry, 4 h on the label, belongs to the ground too
        (NONE, 0.17, True),
        (LabelLine(), 300, False),
    ],
)
def test_plant_back(line: LabelLine[float], days: float, allowed: bool) -> None:
    label = product(crops=(limits(plant_back_days=line),))
    old = applied(label, TUESDAY - timedelta(days=days), planting="peas")
    new = Planting("cucumbers", "Cucumbers", "cucumber_slicing", 4, bed="A")
    assert may_plant(new, TUESDAY, (old,), (label,), CAUTIONS).allowed is allowed
    elsewhere = replace(new, bed="B")
    assert may_plant(elsewhere, TUESDAY, (old,), (label,), CAUTIONS).allowed
