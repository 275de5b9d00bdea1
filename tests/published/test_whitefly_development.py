"""Development of the whiteflies against published durations.

Sources, as carried in the trade checks O1, O2, O3, O4, O6, O18, O20: Osborne 1982 and fourteen
other regressions (read in an open compilation of linear rates, the papers not opened); Kakimoto
2007 and Tsai and Wang 1996 (abstracts read); Capinera 2008, a Spanish plant-health page, a grower
note and pages on cabbage whitefly (pages read).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate

from lattermath.belief.life_answers import cohort, duration
from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LifeHistory
from lattermath.knowledge.tables import load_tables
from lattermath.science.development import daily_heat

TABLES = load_tables()
DEFAULTS = TABLES.constants["defaults"].figures


def life_of(organism: str) -> LifeHistory:
    return LifeHistory(read_life(TABLES.organisms[organism], DEFAULTS, TABLES.habits[organism]))


GREENHOUSE = life_of("greenhouse_whitefly")
SILVERLEAF = life_of("sweetpotato_whitefly")
CABBAGE = life_of("cabbage_whitefly")


def days(life: LifeHistory, temperature: float, host: str = "", stage: str = "egg-to-adult"):
    terms = life.figures.host(host, TABLES.crosswalk) if host else None
    return duration(life, stage, temperature, temperature, terms)


@pytest.mark.parametrize(
    ("low", "high", "lower", "upper", "published"),
    [(5, 25, 10, None, 6.090), (12, 28, 8.3, None, 11.7), (4, 14, 8.3, None, 1.957),
     (8, 34, 10.2, 33, 10.990)],
)  # fmt: skip
def test_heat_of_a_day_is_the_integral_of_its_sine(low, high, lower, upper, published) -> None:
    """O15, integrated numerically; +-0.05 C d."""
    assert daily_heat(low, high, lower, upper) == pytest.approx(published, abs=0.05)


def test_the_bend_is_the_integral_of_its_falling_slope() -> None:
    def slope(t: float) -> float:
        return 0.0 if t < 10 or t > 30 else min(1.0, (30 - t) / 6)

    for t in (12.0, 23.9, 25.0, 28.0, 30.0, 34.0):
        truth, _ = integrate.quad(slope, 0, t, points=[10, 24, 30], limit=200)
        assert daily_heat(t, t, 10, 30, 6) == pytest.approx(truth, abs=1e-6)


@pytest.mark.parametrize(
    ("temperature", "published"), [(18, 39.2), (20, 32.5), (22, 27.8), (25, 22.8)]
)
def test_a_cohort_of_greenhouse_whitefly_takes_osbornes_heat(temperature, published) -> None:
    """O2, run as a cohort of eggs without deaths; +-2 %."""
    steady = [float(temperature)] * 80
    run = cohort(GREENHOUSE, steady, steady, {"egg": 100.0}, mortality=False, reproduction=False)
    assert run.adult_day_50 == pytest.approx(published, rel=0.02)
    assert run.total[-1] == pytest.approx(100.0, rel=1e-5)
    assert run.adult_day_10 < run.adult_day_50 < run.adult_day_90


@pytest.mark.parametrize(
    ("temperature", "low", "high", "tolerance"),
    [(12, 103, 123, 0.20), (15, 51, 51, 0.15), (25, 21, 21, 0.15), (30, 18, 21, 0.20)],
)
def test_greenhouse_whitefly_on_tomato(temperature, low, high, tolerance) -> None:
    """O1."""
    ours = days(GREENHOUSE, temperature, "tomato").days
    assert low * (1 - tolerance) <= ours <= high * (1 + tolerance)


@pytest.mark.parametrize(("temperature", "low", "high"), [(21, 25, 30), (24, 22, 25)])
def test_greenhouse_whitefly_on_mixed_hosts(temperature, low, high) -> None:
    """O1, Capinera page; +-15 %."""
    assert low * 0.85 <= days(GREENHOUSE, temperature).days <= high * 1.15


def test_tomato_at_22_to_25_c_and_slower_pepper_and_the_curve_flattens() -> None:
    """O1: 28 d on tomato at 22-25 C; pepper 10-35 % slower; flat at 30 C."""
    at = [days(GREENHOUSE, t, "tomato").days for t in (22, 25)]
    assert at[1] * 0.85 <= 28 <= at[0] * 1.15
    slower = days(GREENHOUSE, 25, "pepper_sweet").days / days(GREENHOUSE, 25, "tomato").days
    assert 1.10 <= slower <= 1.35
    gain = [GREENHOUSE.pace(t + 1) - GREENHOUSE.pace(t) for t in (20, 29)]
    assert gain[1] < 0.8 * gain[0]


@pytest.mark.parametrize(
    ("temperature", "least", "median", "most"),
    [
        (18, 37.9, 43.8, 62.1),
        (20, 28.5, 35.5, 48.0),
        (25, 17.6, 22.2, 30.6),
        (30, 12.8, 16.4, 22.5),
    ],
)
def test_silverleaf_whitefly_lies_on_the_median_of_its_regressions(
    temperature, least, median, most
) -> None:
    """O6: the line within 12 % of the median, every host inside the wider range."""
    line = days(SILVERLEAF, temperature)
    assert line.days == pytest.approx(median, rel=0.12)
    assert line.low == pytest.approx(least, rel=0.12) and line.high <= most * 1.05
    for host in SILVERLEAF.figures.hosts:
        # half a unit of the last printed digit
        assert least - 0.05 <= days(SILVERLEAF, temperature, host).days <= most + 0.05


@pytest.mark.parametrize(
    ("host", "published"),
    [("eggplant", 21.8), ("cucumber", 22.4), ("sweet_pepper", 22.7), ("tomato", 25.6)],
)
def test_silverleaf_whitefly_on_four_vegetables(host, published) -> None:
    """O3, Kakimoto 2007 at 25 C; +-12 %."""
    assert days(SILVERLEAF, 25, host).days == pytest.approx(published, rel=0.12)


def test_silverleaf_whitefly_in_a_second_laboratory() -> None:
    """O4, Tsai and Wang 1996 at 25 C: 17.3 d eggplant, 20.9 d bean; +-25 % and their order."""
    eggplant, bean = days(SILVERLEAF, 25, "eggplant").days, days(SILVERLEAF, 25, "bean").days
    assert eggplant == pytest.approx(17.3, rel=0.25) and bean == pytest.approx(20.9, rel=0.25)
    assert eggplant < bean


@pytest.mark.parametrize("life", [GREENHOUSE, SILVERLEAF])
def test_eggs_hatch_in_about_a_week_of_midsummer(life) -> None:
    """O18 (a), common practice: 6 to 8 d at a mean of 24 to 26 C."""
    for mean in (24, 25, 26):
        assert 6 <= days(life, mean, stage="egg").days <= 8


def test_cabbage_whitefly_within_its_bounds() -> None:
    """O20: bounds, no targets."""
    assert days(CABBAGE, 21, stage="egg").days == pytest.approx(9, rel=0.2)
    for host in ("", "kale"):
        assert 19 <= days(CABBAGE, 25, host).days <= 26
        assert 38 <= days(CABBAGE, 15, host).days <= 55
    english = [(8, 30), (11, 31), (14.5, 30), (16.5, 31), (16.5, 31), (14, 30), (11, 31)]
    rate = sum(float(CABBAGE.pace(t)) * n for t, n in english)
    assert 3 <= rate <= 5


def test_frost_leaves_cabbage_whitefly_adults_alive_and_ends_tender_ones() -> None:
    """O20: -5 C leaves adults alive; the silverleaf whitefly dies at hard or repeated frost."""
    night = (np.full((1, 5), -5.0), np.full((1, 5), 4.0))
    hardy, tender = CABBAGE.cycle(*night), SILVERLEAF.cycle(*night)
    assert hardy.survival[0, :, -1].prod() == pytest.approx(1.0)
    assert tender.survival[0, :, -1].prod() < 1e-3


def test_host_order_of_cabbage_whitefly() -> None:
    """O20: sprouts and kale at least as good as broccoli and cauliflower, those above red."""
    terms = {h: CABBAGE.figures.host(h, TABLES.crosswalk) for h in CABBAGE.figures.hosts}
    assert terms["brussels_sprouts"].laying >= terms["broccoli_cauliflower"].laying
    assert terms["kale"].laying >= terms["broccoli_cauliflower"].laying
    assert terms["broccoli_cauliflower"].laying > terms["red_cabbage"].laying
    assert CABBAGE.figures.host("tomato", TABLES.crosswalk) is None


def test_a_host_that_no_table_names_is_none_and_never_suitable() -> None:
    assert SILVERLEAF.figures.host("lettuce_leaf", TABLES.crosswalk) is None
