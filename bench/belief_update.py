"""How long does the belief of thirty plantings take after one sighting? In one process, as served.

The plot of `thirty_plantings.py`, with mildew seen on its courgettes. Everything is believed once
(and kept), one count of whitefly is logged, and everything that the plan believes is believed
again: the facts read from the journal, crops, each insect, each leaf disease. Printed: seconds on
the clock, seconds of processor time, and the load of the machine; by part, before and after.

    OPENBLAS_NUM_THREADS=1 python bench/belief_update.py [profile]

One thread for small matrices, as the command sets it for itself.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from thirty_plantings import SHOWN, ZONE, set_up

from lattermath.desk.crop_season import believe_crops, growing_season
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.leaf_disease_belief import followed_diseases
from lattermath.desk.log_visit import log
from lattermath.desk.plan_facts import facts_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.wiring import Folder, open_journal
from lattermath.vocabulary.events import Sighting

T = TypeVar("T")
MILDEW = "cucurbit_powdery_mildew"


@dataclass(slots=True)
class _Clock:
    """Seconds by part."""

    told: list[tuple[str, float, float]]

    def timed(self, what: str, work: Callable[[], T]) -> T:
        """Do the work and note its time."""
        wall, cpu = time.perf_counter(), time.process_time()
        done = work()
        self.told.append((what, time.perf_counter() - wall, time.process_time() - cpu))
        return done


def believed(folder: Folder, clock: _Clock) -> None:
    """All that a plan believes of this day."""

    def read() -> SeasonFacts:
        with open_journal(folder) as journal:
            return facts_of(folder, journal, SHOWN, None)

    facts = clock.timed("facts", read)
    season = growing_season(facts)
    clock.timed("crops", lambda: believe_crops(facts, season))
    seen = {e.payload.what for e in facts.events if isinstance(e.payload, Sighting)}
    for organism in facts.tables.organisms:
        if organism in seen:
            clock.timed(organism, lambda which=organism: believe_insects(facts, which, held=True))  # type: ignore[misc]
    clock.timed("leaf diseases", lambda: followed_diseases(facts))


def main() -> None:
    """Measure, and print a line a part."""
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["LATTERMATH_CACHE"] = str(Path(scratch) / "kept")
        folder = Folder(Path(scratch) / "plot")
        folder.path.mkdir()
        set_up(folder)
        evening = datetime(2011, 7, 27, 21, tzinfo=ZoneInfo(ZONE))
        for planting, percent in (("p5", 2.0), ("p15", 1.0)):
            look = Sighting(planting, MILDEW, "severity", percent=percent)
            log(folder.path, look, evening.replace(tzinfo=None))
        for _ in range(2):  # first with kernels to compile and nothing kept
            before = _Clock([])
            believed(folder, before)
        count = Sighting("p2", "greenhouse_whitefly", "count", "scales", counts=(12, 0, 3, 9, 4))
        log(folder.path, count, (evening + timedelta(days=2)).replace(tzinfo=None))
        after, profile = _Clock([]), cProfile.Profile()
        if sys.argv[1:] == ["profile"]:
            profile.runcall(believed, folder, after)
            pstats.Stats(profile).sort_stats("cumulative").print_stats(45)
        else:
            believed(folder, after)
        print(f"load {os.getloadavg()[0]:.1f}; seconds on the clock (of the processor)")
        print(f"{'':28} kept before     after one sighting")
        for kept, now in zip(before.told, after.told, strict=True):
            both = "   ".join(f"{wall:6.2f} ({cpu:5.2f})" for _, wall, cpu in (kept, now))
            print(f"{kept[0]:28} {both}")
        for name, clock in (("kept", before), ("after one sighting", after)):
            wall, cpu = (sum(one[n] for one in clock.told) for n in (1, 2))
            print(f"{name}: {wall:.2f} s on the clock, {cpu:.2f} of the processor")


if __name__ == "__main__":
    main()
