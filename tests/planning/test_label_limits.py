"""Rulings, one line of the label and one rule of the trade tables at a time.

Cases marked A14 and A15 are those of the constructed list of cases a validator must decide
(label-limit examples, and label-limit rules); every label is invented.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest
from tests.planning.label_cases import (
    CAUTIONS,
    NONE,
    TUESDAY,
    ZURICH,
    applied,
    days_before,
    evening,
    limits,
    product,
    request,
    value,
    with_label,
)

from lattermath.planning.label_limits import conditions, may_treat
from lattermath.planning.own_cautions import MethodFacts
from lattermath.planning.treatment_request import Neighbour, Surroundings, gap_m, request_for
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.evening import DRY_LEAVES, LIGHT_AIR, LOW_NOZZLE, NO_BEE, ONE_LEAF
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, GardenRules, Planting, Plot
from lattermath.vocabulary.ruling import Ruling

IN_BLOOM = Surroundings(True, False, ())
WEEDS_IN_BLOOM = Surroundings(False, True, ())


def rule(*args: object, **over: object) -> Ruling:
    return may_treat(request(*args, **over), CAUTIONS)  # type: ignore[arg-type]


def only_bar(ruling: Ruling) -> str:
    assert len(ruling.bars) == 1, [b.says for b in ruling.bars]
    return ruling.bars[0].says


def test_a_fine_evening_is_allowed_and_every_clause_says_why() -> None:
    ruling = rule()
    assert ruling.allowed
    assert len(ruling.reasons) >= 15
    assert all(reason.says and reason.rests_on for reason in ruling.reasons)


def test_every_refusal_says_who_and_the_way_out() -> None:
    bare = request(with_label(request(), crops=(), crops_line="not copied", country="").label)
    ruling = may_treat(
        replace(
            bare,
            surroundings=Surroundings(None, None, (Neighbour("lettuce_leaf", None, False),)),
            rules=GardenRules(organic_only=True, no_sprays=True),
            evening=evening(TUESDAY, wind_m_s=9.0, temperature_high_c=40.0, rain_chance_2h=0.9),
        ),
        CAUTIONS,
    )
    assert not ruling.allowed
    assert {bar.who for bar in ruling.bars} >= {"garden", "our caution"}
    assert all(bar.way_out for bar in ruling.bars), [b.says for b in ruling.bars if not b.way_out]


@pytest.mark.parametrize(("hours", "dry"), [(0.5, False), (3.9, False), (4.0, True), (9.0, True)])
def test_leaves_watered_from_above_are_wet_for_four_hours(hours: float, dry: bool) -> None:
    ruling = rule(watered_over=TUESDAY - timedelta(hours=hours))
    assert ruling.allowed is dry
    if not dry:
        assert ruling.ask_again == TUESDAY + timedelta(hours=4 - hours)


def test_where_water_usually_comes_from_above_it_counts_as_rain() -> None:
    says = [r.says for r in rule(usually_over=True).reasons]
    assert "water over the leaves counts as rain: none for 4 h afterwards" in says
    later = rule(watered_over=TUESDAY + timedelta(hours=1))
    assert later.allowed


def test_the_longest_waiting_time_is_the_one_said() -> None:
    slow = product("copper_hydroxide", key="slow", crops=(limits(pre_harvest_days=value(9.0)),))
    before = applied(slow, days_before(2))
    own = rule(applied=(before,), shelf=(product(), slow))
    says = next(r.says for r in own.reasons if "safe to pick" in r.says)
    assert says.startswith("safe to pick from Tue 11 Aug 20:10 (by invented copper_hydroxide of")
    lost = applied(slow, days_before(2), product="lost")
    says = next(r.says for r in rule(applied=(lost,)).reasons if "safe to pick" in r.says)
    assert says.startswith("not known when it is safe to pick")


def test_a_shut_gate_says_when_it_opens() -> None:
    rules = GardenRules(gate_opens=time(7), gate_closes=time(20))
    ruling = rule(rules=rules)
    assert ruling.bars[0].who == "garden"
    assert ruling.ask_again == TUESDAY.replace(hour=7, minute=0) + timedelta(days=1)
    early = request(starts=TUESDAY.replace(hour=6, minute=30), rules=rules)
    bar = next(b for b in may_treat(early, CAUTIONS).bars if b.who == "garden")
    assert bar.lapses == TUESDAY.replace(hour=7, minute=0)


def test_a_label_that_is_laxer_than_our_caution_is_told_so() -> None:
    lax = product("pyrethrins", bloom=value("evening only"))
    (bar,) = rule(lax, surroundings=IN_BLOOM).bars
    assert bar.who == "our caution"
    assert bar.says.endswith("the label allows evenings, our caution is stricter")


def test_without_a_label_nothing_is_treated() -> None:
    r = replace(request(), label=None)
    assert "no label" in only_bar(may_treat(r, CAUTIONS))
    hands = replace(r, method=CAUTIONS.facts("hand_pick"))
    assert may_treat(hands, CAUTIONS).allowed
    unheard_of = replace(r, method=MethodFacts("something new"))
    assert not may_treat(unheard_of, CAUTIONS).allowed


@pytest.mark.parametrize(
    "line", ["re_entry_hours", "max_temperature_c", "rain_free_hours", "max_wind_m_s", "bloom"]
)
def test_a_label_line_not_copied_refuses(line: str) -> None:
    r = with_label(request(), **{line: LabelLine()})
    ruling = may_treat(r, CAUTIONS)
    assert not ruling.allowed
    assert any(f"label:soap product/{line}" in bar.rests_on for bar in ruling.bars)


@pytest.mark.parametrize(
    "line", ["pre_harvest_days", "retreat_days", "season_max", "rate_ml_per_l", "max_l_per_m2"]
)
def test_a_crop_line_not_copied_refuses(line: str) -> None:
    ruling = rule(product(crops=(limits(**{line: LabelLine()}),)))
    assert "1 label line not copied (" in only_bar(ruling)
    assert f"label:soap product/bean_bush/{line}" in ruling.bars[0].rests_on
    assert ruling.bars[0].who == "our caution"


def test_a_line_that_is_none_is_an_answer() -> None:
    crop = limits(pre_harvest_days=NONE, retreat_days=NONE, season_max=NONE)
    assert rule(product(crops=(crop,))).allowed


def test_a_crop_that_is_not_listed_is_never_treated() -> None:
    assert "does not list bean_bush" in only_bar(rule(product(crops=(limits("tomato"),))))


@pytest.mark.parametrize(
    ("over", "who"),
    [
        ({"country": ""}, "our caution"),
        ({"country": "US"}, "label"),
        ({"sold_to_amateurs": False}, "label"),
        ({"sold_to_amateurs": None}, "our caution"),
    ],
)
def test_country_and_sale_are_never_assumed(over: dict[str, object], who: str) -> None:
    ruling = may_treat(with_label(request(), **over), CAUTIONS)
    assert not ruling.allowed
    assert ruling.bars[0].who == who


def test_pick_first_then_treat() -> None:
    """Interval 1 day: clear Wed 20:25, so a pick on Wed 18:30 is barred, on Thu 18:30 not."""
    wed = datetime(2026, 8, 5, 18, 30, tzinfo=ZURICH)
    barred = rule(next_picks=(wed,))
    assert only_bar(barred).startswith("safe to pick from Wed 5 Aug 20:25")
    assert barred.bars[0].way_out == "pick first, then treat"
    assert barred.ask_again == wed
    assert rule(next_picks=(wed + timedelta(days=1),)).allowed
    assert rule(next_picks=(TUESDAY - timedelta(hours=1),)).allowed


def test_re_entry_bars_other_work_in_the_bed() -> None:
    soon = TUESDAY + timedelta(hours=1)
    assert "would close the bed until" in only_bar(rule(work_in_bed=(soon,)))
    assert rule(work_in_bed=(TUESDAY + timedelta(hours=5),)).allowed


def test_a_bed_still_closed_is_not_treated_again() -> None:
    copper = product("copper_hydroxide", re_entry_hours=value(48.0))
    past = applied(copper, days_before(1), planting="peas")
    ruling = rule(applied=(past,), shelf=(copper,))
    assert only_bar(ruling).startswith("the bed is closed")
    assert ruling.ask_again == TUESDAY + timedelta(days=1)
    elsewhere = replace(past, bed="B")
    assert rule(applied=(elsewhere,), shelf=(copper,)).allowed
    says = only_bar(rule(applied=(replace(past, bed=None),), shelf=(copper,)))
    assert says.startswith("another planting, maybe in the same bed") and "the bed is" not in says


def test_the_interval_between_applications_is_kept_to_the_day() -> None:
    soap = product()
    late_last_week = applied(soap, days_before(7) + timedelta(minutes=40))
    assert rule(soap, applied=(late_last_week,)).allowed
    six = rule(soap, applied=(applied(soap, days_before(6)),))
    assert not six.allowed
    assert six.ask_again == datetime(2026, 8, 5, tzinfo=ZURICH)
    planned = applied(soap, TUESDAY + timedelta(days=3), serial=None)
    assert not rule(soap, applied=(planned,)).allowed


def test_the_maximum_starts_anew_with_a_crop_but_not_with_a_year() -> None:
    def at_most(over: str) -> object:
        return product(crops=(limits(season_max=value(2), season_max_over=over),))

    for over, allowed in (("crop", True), ("ground", False), ("year", False)):
        soap = at_most(over)
        old = [applied(soap, days_before(n), planting="peas") for n in (40, 60)]  # type: ignore[arg-type]
        assert rule(soap, applied=tuple(old)).allowed is allowed, over
    soap = at_most("crop")
    same = [applied(soap, days_before(n)) for n in (10, 20)]  # type: ignore[arg-type]
    ruling = rule(soap, applied=tuple(same))
    assert "treatment 3 of at most 2" in only_bar(ruling)
    assert ruling.ask_again is None


def test_a15_the_maximum_may_count_the_active_over_products() -> None:
    """Product A twice, then product B of the same active; label counts the active, maximum 2."""
    a = product("lambda_cyhalothrin", key="A")
    crop = limits(season_max=value(2), season_max_scope="active")
    b = product("lambda_cyhalothrin", (crop,), key="B")
    past = (applied(a, days_before(10)), applied(a, days_before(8)))  # past either interval
    ruling = rule(b, applied=past, shelf=(a, b))
    assert "treatment 3 of at most 2 with lambda_cyhalothrin" in [bar.says for bar in ruling.bars]
    by_product = product("lambda_cyhalothrin", (limits(season_max=value(2)),), key="B")
    assert rule(by_product, applied=past, shelf=(a, by_product)).allowed


def test_a_second_product_may_not_break_the_first_one_s_maximum() -> None:
    """A counts its active once a year; B, of the same active, would be one more for A."""
    once = limits(season_max=value(1), season_max_scope="active", season_max_over="year")
    a, b = product("btk", (once,), key="A"), product("btk", key="B")
    past = (applied(a, days_before(10)),)
    ruling = rule(b, applied=past, shelf=(a, b), generation_days=60.0)
    assert "treatment 2 of at most 1 with btk" in only_bar(ruling)
    assert rule(product("soap"), applied=past, shelf=(a, b)).allowed


@pytest.mark.parametrize("both", ["pyrethrins_and_fatty_acids", "pyrethrins_piperonyl_butoxide"])
@pytest.mark.parametrize(("scope", "counts"), [("product", False), ("active", True)])
def test_a_product_of_two_actives_counts_for_either(both: str, scope: str, counts: bool) -> None:
    """Once in a season by active: what held it beside another was the once, in either order."""
    once = limits(season_max=value(1), season_max_scope=scope, retreat_days=NONE)
    alone = product("pyrethrins", (once,), key="alone")
    beside = replace(product("pyrethrins", (limits(season_max=NONE, retreat_days=NONE),),
                             key="beside"), active=both)  # fmt: skip
    ruling = rule(alone, shelf=(alone, beside), applied=(applied(beside, days_before(20)),))
    assert any("at most 1" in bar.says for bar in ruling.bars) is counts
    first = replace(beside, crops=(once,))
    alone = replace(alone, crops=(limits(season_max=NONE, retreat_days=NONE),))
    ruling = rule(alone, shelf=(alone, first), applied=(applied(first, days_before(20)),))
    assert any("at most 1" in bar.says for bar in ruling.bars) is counts


def test_a_maximum_over_the_group_counts_kin() -> None:
    crop = limits(season_max=value(1), season_max_scope="group")
    pyrethrins = product("pyrethrins", (crop,))
    permethrin = product("permethrin")
    ruling = rule(
        pyrethrins, applied=(applied(permethrin, days_before(5)),), shelf=(permethrin, pyrethrins)
    )
    assert "treatment 2 of at most 1 with group 3A" in only_bar(ruling)


def test_one_evening_over_several_rows_is_one_treatment() -> None:
    soap = product(crops=(limits(season_max=value(1), season_max_over="year"),))
    row_before = applied(soap, TUESDAY - timedelta(minutes=5), planting="row 1", serial=None)
    assert rule(soap, applied=(row_before,)).allowed
    assert not rule(soap, applied=(replace(row_before, at=days_before(1)),)).allowed


def test_an_unknown_product_may_have_been_this_one() -> None:
    soap = product(crops=(limits(season_max=value(1)),))
    lost = applied(soap, days_before(10), product=None)
    ruling = rule(soap, applied=(lost,))
    assert any("treatment 2 of at most 1" in bar.says for bar in ruling.bars)


def test_a_request_filled_from_the_plot() -> None:
    """Bed B lies 2 m east of bed A and is in flower; the neighbour's lettuce has no place."""
    soap = product()
    beans = Planting("beans", "Beans", "bean_bush", 20, bed="A", in_bloom=False)
    squash = Planting("squash", "Squash", "summer_squash", 2, bed="B", in_bloom=True)
    theirs = Planting("theirs", "Theirs", "lettuce_leaf", 9, neighbours_plot=True, in_bloom=False)
    plot = Plot(
        "plot",
        "holder",
        Place("place", 47.0, 8.0, "Europe/Zurich", country="CH"),
        (Bed("A", "A", 0, 0, 3, 1), Bed("B", "B", 5, 0, 3, 1)),
        (beans, squash, theirs),
        shelf=(soap,),
        bloom_near=False,
    )
    asked = request_for(plot, beans, "soap", soap.key, evening(TUESDAY), TUESDAY, CAUTIONS)
    assert asked.surroundings == Surroundings(
        False, True, (Neighbour("lettuce_leaf", None, False),)
    )
    assert (asked.label, asked.country, asked.dry_soil) == (soap, "CH", None)
    assert gap_m(plot, beans, squash) == 2.0
    lost = request_for(plot, beans, "water_jet", "lost", evening(TUESDAY), TUESDAY, CAUTIONS)
    assert not may_treat(lost, CAUTIONS).allowed


# --- bees and bloom ---------------------------------------------------------------------------


def test_a15_soap_on_a_courgette_in_flower_with_no_bee_line() -> None:
    assert rule(surroundings=IN_BLOOM).allowed


def test_a15_spinosad_in_bloom_needs_the_label_s_word() -> None:
    assert not rule(product("spinosad"), surroundings=IN_BLOOM).allowed
    assert not rule(product("spinosad"), surroundings=WEEDS_IN_BLOOM).allowed
    assert rule(product("spinosad", bloom=value("evening only")), surroundings=IN_BLOOM).allowed


def test_a15_azadirachtin_in_flower_at_two_names_the_window() -> None:
    two = TUESDAY.replace(hour=14)
    ruling = rule(product("azadirachtin"), starts=two, surroundings=IN_BLOOM)
    assert "evening window, 20:08 to 21:10" in only_bar(ruling)
    assert ruling.ask_again == TUESDAY.replace(hour=20, minute=8)
    assert rule(product("azadirachtin"), starts=two).allowed


@pytest.mark.parametrize("active", ["pyrethrins", "permethrin", "carbaryl", "malathion"])
def test_named_actives_are_blocked_at_any_hour_while_there_is_bloom(active: str) -> None:
    for around in (IN_BLOOM, WEEDS_IN_BLOOM, Surroundings(None, False, ())):
        ruling = rule(product(active, bloom=value("evening only")), surroundings=around)
        assert ruling.bars
        assert all(bar.who == "our caution" for bar in ruling.bars)
        assert all("rule:bloom" in bar.rests_on for bar in ruling.bars)
    assert rule(product(active)).allowed


def test_a_class_is_blocked_by_its_number_too() -> None:
    strange = product(active="btk", group="4A")
    assert not rule(strange, surroundings=IN_BLOOM).allowed


def test_dust_is_blocked_in_bloom_and_bait_is_not() -> None:
    assert not rule(product("sulfur", form="dust"), surroundings=IN_BLOOM).allowed
    assert rule(product("iron_phosphate", form="bait"), surroundings=IN_BLOOM).allowed


def test_a_label_that_says_never_in_bloom_forbids_by_label() -> None:
    ruling = rule(product(bloom=value("never in bloom")), surroundings=IN_BLOOM)
    assert "label says never" in only_bar(ruling)
    assert ruling.bars[0].who == "label"


def test_spinosad_waits_for_evening_even_without_bloom() -> None:
    assert not rule(product("spinosad"), starts=TUESDAY.replace(hour=17)).allowed
    assert rule(product("spinosad")).allowed


def test_in_bloom_the_deposit_must_be_dry_before_dawn() -> None:
    """First light 05:38 (as long before sunrise as dusk after sunset); 12 h to dry is too long."""
    copper = product("copper_hydroxide")
    assert "dry by about 08:25" in only_bar(rule(copper, surroundings=IN_BLOOM))


# --- light, heat, rain, wind ------------------------------------------------------------------


def test_a15_soap_when_the_heat_is_over_and_before_dark() -> None:
    """33 C at 18:00, 27 C from 20:00, civil dusk 21:10."""
    hot = evening(TUESDAY, temperature_high_c=33.0)
    cooler = evening(TUESDAY, temperature_high_c=27.0)
    assert "33 C" in only_bar(rule(starts=TUESDAY.replace(hour=18), evening=hot))
    assert rule(starts=TUESDAY, minutes=30.0, evening=cooler).allowed
    dark = rule(starts=TUESDAY.replace(hour=21, minute=0), minutes=30.0, evening=cooler)
    assert "light enough until 21:10" in only_bar(dark)


def test_a15_sulfur_by_the_hottest_of_two_days() -> None:
    hot_tomorrow = evening(TUESDAY, temperature_high_c=27.0, hottest_next_two_days_c=33.0)
    assert not rule(product("sulfur"), evening=hot_tomorrow).allowed
    assert rule(product("soap"), evening=hot_tomorrow).allowed
    unknown = evening(TUESDAY, hottest_next_two_days_c=None)
    assert not rule(product("sulfur"), evening=unknown).allowed


def test_the_label_s_own_ceiling_comes_first() -> None:
    warm = evening(TUESDAY, temperature_high_c=26.0)
    ruling = rule(product(max_temperature_c=value(25.0)), evening=warm)
    assert not ruling.allowed
    assert ruling.bars[0].who == "label"
    assert rule(evening=warm).allowed


def test_near_the_ceiling_is_a_caution_and_not_a_bar() -> None:
    ruling = rule(evening=evening(TUESDAY, temperature_high_c=31.0))
    assert ruling.allowed
    assert any("near the ceiling" in reason.says for reason in ruling.reasons)


def test_a_refusal_never_reads_as_if_it_kept_its_ceiling() -> None:
    ruling = rule(evening=evening(TUESDAY, temperature_high_c=32.0001))
    assert only_bar(ruling).startswith("up to «32.1 C» until dry")


def test_oil_wants_ten_degrees_and_standing_leaves() -> None:
    oil = product("mineral_oil")
    assert not rule(oil, evening=evening(TUESDAY, temperature_low_c=9.9)).allowed
    assert rule(oil, evening=evening(TUESDAY, temperature_low_c=10.0)).allowed
    wilted = replace(request(oil).planting, wilted=True)
    assert not rule(oil, planting=wilted).allowed
    assert not rule(oil, dry_soil=True).allowed
    assert not rule(oil, dry_soil=None).allowed
    assert rule(product("btk"), planting=wilted).allowed


@pytest.mark.parametrize(("gap", "allowed"), [(8, False), (13, False), (14, True)])
def test_a15_sulfur_and_oil_fourteen_days_apart_in_either_order(gap: int, allowed: bool) -> None:
    oil, sulfur = product("mineral_oil"), product("sulfur")
    for first, second in ((oil, sulfur), (sulfur, oil)):
        ruling = rule(second, applied=(applied(first, days_before(gap)),), shelf=(oil, sulfur))
        assert ruling.allowed is allowed
        if not allowed:
            assert ruling.ask_again == datetime(2026, 8, 4 + 14 - gap, tzinfo=ZURICH)


def test_the_longer_gap_of_either_label_rules() -> None:
    oil = product("mineral_oil", sulfur_oil_gap_days=value(30.0))
    sulfur = product("sulfur")
    past = (applied(oil, days_before(20)),)
    ruling = rule(sulfur, applied=past, shelf=(oil, sulfur))
    assert not ruling.allowed
    assert ruling.bars[0].who == "label"
    assert not rule(sulfur, applied=past, shelf=(sulfur,)).allowed  # its label is not known


def test_a15_rain_in_six_hours() -> None:
    """Soap that dries in 1 h goes on; copper that needs 12 h does not."""
    wet_later = evening(TUESDAY, rain_chance_2h=0.0, rain_chance_12h=0.95)
    quick = replace(CAUTIONS, methods={**CAUTIONS.methods, "soap": CAUTIONS.methods["quick_soap"]})
    assert may_treat(request(evening=wet_later), quick).allowed
    assert not rule(product("copper_hydroxide"), evening=wet_later).allowed
    assert not rule(product(rain_free_hours=value(12.0)), evening=wet_later).allowed
    assert not rule(evening=evening(TUESDAY, rain_chance_2h=0.6)).allowed
    assert not rule(evening=evening(TUESDAY, rain_chance_2h=None)).allowed


def test_wind_by_the_label_and_never_above_ours() -> None:
    assert not rule(evening=evening(TUESDAY, wind_m_s=4.1)).allowed
    assert not rule(
        product(max_wind_m_s=value(2.0)), evening=evening(TUESDAY, wind_m_s=3.0)
    ).allowed
    assert not rule(
        product(max_wind_m_s=value(8.0)), evening=evening(TUESDAY, wind_m_s=5.0)
    ).allowed
    calm = rule(evening=evening(TUESDAY, wind_m_s=0.2))
    assert calm.allowed
    assert any("dead calm" in reason.says for reason in calm.reasons)


def test_not_on_wet_leaves() -> None:
    assert not rule(evening=evening(TUESDAY, leaves_wet=True)).allowed


def test_what_only_the_grower_can_feel_becomes_a_condition() -> None:
    unknown = rule(evening=evening(TUESDAY, wind_m_s=None, leaves_wet=None))
    assert unknown.allowed
    assert conditions(unknown) == (LIGHT_AIR, DRY_LEAVES)
    in_bloom = rule(product(bloom=value("evening only")), surroundings=Surroundings(True, True, ()),
                    starts=TUESDAY.replace(hour=20, minute=20))  # fmt: skip
    assert in_bloom.allowed and conditions(in_bloom) == (NO_BEE,)
    assert conditions(rule(evening=evening(TUESDAY, temperature_high_c=31.0))) == (ONE_LEAF,)
    assert conditions(rule(evening=evening(TUESDAY, wind_m_s=0.2))) == (LOW_NOZZLE,)
    assert conditions(rule()) == ()
    assert conditions(rule(evening=evening(TUESDAY, leaves_wet=None))) == (DRY_LEAVES,)


def test_one_spraying_goes_on_through_the_rows_of_a_bed() -> None:
    soap = product()
    row_before = applied(soap, TUESDAY - timedelta(minutes=5), planting="peas", serial=None)
    assert rule(soap, applied=(row_before,)).allowed
    assert not rule(soap, applied=(replace(row_before, planting="beans"),)).allowed
    other = product("btk")
    assert not rule(other, applied=(row_before,), shelf=(soap, other)).allowed


def test_the_stricter_of_two_labels_on_one_evening() -> None:
    """Nothing of the beans' soap forbids 26 C, but the sulfur of an hour before does."""
    sulfur = product("sulfur", max_temperature_c=value(25.0), re_entry_hours=value(0.5))
    met = applied(sulfur, TUESDAY - timedelta(hours=2, minutes=30))
    warm = evening(TUESDAY, temperature_high_c=26.0)
    btk = product("btk")
    assert rule(btk, evening=warm).allowed
    ruling = rule(btk, applied=(met,), shelf=(sulfur, btk), evening=warm)
    assert any(bar.who == "label" and "25 C" in bar.says for bar in ruling.bars)
    unknown = rule(btk, applied=(met,), shelf=(btk,), evening=warm)
    assert any("was not copied" in bar.says for bar in unknown.bars)


@pytest.mark.parametrize(
    ("first", "second", "days"),
    [
        ("carbaryl", "malathion", 7),
        ("myclobutanil", "permethrin", 1),
        ("acetamiprid", "myclobutanil", 1),
        ("mineral_oil", "copper_hydroxide", 1),
        ("soap", "copper_hydroxide", 1),
        ("chlorothalonil", "neem_oil", 7),
        ("beauveria", "copper_hydroxide", 3),
    ],
)
def test_pairs_that_never_meet(first: str, second: str, days: int) -> None:
    """The `never` lines of the method rows, in either order, until the day named."""
    for before, now in ((first, second), (second, first)):
        shelf = (product(before, re_entry_hours=value(0.0)), product(now))
        for gap, met in ((days - 1, True), (days, False)):
            past = (applied(shelf[0], days_before(gap) - timedelta(hours=13)),)
            ruling = rule(shelf[1], applied=past, shelf=shelf, generation_days=40.0)
            assert any(" met on " in bar.says for bar in ruling.bars) is met


# --- neighbours, garden -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("neighbour", "allowed"),
    [
        (Neighbour("bean_bush", 2.0, False), True),
        (Neighbour("bean_bush", 2.0, True), False),
        (Neighbour("lettuce_leaf", 2.0, False), False),
        (Neighbour("lettuce_leaf", None, False), False),
        (Neighbour("lettuce_leaf", 3.5, True), True),
    ],
)
def test_drift_to_the_neighbour(neighbour: Neighbour, allowed: bool) -> None:
    around = Surroundings(False, False, (neighbour,))
    assert rule(surroundings=around).allowed is allowed
    assert rule(product("iron_phosphate", form="bait"), surroundings=around).allowed


def test_the_garden_s_rules_bind_like_the_label() -> None:
    assert only_bar(rule(rules=GardenRules(no_sprays=True))).startswith("no sprays")
    assert rule(rules=GardenRules(organic_only=True)).allowed
    for organic in (False, None):
        ruling = rule(product(organic_input=organic), rules=GardenRules(organic_only=True))
        assert ruling.bars[0].who == "garden"
    assert "gate closes" in only_bar(rule(rules=GardenRules(gate_closes=time(20, 20))))
    jet = replace(request(), label=None, method=CAUTIONS.facts("water_jet"), hose_ban=True)
    assert not may_treat(jet, CAUTIONS).allowed


def test_the_neighbour_s_plants_are_never_treated() -> None:
    theirs = replace(request().planting, neighbours_plot=True)
    assert not rule(planting=theirs).allowed


def test_an_hour_without_its_zone_is_refused() -> None:
    with pytest.raises(InputError):
        may_treat(replace(request(), starts=datetime(2026, 8, 4, 20, 10)), CAUTIONS)
