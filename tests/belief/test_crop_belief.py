"""What a planting probably is: dates, looks and pickings, against brute-force inference."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats
from tests.belief.season_cases import autumn, dice

from lattermath.belief.crop_belief import believe
from lattermath.belief.crop_growth import bearing_kg, begun_on, draw_unknowns, picking_age
from lattermath.belief.good_weeks import FRUIT_KG
from lattermath.belief.picking_fit import LEAST_FRUIT, PICKING_SD, SHARED_SD
from lattermath.vocabulary.events import Picking
from lattermath.vocabulary.plot import Planting

TODAY = date(2025, 8, 5)
COURGETTES = Planting("c", "Courgettes", "summer_squash", 2, set_out=date(2025, 6, 1))
BUSH = Planting("t", "Tomatoes", "tomato_determinate", 2, set_out=date(2025, 6, 1))
RUNS = 40
DAYS = [TODAY - timedelta(days=k) for k in (17, 14, 10, 7, 3)]


def _pickings(kg: float) -> list[tuple[date, Picking, int]]:
    return [(day, Picking("c", kg), 40 + k) for k, day in enumerate(DAYS)]


def test_heavy_and_light_pickings_move_the_yield_and_nothing_before_today() -> None:
    season = autumn(TODAY)
    plain = believe(COURGETTES, season, [], dice)
    heavy = believe(COURGETTES, season, _pickings(0.9), dice)
    light = believe(COURGETTES, season, _pickings(0.08), dice)
    ahead = slice(season.weather.today, None)
    medians = [np.median(b.kg[:, ahead].sum(axis=1)) for b in (light, plain, heavy)]
    assert medians[0] < medians[1] < medians[2]
    assert heavy.events == (40, 41, 42, 43, 44)


def test_against_brute_force_on_many_draws() -> None:
    """Importance weights on 20,000 fresh draws, worked out apart from the code under test."""
    season = autumn(TODAY)
    weather, traits = season.weather, season.traits("summer_squash")
    n = 20_000
    unknowns = draw_unknowns(traits, n, np.random.default_rng(99))
    climate = season.climate("summer_squash").until(weather.today)
    age = picking_age(
        traits, climate, unknowns, begun_on("set out", weather.column(COURGETTES.set_out), n)
    )
    kg = bearing_kg(climate, unknowns, age, 2)
    shared = np.linspace(-4, 4, 81)  # what all pickings have wrong together, by plain quadrature
    logs, size = np.zeros((n, len(shared))), 1 / PICKING_SD**2
    last = None
    for day in DAYS:
        column = weather.column(day)
        since = 7 if last is None else min(column - last, 7)
        fruit = kg[:, column - since + 1 : column + 1].sum(axis=1) / FRUIT_KG["summer_squash"]
        mean = np.maximum(fruit[:, None] * np.exp(SHARED_SD * shared), LEAST_FRUIT)
        logs += stats.nbinom.logpmf(1, size, size / (size + mean))
        last = column
    weight = np.exp(logs) @ stats.norm.pdf(shared)
    exact = (weight * unknowns.plant_kg).sum() / weight.sum()
    found = [
        believe(
            COURGETTES,
            season,
            _pickings(FRUIT_KG["summer_squash"]),
            lambda name, k=k: dice(f"{k} {name}"),
        )
        for k in range(RUNS)
    ]
    means = np.array([b.unknowns.plant_kg.mean() for b in found])
    assert means.mean() == pytest.approx(exact, abs=3 * means.std(ddof=1) / np.sqrt(RUNS))
    assert abs(exact - unknowns.plant_kg.mean()) > 0.15  # the pickings did say something


def test_a_draw_that_foretold_the_pickings_stays_as_it_was() -> None:
    """Chosen afresh among a thousand candidates, hardly one in two hundred would stay."""
    season = autumn(TODAY)
    plain = believe(COURGETTES, season, [], dice)
    after = believe(COURGETTES, season, _pickings(0.5), dice)
    assert (after.unknowns.plant_kg == plain.unknowns.plant_kg).mean() > 0.15


def test_other_futures_do_not_change_what_the_past_has_taught() -> None:
    here, there = autumn(TODAY, seed=7), autumn(TODAY, seed=7)
    there.weather.t_max[:, here.weather.today :] += 3.0
    one, two = (believe(COURGETTES, s, _pickings(0.5), dice) for s in (here, there))
    assert (one.unknowns.plant_kg == two.unknowns.plant_kg).all()
    assert (one.age[:, here.weather.today] == two.age[:, here.weather.today]).all()


def test_far_off_pickings_are_said_aloud() -> None:
    season = autumn(TODAY)
    few = believe(COURGETTES, season, _pickings(0.02), dice).disagrees
    assert few is not None and few.whole and not few.check.more
    assert believe(COURGETTES, season, _pickings(0.5), dice).disagrees is None


def test_a_picking_carried_home_in_two_bags_is_one_picking() -> None:
    season = autumn(TODAY)
    halves = [
        (day, Picking("c", kg), n)
        for day, kg, n in zip(DAYS * 2, [0.2] * 10, range(10), strict=True)
    ]
    whole, two_bags = (believe(COURGETTES, season, p, dice) for p in (_pickings(0.4), halves))
    assert (whole.kg == two_bags.kg).all() and whole.disagrees == two_bags.disagrees


def test_pickings_without_a_weight_teach_nothing_and_are_not_zero() -> None:
    season = autumn(TODAY)
    counted = [(day, Picking("c", None, 3), 1) for day in DAYS]
    plain, told = (believe(COURGETTES, season, p, dice) for p in ([], counted))
    assert (plain.kg == told.kg).all() and told.events == ()


def test_the_day_it_was_seen_to_bear_outranks_the_heat() -> None:
    season = autumn(TODAY)
    seen = Planting("p", "Peppers", "pepper_sweet", 3, bearing_since=TODAY - timedelta(days=12))
    belief = believe(seen, season, [], dice)
    assert belief.stage == "bearing" and belief.rough == ""
    assert belief.age[:, season.weather.today - 12] == pytest.approx(0.0)
    assert (belief.age[:, season.weather.today] > 5).all()


def test_a_first_picking_written_late_is_not_the_first_that_was_ripe() -> None:
    """Chard sown 85 days ago, ripe by the table after 50 to 60, and never written down before."""
    season = autumn(TODAY)
    chard = Planting("c", "Chard", "chard", 8, sown=TODAY - timedelta(days=85))
    plain = believe(chard, season, [], dice)
    week = slice(season.weather.today - 7, season.weather.today)
    usual = float(np.median(plain.kg[:, week].sum(axis=1)))
    told = [(TODAY, Picking("c", round(usual, 2)), 1)]
    late = believe(replace(chard, picked_first=TODAY), season, told, dice)
    assert late.disagrees is None
    assert np.median(late.age[:, season.weather.today]) > 5


def test_a_first_picking_makes_it_likely_that_it_was_ripe_that_week() -> None:
    season = autumn(TODAY)
    today = season.weather.today
    peppers = Planting("p", "Peppers", "pepper_sweet", 3, set_out=TODAY - timedelta(days=60))
    plain, told = (
        believe(one, season, [], dice).age[:, today]
        for one in (peppers, replace(peppers, picked_first=TODAY))
    )
    assert (told >= 0).mean() > max((plain >= 0).mean(), 0.9)


def test_no_dates_are_a_wide_guess_and_said_to_be_one() -> None:
    season = autumn(TODAY)
    belief = believe(Planting("n", "Aubergines", "eggplant", 3), season, [], dice)
    today = belief.age[:, season.weather.today]
    assert "dated" in belief.rough
    assert today.min() < -5 and today.max() > 25


def test_doubtful_dates_widen_the_age() -> None:
    season = autumn(TODAY)
    sure = Planting("d", "Kale", "kale", 5, set_out=date(2025, 6, 20))
    unsure = Planting("d", "Kale", "kale", 5, set_out=date(2025, 6, 20), about_days=12)
    spreads = [
        believe(p, season, [], dice).age[:, season.weather.today].std() for p in (sure, unsure)
    ]
    assert spreads[1] > spreads[0] * 1.1


@pytest.mark.parametrize(
    ("crop", "dates", "words"),
    [
        ("tomato_indeterminate", {"sown": date(2025, 4, 10)}, "through the cup"),
        ("bean_bush", {"set_out": date(2025, 6, 10)}, "through the cup"),
        ("carrot", {"set_out": date(2025, 6, 10)}, "sown in place"),
    ],
)
def test_a_start_the_tables_do_not_know_is_reckoned_and_said(
    crop: str, dates: dict[str, date], words: str
) -> None:
    belief = believe(Planting("s", "S", crop, 4, **dates), autumn(TODAY), [], dice)
    assert words in belief.rough
    assert np.isfinite(belief.first_pick_column()).mean() > 0.9


def test_beans_from_cups_are_ahead_of_beans_sown_by_the_days_in_the_cup() -> None:
    """Twelve days in the cup, less four of check: set out, they come eight days sooner."""
    traits = autumn(TODAY).traits("bean_bush")
    sown, out = traits.growth_need("sown"), traits.growth_need("set out")
    assert sown.days[0] - out.days[0] == pytest.approx(12 - 4)
    tomato = autumn(TODAY).traits("tomato_determinate")
    assert tomato.growth_need("sown").days[0] == pytest.approx(48 + 35 - 4)


def test_the_packet_outranks_the_table() -> None:
    season = autumn(TODAY)
    early, late = (
        believe(
            replace(BUSH, days_to_maturity=d),
            season, [], dice,
        )
        for d in (50, 80)
    )  # fmt: skip
    assert np.median(early.first_pick_column()) + 15 < np.median(late.first_pick_column())


def test_a_worn_look_leaves_doubt_and_a_sound_one_none() -> None:
    season = autumn(TODAY)
    sound, worn = (
        believe(replace(COURGETTES, vigour=v), season, [], dice) for v in ("sound", "worn")
    )
    assert (sound.health == 1).all() and (sound.condition.bears == 1).all()
    ill = worn.condition.bears < 1
    assert 0.1 < ill.mean() < 0.9  # some of its look is age, and words can be wrong
    assert (worn.health[~ill] == 1).all()
    assert worn.health.mean() == pytest.approx(1.0, abs=0.06)
    assert 0.15 < np.log(worn.health[ill]).std() < 0.35
    today = season.weather.today
    as_grown = bearing_kg(worn.climate, worn.unknowns, worn.age, 2)
    assert worn.kg[:, :today] == pytest.approx(as_grown[:, :today])
    assert worn.kg[:, today:] == pytest.approx(as_grown[:, today:] * worn.health[:, None])


def test_stages_follow_one_another() -> None:
    """Beans sown earlier and earlier: each stage comes once, in order."""
    season = autumn(TODAY)
    seen: list[str] = []
    for days in range(5, 100, 3):
        beans = Planting("b", "Beans", "bean_bush", 50, sown=TODAY - timedelta(days=days))
        stage = believe(beans, season, [], dice).stage
        if not seen or seen[-1] != stage:
            seen.append(stage)
    assert seen == ["growing", "in flower", "bearing", "past its peak", "spent"]
