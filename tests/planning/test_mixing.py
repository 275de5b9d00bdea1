"""Mixing: the exact dilution constants of the trade checks (A13), and limits that always hold."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest
from tests.planning.label_cases import CAUTIONS, NONE, limits, mix_for, product, request, value

from lattermath.planning.label_limits import may_treat
from lattermath.planning.mixing import (
    Part,
    Stand,
    enough_to_mix,
    filling,
    fillings,
    leaf_share,
    measured,
    wetting_litres,
)
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.label import LabelLine, ProductLabel

TABLESPOONS_PER_GALLON = 3.90625  # 1 US tbsp/gal in ml/l (A13)


def test_a13_two_tablespoons_a_gallon_in_a_litre_and_a_half() -> None:
    """The label's 2 tbsp/gal in 1.5 l are 11.72 ml; a cup shows 11 ml, never more."""
    label = product(
        crops=(limits(rate_ml_per_l=value(2 * TABLESPOONS_PER_GALLON), max_l_per_m2=NONE),)
    )
    stand = Stand(plants=1, ground_m2_per_plant=1.5 / (3.0 * 0.04))
    mix = mix_for(label, "bean_bush", stand, ["underside"])
    assert mix.water_l == pytest.approx(1.5)
    assert 2 * TABLESPOONS_PER_GALLON * mix.water_l == pytest.approx(11.72, abs=0.005)
    assert mix.product == 11.0


def test_wetting_by_hand() -> None:
    """4 plants on 0.5 m2 each, half grown: 2 m2 x 3 x 0.5 = 3 m2 of leaf; 0.04 l a side."""
    stand = Stand(4, 0.5, 0.5)
    assert wetting_litres(stand, ["underside"]) == pytest.approx(0.12)
    assert wetting_litres(stand, ["underside", "top"]) == pytest.approx(0.24)
    assert wetting_litres(stand, ["whole", "top"]) == pytest.approx(0.252)
    assert wetting_litres(stand, ["soil"]) == pytest.approx(0.4)


def test_within_the_high_volume_sprays_of_growers() -> None:
    """Both sides of grown plants: 1000 to 3000 l/ha is 0.1 to 0.3 l/m2 of ground (memory)."""
    assert 0.1 <= wetting_litres(Stand(1, 1.0), ["underside", "top"]) <= 0.3


def test_never_above_the_label_and_never_more_than_needed() -> None:
    dice = random.Random(13)
    for _ in range(2000):
        rate, most = dice.uniform(0.5, 40), dice.choice([None, dice.uniform(0.01, 0.3)])
        left = dice.choice([None, dice.uniform(0.1, 4)])
        crop = limits(rate_ml_per_l=value(rate), max_l_per_m2=NONE if most is None else value(most))
        stand = Stand(dice.randrange(1, 30), dice.uniform(0.02, 1.5), dice.random())
        mix = mix_for(
            product(crops=(crop,), litres_left=left), "bean_bush", stand, ["underside", "top"]
        )
        assert mix.product is not None
        assert mix.product <= rate * mix.water_l + 1e-6
        assert mix.product >= rate * mix.water_l - 5
        # the next mark, and up to two more or a quarter more that the product may come out
        finest = 0.05 if mix.wanted_l < 1 else 0.1 if mix.wanted_l < 2 else 0.25
        assert mix.water_l <= max(0.2, mix.wanted_l + 3 * finest, 1.25 * mix.wanted_l) + 1e-9
        under = 1 - mix.product / (rate * mix.water_l) if mix.water_l else 0.0
        assert ("under the label's rate" in mix.warning) is (under > 0.05)
        assert sum(mix.shares) <= mix.water_l + 1e-9
        if most is not None:
            assert mix.water_l <= most * stand.ground_m2 + 1e-6
        if left is not None:
            assert mix.water_l <= left + 1e-6
        assert 0 <= mix.share_wetted <= 1


def test_it_says_when_the_label_allows_too_little() -> None:
    crop = limits(max_l_per_m2=value(0.05))
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(10, 1.0), ["underside", "top"])
    assert mix.water_l == 0.5
    assert "wets about 21%" in mix.warning
    assert "the label allows no more on this ground" in mix.warning
    assert mix.amounts[0].standing == "judgement"
    assert mix.amounts[1].standing == "label"


def test_no_rate_printed_means_as_the_label_says() -> None:
    mix = mix_for(product(crops=(limits(rate_ml_per_l=NONE),)), "bean_bush", Stand(4, 0.5), ["top"])
    assert mix.product is None
    assert "as much as the label says" in mix.says


@pytest.mark.parametrize("line", ["rate_ml_per_l", "max_l_per_m2"])
def test_a_line_not_copied_refuses(line: str) -> None:
    label = product(crops=(limits(**{line: LabelLine()}),))
    with pytest.raises(InputError):
        mix_for(label, "bean_bush", Stand(4, 0.5), ["top"])
    with pytest.raises(InputError):
        mix_for(product(), "tomato", Stand(4, 0.5), ["top"])


def test_senseless_stands_are_errors() -> None:
    with pytest.raises(ValueError, match="surface"):
        wetting_litres(Stand(1, 1.0), ["inside"])
    with pytest.raises(ValueError, match="size"):
        wetting_litres(Stand(1, 1.0, 1.5), ["top"])


US_GALLON_L, POUND_G, PINT_ML = 3.785411784, 453.59237, 473.176473


@pytest.mark.parametrize(
    ("rate", "unit", "water_l", "amount"),
    [
        # Calculations for Mixing, a page on pesticide safety (an excerpt read):
        # 2 pounds in 100 gallons is 6.4 ounces in 20; 2 pints in 100 is 6.4 fluid ounces in 20.
        (2 * POUND_G / (100 * US_GALLON_L), "g", 20 * US_GALLON_L, 6.4 * POUND_G / 16),
        (2 * PINT_ML / (100 * US_GALLON_L), "ml", 20 * US_GALLON_L, 6.4 * PINT_ML / 16),
        # enHealth manual, chapter 5.10 (an excerpt read): 10 ml in 5 l, and 5 g in 5 l.
        (10 / 5, "ml", 5.0, 10.0),
        (5 / 5, "g", 5.0, 5.0),
    ],
)
def test_worked_examples_of_published_pages(
    rate: float, unit: str, water_l: float, amount: float
) -> None:
    label = product(
        crops=(limits(rate_ml_per_l=value(rate), max_l_per_m2=NONE),),
        measured_in=unit,
        litres_left=water_l,  # so that the filling is what the page fills
    )
    mix = mix_for(label, "bean_bush", Stand(10_000, 1.0), ["underside", "top"])
    assert mix.product is not None
    assert rate * water_l == pytest.approx(amount, rel=1e-6)
    step = 5.0 if unit == "ml" and amount >= 50 else 1.0
    assert amount * mix.water_l / water_l - step <= mix.product <= amount + 1e-9


def test_ten_ml_in_five_litres_cover_forty_square_metres() -> None:
    """The same manual's label: 40 m2 of ground may get its 5 l and no more, 8 m2 one litre."""
    crop = limits(rate_ml_per_l=value(10 / 5), max_l_per_m2=value(5 / 40))
    for ground, litres, ml in ((40.0, 5.0, 10.0), (8.0, 1.0, 2.0)):
        mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(1, ground), ["underside", "top"])
        assert (mix.water_l, mix.product) == (litres, ml)
        assert mix.warning


def two_crops(beans: Any, tomatoes: Any) -> tuple[ProductLabel, list[Part]]:
    """2 m2 of beans and 1 m2 of tomatoes in full leaf, undersides: 0.24 and 0.12 l."""
    crops = (limits(rate_ml_per_l=beans), limits("tomato", rate_ml_per_l=tomatoes))
    parts = [
        Part("bean_bush", Stand(4, 0.5), ("underside",)),
        Part("tomato", Stand(2, 0.5), ("underside",)),
    ]
    return product(crops=crops), parts


def test_one_filling_for_several_plantings_of_one_rate() -> None:
    """0.24 + 0.12 = 0.36 l, in a jug 0.4; 8 ml at 20 in the litre."""
    label, parts = two_crops(value(20.0), value(20.0))
    ((places, mix),) = fillings(label, parts)
    assert places == (0, 1)
    assert mix == filling(label, parts)
    assert mix.water_l == pytest.approx(0.4)
    assert mix.product == 8.0
    assert mix.shares == pytest.approx((0.4 * 2 / 3, 0.4 / 3))
    assert not mix.warning


def test_two_rates_are_two_fillings_each_at_its_own() -> None:
    """At 20: 0.24 l, 0.25 in a jug, 5 ml. At 5: 0.12 l, 0.15 in a jug, 0.75 ml, 0.7 on a syringe:
    none is as weak as the other's label, a quarter."""
    label, parts = two_crops(value(20.0), value(5.0))
    (first, beans), (second, tomatoes) = fillings(label, parts)
    assert (first, second) == ((0,), (1,))
    assert (beans.water_l, beans.product) == (0.25, 5.0)
    assert (tomatoes.water_l, tomatoes.product) == (0.15, 0.7)
    with pytest.raises(InputError, match="two rates"):
        filling(label, parts)
    with pytest.raises(InputError, match="two rates"):  # nobody knows what the other is
        filling(*two_crops(value(20.0), NONE))


def test_a_second_filling_has_what_the_first_leaves() -> None:
    label, parts = two_crops(value(20.0), value(5.0))
    (_, beans), (_, tomatoes) = fillings(replace(label, litres_left=0.35), parts)
    assert (beans.water_l, tomatoes.water_l) == (0.25, 0.1)
    assert "no more of it is left" in tomatoes.warning


@pytest.mark.parametrize(
    ("ground", "rate", "water", "shown"),
    [
        (2.8, 0.8, 0.4, 0.3),  # 0.336 l: in 0.35 are 0.28 ml, 0.2 shown; in 0.4 0.32, 6 % lost
        (2.0, 1.0, 0.3, 0.3),  # 0.24 l: in 0.25 are 0.25 ml, a fifth lost; 0.3 come out
        (2.0, 20.0, 0.25, 5.0),  # comes out at once
        (1.5, 0.3, 0.35, 0.1),  # 0.18 l: 0.1 ml are first reached in a third of a litre
    ],
)
def test_water_goes_to_the_mark_at_which_the_product_comes_out(
    ground: float, rate: float, water: float, shown: float
) -> None:
    crop = limits(rate_ml_per_l=value(rate), max_l_per_m2=NONE)
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(1, ground), ["underside"])
    assert (mix.water_l, mix.product) == (water, shown)
    assert ("under the label's rate" in mix.warning) is (shown < 0.95 * rate * water)


def test_what_no_measure_shows_is_not_mixed() -> None:
    """0.144 l wanted at 0.3 ml/l: the first 0.1 ml want a third of a litre, more than twice it."""
    crop = limits(rate_ml_per_l=value(0.3), max_l_per_m2=NONE)
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(1, 1.2), ["underside"])
    assert (mix.water_l, mix.product, mix.shares) == (0.0, 0.0, (0.0,))
    assert mix.warning.endswith("cannot be measured out within the label's rate: leave this out.")


def test_what_stays_under_the_rate_is_told() -> None:
    """At most 0.35 l may go on; 0.28 ml cannot be shown, and 0.2 ml in 0.35 l is 29 % under."""
    crop = limits(rate_ml_per_l=value(0.8), max_l_per_m2=value(0.125))
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(1, 2.8), ["underside"])
    assert (mix.water_l, mix.product) == (0.35, 0.2)
    assert mix.warning == (
        "That is about 29% under the label's rate: no nearer mark can be measured."
    )


def test_each_planting_keeps_its_own_maximum_in_a_common_filling() -> None:
    crops = (limits(max_l_per_m2=value(0.02)), limits("tomato", max_l_per_m2=NONE))
    parts = [
        Part("bean_bush", Stand(10, 1.0), ("whole",)),
        Part("tomato", Stand(10, 1.0), ("whole",)),
    ]
    mix = filling(product(crops=crops), parts)
    assert mix.shares[0] <= 0.02 * 10 + 1e-9
    assert "the label allows no more" in mix.warning


def test_what_is_left_in_the_pack_is_the_end_of_it() -> None:
    mix = mix_for(product(litres_left=0.3), "bean_bush", Stand(10, 1.0), ["whole"])
    assert mix.water_l == pytest.approx(0.3)
    assert "no more of it is left" in mix.warning
    assert mix_for(product(litres_left=0.0), "bean_bush", Stand(10, 1.0), ["whole"]).water_l == 0


@pytest.mark.parametrize(
    ("amount", "unit", "shown"),
    [(0.19, "ml", 0.1), (1.99, "ml", 1.9), (2.4, "ml", 2.0), (11.7, "ml", 11.0), (54, "ml", 50.0),
     (0.77, "g", 0.7), (9.96, "g", 9.9), (10.9, "g", 10.0), (0.3, "ml", 0.3)],
)  # fmt: skip
def test_rounded_down_to_a_mark(amount: float, unit: str, shown: float) -> None:
    assert measured(amount, unit) == shown  # type: ignore[arg-type]


def test_young_plants_have_less_leaf_to_wet() -> None:
    assert [leaf_share(days, 60) for days in (0, 30, 60, 90)] == [0.1, 0.5, 1.0, 1.0]
    with pytest.raises(ValueError, match="first pick"):
        leaf_share(10, 0)


def test_the_answers_scale_as_their_units_say() -> None:
    """Plants x m2/plant x m2/m2 x 1 x l/m2 = l, and ml/l x l = ml: twice the ground is twice the
    water and the product, twice the rate twice the product and the same water."""

    def mixed(ground: float, rate: float) -> tuple[float, float | None]:
        crop = limits(rate_ml_per_l=value(rate), max_l_per_m2=NONE)
        mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(100, ground), ["underside"])
        return mix.water_l, mix.product

    assert mixed(1.0, 100.0) == (12.0, 1200.0)
    assert mixed(2.0, 100.0) == (24.0, 2400.0)
    assert mixed(1.0, 200.0) == (12.0, 2400.0)


def mixed(most: float, ground: float, left: float | None = None) -> tuple[float, str]:
    """One filling for both sides of full leaf, 0.24 l over each m2, under a label's maximum."""
    label = product(crops=(limits(max_l_per_m2=value(most)),), litres_left=left)
    mix = mix_for(label, "bean_bush", Stand(1, ground), ["underside", "top"])
    return mix.water_l, mix.warning


def test_no_more_is_mixed_than_the_next_mark_of_a_jug() -> None:
    """2.16 m2 want 0.518 l: a jug shows 0.55, and the label's 0.35 l/m2 would allow 0.756."""
    assert mixed(0.35, 2.16) == (0.55, "")
    assert mixed(0.3, 6.2) == (1.5, "")  # 1.488 l


@pytest.mark.parametrize("most", [0.001, 0.0045, 0.0047, 0.02, 0.2])
def test_what_cannot_be_measured_out_is_barred_and_else_is_mixed(most: float) -> None:
    """2.16 m2 by each maximum: under 10 ml nothing is mixed, and nothing is to be."""
    label = product(crops=(limits(max_l_per_m2=value(most)),))
    (told,) = enough_to_mix(request(label, ground_m2=2.16), CAUTIONS)
    assert told.holds is (mixed(most, 2.16)[0] > 0) is (most * 2.16 >= 0.01)
    assert told.holds or ("can be measured out" in told.says and told.way_out)
    assert may_treat(request(label, ground_m2=2.16), CAUTIONS).allowed is told.holds
    bait = replace(label, form="bait")
    assert not [*enough_to_mix(request(bait, ground_m2=2.16), CAUTIONS)]


def test_what_stands_against_wetting_it_all_is_told_as_it_is() -> None:
    """0.518 l wanted: the label allows 0.54, and the next mark is 0.55; then 0.43; then 2 ml."""
    water, words = mixed(0.25, 2.16)
    assert water == 0.5
    assert "the next mark, «0.55 l», is more than the label allows" in words
    water, words = mixed(0.2, 2.16)
    assert water == 0.4 and "the label allows no more on this ground" in words
    water, words = mixed(0.001, 2.16, left=20.0)
    assert water == 0 and words.startswith("The label allows less on this ground than can be")
    assert mixed(0.35, 2.16, left=0.0)[1].startswith("Nothing of it is left in the pack")
