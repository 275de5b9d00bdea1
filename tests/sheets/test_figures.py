from __future__ import annotations

from datetime import date, datetime

import pytest

from lattermath.sheets import figures
from lattermath.vocabulary.plan import OF_THE_MIX, Amount, Span


@pytest.mark.parametrize(
    ("value", "said"),
    [(0, "0"), (2.0, "2"), (1.5, "1.5"), (0.25, "0.25"), (12.3, "12"), (9.96, "10"), (253, "253")],
)
def test_numbers(value: float, said: str) -> None:
    assert figures.number(value) == said


def test_days_and_hours() -> None:
    assert figures.long_day(date(2025, 8, 9)) == "Saturday 9 August"
    assert figures.hour(datetime(2025, 8, 7, 20, 5)) == "20:05"


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (5, 8, "about 5 to 8 kg"),
        (10.6, 11.2, "about 11 kg"),
        (0.4, 1.25, "about 0.4 to 1.2 kg"),
        (0, 0.01, "less than 0.1 kg"),
    ],
)
def test_spans(low: float, high: float, said: str) -> None:
    assert figures.span(Span(low, (low + high) / 2, high, "kg"), "metric") == said


@pytest.mark.parametrize(
    ("probability", "said"),
    [(0.0, "hardly ever"), (0.12, "1 in 10"), (0.9, "9 in 10"), (0.99, "nearly always")],
)
def test_chances(probability: float, said: str) -> None:
    assert figures.chance(probability) == said


# Exact by definition: 1 lb = 0.45359237 kg, 1 US gallon = 3.785411784 l, 1 in = 2.54 cm.
@pytest.mark.parametrize(
    ("marked", "metric", "us"),
    [
        ("«33 C» tomorrow", "33 C tomorrow", "91 F tomorrow"),
        ("«5 kg» to «8 kg» a week", "5 to 8 kg a week", "11 to 18 lb a week"),
        ("over «12 cm»", "over 12 cm", "over 4.5 in"),
        ("«15 ml» in each litre", "15 ml in each litre", "1.92 fl oz in each gallon"),
        ("«1.5 l» of mix", "1.5 litres of mix", "0.4 gal of mix"),
        ("«1 l» of mix", "1 litre of mix", "0.26 gal of mix"),
        ("«-2 C»", "-2 C", "28 F"),
        ("bed C, row 2 C", "bed C, row 2 C", "bed C, row 2 C"),
    ],
)
def test_marked_sentences_in_both_units(marked: str, metric: str, us: str) -> None:
    assert figures.said_in(marked, "metric") == metric
    assert figures.said_in(marked, "us") == us


def test_a_page_says_degrees() -> None:
    assert figures.said_in("«33 C» tomorrow", "metric", "°") == "33 °C tomorrow"


def test_a_mix_never_rounds_above_the_label() -> None:
    # 15 ml is 0.50721 fl oz; said with three figures it must not exceed that.
    assert figures.quantity(Amount("soap", 15, "ml"), "us") == "0.507 fl oz"
    assert figures.quantity(Amount("soap", 14.99, "ml"), "metric") == "14.9 ml"


def test_amounts() -> None:
    assert figures.quantity(Amount("", 1, "can"), "metric") == "1 can"
    assert figures.quantity(Amount("", 2, "can"), "metric") == "2 cans"
    assert figures.quantity(Amount("", 4, ""), "metric") == "4"


def test_what_goes_into_a_sprayer_in_us_marks_is_never_stronger() -> None:
    """0.25 l is 8.45 fl oz, cut to 8; 5 ml go down with it to 4.73, said as three quarters of a
    teaspoon (3.70 ml): the next mark, 4.93, would be stronger than 20 ml/l."""
    mix = (Amount("water", 0.25, "l"), Amount("soap", 5.0, "ml"))
    assert figures.mixed(mix, "us") == ["8 fl oz", "0.75 teaspoon"]
    assert figures.mixed(mix, "metric") == ["0.25 litres", "5 ml"]
    big = (Amount("water", 2.0, "l"), Amount("soap", 40.0, "ml"), Amount("the mix", 0.5, "l"))
    assert figures.mixed(big, "us") == ["67 fl oz", "2.5 tablespoons", "16 fl oz"]
    strong = (Amount("water", 2.0, "l"), Amount("soap", 200.0, "ml"))
    assert figures.mixed(strong, "us") == ["67 fl oz", "6.5 fl oz"]
    tiny = (Amount("water", 0.1, "l"), Amount("salt", 0.5, "g"))
    assert figures.mixed(tiny, "us") == ["3 fl oz", "0.443 g"]
    assert figures.mixed((), "us") == []
    assert figures.mixed((Amount("water", 1.75, "l"),), "metric") == ["1.75 litres"]


def test_a_share_of_a_mix_is_no_mark_and_is_said_as_roughly_by_itself_as_beside_the_water() -> None:
    share = Amount(OF_THE_MIX, 0.878, "l")
    water = Amount("water", 1.25, "l")
    assert figures.mixed((share,), "metric") == ["0.88 litres"]
    assert figures.mixed((water, share), "metric") == ["1.25 litres", "0.88 litres"]
    assert figures.mixed((share,), "us") == figures.mixed((water, share), "us")[1:] == ["29 fl oz"]
