"""Pot-bound plants, hunger and drift: what makes a line, and what must not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.belief.cluster_cases import TABLES

from lattermath.planning.disorder_signs import Standing, plainly_pale, sign_lines, twisted
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting

TODAY = date(2026, 7, 30)
ROWS = {key: disorder.row for key, disorder in TABLES.disorders.items()}
CALM = Standing(
    Planting("melons", "Melons", "melon", 4), "melon", "cucurbits", 20, 5, 10.0, False, ()
)


def lines(*standing: Standing, hot: float | None = 24.0) -> tuple[str, ...]:
    return sign_lines(standing, TODAY, hot, ROWS)


def test_a_plot_without_signs_gets_no_line() -> None:
    assert lines(CALM, replace(CALM, in_cup=None, days_out=None, rain_mm=None)) == ()


def test_cups_older_than_the_extension_page_allows_are_pot_bound_for_a_while() -> None:
    """Three weeks for cucurbits, about six for most others (an extension abstract, read)."""
    old = replace(CALM, in_cup=33)
    (told,) = lines(old)
    assert "33 days in the cup where 21 are enough" in told and "No pest" in told
    assert "until about 8 Aug" in told  # 14 days from the setting out, five of them gone
    assert lines(replace(old, days_out=15)) == ()
    tomato = replace(
        old, planting=Planting("t", "Tomatoes", "tomato_determinate", 2), kin="tomato", in_cup=41
    )
    assert lines(tomato) == ()
    assert "42 are enough" in lines(replace(tomato, in_cup=60))[0]
    unsure = replace(old, planting=replace(old.planting, about_days=15))
    assert lines(unsure) == ()  # the dates may be off by more than it is late
    assert lines(replace(old, kin="")) == ()  # no figure, no line


def test_rain_washes_nitrogen_out_of_light_ground_first_and_feeding_ends_it() -> None:
    kale = replace(
        CALM, planting=Planting("k", "Kales", "kale", 4), host="brassica", kin="brassica"
    )
    assert lines(replace(kale, rain_mm=60.0)) == ()
    (light,) = lines(replace(kale, rain_mm=60.0, light=True))
    assert "60" in light and "washes nitrogen out" in light and "5 to 10 days" in light
    assert lines(replace(kale, rain_mm=80.0)) != ()
    assert lines(replace(kale, rain_mm=0.0, light=True)) == ()  # fed since: counted from there
    assert lines(replace(CALM, rain_mm=80.0)) == ()  # melons need less
    assert lines(replace(kale, rain_mm=None, light=True)) == ()  # not measured is not dry
    beans = replace(kale, host="bean", rain_mm=300.0)
    assert lines(beans) == ()


def test_twisted_leaves_on_several_kinds_point_to_weedkiller() -> None:
    one = replace(CALM, said=("twisted strap leaves ",))
    other = replace(
        CALM, planting=Planting("b", "Beans", "bean_pole", 9), host="bean", said=("cupped leaves",)
    )
    (single,) = lines(one)
    assert "maybe weedkiller" in single and "vapour" not in single and "no spray" in single
    (both,) = lines(one, other, hot=31.0)
    assert "several kinds at once" in both and measure(29.0, "C") in both
    assert "vapour" not in lines(one, hot=None)[0]


def test_pale_leaves_are_hunger_and_spots_are_not() -> None:
    (told,) = lines(replace(CALM, said=("pale yellow leaves",), pale=True))
    assert "Oldest leaves first" in told and "5 to 10 days" in told
    assert lines(replace(CALM, said=("yellow spots",))) == ()
    assert plainly_pale("pale_leaves") and plainly_pale("nitrogen hunger")
    assert twisted("curled, twisted tips") and not twisted("pale leaves")


@pytest.mark.parametrize(
    "words",
    (
        "yellow stippled leaves with fine webs", "pale patches on the sunny side of fruit",
        "pale fruit", "fruit turning yellow", "yellow and black hoverflies",
        "yellow cards hung up", "no yellow leaves any more", "pale specks and fine webbing",
        "yellow ladybirds", "pale moths at dusk", "yellow flowers", "yellow mosaic", "whitefly",
        "yellow eggs under the leaf", "yellow beetles", "pale grubs", "new leaves are yellow",
    ),
)  # fmt: skip
def test_yellow_that_is_not_of_whole_leaves_is_no_hunger(words: str) -> None:
    assert not plainly_pale(words)
