"""How often is a fair count said to disagree? Seasons played in nature, every count held to belief.

A grower who miscounts and misses visits looks and writes down; no spray fails. On some days
the newest counts are held against the belief as of the look before, as the sheet does it, and those
of the first evening against what was to be expected before anything was seen. With a prediction as
wide as it should be, one count in twenty lies outside nineteen in twenty, and half of the tails lie
below one half; of first finds, which are held against finds only, no more.

    python bench/at_odds.py [tuning|report] [SEASONS] [first]

Printed by organism, and for first evenings by themselves: counts checked, the shares of tails below
some bounds, and the share that the sheet calls at odds. `tuning` plays the years on which that
bound was chosen, `report` others; `first` plays up to the first evenings only.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from lattermath.belief.sighting_check import AT_ODDS
from lattermath.desk.at_odds import checks_of
from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.season_play import open_play, setting_dice
from lattermath.desk.season_setting import set_up

ORGANISMS = ("greenhouse_whitefly", "melon_aphid", "twospotted_spider_mite")
YEARS = {"tuning": range(1998, 2008), "report": range(2008, 2019)}
SEEDS = {"tuning": 9000, "report": 9500}
BOUNDS = (0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005)
DAYS = ((6, 13), (6, 29), (7, 9), (7, 19), (7, 29), (8, 8))  # month and day
USUAL_SEASONS = 6
Found = tuple[str, float, bool]


def played(kind: str, season: int, days: tuple[tuple[int, int], ...]) -> Iterator[Found]:
    """Tails of the newest counts of one season, by organism, and whether of its first evening."""
    year, seed = YEARS[kind][season % len(YEARS[kind])], SEEDS[kind] + season
    with tempfile.TemporaryDirectory() as folder:
        os.environ["LATTERMATH_CACHE"] = str(Path(folder) / "cache")
        (Path(folder) / "plot").mkdir()
        setting = set_up(Path(folder) / "plot", year, setting_dice(seed, year))
        play = open_play(setting, ORGANISMS, seed, treats=False)
        for month, day in days:
            today = date(year, month, day)
            play.visits_to(today, today)
            facts = play.facts(today)
            for organism in ORGANISMS:
                belief = believe_insects(facts, organism)
                if belief is not None:
                    for one, first in checks_of(facts, belief):
                        yield organism, one.tail, first


def main() -> None:
    """Play, and print a row a kind."""
    kind = sys.argv[1] if len(sys.argv) > 1 else "report"
    seasons = int(sys.argv[2]) if len(sys.argv) > 2 else USUAL_SEASONS
    tails: dict[str, list[float]] = defaultdict(list)
    days = DAYS[:1] if sys.argv[3:] == ["first"] else DAYS
    for season in range(seasons):
        for organism, tail, first in played(kind, season, days):
            for name in (organism, "all") if not first else (f"{organism}, first", "all, first"):
                tails[name].append(tail)
    for organism, found in sorted(tails.items()):
        shares = ", ".join(f"{b:g}: {sum(t < b for t in found) / len(found):.1%}" for b in BOUNDS)
        odd = sum(tail < AT_ODDS for tail in found) / len(found)
        print(f"{organism}: {len(found)} counts; tails below {shares}; said at odds {odd:.1%}")


if __name__ == "__main__":
    main()
