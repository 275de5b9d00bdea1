"""Rulings on water, bags, covers, a vacuum, boards and released animals; figures typed anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from tests.planning.label_cases import CAUTIONS, TUESDAY, applied, evening, product, request

from lattermath.planning.label_limits import may_treat
from lattermath.planning.own_cautions import MethodFacts
from lattermath.planning.physical_limits import drying_hours
from lattermath.planning.treatment_request import TreatmentRequest
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.plot import OnHand

MEANS = ("vacuum", "bag_enclosure", "row_cover", "board_trap", "phytoseiulus",
         "lacewing_ladybeetle")  # fmt: skip
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


def lapses(r: TreatmentRequest) -> list[datetime | None]:
    """Until when each bar stands."""
    return [bar.lapses for bar in may_treat(r, KNOWN).bars]


@pytest.mark.parametrize(
    ("air", "hours"),
    [(30.0, 1.0), (22.0, 1.0), (21.9, 2.0), (15.0, 2.0), (14.9, 4.0), (-20.0, 4.0), (None, 4.0)],
)
def test_leaves_dry_slower_the_cooler_it_is(air: float | None, hours: float) -> None:
    assert drying_hours(air) == hours


def test_a_jet_may_end_just_so_early_that_leaves_are_dry_at_dusk() -> None:
    """Dusk at 21:10, an hour to dry, ten minutes of work: from 20:00 sharp, not from 20:01."""
    assert allowed(asked("water_jet", starts=TUESDAY.replace(hour=20, minute=0)))
    late = asked("water_jet", starts=TUESDAY.replace(hour=20, minute=1))
    assert not allowed(late)
    assert lapses(late) == [TUESDAY.replace(day=5, hour=6, minute=10)]  # the next sunrise
    night = asked("water_jet", starts=TUESDAY.replace(hour=3, minute=0))
    assert allowed(night)  # dry long before dark: nothing of the jet's bars the night


def test_before_sunrise_the_next_one_is_that_of_the_day() -> None:
    short = evening(TUESDAY, civil_dusk=TUESDAY.replace(hour=4, minute=0))
    before = asked("water_jet", starts=TUESDAY.replace(hour=3, minute=0), evening=short)
    assert lapses(before) == [TUESDAY.replace(hour=6, minute=10)]
    unknown = replace(before, evening=evening(TUESDAY, civil_dusk=None, sunrise=None))
    assert lapses(unknown) == [None]


@pytest.mark.parametrize(
    ("hour", "minute", "may"),
    [
        (20, 8, True),  # half an hour before the sun sets at 20:38
        (20, 7, False),
        (21, 0, True),  # ten minutes: done at civil dusk, 21:10
        (21, 1, False),
        (6, 0, True),  # done at sunrise, 06:10
        (6, 1, False),
    ],
)
def test_adults_sit_still_in_the_evening_window_and_before_sunrise(
    hour: int, minute: int, may: bool
) -> None:
    asked_then = asked("vacuum", starts=TUESDAY.replace(hour=hour, minute=minute))
    assert allowed(asked_then) is may
    opens = TUESDAY.replace(hour=20, minute=8)
    if not may:  # the next window: today's, where it has not opened yet
        again = opens if (hour, minute) < (20, 8) else opens + timedelta(days=1)
        assert lapses(asked_then) == [again]


def test_where_the_sun_does_not_set_nobody_says_when_adults_sit() -> None:
    bright = evening(TUESDAY, sunset=None, sunrise=None, civil_dusk=None)
    (bar,) = may_treat(asked("vacuum", evening=bright), KNOWN).bars
    assert "no such hour" in bar.says and bar.lapses is None
    (bar,) = may_treat(asked("vacuum", evening=evening(TUESDAY, sunset=None), starts=AT_18),
                       KNOWN).bars  # fmt: skip
    assert bar.lapses == TUESDAY.replace(day=5, hour=0, minute=0)  # the night before a sunrise


def test_a_spray_of_the_evening_bars_the_vacuum_until_the_next_day() -> None:
    soap = applied(product("soap"), TUESDAY)
    assert TUESDAY.replace(day=5, hour=0, minute=0) in lapses(asked("vacuum", applied=(soap,)))


@pytest.mark.parametrize(
    ("starts", "minutes", "may"),
    [
        (TUESDAY.replace(hour=9, minute=50), 10.0, True),  # done at 10:00
        (TUESDAY.replace(hour=9, minute=51), 10.0, False),
        (TUESDAY.replace(hour=23, minute=55), 10.0, False),  # done after midnight
    ],
)
def test_boards_are_lifted_by_ten(starts: datetime, minutes: float, may: bool) -> None:
    ruled = asked("board_trap", starts=starts, minutes=minutes)
    assert allowed(ruled) is may
    if not may:
        assert lapses(ruled) == [TUESDAY.replace(day=5, hour=0, minute=0)]


@pytest.mark.parametrize(
    ("low", "high", "may"),
    [
        (15.0, 30.0, True), (14.9, 27.0, False), (16.0, 30.1, False), (None, 27.0, False),
        (16.0, None, False),
    ],
)  # fmt: skip
def test_mites_live_from_15_to_30_degrees(low: float | None, high: float | None, may: bool) -> None:
    air = evening(TUESDAY, temperature_low_c=low, hottest_next_two_days_c=high)
    assert allowed(asked("phytoseiulus", evening=air)) is may


@pytest.mark.parametrize("group", ["1A", "1B", "3A", "4A", "5", " 4 a"])
def test_nerve_poisons_keep_animals_away_for_two_weeks(group: str) -> None:
    label = product("soap", group=group)
    for days, may in ((13, False), (14, True)):
        before = applied(label, AT_2040 - timedelta(days=days))
        assert allowed(asked("phytoseiulus", applied=(before,), shelf=(label,))) is may


def test_soap_keeps_animals_away_for_three_days_and_then_they_may_go_out() -> None:
    label = product("soap")
    for days, may in ((2, False), (3, True)):
        before = applied(label, AT_2040 - timedelta(days=days))
        ruled = asked("phytoseiulus", applied=(before,), shelf=(label,))
        assert allowed(ruled) is may
        if not may:  # three days after it was sprayed, from midnight
            assert lapses(ruled) == [TUESDAY.replace(day=5, hour=0, minute=0)]
    on_others = applied(label, AT_2040 - timedelta(days=1), planting="kale")
    assert allowed(asked("phytoseiulus", applied=(on_others,), shelf=(label,)))


def test_the_longest_of_several_sprays_says_when_animals_may_go_out() -> None:
    soap, nerve = product("soap"), product("pyrethrins")
    lately = applied(soap, AT_2040 - timedelta(days=1))
    before = applied(nerve, AT_2040 - timedelta(days=4))
    ruled = asked("phytoseiulus", applied=(lately, before), shelf=(soap, nerve))
    assert lapses(ruled) == [TUESDAY.replace(day=14, hour=0, minute=0)]  # 31 July and 14 days


def test_animals_are_not_let_out_a_week_before_they_are_sprayed() -> None:
    """A spray already planned six days on bars the release; seven days on it does not."""
    label = product("soap")
    for days, may in ((6, False), (7, True)):
        to_come = applied(label, AT_2040 + timedelta(days=days))
        assert allowed(asked("phytoseiulus", applied=(to_come,), shelf=(label,))) is may


@pytest.mark.parametrize("what", ["phytoseiulus", "lacewing_ladybeetle"])
def test_what_was_let_out_is_safe_for_seven_days(what: str) -> None:
    out = Applied(TUESDAY - timedelta(days=6), what, None, what, "", "", "beans", "bean_bush", "A")
    ruled = replace(request(), applied=(out,))
    assert not allowed(ruled)
    assert TUESDAY + timedelta(days=1) in lapses(ruled)
    assert allowed(replace(request(), applied=(replace(out, at=TUESDAY - timedelta(days=7)),)))
    assert allowed(replace(request(), applied=(replace(out, planting="kale"),)))
    hosed = replace(out, method="water_jet")
    assert allowed(replace(request(), applied=(hosed,)))


def test_a_bag_or_a_vacuum_of_the_evening_bars_a_spray_until_the_next_day() -> None:
    for what in ("vacuum", "bag_enclosure"):
        done = Applied(TUESDAY - timedelta(minutes=30), what, None, what, "", "", "beans",
                       "bean_bush", "A")  # fmt: skip
        ruled = replace(request(), applied=(done,))
        assert not allowed(ruled)
        assert TUESDAY.replace(day=5, hour=0, minute=0) in lapses(ruled)


def test_hands_that_search_want_light_and_are_told_when_it_comes_back() -> None:
    """Civil dawn lies as long before sunrise as dusk after sunset: 05:38 and 21:10."""
    dawn = TUESDAY.replace(hour=5, minute=38)
    for hour, minute, may in ((5, 38, True), (5, 37, False), (21, 0, True), (21, 1, False)):
        ruled = asked("hand_pick", starts=TUESDAY.replace(hour=hour, minute=minute))
        assert allowed(ruled) is may
        if not may:
            assert lapses(ruled) == [dawn if hour < 12 else dawn + timedelta(days=1)]
