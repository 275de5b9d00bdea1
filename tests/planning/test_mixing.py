"""Mixing: the exact dilution constants of the trade checks (A13), and limits that always hold."""

from __future__ import annotations

import random

import pytest
from tests.planning.label_cases import NONE, limits, product, value

from lattermath.planning.mixing import Stand, mix_for, wetting_litres
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.label import LabelLine

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
    assert mix.product_ml == 11.0


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
        assert mix.product_ml is not None
        assert mix.product_ml <= rate * mix.water_l + 1e-6
        assert mix.product_ml >= rate * mix.water_l - 5
        assert mix.water_l <= max(0.25, mix.wanted_l + 0.25)
        if most is not None:
            assert mix.water_l <= most * stand.ground_m2 + 1e-6
        if left is not None:
            assert mix.water_l <= left + 1e-6
        assert 0 <= mix.share_wetted <= 1


def test_it_says_when_the_label_allows_too_little() -> None:
    crop = limits(max_l_per_m2=value(0.05))
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(10, 1.0), ["underside", "top"])
    assert mix.water_l == 0.5
    assert "wets about 21%" in mix.says
    assert mix.amounts[0].standing == "judgement"
    assert mix.amounts[1].standing == "label"


def test_no_rate_printed_means_as_the_label_says() -> None:
    mix = mix_for(product(crops=(limits(rate_ml_per_l=NONE),)), "bean_bush", Stand(4, 0.5), ["top"])
    assert mix.product_ml is None
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
