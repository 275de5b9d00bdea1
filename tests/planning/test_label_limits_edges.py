"""Edges of the rulings that a broken limit would slip through, one rule at a time."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from tests.planning.label_cases import (
    CAUTIONS,
    GROUPS,
    NONE,
    TUESDAY,
    ZURICH,
    applied,
    days_before,
    evening,
    limits,
    mix_for,
    product,
    request,
    value,
)

from lattermath.planning.garden_limits import Covering, may_cover, may_plant
from lattermath.planning.hour_limits import blocked_in_bloom, heat
from lattermath.planning.label_limits import may_treat
from lattermath.planning.limit_clauses import retreat, sulfur_and_oil
from lattermath.planning.mixing import Stand, wetting_litres
from lattermath.planning.own_cautions import MethodFacts
from lattermath.planning.picking_clearance import clearance_of, may_enter
from lattermath.planning.rotation import Mode, mode_of
from lattermath.planning.treatment_request import (
    Neighbour,
    Surroundings,
    TreatmentRequest,
    applied_to,
    gap_m,
    on_ground,
    surroundings_of,
)
from lattermath.planning.wet_limits import dry_free_hours, rain_chance, wet_leaves
from lattermath.vocabulary.label import LabelLine, ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, GardenRules, Planting, Plot
from lattermath.vocabulary.ruling import Because

BEANS = Planting("beans", "Beans", "bean_bush", 20, bed="A", in_bloom=False)
EVENING = evening(TUESDAY)


def bars(r: TreatmentRequest) -> tuple[Because, ...]:
    return may_treat(r, CAUTIONS).bars


def by_hand(method: str = "water_jet", **over: Any) -> TreatmentRequest:
    return replace(request(**over), label=None, method=CAUTIONS.facts(method))


# What needs no pack


@pytest.mark.parametrize(
    ("over", "who"),
    [
        ({"rules": GardenRules(no_hose=True)}, "garden"),
        ({"hose_ban": True}, "garden"),
        ({"hose": False}, "our caution"),
    ],
)
def test_a_jet_needs_a_hose_that_may_be_used(over: dict[str, Any], who: str) -> None:
    assert who in {bar.who for bar in bars(by_hand(**over))}
    assert not bars(by_hand("hand_pick", **over))


def test_rules_on_sprays_and_inputs_do_not_bind_hands() -> None:
    rules = GardenRules(no_sprays=True, organic_only=True)
    assert not bars(by_hand("hand_pick", rules=rules))
    bait = product("iron_phosphate", form="bait")
    assert not bars(replace(request(bait, rules=GardenRules(no_sprays=True))))
    assert bars(request(product("iron_phosphate", form="dust"), rules=rules))


# Bait lies on the soil


def test_bait_is_asked_for_no_evening() -> None:
    bait = product("iron_phosphate", form="bait", max_temperature_c=value(20.0))
    storm = replace(
        EVENING, temperature_high_c=40.0, rain_chance_2h=1.0, rain_chance_12h=1.0, wind_m_s=9.0,
        leaves_wet=True, civil_dusk=None,
    )  # fmt: skip
    asked = request(bait, evening=storm, surroundings=Surroundings(True, True, ()))
    assert not bars(asked)
    says = " ".join(reason.says for reason in may_treat(asked, CAUTIONS).reasons)
    assert "no flower is touched" in says
    for word in ("rain within", "until dry", "wind about", "wet leaves", "dead calm"):
        assert word not in says
    # met by soap on the same evening, the soap's lines bind and the bait's still do not
    soap = product()
    both = request(
        bait, evening=replace(EVENING, wind_m_s=9.0), shelf=(bait, soap),
        applied=(applied(soap, TUESDAY - timedelta(hours=1), planting="beans"),),
    )  # fmt: skip
    wind = [r for r in may_treat(both, CAUTIONS).reasons if "rule:wind" in r.rests_on]
    assert [r.rests_on[1] for r in wind if not r.holds] == ["label:soap product/max_wind_m_s"]


@pytest.mark.parametrize(
    ("active", "form", "off"),
    [
        ("iron_phosphate", "spray", True),
        ("iron_phosphate", "bait", True),
        ("iron_phosphate", "dust", False),
        ("soap", "spray", False),
        ("carbaryl", "bait", True),
        ("carbaryl", "granule", True),
    ],
)
def test_what_wets_no_leaf(active: str, form: str, off: bool) -> None:
    assert CAUTIONS.off_the_leaves(active, form) is off


# Bees


@pytest.mark.parametrize(
    ("active", "group", "form", "blocked"),
    [
        ("new", "1A", "spray", True),
        ("new", "1 b", "spray", True),
        ("new", "3A", "spray", True),
        ("new", "4a", "spray", True),
        ("new", "5", "spray", False),
        ("new", "", "dust", True),
        ("acetamiprid", "", "spray", True),
        ("lambda_cyhalothrin", "", "spray", True),
        ("soap", "", "spray", False),
    ],
)
def test_what_bees_never_meet(active: str, group: str, form: Any, blocked: bool) -> None:
    label = ProductLabel("p", "P", active, group, form=form)
    assert blocked_in_bloom(label, CAUTIONS) is blocked
    classed = replace(
        CAUTIONS, methods={"new": MethodFacts("new", True, "pyrethroid, synthetic", "IRAC", 2)}
    )
    assert blocked_in_bloom(ProductLabel("p", "P", "new", ""), classed)


def test_after_dark_the_window_opens_again_at_dawn() -> None:
    late = request(starts=TUESDAY.replace(hour=22), evening=EVENING)
    (bar,) = bars(late)
    dawn = datetime(2026, 8, 4, 5, 38, tzinfo=ZURICH)  # as long before 6:10 as dusk after 20:38
    assert bar.lapses == dawn + timedelta(days=1)
    (bar,) = bars(request(starts=TUESDAY.replace(hour=5), evening=EVENING))
    assert bar.lapses == dawn


# Days between


def test_a_year_is_three_hundred_and_sixty_five_days() -> None:
    crop = limits(season_max=value(1), season_max_over="year", retreat_days=NONE)
    label = product(crops=(crop,))
    assert bars(request(label, applied=(applied(label, days_before(365)),)))
    assert not bars(request(label, applied=(applied(label, days_before(366)),)))
    later = applied(label, days_before(-365))
    assert bars(request(label, applied=(later,)))


def test_no_group_is_no_kin() -> None:
    crop = limits(season_max=value(1), season_max_scope="group", retreat_days=NONE)
    soap = product(crops=(crop,), group="")
    bait = product("iron_phosphate", key="bait")
    past = applied(bait, days_before(9))
    assert not bars(request(soap, applied=(past,), shelf=(soap, bait)))


def test_other_rows_of_a_bed_are_not_this_planting() -> None:
    """Interval, maximum, row, oil and sulfur, pairs and rotation are counted by planting."""
    for active in ("soap", "spinosad", "myclobutanil", "sulfur", "copper_hydroxide"):
        label = product(active, (limits(season_max=value(1), retreat_days=value(90.0)),),
                        consecutive_max=value(1))  # fmt: skip
        others = [product(a, key=f"other {a}") for a in ("mineral_oil", "soap")]
        past = (
            applied(label, days_before(3), planting="peas"),
            *(applied(x, days_before(3), planting="peas") for x in others),
            applied(label, days_before(25), planting="peas"),
        )
        asked = request(label, applied=past, shelf=(label, *others))
        assert not bars(asked), [bar.says for bar in bars(asked)]


def test_sulfur_by_the_name_of_the_method_counts_too() -> None:
    oil = product("mineral_oil")
    past = replace(applied(product("sulfur", key="s"), days_before(9)), active="", product="gone",
                   method="sulfur")  # fmt: skip
    assert any("between oil" in bar.says for bar in bars(request(oil, applied=(past,))))


def test_a_list_that_nobody_named_may_be_either() -> None:
    assert Mode("IRAC", "3").meets(Mode("unknown", "3"))
    assert not Mode("IRAC", "3").meets(Mode("FRAC", "3"))
    assert not Mode("unknown", "3").meets(Mode("IRAC", "4"))


@pytest.mark.parametrize(
    ("active", "group", "compared"),
    [("spinosad", "5", True), ("kaolin", "5", False), ("potassium soap", "5", False),
     ("rapeseed oil", "5", False), ("x", "", False), ("x", "UN", False), ("x", "M3", False),
     ("x", "M13", True)],
)  # fmt: skip
def test_what_is_exempt_from_rotation(active: str, group: str, compared: bool) -> None:
    assert (mode_of(active, group, CAUTIONS) is not None) is compared


def test_neem_and_azadirachtin_are_no_change() -> None:
    neem, aza = product("neem_oil"), product("azadirachtin", key="aza")

    def says(label: ProductLabel, *before: tuple[ProductLabel, float]) -> str:
        past = tuple(applied(x, days_before(n)) for x, n in before)
        asked = request(label, applied=past, shelf=(neem, aza))
        return " ".join(r.says for r in may_treat(asked, CAUTIONS).reasons)

    kin = "are kin"
    assert kin in says(neem, (aza, 20))
    assert kin in says(aza, (neem, 20))
    assert kin not in says(neem, (neem, 20))
    assert kin not in says(neem)
    assert kin not in says(neem, (aza, 30), (product(), 20))
    assert kin not in says(product(), (aza, 20))


# Covers and ground


def cover(*done: Any, **over: Any) -> tuple[Because, ...]:
    facts: dict[str, Any] = {
        "cover": "bag",
        "planting": BEANS,
        "on": TUESDAY,
        "off": TUESDAY.replace(hour=5) + timedelta(days=1),
        "sunset": EVENING.sunset,
        "sunrise": datetime(2026, 8, 5, 6, 11, tzinfo=ZURICH),
        "applied": done,
    }
    return may_cover(Covering(**(facts | over)), (product(), LATE), CAUTIONS).bars


LATE = product("btk", key="late", re_entry_hours=value(24.0))


def test_a_bag_waits_until_nothing_on_it_is_fresh() -> None:
    soap = product()
    assert not cover()
    assert cover(applied(soap, TUESDAY - timedelta(hours=3)))
    assert not cover(applied(soap, TUESDAY - timedelta(hours=4)))
    assert not cover(applied(soap, TUESDAY - timedelta(hours=3), planting="peas"))
    assert not cover(applied(soap, TUESDAY + timedelta(hours=1)))
    assert cover(applied(LATE, TUESDAY - timedelta(hours=23)))
    assert not cover(applied(LATE, TUESDAY - timedelta(hours=24)))
    unknown = applied(product("btk", key="gone"), days_before(9))
    assert cover(unknown)
    water = replace(unknown, product=None, method="water_jet", active="water_jet")
    assert not cover(water)
    pack = replace(unknown, product=None, method="soap", active="soap")
    assert cover(pack)
    assert cover(with_pesticide=True)


def test_bags_come_off_before_the_sun_and_on_after_it() -> None:
    rise = datetime(2026, 8, 5, 6, 11, tzinfo=ZURICH)
    assert cover(off=None)
    assert not cover(off=rise)
    assert cover(off=rise + timedelta(minutes=1))
    assert cover(off=TUESDAY)
    assert cover(sunset=None)
    assert cover(sunrise=None)
    assert not cover(on=TUESDAY.replace(hour=20, minute=8))
    assert cover(on=TUESDAY.replace(hour=20, minute=7))
    dawn = rise.replace(hour=5)
    assert not cover(on=dawn, off=rise)
    assert cover(on=rise + timedelta(minutes=1), off=rise + timedelta(minutes=20))
    assert cover(planting=replace(BEANS, neighbours_plot=True))


def test_fleece_comes_off_above_27_and_when_nobody_knows() -> None:
    assert not cover(cover="fleece", hottest_c=27.0)
    assert cover(cover="fleece", hottest_c=27.1)
    assert cover(cover="fleece", hottest_c=None)
    assert not cover(cover="open mesh", hottest_c=40.0, off=None)


def test_ground_that_only_water_touched_may_be_planted() -> None:
    water = replace(applied(product(), days_before(1)), product=None, method="water_jet",
                    active="water_jet")  # fmt: skip
    assert may_plant(BEANS, TUESDAY, [water], [], CAUTIONS).allowed
    assert may_enter(BEANS, [water], [], TUESDAY, ZURICH, CAUTIONS).allowed
    nobody = replace(water, method="soap", active="soap")
    assert not may_plant(BEANS, TUESDAY, [nobody], [], CAUTIONS).allowed
    assert not may_enter(BEANS, [nobody], [], TUESDAY, ZURICH, CAUTIONS).allowed
    later = replace(nobody, at=TUESDAY + timedelta(hours=1))
    assert may_plant(BEANS, TUESDAY, [later], [], CAUTIONS).allowed


def test_an_unknown_product_is_never_clear_and_its_bar_forbids() -> None:
    unknown = replace(applied(product(), days_before(300)), product=None)
    found = clearance_of(BEANS, [unknown], [product()], TUESDAY, ZURICH, CAUTIONS)
    assert not found.clear_now and found.safe_from is None
    known = applied(product(), days_before(0.5))
    two = clearance_of(BEANS, [known, unknown], [product()], TUESDAY, ZURICH, CAUTIONS)
    assert len(two.barred_by) == 2
    assert not any(bar.holds for bar in two.barred_by)
    assert "event:7" in two.barred_by[0].rests_on
    other_crop = product(crops=(limits("tomato"),))
    (bar,) = clearance_of(BEANS, [known], [other_crop], TUESDAY, ZURICH, CAUTIONS).barred_by
    assert bar.who == "label"


# Whose ground, whose drift


def test_a_bed_nobody_named_may_be_this_one() -> None:
    def ground(bed: str | None, of: str | None, key: str = "peas") -> bool:
        row = applied(product(), TUESDAY, planting=key, bed=of)
        return bool(on_ground([row], replace(BEANS, bed=bed)))

    assert ground("A", "A")
    assert not ground("A", "B")
    assert ground("A", None)
    assert ground(None, "B")
    assert ground("A", "B", "beans")


def test_what_is_only_thought_of_counts_as_its_label_says() -> None:
    label = product("spinosad", form="spray")
    row = applied_to(BEANS, "spinosad", label.key, label, TUESDAY)
    assert (row.active, row.group, row.form) == ("spinosad", GROUPS["spinosad"], "spray")
    bare = applied_to(BEANS, "water_jet", None, None, TUESDAY)
    assert (bare.active, bare.group, bare.form) == ("water_jet", "", "")


def plot(*plantings: Planting, **over: Any) -> Plot:
    beds = (Bed("A", "A", 0.0, 0.0, 2.0, 1.0), Bed("B", "B", 2.0, 4.0, 2.0, 1.0))
    return Plot("p", "", Place("p", 47.0, 8.0, "Europe/Zurich"), beds, plantings,
                **({"bloom_near": False} | over))  # fmt: skip


def test_distances_by_hand() -> None:
    """Bed A ends at 2 east and 1 north; bed B begins at 2 and 4; a row by itself is 1 m wide."""
    other = replace(BEANS, key="b", bed="B")
    lone = replace(BEANS, key="c", bed=None, x_m=5.5, y_m=0.5)
    whole = plot(BEANS, other, lone)
    assert gap_m(whole, BEANS, other) == 3.0
    assert gap_m(whole, BEANS, lone) == 3.0
    assert gap_m(whole, other, lone) == pytest.approx((1.0**2 + 3.0**2) ** 0.5)
    assert gap_m(whole, BEANS, replace(lone, x_m=None)) is None
    assert gap_m(whole, BEANS, replace(lone, y_m=None)) is None


def test_bloom_within_three_metres_counts_and_what_was_pulled_does_not() -> None:
    def bloom(**over: Any) -> bool | None:
        other = replace(BEANS, key="b", bed="B", in_bloom=True)
        return surroundings_of(plot(BEANS, replace(other, **over)), BEANS, CAUTIONS).bloom

    assert bloom() is True
    assert bloom(pulled=TUESDAY.date()) is False
    assert bloom(bed=None, x_m=5.6, y_m=0.5) is False
    assert bloom(bed=None) is True  # nobody knows where it stands
    assert bloom(in_bloom=None) is None
    own = surroundings_of(plot(replace(BEANS, in_bloom=True)), BEANS, CAUTIONS)
    assert own.bloom is False  # it is asked of the planting that was handed in


def test_only_the_same_planting_meets_on_an_evening() -> None:
    here = applied(product(), TUESDAY - timedelta(hours=2))
    there = replace(here, planting="peas", bed="B")
    assert request(applied=(here, there)).same_evening == (here,)


# Mixing


def test_a_bed_is_the_most_ground_there_is() -> None:
    assert Stand(10, 0.5).ground_m2 == 5.0
    assert Stand(10, 0.5, bed_m2=2.0).ground_m2 == 2.0
    assert Stand(10, 0.1, bed_m2=2.0).ground_m2 == 1.0


@pytest.mark.parametrize("stand", [Stand(-1, 1.0), Stand(1, -0.1), Stand(1, 1.0, -0.1)])
def test_stands_below_nothing_are_errors(stand: Stand) -> None:
    with pytest.raises(ValueError, match="below 0"):
        wetting_litres(stand, ["top"])


def test_edges_of_stands_are_no_errors() -> None:
    assert wetting_litres(Stand(0, 0.0, 0.0), ["top"]) == 0.0
    assert wetting_litres(Stand(1, 1.0, 1.0), ["stem"]) == pytest.approx(3.0 * 0.1 * 0.04)


@pytest.mark.parametrize(
    ("ground", "water"),
    [(0.5, 0.1), (1.0, 0.15), (4.0, 0.5), (4.2, 0.55), (6.25, 0.75), (0.0, 0.0)],
)
def test_water_on_the_marks_of_a_jug_and_a_sprayer(ground: float, water: float) -> None:
    crop = limits(max_l_per_m2=NONE)
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(1, ground), ["underside"])
    assert mix.water_l == pytest.approx(water)


def test_under_the_first_mark_hundredths_are_said_and_none_above_the_maximum() -> None:
    crop = limits(max_l_per_m2=value(0.0349))
    mix = mix_for(product(crops=(crop,)), "bean_bush", Stand(1, 1.0), ["underside"])
    assert mix.water_l == pytest.approx(0.03)
    assert mix.share_wetted == pytest.approx(0.03 / 0.12)
    full = mix_for(product(), "bean_bush", Stand(1, 1.0), ["underside"])
    assert full.share_wetted == 1.0
    assert not full.warning
    none = mix_for(product(), "bean_bush", Stand(0, 1.0), ["underside"])
    assert (none.water_l, none.shares, none.warning, none.share_wetted) == (0.0, (0.0,), "", 1.0)


def test_a_mark_is_reached_only_where_the_cup_has_it() -> None:
    """Rate times water just below, at and above a change of marks."""
    found = []
    for rate in (19.9, 20.0, 99.0, 100.0, 499.0, 500.0):
        crop = limits(rate_ml_per_l=value(rate), max_l_per_m2=NONE)
        label = product(crops=(crop,), litres_left=0.1)
        found.append(mix_for(label, "bean_bush", Stand(9, 1.0), ["top"]).product)
    assert found == [1.9, 2.0, 9.5, 10.0, 49.0, 50.0]


def test_lines_are_none_or_copied_and_the_label_is_asked_for_what_it_needs() -> None:
    """Only oil and sulfur are asked for their gap, and only leaves for wind and heat."""
    bare = {"sulfur_oil_gap_days": LabelLine()}
    assert not bars(request(product("soap", **bare)))
    for active in ("mineral_oil", "sulfur"):
        assert bars(request(product(active, **bare))), active
    bait = product("iron_phosphate", form="bait", max_wind_m_s=LabelLine(), bloom=LabelLine())
    assert not bars(request(bait))


# Two on one evening, and what nobody noted


def test_evening_only_binds_whatever_meets_it() -> None:
    """Spinosad waits for the evening also without bloom; so does a soap that meets it by day."""
    noon = TUESDAY.replace(hour=13)
    spinosad = product("spinosad", key="spin", re_entry_hours=value(0.0))
    met = applied(spinosad, noon - timedelta(hours=5))
    asked = request(starts=noon, evening=EVENING, applied=(met,), shelf=(product(), spinosad))
    assert any("for the bees' sake" in bar.says for bar in bars(asked))
    alone = request(starts=noon, evening=EVENING)
    assert not any("for the bees' sake" in bar.says for bar in bars(alone))


def test_the_slowest_to_dry_must_be_dry_by_dawn() -> None:
    copper = product("copper_hydroxide", key="copper", re_entry_hours=value(0.0))
    chlorothalonil = product("chlorothalonil", key="c", re_entry_hours=value(0.0))
    for slow, dry in ((copper, False), (chlorothalonil, True)):  # 12 h and 8 h
        met = applied(slow, TUESDAY - timedelta(hours=13))
        asked = request(
            product("btk"), applied=(met,), shelf=(slow,),
            surroundings=Surroundings(True, False, ()), evening=EVENING,
        )  # fmt: skip
        wet = [bar for bar in bars(asked) if "dry by about" in bar.says]
        assert (not wet) is dry


def test_named_actives_are_blocked_by_name_alone() -> None:
    bare = replace(CAUTIONS, methods={})
    for active in CAUTIONS.blocked_in_bloom:
        assert blocked_in_bloom(ProductLabel("p", "P", active, ""), bare), active


def test_the_interval_runs_from_the_last_use_and_counts_what_nobody_noted() -> None:
    label = product()
    two = tuple(applied(label, days_before(days)) for days in (2, 6))
    (bar,) = [b for b in retreat(request(label, applied=two), CAUTIONS) if not b.holds]
    assert bar.lapses == datetime(2026, 8, 9, tzinfo=ZURICH)
    nobody = replace(two[0], product=None, active="carbaryl", method="carbaryl", group="1A")
    (bar,) = list(retreat(request(label, applied=(nobody,)), CAUTIONS))
    assert not bar.holds
    water = replace(nobody, active="water_jet", method="water_jet", group="")
    assert all(b.holds for b in retreat(request(label, applied=(water,)), CAUTIONS))


def test_oil_and_sulfur_are_known_by_active_or_method() -> None:
    oil = product("mineral_oil")
    row = applied(product("sulfur", key="s"), days_before(9))
    for known in (replace(row, method="x"), replace(row, active="x")):
        found = sulfur_and_oil(request(oil, applied=(known,)), CAUTIONS)
        assert [b.holds for b in found] == [False]
    (fine,) = sulfur_and_oil(request(oil), CAUTIONS)
    assert fine.holds
    assert fine.says == "no sulfur within 14 days"
    assert not list(sulfur_and_oil(request(), CAUTIONS))


@pytest.mark.parametrize("active", ["soap", "mineral_oil", "sulfur", "rapeseed oil"])
def test_what_burns_wants_plants_that_stand(active: str) -> None:
    known = active if active in GROUPS else "mineral_oil"
    label = replace(product(known), active=active)
    for over in (
        {"dry_soil": True}, {"dry_soil": None}, {"planting": replace(BEANS, wilted=True)},
    ):  # fmt: skip
        found = turgid_bars(request(label, **over))
        assert len(found) == 1, over
    assert not turgid_bars(request(label))
    assert not turgid_bars(request(product("btk"), dry_soil=True))
    met = applied(label, TUESDAY - timedelta(hours=1))
    assert turgid_bars(request(product("btk"), applied=(met,), shelf=(label,), dry_soil=True))


def turgid_bars(r: TreatmentRequest) -> list[Because]:
    return [bar for bar in heat(r, CAUTIONS) if not bar.holds and bar.says.startswith("the plants")]


@pytest.mark.parametrize(
    ("active", "hours"),
    [("soap", 4.0), ("quick_soap", 1.0), ("rapeseed oil", 4.0), ("potassium_bicarbonate", 4.0),
     ("pyrethrins", 2.0), ("btk", 2.0), ("copper_hydroxide", 12.0), ("spinosad", 2.0)],
)  # fmt: skip
def test_contact_wants_only_to_dry_and_a_deposit_two_hours_at_least(
    active: str, hours: float
) -> None:
    assert dry_free_hours(ProductLabel("p", "P", active, ""), CAUTIONS) == hours


def test_past_twelve_hours_dryness_goes_on_at_the_same_rate() -> None:
    sky = replace(EVENING, rain_chance_2h=0.2, rain_chance_12h=0.6)
    assert rain_chance(sky, 12.5) == pytest.approx(1 - 0.4 ** (12.5 / 12))


def test_bait_beside_a_spray_does_not_dry_the_leaves() -> None:
    bait, soap = product("iron_phosphate", form="bait"), product()
    wet = replace(EVENING, leaves_wet=True)
    met = applied(soap, TUESDAY - timedelta(hours=1))
    assert any("wet leaves" in b.says for b in bars(request(bait, evening=wet, applied=(met,),
                                                            shelf=(soap,))))  # fmt: skip
    assert not bars(request(bait, evening=wet))


def test_hours_without_water_from_above_are_the_longest_of_all() -> None:
    copper = product("copper_hydroxide", key="copper", rain_free_hours=value(1.0))
    met = applied(copper, TUESDAY - timedelta(hours=1))
    says = [r.says for r in wet_leaves(request(applied=(met,), shelf=(copper,),
                                               usually_over=True), CAUTIONS)]  # fmt: skip
    assert says[-1].endswith("none for 12 h afterwards")
    slow = product(rain_free_hours=value(6.0))
    says = [r.says for r in wet_leaves(request(slow, usually_over=True), CAUTIONS)]
    assert says[-1].endswith("none for 6 h afterwards")


def test_figures_of_a_refusal_are_in_tenths_on_the_strict_side() -> None:
    oil = product("mineral_oil")
    cold = replace(EVENING, temperature_low_c=9.97)
    (bar,) = [b for b in heat(request(oil, evening=cold), CAUTIONS) if not b.holds]
    assert bar.says.startswith("down to «9.9 C»")
    hot = replace(EVENING, temperature_high_c=32.01)
    (bar,) = [b for b in heat(request(evening=hot), CAUTIONS) if not b.holds]
    assert bar.says.startswith("up to «32.1 C»")


@pytest.mark.parametrize(("metres", "barred"), [(3.0, True), (3.01, False), (None, True)])
def test_drift_reaches_three_metres(metres: float | None, barred: bool) -> None:
    beside = Neighbour("lettuce_leaf", metres, ready_to_pick=False)
    asked = request(surroundings=Surroundings(False, False, (beside,)))
    assert bool(bars(asked)) is barred
    listed = replace(beside, crop="bean_bush")
    assert not bars(replace(asked, surroundings=Surroundings(False, False, (listed,))))
    ripe = replace(listed, ready_to_pick=True)
    assert bool(bars(replace(asked, surroundings=Surroundings(False, False, (ripe,))))) is barred


def test_without_hours_on_the_label_a_spray_is_fresh_for_a_day() -> None:
    for line in (NONE, LabelLine()):
        silent = product("btk", key="silent", re_entry_hours=line)
        for hours, fresh in ((23.9, True), (24.0, False)):
            row = applied(silent, TUESDAY - timedelta(hours=hours))
            covering = Covering("bag", BEANS, TUESDAY, TUESDAY.replace(hour=5) + timedelta(days=1),
                                EVENING.sunset, datetime(2026, 8, 5, 6, 11, tzinfo=ZURICH),
                                applied=(row,))  # fmt: skip
            assert (not may_cover(covering, (silent,), CAUTIONS).allowed) is fresh


@pytest.mark.parametrize(
    ("own", "theirs", "days", "allowed"),
    [(7, 14, 10, False), (14, 7, 10, False), (7, 14, 14, True), (7, 7, 10, True)],
)
def test_the_interval_of_either_label_counts_between_two_of_one_active(
    own: float, theirs: float, days: float, allowed: bool
) -> None:
    """Invented: two soaps under two names; on the tenth day the longer interval still runs."""
    mine = product("soap", (limits(retreat_days=value(own)),), key="mine")
    other = product("soap", (limits(retreat_days=value(theirs)),), key="other")
    asked = request(mine, applied=(applied(other, days_before(days)),), shelf=(mine, other))
    (reason,) = retreat(asked, CAUTIONS)
    assert reason.holds is allowed
    longest = TUESDAY.date() + timedelta(days=max(own, theirs) - days)
    assert allowed or (reason.lapses is not None and reason.lapses.date() == longest)
