"""What was treated lately is not called untreated, nor asked about where it was never counted.

Real weather of Champion, invented plants.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from tests.desk.test_young_in_beds import FLY, LOOKED, ON, STANDING, WAITING, infested, untreated

from lattermath.desk.did_it_work import did_it_work
from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.young_in_beds import with_young
from lattermath.vocabulary.events import Sighting, Treatment

WASHED = LOOKED + timedelta(hours=1)


@pytest.mark.parametrize(
    ("washed", "more"),
    [(WASHED, ""), (WASHED - timedelta(days=20), ", untreated: none beside its pest")],
)
def test_beside_young_plants(tmp_path: Path, washed: datetime, more: str) -> None:
    """Leaves taken off two days ago, or three weeks; its whitefly, also by kind, is told once."""
    plot = infested(tmp_path, 0.5, WAITING)
    key = planting_key(plot_now(plot), "Cucumbers")
    log(plot, Sighting(key, "whitefly", "count", "adult", "underside", 10, total=9), LOOKED)
    log(plot, Treatment((key,), "prune_leaves"), washed)
    facts, found = untreated(plot)
    near = with_young(facts, [found], {})["bare east"].near
    assert near is not None
    (told,) = near[next(iter({lot.crop for lot in facts.plot.lots}))]
    assert (
        told.told(facts.today_index).says == f"cucumbers «0.5 m» off have greenhouse whitefly{more}"
    )


def test_a_count_is_wanted_only_where_there_was_one_before(tmp_path: Path) -> None:
    for name, wanted in (("Cucumbers", True), ("Young cucumbers", False)):
        plot = infested(tmp_path, 0.5, STANDING.replace("2011-07-30", "2011-07-20"))
        key = planting_key(plot_now(plot), name)
        log(plot, Treatment((key,), "prune_leaves"), WASHED)
        facts, found = untreated(plot)
        says, _ = did_it_work(facts, found.cluster.belief)
        assert found.cluster.belief.organism == FLY and facts.today == ON
        assert ("a count there from" in says) is wanted, says
