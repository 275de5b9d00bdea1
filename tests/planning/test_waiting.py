"""Waiting for a second look: against closed forms, thrown plantings and every visit asked."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import autumn
from tests.planning.crop_cases import HOUSEHOLD, PLOT, SOUND, WORN, choices, cups, lots

from lattermath.planning import verdict_words
from lattermath.planning.fates import keeping
from lattermath.planning.ground import ground_of, with_neighbours
from lattermath.planning.keep_or_replace import Table, best, decide, settle, weigh
from lattermath.planning.new_plants import PLANT_SD, best_share, replacing_at
from lattermath.planning.waiting import later_visits, waited, words_at
from lattermath.vocabulary.plot import SeedPacket

TABLE = Table(HOUSEHOLD)


@pytest.mark.parametrize(("ill", "right"), [(0.4, 0.8), (0.4, 0.55), (0.15, 0.9), (0.7, 0.7)])
def test_a_second_look_is_worth_what_two_words_and_two_states_say(ill: float, right: float) -> None:
    """Sound plants keep 10 and sick ones 2; a replacement a week later brings 6.5 either way."""
    n = 200_000
    sick = np.arange(n) % 1000 < 1000 * ill
    sick = np.random.default_rng(1).permutation(sick)
    keep, later = np.where(sick, 2.0, 10.0), np.full(n, 6.5)
    words = np.where(sick[:, None], [1 - right, right], [right, 1 - right])
    by_word = []
    for word in (0, 1):
        well, bad = (1 - ill) * (right, 1 - right)[word], ill * (1 - right, right)[word]
        by_word.append(max(10 * well + 2 * bad, 6.5 * (well + bad)))
    found = waited([keep, later], words)
    assert found.value == pytest.approx(sum(by_word), abs=0.02)
    assert found.plain == (0 if 10 * (1 - ill) + 2 * ill > 6.5 else 1)


def test_a_look_that_tells_nothing_is_worth_nothing() -> None:
    """Luck of the draws must not be counted as knowledge: words that are alike for all draws."""
    rng = np.random.default_rng(2)
    gains = []
    for _ in range(200):
        ways = [rng.normal(0, 3, 200), rng.normal(0.1, 3, 200)]
        found = waited(ways, np.full((200, 4), 0.25))
        gains.append(found.value - max(way.mean() for way in ways))
    assert np.mean(gains) == pytest.approx(0.0, abs=0.02)


def test_words_are_as_likely_as_plantings_thrown_and_called() -> None:
    """Every draw's words, thrown a thousand times from its condition and age, by hand."""
    season = autumn(date(2025, 7, 16))
    old = replace(WORN, vigour="tired", sown=None, bearing_since=date(2025, 7, 4))
    about = choices(season, old, waiting=lots(season, cups(season, 14)))
    words = words_at(about, about.visits[1])
    assert words.sum(1) == pytest.approx(1.0)
    belief = about.belief
    ill = belief.condition.bears
    age = belief.age[:, about.visits[1]]
    early = (age + 40 < belief.unknowns.peak_days) & (ill == 1)
    late = age > belief.unknowns.end_days
    assert not early.any() or words[early, 0] == pytest.approx(0.8 / 0.945)
    assert words[late, 3] == pytest.approx(0.8 / 0.945)
    assert words[ill == 0.4, 2].mean() > words[ill == 1, 2].mean()


def test_the_visit_chosen_is_the_best_of_all_within_one_percent() -> None:
    """Every visit of four weeks is asked, where the program asks four and then every third."""
    for vigour in ("tired", "worn", "failing"):
        for days in (10, 14, 18):
            season = autumn(date(2025, 8, 5))
            old = replace(WORN, vigour=vigour)
            about = choices(season, old, waiting=lots(season, cups(season, days)))
            found = settle(about, TABLE)
            every = [best(weigh(list(f), about, TABLE)).mean for v in about.visits[:12]
                     if (f := replacing_at(about, v))]  # fmt: skip
            exact = max(*every, *(one.mean for one in found.kept))
            worth = found.chosen.mean if found.waits is None else found.waits.value
            assert worth >= 0.99 * exact  # of a second look, what it is worth with what it shows
            if found.chosen is found.swap and found.waits is None:
                assert found.chosen.outlook.begins is not None


def test_plants_that_stand_well_are_not_given_up_on_one_tired_glance() -> None:
    """Cucumbers that began to bear a week ago, called tired once; young ones wait in cups."""
    season = autumn(date(2025, 7, 16))
    tired = replace(SOUND, vigour="tired", bearing_since=date(2025, 7, 9))
    about = choices(season, tired, waiting=lots(season, cups(season, 20)))
    found = decide(about, TABLE)
    assert found.chosen.begins != about.visits[0] or found.chosen.fate in ("fight", "leave")


def test_waiting_is_said_with_the_day_of_the_look() -> None:
    """Where replacing would pay and waiting pays more, it is said, and when more is known."""
    said = []
    for day in range(1, 29, 3):
        season = autumn(date(2025, 7, day))
        for vigour in ("tired", "worn"):
            old = replace(WORN, vigour=vigour, sown=date(2025, 7, day) - timedelta(days=70))
            about = choices(season, old, packets=(SeedPacket("bean_bush", 80),))
            found = decide(about, TABLE)
            if found.waits:
                said += [one.says for one in found.verdict.because if "waiting pays" in one.says]
                assert found.chosen.begins != about.visits[0] or found.chosen.fate == "fight"
    assert said and all("more is known" in one for one in said)
    leave = keeping(about)[0]
    words = verdict_words.says(about, leave, HOUSEHOLD, waits=True)
    assert words.startswith("let run, look again on ")


def test_later_visits_lie_within_four_weeks() -> None:
    season = autumn(date(2025, 8, 5))
    about = choices(season, WORN)
    later = later_visits(about)
    assert later[0] == about.visits[1]
    assert set(later) <= set(about.visits) and later[-1] - about.visits[0] <= 28


@pytest.mark.parametrize(("best_of", "plants"), [(2, 4), (1, 3), (5, 10), (38, 76)])
def test_the_better_half_bears_more_than_half(best_of: int, plants: int) -> None:
    """Against many plants thrown with the spread that is taken, the best picked out."""
    rng = np.random.default_rng(5)
    own = np.exp(rng.normal(0, PLANT_SD, 400_000))
    own.sort()
    share = own[-int(len(own) * best_of / plants) :].sum() / own.sum()
    assert best_share(best_of, plants) == pytest.approx(share, abs=0.003)
    assert best_share(0, plants) == 0 and best_share(plants, plants) == 1


def test_half_a_row_gives_half_its_ground_and_goes_on_bearing() -> None:
    season = autumn(date(2025, 8, 5))
    about = choices(season, WORN, packets=(SeedPacket("bean_bush", 800),))
    whole, half = replacing_at(about, about.visits[0])
    assert (whole.keeps, half.keeps) == (0, 2)
    assert half.plants == pytest.approx(whole.plants / 2, abs=1)
    old_whole, old_half = whole.parts[0][1], half.parts[0][1]
    assert old_whole.sum() == 0
    left = about.belief.kg[:, about.today :].mean(0).sum()
    assert 0.3 * left < old_half.mean(0).sum() < left
    np.testing.assert_allclose(
        half.parts[1][1] * whole.plants, whole.parts[1][1] * half.plants, rtol=1e-9
    )


def test_ground_that_another_planting_fills_is_not_given_twice() -> None:
    """Half a row stays beside young plants that fill the rest of the bed: nothing more fits."""
    season = autumn(date(2025, 8, 5))
    traits = season.traits("cucumber_slicing")
    rest = replace(WORN, plants=2)
    alone = ground_of(PLOT, rest, traits)
    assert with_neighbours(alone, 7.2, 2.0) == alone
    full = with_neighbours(alone, 7.2, 7.2)
    assert full.area_m2 == 0
    about = choices(season, rest, waiting=lots(season, cups(season, 18)), ground=full)
    assert replacing_at(about, about.visits[0]) == []
