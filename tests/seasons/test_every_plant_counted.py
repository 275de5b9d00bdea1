"""Caterpillars counted on every plant there is: the next day most of them are still reckoned."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import numpy as np
from tests.seasons.champion import PLACE, opened

from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.events import Sighting

COUNTS = (3, 1, 0, 2, 4, 1, 2, 0)
FILE = (
    PLACE
    + """
[[planting]]
key = "broccoli"
name = "Broccoli"
crop = "broccoli"
plants = 8
set_out = 2011-06-10
"""
)


def test_what_was_counted_on_all_plants_does_not_vanish_overnight(tmp_path: Path) -> None:
    """Thirteen were seen with eyes; a mild night takes no half of them in one case of ten."""
    opened(tmp_path, FILE)
    seen = Sighting("broccoli", "imported_cabbageworm", "count", "", counts=COUNTS)
    log(tmp_path, seen, datetime(2011, 7, 22, 18, 0))
    with open_journal(folder_at(tmp_path)) as journal:
        facts = facts_of(folder_at(tmp_path), journal, date(2011, 7, 23), None)
    belief = believe_insects(facts, "imported_cabbageworm")
    assert belief is not None
    young = [n for n, s in enumerate(belief.life.stages) if s.startswith("larva")]
    there = belief.past[:, 0, -1, young].sum(-1)
    low, middle, high = np.quantile(there, [0.1, 0.5, 0.9])
    assert low > sum(COUNTS) / 2
    assert sum(COUNTS) < middle < high < 5 * sum(COUNTS)
