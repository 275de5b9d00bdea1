"""Efficacy rows read as kill by stage, and treatments as shares left alive."""

from __future__ import annotations

import numpy as np
import pytest

from lattermath.belief.life_figures import read_life
from lattermath.belief.treatment_effect import Effect, effect_of, without
from lattermath.belief.treatment_kills import Application, kills_of, reach_of
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
LIFE = read_life(
    TABLES.organisms["greenhouse_whitefly"],
    TABLES.constants["defaults"].figures,
    TABLES.habits["greenhouse_whitefly"],
)


def against_whitefly(method: str, organism: str = "greenhouse_whitefly") -> Effect | None:
    return effect_of(TABLES.methods[method], organism, ["whitefly"], LIFE.stages)


def test_soap_spares_eggs_and_late_scales_and_takes_young_nymphs() -> None:
    """Table rows (practice): 40/65/85 % of young nymphs with a garden sprayer, eggs 0/10/30 %."""
    soap = against_whitefly("soap")
    assert soap is not None
    assert soap.kill["nymph2"] == pytest.approx((0.40, 0.65, 0.85))
    assert soap.kill["egg"] == pytest.approx((0.0, 0.10, 0.30))
    assert soap.kill["nymph4_pupa"][1] < 0.5 * soap.kill["nymph3"][1]
    assert soap.half_life_days is None and soap.by_surface


def test_a_figure_of_three_sprays_is_taken_to_one() -> None:
    """cuke2021 (abstract read): three sprays 93 % of adults; one alone 1 - 0.07^(1/3)."""
    neem = against_whitefly("neem_oil")
    assert neem is not None
    assert neem.kill["adult"][1] == pytest.approx(1 - 0.07 ** (1 / 3), abs=1e-6)
    assert "egg" not in neem.kill  # a population reduction is no egg kill


def test_a_wasp_of_one_whitefly_does_nothing_to_another() -> None:
    assert against_whitefly("encarsia", "cabbage_whitefly") is None
    greenhouse, silverleaf = (
        against_whitefly("encarsia", o) for o in ("greenhouse_whitefly", "sweetpotato_whitefly")
    )
    assert greenhouse is not None and silverleaf is not None
    assert greenhouse.kill["nymph4_pupa"][1] > silverleaf.kill["nymph4_pupa"][1]


@pytest.mark.parametrize("method", ["row_cover", "sticky_cards", "iron_phosphate"])
def test_what_kills_nobody_on_the_plant_is_no_treatment(method) -> None:
    assert against_whitefly(method) is None


def test_pruning_takes_late_scales_as_well() -> None:
    """azam1997 (abstract read): 65.5 % of nymphs sit on the lower third, 13.3 % of eggs."""
    prune = against_whitefly("prune_leaves")
    assert prune is not None and not prune.by_surface
    assert prune.kill["nymph4_pupa"][1] == pytest.approx(0.60)
    assert prune.kill["egg"][1] == pytest.approx(0.13)


def test_draws_hit_the_printed_range() -> None:
    soap = against_whitefly("soap")
    assert soap is not None
    kill = soap.draws(LIFE.stages, np.array([0.1, 0.5, 0.9]))
    assert kill[:, LIFE.stages.index("nymph2")] == pytest.approx([0.40, 0.65, 0.85])
    assert "adult" not in without(soap, ["adult"]).kill


def test_a_spray_of_the_tops_reaches_one_in_ten() -> None:
    soap = against_whitefly("soap")
    assert soap is not None
    assert reach_of(soap, ("top",), 0.7, LIFE) == pytest.approx(0.1)
    assert reach_of(soap, ("underside", "top"), 0.7, LIFE) == pytest.approx(1.0)
    assert reach_of(soap, ("underside",), 0.35, LIFE) == pytest.approx(0.45)


def test_kills_lie_on_their_day_and_planting_only() -> None:
    soap = against_whitefly("soap")
    assert soap is not None
    reach = reach_of(soap, ("underside", "top"), 0.7, LIFE)
    kills = kills_of(
        [Application(3, soap, (1,), reach), Application(3, soap, (1,), reach)],
        {"soap": np.array([0.5])}, LIFE.stages, np.zeros(10), 2, 1,
    )  # fmt: skip
    assert list(np.flatnonzero(kills.event_of_day >= 0)) == [3]
    assert kills.left[0, 0, 0] == pytest.approx(np.ones(6))
    assert kills.left[0, 0, 1, LIFE.stages.index("nymph2")] == pytest.approx(0.35**2)


def test_a_deposit_kills_over_days_what_the_week_figure_says() -> None:
    spinosad = against_whitefly("spinosad")
    assert spinosad is not None and spinosad.kill_days == 5
    kills = kills_of(
        [Application(2, spinosad, (0,), np.ones(6))],
        {"spinosad": np.array([0.5])}, LIFE.stages, np.zeros(14), 1, 1,
    )  # fmt: skip
    days = np.flatnonzero(kills.event_of_day >= 0)
    assert list(days) == [2, 3, 4, 5, 6]
    adult = LIFE.stages.index("adult")
    left = kills.left[0, kills.event_of_day[days], 0, adult].astype(float)
    assert np.all(np.diff(left) > 0)
    assert left.prod() == pytest.approx(1 - spinosad.kill["adult"][1], abs=0.04)
