"""Every crop of the table can be believed, waited for in cups and decided, whatever its start."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from tests.belief.season_cases import autumn, dice
from tests.planning.crop_cases import PLOT, visits

from lattermath.belief.crop_belief import believe
from lattermath.belief.lot_belief import believe_lot
from lattermath.knowledge.tables import load_tables
from lattermath.planning.fates import Choices
from lattermath.planning.ground import ground_of
from lattermath.planning.keep_or_replace import Table, decide
from lattermath.vocabulary.plot import Household, Planting, SeedPacket, StandbyLot

SEASON = autumn(date(2025, 8, 5))


@pytest.mark.parametrize("crop", list(load_tables().crops))
@pytest.mark.parametrize("start", ["sown", "set_out", "bearing_since", "nothing"])
def test_every_crop_and_start(crop: str, start: str) -> None:
    dates = {} if start == "nothing" else {start: date(2025, 6, 15)}
    planting = Planting("p", "P", crop, 6, "c", vigour="worn", **dates)
    belief = believe(planting, SEASON, [], dice)
    season_kg = 6 * belief.unknowns.plant_kg * np.maximum(belief.health, 1)
    assert np.isfinite(belief.kg).all() and (belief.kg >= 0).all()
    assert (belief.kg.sum(axis=1) <= season_kg * (1 + 1e-9)).all()
    lots = ()
    if belief.traits.nursery is not None:
        lots = (believe_lot(StandbyLot("l", crop, 5, date(2025, 7, 10)), SEASON),)
    packets = (SeedPacket(crop, 50), SeedPacket("chard", 50))
    ground = ground_of(PLOT, planting, belief.traits)
    about = Choices(belief, SEASON, ground, visits(SEASON), dice, lots, packets)
    found = decide(about, Table(Household()))
    assert sum(o.chance_best for o in found.verdict.options) == pytest.approx(1.0)
    for option in found.verdict.options:
        assert np.isfinite([option.kg.low, option.kg.high, option.value.median]).all()
    assert found.verdict.says and all(reason.rests_on for reason in found.verdict.because)
