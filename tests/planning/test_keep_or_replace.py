"""Keep or replace: stories of a summer, brute force, and recomputation apart from the code."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import autumn, dice
from tests.planning.crop_cases import HOUSEHOLD, SOUND, WORN, choices, cups, lots

from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_traits import crop_traits
from lattermath.knowledge.tables import load_tables
from lattermath.planning.fates import Care, FateOutlook, Seen, keeping
from lattermath.planning.ground import Ground
from lattermath.planning.keep_or_replace import (
    Table,
    Weighed,
    best,
    decide,
    look_first,
    rest_of_plot,
    until_seen,
    weigh,
)
from lattermath.planning.last_visit import last_still_better
from lattermath.planning.new_plants import replacing_at
from lattermath.planning.season_left import usual_frost
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.plan import Fate
from lattermath.vocabulary.plot import Household, Planting, SeedPacket, Want

TODAY = date(2025, 8, 5)
TABLE = Table(HOUSEHOLD)
CHARD = crop_traits(load_tables(), "chard")


def test_a_worn_row_gives_way_to_a_ready_lot_early_in_august() -> None:
    season = autumn(TODAY)
    about = choices(season, WORN, waiting=lots(season, cups(season, 18)))
    found = decide(about, TABLE)
    verdict = found.verdict
    assert (verdict.verdict, verdict.choice) == ("replace", "set out standby now")
    assert verdict.chance_replacing_better > 0.6
    assert verdict.says == "replace tonight"
    assert verdict.decide_by is not None and date(2025, 8, 5) <= verdict.decide_by < date(
        2025, 9, 6
    )
    assert found.chosen.lot == "cups" and found.chosen.plants == 4


def test_a_sound_row_is_let_run_and_costs_nothing() -> None:
    season = autumn(TODAY)
    verdict = decide(choices(season, SOUND, waiting=lots(season, cups(season, 14))), TABLE).verdict
    assert (verdict.verdict, verdict.choice) == ("let run", "leave")
    assert verdict.chance_replacing_better < 0.5 and verdict.difference.median < 0


def test_by_mid_september_nothing_pays_any_more() -> None:
    season = autumn(date(2025, 9, 16))
    verdict = decide(choices(season, WORN, waiting=lots(season, cups(season, 14))), TABLE).verdict
    assert verdict.verdict != "replace" and verdict.decide_by is None


def test_a_lot_not_ready_is_waited_for_and_set_out_on_a_visit() -> None:
    season = autumn(TODAY)
    waiting = lots(season, cups(season, 5))
    found = decide(choices(season, replace(WORN, vigour="failing"), waiting=waiting), TABLE)
    assert found.verdict.choice == "wait for the lot"
    assert found.chosen.begins is not None
    assert found.chosen.begins >= waiting[0].ready_column()
    assert season.weather.day(found.chosen.begins).weekday() in (1, 3, 5)
    assert "replace on" in found.verdict.says


def test_soil_that_keeps_a_cause_bars_the_same_family_and_no_other() -> None:
    season = autumn(TODAY)
    sick = Ground(1.44, "Cucurbitaceae", "a wilt", "bed C")
    waiting = lots(season, cups(season, 14))
    open_to = replacing_at(
        choices(season, WORN, waiting=waiting, packets=(SeedPacket("bean_bush", 80),), ground=sick),
        season.weather.today,
    )
    assert {fate.crop for fate in open_to} == {"bean_bush"}
    bars = sick.suits(season.traits("summer_squash"))
    assert not bars.holds and bars.way_out


def test_spacing_decides_how_many_plants_go_in() -> None:
    """Four cucumbers at 30 x 120 cm leave room for one courgette at 75 x 120."""
    season = autumn(TODAY)
    waiting = lots(season, cups(season, 14, "summer_squash"))
    (fate,) = replacing_at(choices(season, WORN, waiting=waiting), season.weather.today)
    assert (fate.plants, fate.keeps) == (1, 0)  # beside two cucumbers that stay it has no room


def test_the_difference_is_the_draws_own_difference() -> None:
    """Worth of leaving and of the lot, worked out again from the kilograms, week by week."""
    season = autumn(TODAY)
    about = choices(season, WORN, waiting=lots(season, cups(season, 14)))
    outlooks = [keeping(about)[0], *replacing_at(about, season.weather.today)]
    weighed = weigh(outlooks, about, TABLE)
    first = season.weather.day(season.weather.today)
    for one in weighed:
        ((_, kg),) = one.outlook.parts
        worth = np.zeros(len(kg))
        column = 0
        while column < kg.shape[1]:
            days = min(7 - (first.toordinal() + column - 1) % 7, kg.shape[1] - column)
            portions = kg[:, column : column + days].sum(axis=1) * 1000 / 82  # as picked, table
            want = 8.0 * days / 7
            worth += np.minimum(portions, want) + 0.3 * np.clip(portions - want, 0, want)
            column += days
        worth -= one.outlook.minutes / 60 * 4.0 + one.outlook.litres * 0.01
        assert one.value == pytest.approx(worth)


@pytest.mark.parametrize("visits", [1, 2, 3, 4, 7, 12, 25])
def test_the_last_visit_is_found_wherever_it_lies(visits: int) -> None:
    columns = [100 + 2 * k for k in range(visits)]
    for last in range(visits):
        assert last_still_better(columns, lambda c, last=last: c <= columns[last]) == columns[last]
    assert last_still_better(columns, lambda c: False) is None


def test_decide_by_is_what_asking_at_every_visit_finds() -> None:
    season = autumn(TODAY)
    about = choices(season, WORN, waiting=lots(season, cups(season, 14)))
    verdict = decide(about, TABLE).verdict
    keep = max(weigh(keeping(about), about, TABLE), key=lambda w: w.mean)
    better = []
    for visit in about.visits:
        new = weigh(replacing_at(about, visit), about, TABLE)
        if new and max(w.mean for w in new) > keep.mean:
            better.append(season.weather.day(visit))
    assert verdict.decide_by == (better[-1] if better else None)


def test_the_last_day_is_never_before_the_day_it_is_replaced() -> None:
    """Away from the 10th: what goes in tonight would stand dry, what goes in on return would not.

    Asked at every visit besides: the last one that pays.
    """
    season = autumn(TODAY)
    about = choices(season, replace(WORN, vigour="failing"), waiting=lots(season, cups(season, 18)))
    away = range(season.weather.today + 5, season.weather.today + 13)
    about = replace(about, visits=tuple(v for v in about.visits if v not in away))
    later = next(v for v in about.visits if v >= away.stop)
    assert replacing_at(about, about.visits[0]) == []
    (given,) = [f for f in replacing_at(about, later) if f.lot == "cups" and not f.keeps]
    verdict = decide(about, TABLE, given=given).verdict
    assert verdict.says == f"replace on {said(season.weather.day(later))}"
    keep = max(weigh(keeping(about), about, TABLE), key=lambda w: w.mean).mean
    pays = [
        v
        for v in about.visits
        if any(w.mean > keep for w in weigh(replacing_at(about, v), about, TABLE))
    ]
    assert verdict.decide_by == season.weather.day(max([later, *pays]))


def test_chances_of_being_best_share_out_the_draws() -> None:
    season = autumn(TODAY)
    packets = (SeedPacket("bean_bush", 80), SeedPacket("kale", 30))
    about = choices(season, WORN, waiting=lots(season, cups(season, 14)), packets=packets)
    verdict = decide(about, TABLE).verdict
    assert sum(o.chance_best for o in verdict.options) == pytest.approx(1.0)
    assert {o.fate for o in verdict.options} == {
        "fight", "leave", "cover", "set out standby now", "another crop",
    }  # fmt: skip
    assert all(o.kg.low <= o.kg.median <= o.kg.high for o in verdict.options)
    n, p = 200, verdict.chance_replacing_better
    assert verdict.chance_error == pytest.approx((p * (1 - p) / n) ** 0.5)


def test_what_stays_is_priced_as_the_courses_leave_it() -> None:
    """They are gone through on it whether it is nursed or not: by hand."""
    season = autumn(TODAY)
    shape = (200, season.weather.n_days - season.weather.today)
    helps = np.full(200, 0.75)
    care = Care(np.full(shape, 0.2), np.full(shape, 0.9), work=12.0, treatments=2.0, helps=helps)
    bare = {fate.fate: fate for fate in keeping(choices(season, WORN))}
    told = {fate.fate: fate for fate in keeping(choices(season, WORN, care=care))}
    assert set(told) == set(bare) == {"leave", "fight", "cover"}
    for name, fate in told.items():
        np.testing.assert_allclose(fate.kg(), 0.9 * bare[name].kg())
        assert (fate.minutes - bare[name].minutes, fate.treatments) == (12.0, 2.0)
        assert fate.saves is helps


def test_what_a_course_saves_speaks_for_keeping() -> None:
    season = autumn(TODAY)
    shape = (200, season.weather.n_days - season.weather.today)
    waiting = lots(season, cups(season, 14))
    chances = []
    for fought in (0.1, 0.5, 1.0):
        care = Care(np.full(shape, 0.1), np.full(shape, fought))
        chances.append(decide(choices(season, WORN, care=care, waiting=waiting), TABLE)
                       .verdict.chance_replacing_better)  # fmt: skip
    assert chances[0] > chances[1] > chances[2]


def test_a_full_table_makes_new_plants_worth_less() -> None:
    season = autumn(TODAY)
    about = choices(season, WORN, waiting=lots(season, cups(season, 14)))
    beside = believe(replace(SOUND, key="other", plants=12), season, [], dice)
    rest = rest_of_plot([about.belief, beside], WORN.key, HOUSEHOLD, season)
    assert set(rest) == {"cucumber_slicing"}
    worth = [
        {option.fate: option.value.median for option in decide(about, table).verdict.options}
        for table in (TABLE, Table(HOUSEHOLD, rest))
    ]
    assert all(worth[1][fate] < worth[0][fate] for fate in worth[0])


def test_what_was_decided_before_counts_as_eaten() -> None:
    """A bed that will be sown with beans leaves less want of beans to the next."""
    season = autumn(TODAY)
    packets = (SeedPacket("bean_bush", 80),)
    about = choices(season, WORN, packets=packets)
    beans = next(f for f in replacing_at(about, about.visits[0]) if f.crop == "bean_bush")
    beside = believe(replace(SOUND, key="other"), season, [], dice)
    both = [about.belief, beside]
    decided = {"other": beans}
    left = rest_of_plot(both, WORN.key, HOUSEHOLD, season)
    sown = rest_of_plot(both, WORN.key, HOUSEHOLD, season, decided)
    filled = rest_of_plot(both, WORN.key, HOUSEHOLD, season, filled=[beans])
    assert "bean_bush" not in left
    # the same beans, less the old row that "other" was given up for: no want of theirs is met twice
    np.testing.assert_allclose(sown["bean_bush"], filled["bean_bush"])
    (value,) = (w.mean for w in weigh([beans], about, Table(HOUSEHOLD, filled)))
    (alone,) = (w.mean for w in weigh([beans], about, Table(HOUSEHOLD, left)))
    assert value < alone


def test_young_plants_are_not_sown_again_for_what_pests_may_take() -> None:
    """Beans sown nine days ago and the same beans sown today meet the same pests."""
    day = date(2025, 7, 10)
    season = autumn(day)
    young = Planting("row", "Row", "bean_bush", 40, sown=day - timedelta(days=9))
    n_left = season.weather.n_days - season.weather.today
    eaten = Care(left=np.full((200, n_left), 0.3), fought=np.full((200, n_left), 0.3))
    packets = (SeedPacket("bean_bush", 80),)
    about = choices(season, young, care=eaten, packets=packets)
    assert about.young
    found = decide(about, TABLE)
    assert found.verdict.verdict in ("fight", "let run")
    options = {option.fate: option.value.median for option in found.verdict.options}
    assert options["direct sow"] > options["leave"]  # pests alone would have spoken for sowing


def test_fleece_saves_what_a_light_frost_would_take() -> None:
    """A clear night of 0.2 C at the screen is -1.8 C at the leaf: it kills a cucumber at -0.5.

    Fleece keeps off two degrees, and the cucumber lives.
    """
    season = autumn(TODAY)
    weather = season.weather
    weather.t_min[:, weather.today :] = np.maximum(weather.t_min[:, weather.today :], 6.0)
    weather.t_max[:, weather.today :] = np.maximum(weather.t_max[:, weather.today :], 12.0)
    weather.t_min[:, weather.today + 20] = 0.2
    weather.t_max[:, weather.today + 20] = 14.0
    leave, _, cover = keeping(choices(season, SOUND))
    days = slice(20, None)
    assert leave.parts[0][1][:, days].sum() == 0
    assert cover.parts[0][1][:, days].sum() > 0


def test_what_bears_by_now_may_be_given_up_for_its_neighbours_and_what_bears_later_not() -> None:
    """Insects after the weeks that courses look ahead to are reckoned as if nobody treated."""
    season = autumn(TODAY)
    flies = Care(beside=np.full(200, 30.0))
    young = replace(SOUND, sown=TODAY - timedelta(days=14))
    fates = [
        {one.fate for one in keeping(choices(season, planting, care=flies))}
        for planting in (SOUND, young)
    ]
    assert ["pull" in several for several in fates] == [True, False]
    assert all({"leave", "fight"} <= several for several in fates)


def test_the_same_plot_gives_the_same_verdict_to_the_last_bit() -> None:
    verdicts = []
    for _ in range(2):
        season = autumn(TODAY)
        about = choices(season, WORN, waiting=lots(season, cups(season, 14)))
        verdicts.append(decide(about, TABLE).verdict)
    assert verdicts[0] == verdicts[1]


def test_a_close_call_is_looked_at_on_five_times_the_draws() -> None:
    """Wants are tuned until two fates lie close; a closer look must ask for 1,000 draws."""
    season = autumn(TODAY)
    waiting = cups(season, 14)
    asked: list[int] = []

    def again(wide):  # type: ignore[no-untyped-def]
        asked.append(wide.weather.n_draws)
        return believe(tired, wide, [], dice), lots(wide, waiting)

    tired = replace(SOUND, vigour="tired", sown=date(2025, 6, 1))
    close = False
    for portions in np.linspace(1.0, 14.0, 27):
        table = Table(Household(2, (Want("cucumber_slicing", float(portions)),)))
        about = choices(season, tired, waiting=lots(season, waiting))
        plain = decide(about, table)
        if plain.close:
            close = True
            verdict = decide(about, table, again).verdict
            p = verdict.chance_replacing_better
            assert verdict.chance_error == pytest.approx((p * (1 - p) / 1000) ** 0.5)
            assert p == pytest.approx(plain.verdict.chance_replacing_better, abs=0.12)
            break
    assert close and asked == [1000]


def test_late_bush_tomatoes_are_offered_in_july_and_warned_of_after() -> None:
    """Trade fact P4: set out early to mid or late July they bear before frost; later is warned."""
    warned = {}
    for day in (date(2025, 7, 5), date(2025, 7, 12), date(2025, 7, 31), date(2025, 8, 5)):
        season = autumn(day, coldest_c=-8.0)
        frost = season.weather.day(usual_frost(season))
        assert date(2025, 10, 15) <= frost <= date(2025, 10, 28)
        waiting = lots(season, cups(season, 35, "tomato_determinate"))
        fate, *_ = replacing_at(choices(season, WORN, waiting=waiting), season.weather.today)
        warned[day] = any("there will be fewer" in reason.says for reason in fate.reasons)
    assert list(warned.values()) == [False, False, True, True]


def test_every_reason_points_at_something() -> None:
    season = autumn(TODAY)
    verdict = decide(choices(season, WORN, waiting=lots(season, cups(season, 14))), TABLE).verdict
    assert len(verdict.because) >= 3
    for reason in verdict.because:
        assert reason.rests_on and all(":" in address for address in reason.rests_on)
    tables = [a for r in verdict.because for a in r.rests_on if a.startswith("table:")]
    for address in tables:
        table, row, column = address.removeprefix("table:").split("/")
        season.tables.rows[table][row].figure(column)


def test_of_equal_worth_the_heavier_is_taken_and_no_plants_for_nothing() -> None:
    """Worth and kilograms are set by hand; 0.05 portions count as none."""

    def fate(name: Fate, worth: float, kg: float) -> Weighed:
        outlook = FateOutlook(name, name, ((CHARD, np.full((4, 2), kg / 2)),))
        return Weighed(outlook, np.full(4, worth))

    light, heavy = fate("direct sow", 2.0, 1.0), fate("another crop", 1.96, 3.0)
    assert best([light, heavy]) is heavy and best([heavy, light]) is heavy
    assert best([light, fate("another crop", 1.94, 3.0)]) is light
    stays = fate("leave", 1.98, 0.5)
    assert best([stays, heavy]) is stays, "keeping and replacing are never tied"
    assert best([fate("direct sow", 0.01, 0.1), fate("another crop", -0.01, 9.0)]).mean > 0


@pytest.mark.parametrize("seen_there", [False, True])
def test_sound_plants_are_not_taken_out_for_what_nobody_saw_on_them(seen_there: bool) -> None:
    """Reckoned to be eaten and to cost the neighbours 30 portions: a look comes first."""
    season = autumn(TODAY)
    about = choices(season, replace(SOUND, vigour="sound"))
    shape = (200, about.belief.kg.shape[1] - about.today)
    lost = np.full(shape, 0.02)
    care = Care(left=lost, fought=lost, beside=np.full(200, 30.0), helps=np.zeros(200))
    if not seen_there:
        care = replace(care, seen=Seen(("green peach aphid",)))
    asked = until_seen(replace(about, care=care), TABLE)
    verdict = decide(asked, TABLE).verdict
    assert verdict.verdict == ("pull" if seen_there else "let run")
    says = [one.says for one in verdict.because]
    assert any("nobody has seen green peach aphid on it" in one for one in says) is not seen_there
    assert look_first(replace(about, care=care), TABLE) is not seen_there


def test_what_was_counted_and_is_doubted_takes_nothing_out() -> None:
    """A count that is more likely a slip of the pen: it is counted again first."""
    about = choices(autumn(TODAY), replace(SOUND, vigour="sound"))
    lost = np.full((200, about.belief.kg.shape[1] - about.today), 0.02)
    seen = Seen(doubted=("black bean aphid",))
    care = Care(left=lost, fought=lost, beside=np.full(200, 30.0), helps=np.zeros(200), seen=seen)
    verdict = decide(until_seen(replace(about, care=care), TABLE), TABLE).verdict
    assert verdict.verdict == "let run"
    told = [one for one in verdict.because if "written down of black bean aphid" in one.says]
    assert told[0].way_out == "count again there and write down what you find, none too"


def test_what_was_seen_there_takes_out_as_before() -> None:
    """Beside an insect that nobody saw there, one that was seen is reason enough."""
    season = autumn(TODAY)
    about = choices(season, SOUND)
    shape = (200, about.belief.kg.shape[1] - about.today)
    lost, beside, helps = np.full(shape, 0.02), np.full(200, 30.0), np.zeros(200)
    seen = Seen(("green peach aphid",), lost, lost, None, beside, helps)
    care = Care(left=lost, fought=lost, beside=beside, helps=helps, seen=seen)
    asked = until_seen(replace(about, care=care), TABLE)
    assert decide(asked, TABLE).verdict.verdict == "pull"
    assert not asked.care.look_first
