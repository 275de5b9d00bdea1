"""Who forbids, until when, and what is only said: every voice and every lapse of the rulings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

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

from lattermath.planning.label_limits import CLAUSES, conditions, may_treat
from lattermath.planning.treatment_request import Neighbour, Surroundings, TreatmentRequest
from lattermath.planning.wet_limits import rain_chance
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.plot import GardenRules, Planting
from lattermath.vocabulary.ruling import Because

OPEN_EVENING = evening(TUESDAY)
BLOOM = Surroundings(True, False, ())


def bars(r: TreatmentRequest) -> tuple[Because, ...]:
    return may_treat(r, CAUTIONS).bars


def voices(r: TreatmentRequest) -> set[str]:
    return {bar.who for bar in bars(r)}


def of(active: str, **over: Any) -> TreatmentRequest:
    facts = {k: over.pop(k) for k in list(over) if k in TreatmentRequest.__dataclass_fields__}
    return replace(request(product(active, **over)), **facts)


def copper_before(days: float, **over: Any) -> TreatmentRequest:
    earlier = product("copper_hydroxide", key="copper", **over)
    asked = request(applied=(applied(earlier, days_before(days)),))
    return replace(asked, shelf=(*asked.shelf, earlier))


# What is wrong, and who forbids it; nothing else is wrong in any of them.
VOICES: dict[str, tuple[str, Callable[[], TreatmentRequest]]] = {
    "another active": ("label", lambda: replace(request(), method=CAUTIONS.facts("btk"))),
    "another country": ("label", lambda: replace(request(), country="US")),
    "label's country not entered": ("our caution", lambda: with_label(request(), country="")),
    "plot's country not entered": ("our caution", lambda: replace(request(), country="")),
    "not for amateurs": ("label", lambda: with_label(request(), sold_to_amateurs=False)),
    "nobody said": ("our caution", lambda: with_label(request(), sold_to_amateurs=None)),
    "not listed": ("label", lambda: request(product(crops=(limits("tomato"),)))),
    "no crop copied": (
        "our caution", lambda: with_label(request(), crops=(), crops_line="not copied")),
    "no crop printed": ("label", lambda: with_label(request(), crops_line="none")),
    "nothing left": ("our caution", lambda: with_label(request(), litres_left=0.0)),
    "bed closed by a label": ("label", lambda: copper_before(1, re_entry_hours=value(48.0))),
    "too soon": ("label", lambda: request(applied=(applied(product(), days_before(6)),))),
    "the label's ceiling": (
        "label", lambda: with_label(request(evening=replace(OPEN_EVENING, temperature_high_c=26.0)),
                                    max_temperature_c=value(25.0))),
    "our ceiling": (
        "our caution", lambda: request(evening=replace(OPEN_EVENING, temperature_high_c=33.0))),
    "the label's hours without rain": (
        "label", lambda: with_label(request(evening=replace(OPEN_EVENING, rain_chance_12h=0.9)),
                                    rain_free_hours=value(12.0))),
    "hours without rain shorter than ours": (
        "our caution",
        lambda: with_label(request(evening=replace(OPEN_EVENING, rain_chance_2h=0.9)),
                           rain_free_hours=value(1.0))),
    "the label's wind": (
        "label", lambda: with_label(request(evening=replace(OPEN_EVENING, wind_m_s=3.0)),
                                    max_wind_m_s=value(2.0))),
    "our wind": ("our caution", lambda: request(evening=replace(OPEN_EVENING, wind_m_s=4.1))),
    "our wind, under a laxer label": (
        "our caution", lambda: with_label(request(evening=replace(OPEN_EVENING, wind_m_s=4.1)),
                                          max_wind_m_s=value(9.0))),
    "no sprays here": ("garden", lambda: request(rules=GardenRules(no_sprays=True))),
    "gate": ("garden", lambda: request(rules=GardenRules(gate_closes=time(20)))),
    "the neighbour's": (
        "garden",
        lambda: request(planting=Planting("b", "B", "bean_bush", 1, neighbours_plot=True))),
    "pulled": (
        "garden",
        lambda: request(planting=Planting("b", "B", "bean_bush", 1, in_bloom=False,
                                          pulled=date(2026, 8, 1)))),
    "drift": (
        "our caution",
        lambda: request(surroundings=Surroundings(False, False,
                                                  (Neighbour("lettuce_leaf", 1.0, False),)))),
    "never in bloom, label": (
        "label", lambda: of("soap", bloom=value("never in bloom"), surroundings=BLOOM)),
    "line on bees not copied": (
        "our caution", lambda: of("soap", bloom=LabelLine(), surroundings=BLOOM)),
    "maximum": (
        "label",
        lambda: of("soap", crops=(limits(season_max=value(1)),),
                   applied=(applied(product(), days_before(30)),))),
}  # fmt: skip


@pytest.mark.parametrize("name", VOICES)
def test_who_forbids(name: str) -> None:
    who, make = VOICES[name]
    found = bars(make())
    assert found, name
    assert {bar.who for bar in found} == {who}, [bar.says for bar in found]
    assert all(bar.way_out and bar.rests_on for bar in found)


def test_at_each_limit_itself_it_may_still_be_done() -> None:
    for over in (
        {"temperature_high_c": 32.0}, {"wind_m_s": 4.0}, {"rain_chance_2h": 0.49},
    ):  # fmt: skip
        assert not bars(request(evening=replace(OPEN_EVENING, **over))), over
    oil = of("mineral_oil", evening=replace(OPEN_EVENING, temperature_low_c=10.0))
    assert not bars(oil)
    sulfur = of("sulfur", evening=replace(OPEN_EVENING, hottest_next_two_days_c=32.0))
    assert not bars(sulfur)
    for over in (
        {"temperature_high_c": 32.1}, {"wind_m_s": 4.1}, {"rain_chance_2h": 0.5},
        {"temperature_high_c": None}, {"rain_chance_2h": None}, {"rain_chance_12h": None},
    ):  # fmt: skip
        assert bars(request(evening=replace(OPEN_EVENING, **over))), over


def test_gate_hours_to_the_minute() -> None:
    def shut(**rules: time) -> bool:
        return bool(bars(request(rules=GardenRules(**rules))))

    ends = (TUESDAY + timedelta(minutes=15)).time()
    assert not shut(gate_closes=ends)
    assert shut(gate_closes=time(20, 24))
    assert not shut(gate_opens=TUESDAY.time())
    assert shut(gate_opens=time(20, 11))
    over_night = request(
        minutes=300.0, rules=GardenRules(gate_closes=time(21)), evening=OPEN_EVENING
    )
    assert any(bar.who == "garden" for bar in bars(over_night))


def test_picks_inside_the_interval_bar_and_the_last_of_them_says_until_when() -> None:
    first, second = TUESDAY + timedelta(hours=20), TUESDAY + timedelta(hours=23)
    (bar,) = bars(request(next_picks=(second, first)))
    assert bar.who == "label"
    assert bar.lapses == second
    assert "next pick Wed 5 Aug 16:10" in bar.says
    assert not bars(request(next_picks=(TUESDAY - timedelta(hours=1),)))
    clear = TUESDAY + timedelta(days=1, minutes=15)
    assert not bars(request(next_picks=(clear,)))
    no_line = request(product(crops=(limits(pre_harvest_days=NONE),)), next_picks=(first,))
    assert not bars(no_line)  # the next morning is over by then
    early = replace(no_line, next_picks=(TUESDAY + timedelta(hours=9),))
    assert voices(early) == {"our caution"}


def test_work_in_the_bed_while_it_is_closed_bars() -> None:
    ends = TUESDAY + timedelta(minutes=15)
    one, other = ends + timedelta(hours=1), ends + timedelta(hours=3)
    (bar,) = bars(request(work_in_bed=(other, one)))
    assert (bar.who, bar.lapses) == ("label", other)
    assert not bars(request(work_in_bed=(ends + timedelta(hours=4), TUESDAY - timedelta(hours=1))))
    ours = with_label(request(work_in_bed=(one,)), re_entry_hours=NONE)
    assert voices(ours) == {"our caution"}


def test_a_bed_closed_by_what_nobody_knows_stays_closed() -> None:
    lost = applied(product("btk", key="gone"), days_before(30))
    (bar,) = bars(request(applied=(lost,)))
    assert (bar.who, bar.lapses) == ("our caution", None)
    assert "nobody knows until when" in bar.says
    assert bar.way_out == "copy the re-entry line of what was used"


def test_oil_and_sulfur_say_whose_gap_it_is_and_when_it_ends() -> None:
    oil = product("mineral_oil", key="oil")
    past = applied(oil, days_before(13))
    asked = of("sulfur", applied=(past,))
    ours = replace(asked, shelf=(*asked.shelf, oil))
    (bar,) = bars(ours)
    assert (bar.who, bar.lapses) == ("our caution", datetime(2026, 8, 5, tzinfo=ZURICH))
    longer = with_label(ours, sulfur_oil_gap_days=value(20.0))
    (bar,) = bars(longer)
    assert (bar.who, bar.lapses) == ("label", datetime(2026, 8, 11, tzinfo=ZURICH))
    later = replace(ours, applied=(applied(oil, days_before(-5)),))
    (bar,) = bars(later)  # planned for the 9th: free when its gap is over too
    assert bar.lapses == datetime(2026, 8, 23, tzinfo=ZURICH)
    unknown = replace(asked, shelf=(asked.shelf[0],))  # the oil's label is not on the shelf
    assert any("30 days between oil" in bar.says for bar in bars(unknown))
    other = replace(ours, applied=(replace(past, planting="peas", bed="B"),))
    assert not bars(other)


def test_a_maximum_over_ground_or_year_lapses_when_it_may_be_asked_again() -> None:
    """A year after the second: counted from that one, the first and a third are one too many."""
    crop = limits(season_max=value(2), season_max_over="year", retreat_days=NONE)
    label = product(crops=(crop,))
    past = tuple(applied(label, days_before(days)) for days in (40, 20))
    (bar,) = bars(request(label, applied=past))
    assert bar.lapses == datetime(2027, 7, 16, tzinfo=ZURICH)
    assert "treatment 3 of at most 2" in bar.says
    for day, allowed in ((datetime(2027, 7, 15, 20, 10, tzinfo=ZURICH), False),
                         (datetime(2027, 7, 16, 20, 10, tzinfo=ZURICH), True)):  # fmt: skip
        again = request(label, applied=past, starts=day, evening=evening(day))
        assert may_treat(again, CAUTIONS).allowed is allowed, day
    per_crop = product(crops=(replace(crop, season_max_over="crop"),))
    (bar,) = bars(request(per_crop, applied=past))
    assert bar.lapses is None
    old = tuple(applied(label, days_before(days)) for days in (366, 367))
    assert not bars(request(label, applied=old))


def said(r: TreatmentRequest) -> str:
    return "\n".join(reason.says for reason in may_treat(r, CAUTIONS).reasons)


def test_cautions_that_bar_nothing_are_said_at_their_figures() -> None:
    def at(active: str = "soap", **over: Any) -> str:
        return said(of(active, evening=replace(OPEN_EVENING, **over)))

    near = "near the ceiling"
    assert near in at(temperature_high_c=29.5)
    assert near in at(temperature_high_c=32.0)
    assert near not in at(temperature_high_c=29.4)
    assert near not in at(temperature_high_c=32.1)
    assert near in at("sulfur", hottest_next_two_days_c=30.0)
    calm = "dead calm"
    assert calm in at(wind_m_s=0.4)
    assert calm not in at(wind_m_s=0.5)
    assert calm not in at(wind_m_s=None)
    wash = "may take some of it off"
    assert wash in at("btk", rain_chance_12h=0.5)
    rainy = request(product("btk"), evening=replace(OPEN_EVENING, rain_chance_12h=0.5))
    assert [one for one in conditions(may_treat(rainy, CAUTIONS)) if one.endswith(wash)]
    assert wash not in at("btk", rain_chance_12h=0.49)
    assert wash not in at("btk", rain_chance_12h=None)
    assert wash not in at("pyrethrins", rain_chance_12h=0.9, rain_chance_2h=0.0)
    assert "no forecast for that day yet" in at(forecast=False)
    assert "no forecast for that day yet" not in at(forecast=True)


@pytest.mark.parametrize(
    ("two", "twelve", "hours", "chance"),
    [(0.2, 0.6, 2, 0.2), (0.2, 0.6, 7, 0.4), (0.2, 0.6, 12, 0.6), (0.2, 0.6, 24, 0.84),
     (0.3, 0.1, 12, 0.3), (0.2, 0.6, 1, 0.2)],
)  # fmt: skip
def test_rain_between_and_past_the_two_figures(
    two: float, twelve: float, hours: float, chance: float
) -> None:
    """By hand: a tenth of the difference an hour; past 12 h dryness goes on to the power h/12."""
    sky = replace(OPEN_EVENING, rain_chance_2h=two, rain_chance_12h=twelve)
    assert rain_chance(sky, hours) == pytest.approx(chance)
    assert rain_chance(replace(sky, rain_chance_12h=None), 2) == two
    assert rain_chance(replace(sky, rain_chance_12h=None), 2.1) is None
    assert rain_chance(replace(sky, rain_chance_2h=None), hours) is None


def test_every_clause_is_asked_and_speaks_of_its_own() -> None:
    """One broken request for each clause: leave the clause out, and nothing else refuses it."""
    names = {clause.__name__ for clause in CLAUSES}
    assert names >= {
        "own_plants", "garden_rules", "label_in_hand", "pre_harvest", "re_entry", "retreat",
        "season_maximum", "sulfur_and_oil", "never_together", "overlap", "bloom",
        "evening_window", "heat", "rain", "wind", "wet_leaves", "no_forecast", "drift",
        "rotation", "in_a_row",
    }  # fmt: skip
    assert len(CLAUSES) == len(names)


def test_what_meets_on_one_evening_without_a_label_refuses() -> None:
    lost = applied(product("btk", key="gone"), TUESDAY - timedelta(hours=6), planting="beans")
    asked = request(applied=(lost,))
    assert any("meets btk of the same day" in bar.says for bar in bars(asked))
    water = replace(lost, product=None, method="water_jet", active="water_jet", group="")
    assert not bars(request(applied=(water,)))
    yesterday = replace(lost, at=days_before(1))
    assert not any("meets" in bar.says for bar in bars(request(applied=(yesterday,))))


def test_only_what_is_on_this_plant_moves_the_day_that_is_said() -> None:
    slow = product("copper_hydroxide", key="slow", crops=(limits(pre_harvest_days=value(9.0)),))
    row = applied(slow, days_before(3))
    water = replace(row, product=None, method="water_jet", active="water_jet")

    def said_of(*rows: Any) -> str:
        r = replace(request(), applied=rows, shelf=(product(), slow))
        return next(b.says for b in may_treat(r, CAUTIONS).reasons if "safe to pick" in b.says)

    own = "safe to pick from Wed 5 Aug 20:25"
    assert said_of().startswith(f"{own}, pick first")
    assert said_of(water).startswith(f"{own}, pick first")
    assert said_of(replace(row, planting="peas")).startswith(f"{own}, pick first")
    assert said_of(replace(row, planting="peas", product="lost")).startswith(f"{own}, pick first")
    assert said_of(row).startswith("safe to pick from Mon 10 Aug 20:10 (by")
    assert said_of(replace(row, at=days_before(-2))).startswith(f"{own}, pick first")  # comes after
    for lost in (
        replace(row, product="lost"), replace(row, product=None),
        replace(row, product="lost", method="water_jet"),
    ):  # fmt: skip
        assert said_of(lost).startswith("not known when"), lost


def test_a_treatment_planned_for_the_closed_bed_is_work_there() -> None:
    btk = product("btk", key="btk")
    after = applied(btk, TUESDAY + timedelta(hours=2), planting="peas")
    asked = request(applied=(after,), shelf=(product(), btk))
    (bar,) = bars(asked)
    assert bar.lapses == after.at
    assert bar.way_out == "do the other work in that bed first"
    elsewhere = replace(after, bed="B")
    assert not bars(replace(asked, applied=(elsewhere,)))
    same = applied(product(), TUESDAY + timedelta(minutes=20), planting="peas")
    assert not bars(replace(asked, applied=(same,)))  # one spraying, the next row
    jet = replace(elsewhere, product=None, method="water_jet", active="water_jet", bed="A",
                  at=TUESDAY - timedelta(hours=1))  # fmt: skip
    assert not bars(replace(asked, applied=(jet,)))  # water closes nothing


def test_a_label_whose_crops_were_copied_speaks_for_itself() -> None:
    tomato = (limits("tomato"),)
    for line, crops, who in (
        ("value", tomato, "label"), ("not copied", tomato, "label"), ("value", (), "label"),
        ("not copied", (), "our caution"), ("none", (limits(),), "label"),
    ):  # fmt: skip
        asked = with_label(request(), crops_line=line, crops=crops)
        assert {bar.who for bar in bars(asked) if "crops" in bar.rests_on[0]} == {who}, line


def test_minutes_from_none_on() -> None:
    assert not bars(request(minutes=0.0))
    with pytest.raises(InputError):
        may_treat(request(minutes=-0.5), CAUTIONS)


def test_lines_looked_at_are_counted_where_none_is_missing() -> None:
    looked = "label lines were looked at"
    assert looked in said(request())
    assert looked not in said(with_label(request(), bloom=LabelLine()))


def test_a_country_is_one_in_any_letters_and_never_none() -> None:
    assert not bars(with_label(replace(request(), country="ch"), country="CH"))
    assert bars(with_label(replace(request(), country=""), country=""))
