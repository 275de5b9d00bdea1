"""Growth of the whiteflies against published life tables and field survival.

Sources, as carried in the trade checks O3, O5, O16, O17, O21: Kakimoto 2007, Sporleder 2023,
Johnson 1992, Noldus and co-workers, Naranjo and Ellsworth 2005 (abstracts read).
"""

from __future__ import annotations

import numpy as np
import pytest
from tests.belief.cluster_cases import stands

from lattermath.belief.life_figures import read_life
from lattermath.belief.life_history import LONE_FLIGHT, LifeHistory
from lattermath.knowledge.tables import load_tables
from lattermath.planning.stakes import Stakes
from lattermath.science.adult_flight import mean_displacement, settle_matrix
from lattermath.science.insect_damage import insect_days
from lattermath.science.life_table import growth_of, net_maternity
from lattermath.science.stage_cohorts import Setting, run_cohorts
from lattermath.science.stage_layout import just_entered, spread_evenly

TABLES = load_tables()
DEFAULTS = TABLES.constants["defaults"].figures


def life_of(organism: str) -> LifeHistory:
    return LifeHistory(read_life(TABLES.organisms[organism], DEFAULTS, TABLES.habits[organism]))


GREENHOUSE = life_of("greenhouse_whitefly")
SILVERLEAF = life_of("sweetpotato_whitefly")
HOSTS = {"eggplant": 0.168, "cucumber": 0.153, "sweet_pepper": 0.143, "tomato": 0.110}


def alone(n_days: int, n_plantings: int = 1, settle=None) -> Setting:
    stay = np.eye(n_plantings) if settle is None else settle
    return Setting(
        np.ones((1, n_days, n_plantings), dtype=np.float32),
        np.zeros((1, n_days, n_plantings), dtype=np.float32),
        stay,
        np.zeros(n_days, dtype=np.float32),
        stay,
    )


@pytest.mark.parametrize(("host", "published"), HOSTS.items())
def test_rate_of_increase_on_four_vegetables(host, published) -> None:
    """O3 at 25 C with every egg a mother, as the paper counts; +-0.02 a day."""
    terms = SILVERLEAF.figures.host(host, TABLES.crosswalk)
    growth = SILVERLEAF.growth(25, terms, female=1.0)
    assert growth.r == pytest.approx(published, abs=0.02)
    assert growth.r == pytest.approx(np.log(growth.r0) / growth.generation_days, rel=1e-9)


@pytest.mark.parametrize(
    ("days", "eggs", "r0", "low", "high"),
    [(21.8, 221.3, 185.1, 0.168, 0.179), (22.4, 167.6, 130.7, 0.152, 0.162),
     (22.7, 92.3, 73.1, 0.131, 0.140), (25.6, 62.9, 36.1, 0.097, 0.104)],
)  # fmt: skip
def test_lotka_euler_with_exponential_adults_gives_the_worked_rates(days, eggs, r0, low, high):
    """O3, derived there: pre-laying 1 d, exponential adult life of 18 to 12 d."""
    for life, expected in ((18.0, low), (12.0, high)):
        ages, born = net_maternity(days, 0.05, r0 / eggs, 1.0, life, 1.0, eggs / life)
        # The wait is inside adult life here, after it there: the dead of the first day are lost.
        ages, born = ages, born * r0 / born.sum()
        assert growth_of(ages, born).r == pytest.approx(expected, abs=0.003)


def test_thermal_window_of_the_silverleaf_whitefly() -> None:
    """O5: r above 0 from 13.9 +-1.5 to 33.4 +-2 C, best at 26.4 +-2 C with 0.151 +-0.03."""
    heat = np.arange(10.0, 38.0, 0.1)
    r = np.array([SILVERLEAF.growth(float(t)).r for t in heat])
    growing = heat[r > 0]
    assert growing[0] == pytest.approx(13.9, abs=1.5)
    assert growing[-1] == pytest.approx(33.4, abs=2.0)
    assert heat[r.argmax()] == pytest.approx(26.4, abs=2.0)
    assert r.max() == pytest.approx(0.151, abs=0.03)


@pytest.mark.parametrize("life", [GREENHOUSE, SILVERLEAF])
def test_the_population_kernel_grows_as_lotka_and_euler_say(life) -> None:
    """One insect model, two methods: the cohort run and the integral equation; 1 % of r."""
    warm = np.full((1, 260), 24.0)
    cycle = life.cycle(warm, warm)
    start = spread_evenly(life.layout, [1.0] * len(life.stages))[None, None]
    total = run_cohorts(cycle, alone(260), start).sums[0, 0].astype(np.float64).sum(-1)
    assert np.log(total[-1] / total[-41]) / 40 == pytest.approx(life.growth(24.0).r, rel=0.01)


@pytest.mark.parametrize(("field", "low", "high"), [(0.08, 0.03, 0.13), (0.3, 0.15, 0.35)])
def test_survival_in_the_field(field, low, high) -> None:
    """O21: low end 3-13 % from egg to adult, default 15-35 %."""
    assert low <= emerged(field) <= high


def test_without_deaths_every_egg_becomes_adult() -> None:
    """O21: with mortality off, no deaths."""
    assert emerged(1.0, mortality=False) == pytest.approx(1.0, abs=1e-5)


def emerged(field: float, mortality: bool = True) -> float:
    warm = np.full((1, 90), 25.0)
    cycle = SILVERLEAF.cycle(
        warm, warm, field, reproduction=False, mortality=mortality, ageing=False
    )
    start = just_entered(SILVERLEAF.layout, "egg", 1.0)[None, None]
    return float(run_cohorts(cycle, alone(90), start).sums[0, 0, -1, -1])


def test_under_full_natural_mortality_tomato_hardly_feeds_a_population() -> None:
    """O21: R0 near 3 before the sex ratio, so the plot may stand still."""
    terms = SILVERLEAF.figures.host("tomato", TABLES.crosswalk)
    everyone = SILVERLEAF.growth(25, terms, female=1.0, field=0.08)
    assert 1.5 <= everyone.r0 <= 6
    assert SILVERLEAF.growth(25, terms, field=0.08).r < 0.045


def feeding_loss(insect_days_a_cm2: float, days_for_5_percent: float) -> float:
    """As every course is priced: so many immature ones feed for one day on each cm2 of leaf."""
    home = stands()[0]
    stakes = Stakes.of((home,), np.ones(1), np.ones((1, 1)), days_for_5_percent)
    there = np.full((1, 1, 2, 1), insect_days_a_cm2 * home.leaf_area_cm2)
    return 1.0 - float(stakes.kept(there)[0, 0, 0])


def test_yield_loss_goes_through_johnsons_points() -> None:
    """O16: (0, 0) and 5 % at 70 immature-days per cm2; the mould curve is separate, 5 % at 300."""
    found = [feeding_loss(days, 70.0) for days in (0.0, 70.0)]
    assert found == pytest.approx([0.0, 0.05], abs=1e-12)
    assert feeding_loss(300.0, 300.0) == pytest.approx(0.05, abs=1e-12)
    assert feeding_loss(35.0, 70.0) == pytest.approx(0.025, rel=0.02)  # near to linear
    assert insect_days([0.0, 2.0, 2.0]) == pytest.approx(3.0)


@pytest.mark.parametrize(("low", "high", "least", "most"), [(20, 28, 1.0, 1.5), (6, 12, 0.0, 1e-6)])
def test_adults_from_one_plant_spread_little_more_than_a_metre(low, high, least, most) -> None:
    """O17: 100-150 cm in 3 warm days, none below about 12 C, the nearest neighbours gain most."""
    steps = np.arange(-7.0, 7.01, 0.7)
    places = np.stack([axis.ravel() for axis in np.meshgrid(steps, steps)], axis=1)
    n, centre = len(places), len(places) // 2
    life = GREENHOUSE
    settle = settle_matrix(
        places[:, None], np.ones(n), np.ones(n), LONE_FLIGHT * life.figures.flight_m
    )
    cycle = life.cycle(
        np.full((1, 3), float(low)),
        np.full((1, 3), float(high)),
        mortality=False,
        reproduction=False,
    )
    start = np.zeros((1, n, life.layout.n_classes))
    start[0, centre] = just_entered(life.layout, "adult", 1000.0)
    after = run_cohorts(cycle, alone(3, n, settle), start).sums[0, :, 3, -1].astype(np.float64)
    assert least <= mean_displacement(places, after, centre) <= most
    if most > 1:
        away = np.hypot(*(places - places[centre]).T)
        rings = [after[np.isclose(away, 0.7 * k)].mean() for k in (1, 2, 3, 4)]
        assert rings == sorted(rings, reverse=True)
