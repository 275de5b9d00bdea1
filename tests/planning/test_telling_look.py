"""The look that tells explanations apart: information by hand, and what it names."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, dice, scales
from tests.belief.test_explanations import HOMES, LOOKED, read, situation

from lattermath.belief.explanations import Explained, explained
from lattermath.planning.sighting_told import WORDS, look_says, may_be
from lattermath.planning.telling_look import (
    LEAST_BITS,
    OF_ONE_PLANTING,
    TellingLook,
    information,
    telling_look,
)
from lattermath.vocabulary.at_odds import MOST_NAMED
from lattermath.vocabulary.events import Sighting

ODD = read(LOOKED, scales("cucumbers", 1), 9)


def test_information_is_that_of_a_channel() -> None:
    """Two equally likely, told apart wrongly once in ten: 1 - H(0.1) bit; never, 1; blind, 0."""
    half = np.array([0.5, 0.5])
    noise = -(0.1 * np.log2(0.1) + 0.9 * np.log2(0.9))
    assert information(half, np.array([[0.9, 0.1], [0.1, 0.9]])) == pytest.approx(1 - noise)
    assert information(half, np.eye(2)) == pytest.approx(1)
    assert information(half, np.full((2, 3), 1 / 3)) == pytest.approx(0, abs=1e-12)


def found(*looks):
    case = situation(*looks)
    return explained(case, dice), case.then.first_day + case.today


def test_a_count_at_odds_is_answered_with_a_look() -> None:
    ranked, day = found((LOOKED, scales("cucumbers", 250)))  # as many or more: one in 170
    look = telling_look(LIFE.figures, HOMES, ranked, day, ODD)
    assert look is not None and 0 < look.bits < np.log2(len(ranked))
    named = [one.key for one in ranked if one.share >= 0.08][:MOST_NAMED]  # as a sheet names them
    assert set(look.finds) == set(named)
    assert look.finds["withstood"] > look.finds["miscounted"]  # what was miscounted is not there


@pytest.mark.parametrize("number", [0, 1])
def test_the_best_look_is_the_best_of_all(number: int) -> None:
    """Of what may be so of all plantings, no look at the counted one tells more a minute."""
    ranked, day = found((LOOKED, scales("cucumbers", number)))
    of_all = [one for one in ranked if one.key not in OF_ONE_PLANTING]
    best = telling_look(LIFE.figures, HOMES, of_all, day, ODD)
    alone = telling_look(LIFE.figures, HOMES[:1], of_all, day, ODD)
    assert best is not None and best.bits >= LEAST_BITS
    assert alone is None or best.bits / best.minutes >= alone.bits / alone.minutes


@pytest.mark.parametrize("where", ["cucumbers", "aubergines"])
def test_what_is_amiss_with_one_count_is_told_where_it_was_counted(where: str) -> None:
    """Whether it was a miscount or another insect no other planting says, quick as it may be."""
    ranked, day = found((LOOKED, scales(where, 1500)))
    named = [one for one in ranked if one.key in OF_ONE_PLANTING]
    assert sum(one.share for one in named) > 0.1
    odd = read(LOOKED, scales(where, 1500), 9)
    look = telling_look(LIFE.figures, HOMES, ranked, day, odd)
    assert look is not None and (look.place, look.measure) == (odd.place, "count")
    assert telling_look(LIFE.figures, HOMES, named, day, odd).place == odd.place


def test_an_entry_that_is_surely_wrong_is_told_by_another_look_there() -> None:
    ranked, _ = found((LOOKED, scales("cucumbers", 99_999)))
    assert ranked[0].key == "slip" and ranked[0].share > 0.9
    says = look_says(None, "Cucumbers", "scales", ranked)
    assert says == "To tell: look at Cucumbers again."


def test_what_is_counted_by_plant_is_looked_for_on_plants() -> None:
    """Once: "turn 10 leaves and count caterpillars", which no entry takes."""
    look = TellingLook(0, "count", "", 8, 4.0, 0.5, {"chance": 2.0, "flown in": 9.0}, whole=True)
    empty = np.zeros(0)
    ranked = [Explained(key, 0.0, 0.5, empty, empty, empty, 1.0) for key in look.finds]
    says = look_says(look, "Cabbages", "caterpillars", ranked)
    assert says.startswith("To tell: look 8 plants of Cabbages over (4 min) and count caterpillars")


def test_a_look_parts_what_is_named_and_nothing_else() -> None:
    """A slip too unlikely to be named was told as what three would mean."""
    finds = {"here longer": 300.0, "miscounted": 200.0, "slip": 3.0}
    look, empty = TellingLook(0, "count", "", 10, 4.0, 0.5, finds, True), np.zeros(0)

    def says(*shares: float) -> str:
        ranked = [
            Explained(key, 0.0, share, empty, empty, empty, 1.0)
            for key, share in zip(finds, shares, strict=True)
        ]
        return look_says(look, "Potatoes", "beetles", ranked)

    both = says(0.8, 0.13, 0.07)
    assert "slip" not in both and "about 200 if it was a miscount" in both
    assert says(0.86, 0.07, 0.07) == "To tell: look at Potatoes again."
    assert "about 3 if it was a slip" in says(0.5, 0.2, 0.3)


def test_where_one_is_all_but_sure_no_look_is_asked_for() -> None:
    ranked, day = found((LOOKED, scales("cucumbers", 20)))
    assert telling_look(LIFE.figures, HOMES, ranked[:1], day, ODD) is None


def test_another_insect_is_told_by_a_lens_however_likely_it_is() -> None:
    """No count tells what another insect is; where it is all but sure, that is the look to take."""
    ranked, day = found((LOOKED, scales("cucumbers", 250)))
    other, *rest = sorted(ranked, key=lambda one: one.key != "another pest")
    sure = [replace(other, share=0.999), *(replace(one, share=0.0001) for one in rest)]
    none = telling_look(LIFE.figures, HOMES, sure, day, ODD)
    assert none is None
    says = look_says(none, "", "scales", sure)
    assert says.startswith("To tell: see some under a lens") and "plant clinic" in says
    wrong = next(one for one in rest if one.key == "miscounted")
    both = [replace(other, share=0.5), replace(wrong, share=0.5)]
    look = telling_look(LIFE.figures, HOMES, both, day, ODD)
    says = look_says(look, "Cucumbers", "scales", both)
    assert look is not None and "if it is another insect" in says and ". And " in says
    assert "under a lens" in says
    unlikely = [*(replace(one, share=0.95 / len(rest)) for one in rest), replace(other, share=0.05)]
    assert "lens" not in look_says(look, "Cucumbers", "scales", unlikely)


def test_no_explanation_stands_in_the_look_that_was_not_named() -> None:
    """Once: "about 3 if it was a slip", at seven in a hundred, where no cause told was a slip."""
    ranked, day = found((LOOKED, scales("cucumbers", 250)))
    shares = {one.key: 0.93 / (len(ranked) - 1) for one in ranked} | {"slip": 0.07}
    few = sorted((replace(o, share=shares[o.key]) for o in ranked), key=lambda o: -o.share)
    look = telling_look(LIFE.figures, HOMES, few, day, ODD)
    assert look is not None and len(look.finds) <= 4 and "slip" not in look.finds
    named = {one.what for one in may_be(few)}
    assert {WORDS[key].format("leaves") for key in look.finds} <= named
    says = look_says(look, "Cucumbers", "scales", few)
    assert " if " in says and "slip" not in says


def test_mites_do_not_rise_when_shaken() -> None:
    shaken = Sighting("cucumbers", "greenhouse_whitefly", "shake", looked_at=2, total=3000)
    ranked, day = found((LOOKED, shaken))
    odd = read(LOOKED, shaken, 9)
    again = telling_look(LIFE.figures, HOMES, ranked, day, odd)
    assert again is not None and again.measure == "shake"
    mites = replace(LIFE.figures, organism="twospotted_spider_mite")
    look = telling_look(mites, HOMES, ranked, day, odd)
    assert look is None or look.measure == "count"
