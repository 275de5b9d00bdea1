"""Diseased leaves are not wetted, and no way out wets them."""

from __future__ import annotations

from datetime import date

import pytest
from tests.belief.cluster_cases import TABLES

from lattermath.planning.disease_answers import ADVICE, RULES, each_sick, must_go
from lattermath.planning.leaf_looks import LOOKS
from lattermath.planning.sick_leaves import DRY_WAY, SickLeaves, kept_dry, leaf_word, wets_beside
from lattermath.vocabulary.ruling import Because, Ruling

FREE = Ruling((Because("a crop that is not listed", False, "label", way_out="hands, water, mesh"),))
ALLOWED = Ruling((Because("free"),))


def sick(what: str = "late_blight", **over) -> SickLeaves:
    facts = {"planting": "p", "what": what, "name": what, "day": date(2025, 8, 5), "serial": 7}
    return SickLeaves(**(facts | over))


def test_a_jet_is_barred_by_what_was_seen() -> None:
    ruled = kept_dry(ALLOWED, "water_jet", [sick("bean_rust")])
    assert not ruled.allowed
    assert ruled.bars[0].rests_on == ("event:7",) and "spreads" in ruled.bars[0].says
    assert "water" not in ruled.bars[0].way_out


@pytest.mark.parametrize("method", ["soap", "hand_pick", "prune_leaves"])
def test_other_methods_are_left_to_their_own_rulings(method: str) -> None:
    assert kept_dry(ALLOWED, method, [sick()]).allowed


def test_a_disease_that_needs_no_water_bars_no_jet() -> None:
    assert kept_dry(ALLOWED, "water_jet", [sick("cucurbit_powdery_mildew", splash=False)]).allowed


def test_no_way_out_wets_sick_leaves() -> None:
    assert kept_dry(FREE, "soap", [sick()]).reasons[0].way_out == "hands, mesh"
    assert kept_dry(FREE, "soap", []).reasons[0].way_out == "hands, water, mesh"


@pytest.mark.parametrize(
    ("way", "dry"),
    [
        ("wait for a drier evening", "wait for a drier evening"),  # names no water: as it was
        ("let them dry, and water at the foot", "let them dry, and water at the foot"),
        ("hands, water", DRY_WAY),
        ("hands and water until then", DRY_WAY),
    ],
)
def test_a_way_out_that_wets_no_leaf_stays_as_it_is(way: str, dry: str) -> None:
    barred = Ruling((Because("barred", False, "label", way_out=way),))
    assert kept_dry(barred, "soap", [sick()]).reasons[0].way_out == dry


def test_only_powdery_mildew_and_what_lives_in_stem_or_soil_bear_water() -> None:
    dry = {key for key, row in TABLES.diseases.items() if not row.spread_by_wet_leaves}
    assert dry == {"cucurbit_powdery_mildew", "bacterial_wilt_cucurbits", "lettuce_drop"}


@pytest.mark.parametrize(
    ("word", "ill"),
    [("brown spots", True), ("Anthracnose", True), ("white_rust", True), ("hail", False),
     ("yellow leaves", False)],
)  # fmt: skip
def test_a_growers_own_words(word: str, ill: bool) -> None:
    assert leaf_word(word) is ill


@pytest.mark.parametrize(
    ("over", "whole"),
    [({}, False), ({"percent": 3.0}, False), ({"percent": 5.0}, True), ({"stem": True}, True),
     ({"level": "few"}, False), ({"level": "many"}, True)],
)  # fmt: skip
def test_late_blight_takes_single_plants_first_and_all_of_them_after(over, whole: bool) -> None:
    """The row: any stem lesion, or more than about 5 to 10 % of the leaf."""
    seen = sick(**over)
    assert (must_go(seen, frozenset()) is not None) is whole
    assert (each_sick(seen) is not None) is not whole


def test_every_rule_and_word_is_of_a_disease_of_the_table() -> None:
    for words in (RULES, ADVICE, LOOKS):
        assert set(words) <= set(TABLES.diseases)
    assert {key for key, row in TABLES.diseases.items() if row.spread_by_wet_leaves} <= set(LOOKS)


def test_no_jet_beside_a_disease_that_water_carries() -> None:
    seen = sick("bean_rust")
    (bar,) = wets_beside("water_jet", [seen])
    assert not bar.holds and "event:7" in bar.rests_on and bar.way_out
    assert not list(wets_beside("soap", [seen]))
    assert not list(wets_beside("water_jet", [sick(splash=False)]))
    assert not seen.pull


@pytest.mark.parametrize(("level", "general"), [("many", True), ("heavy", True), ("few", False)])
def test_many_leaves_are_more_than_first_spots(level: str, general: bool) -> None:
    assert SickLeaves("beans", "x", "x", date(2026, 8, 1), 7, level=level).general is general
