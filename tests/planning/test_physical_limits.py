"""Rulings on water, bags, covers, a vacuum, boards and released animals; figures typed anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.planning.label_cases import CAUTIONS, TUESDAY, applied, evening, product, request

from lattermath.planning.label_limits import may_treat
from lattermath.planning.own_cautions import MethodFacts
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plot import OnHand

MEANS = ("vacuum", "bag_enclosure", "row_cover", "board_trap", "phytoseiulus")
KNOWN = replace(CAUTIONS, methods={**CAUTIONS.methods, **{m: MethodFacts(m, False) for m in MEANS}})
AT_18 = TUESDAY.replace(hour=18, minute=0)
AT_2040 = TUESDAY.replace(hour=20, minute=40)


def asked(method: str, **over: object) -> TreatmentRequest:
    """A physical method on the beans: 20:38 sunset, 21:10 civil dusk, 22 C."""
    base = replace(request(), label=None, method=MethodFacts(method, False), hose=True)
    return replace(base, **({"starts": AT_2040, "minutes": 10.0} | over))  # type: ignore[arg-type]


def allowed(r: TreatmentRequest) -> bool:
    return may_treat(r, KNOWN).allowed


def test_a_jet_only_when_leaves_dry_before_dark() -> None:
    """About 1 h at 22 C: begun at 18:00 yes, at 20:10 no; on a cool damp evening 4 h."""
    assert allowed(asked("water_jet", starts=AT_18))
    assert not allowed(asked("water_jet", starts=TUESDAY))
    cool = evening(TUESDAY, temperature_c=12.0)
    assert not allowed(asked("water_jet", starts=AT_18, evening=cool))
    assert not allowed(asked("water_jet", starts=AT_18, evening=evening(TUESDAY, civil_dusk=None)))
    unknown = evening(TUESDAY, temperature_c=None)
    assert not allowed(asked("water_jet", starts=AT_18, evening=unknown))


@pytest.mark.parametrize("method", ["vacuum", "bag_enclosure"])
def test_adults_are_gone_after_at_dusk_and_not_beside_a_spray(method: str) -> None:
    assert allowed(asked(method))
    assert not allowed(asked(method, starts=AT_18))
    assert not allowed(asked(method, starts=TUESDAY.replace(hour=21, minute=5)))  # into the dark
    soap = applied(product("soap"), TUESDAY)
    assert not allowed(asked(method, applied=(soap,)))


def test_no_bag_over_a_fresh_spray_of_the_night_before() -> None:
    label = product("soap")
    lately = applied(label, AT_2040 - timedelta(hours=3, days=0))
    assert not allowed(asked("bag_enclosure", applied=(lately,), shelf=(label,)))


@pytest.mark.parametrize(
    ("crop", "in_bloom", "cover", "hottest", "may"),
    [
        ("bean_bush", True, "fine mesh", 33.0, True),  # open mesh stays, also in heat
        ("cucumber_slicing", False, "mesh", 33.0, True),
        ("cucumber_slicing", True, "mesh", 20.0, False),  # off for pollination
        ("summer_squash", None, "mesh", 20.0, False),  # nobody looked
        ("bean_bush", False, "fleece", 24.0, True),
        ("bean_bush", False, "fleece", 28.0, False),  # fleece off in heat
        ("bean_bush", False, "fleece", None, False),
        ("bean_bush", False, None, 20.0, False),  # nothing to cover with
    ],
)
def test_covers(
    crop: str, in_bloom: bool | None, cover: OnHand | None, hottest: float | None, may: bool
) -> None:
    planting = replace(request().planting, crop=crop, in_bloom=in_bloom)
    sky = evening(TUESDAY, hottest_next_two_days_c=hottest)
    assert allowed(asked("row_cover", planting=planting, cover=cover, evening=sky)) is may


def test_boards_are_lifted_in_the_morning() -> None:
    assert not allowed(asked("board_trap"))
    assert allowed(asked("board_trap", starts=TUESDAY.replace(hour=8, minute=0)))


def test_mites_are_let_out_in_mild_air_away_from_what_kills_them() -> None:
    """Row phytoseiulus: 15 to 30 C; soap first, release after; nerve poisons for long."""
    assert allowed(asked("phytoseiulus"))
    hot = evening(TUESDAY, hottest_next_two_days_c=31.0)
    assert not allowed(asked("phytoseiulus", evening=hot))
    for active, days, may in (("soap", 1, False), ("soap", 4, True), ("pyrethrins", 10, False),
                              ("sulfur", 10, False), ("pyrethrins", 15, True)):  # fmt: skip
        label = product(active)
        before = applied(label, AT_2040 - timedelta(days=days))
        r = asked("phytoseiulus", applied=(before,), shelf=(label,))
        assert allowed(r) is may, (active, days)


def test_what_was_let_out_is_not_sprayed_dead() -> None:
    out = Applied(TUESDAY - timedelta(days=3), "phytoseiulus", None, "phytoseiulus", "", "",
                  "beans", "bean_bush", "A")  # fmt: skip
    assert not allowed(replace(request(), applied=(out,)))  # soap
    long_ago = replace(out, at=TUESDAY - timedelta(days=9))
    assert allowed(replace(request(), applied=(long_ago,)))
