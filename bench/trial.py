"""Does it help? Seasons in nature under four ways of treating, on the same plots and weather.

Each season is an invented plot of four plantings in a weather year of the demonstration's record,
with whitefly, aphids and mites, a grower who comes twice a week, miscounts and misses visits, and a
shelf that holds soap with an invented label. Leaves are turned from 24 June, treatments are allowed
from 8 July to 11 August, and everything is watered and picked to 30 September. All policies meet
the same plot, weather, eyes and missed visits (common random numbers); the planner sees what was
logged and the weather up to the day.

    nothing         picks and waters
    rule of thumb   sprays what it sees, three times, six days apart
    action number   sprays where a count reaches the published or customary number
    the plan        asks the plan at each visit and does its treatments

The first three treat with soap only, and only where the same rulings allow it. Nobody replaces.

    python bench/trial.py [--seasons N] [--seed S] [--workers W] [--csv FILE]

Intervals are 95 % of 10,000 bootstraps over seasons. Ctrl-C prints the seasons that are whole.
"""

from __future__ import annotations

import argparse
import csv
import dataclasses
import os
import sys
import tempfile
import time
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lattermath.desk.outside_world import OutsidePlot
from lattermath.desk.season_play import setting_dice
from lattermath.desk.season_setting import set_up
from lattermath.desk.season_trial import Calendar, Outcome, open_season, play
from lattermath.desk.trial_policies import policies

FloatArray = NDArray[np.float64]

SEASONS, SEED, WORKERS = 10, 31_000, 2
YEARS = range(2008, 2019)  # the report years of the calibration: none mended the belief
ORGANISMS = ("greenhouse_whitefly", "melon_aphid", "twospotted_spider_mite")
CROPS = (
    ("eggplant", 4),
    ("cucumber_slicing", 4),
    ("bean_pole", 8),
    ("melon", 4),
)
LABEL = """
[visiting]
days = ["tue", "sat"]
arrive = 18:30:00
minutes = 100
[[shelf]]
key = "soap"
name = "Shelf soap (invented)"
active = "soap"
form = "spray"
country = "invented"
sold_to_amateurs = true
organic_input = true
re_entry_hours = 4
max_temperature_c = 30
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
invented = true
"""
CROP_OF_LABEL = """[shelf.crops.{crop}]
pre_harvest_days = 1
retreat_days = 5
season_max = 6
rate_ml_per_l = 20
max_l_per_m2 = 0.3
plant_back_days = "none"
"""
BOOTSTRAPS = 10_000


def shelf(crops: Iterable[str]) -> str:
    """The invented label, for these crops."""
    return LABEL + "".join(CROP_OF_LABEL.format(crop=crop) for crop in dict.fromkeys(crops))


def calendar(year: int) -> Calendar:
    """The days of a season's trial."""
    return Calendar(date(year, 6, 24), date(year, 7, 8), date(year, 8, 12), date(year, 10, 1))


def season(number: int, seed: int) -> list[Outcome]:
    """One season under every policy."""
    year, seed = YEARS[number % len(YEARS)], seed + number
    outcomes = []
    with tempfile.TemporaryDirectory() as cache:
        os.environ["LATTERMATH_CACHE"] = cache
        for policy in policies("soap"):
            with tempfile.TemporaryDirectory() as folder:
                also = shelf(crop for crop, _ in CROPS)
                dice = setting_dice(seed, year)
                setting = set_up(Path(folder), year, dice, CROPS, "invented", also)
                opened = open_season(setting, OutsidePlot(Path(folder)), ORGANISMS, seed)
                outcomes.append(play(opened, policy, calendar(year), seed))
    return outcomes


def interval(values: FloatArray, rng: np.random.Generator) -> tuple[float, float, float]:
    """Mean over seasons, and its 95 % interval by bootstrap."""
    drawn = values[rng.integers(0, len(values), (BOOTSTRAPS, len(values)))].mean(1)
    low, high = np.quantile(drawn, (0.025, 0.975))
    return float(values.mean()), float(low), float(high)


def column(rows: Sequence[Outcome], policy: str, name: str) -> FloatArray:
    """One quantity of one policy, by season in the order of seeds."""
    mine = sorted((row for row in rows if row.policy == policy), key=lambda row: row.seed)
    found = [getattr(row, name) for row in mine]
    return np.array([len(one) if isinstance(one, tuple) else one for one in found], float)


def table(rows: Sequence[Outcome]) -> Iterable[str]:
    """The lines printed."""
    names = list(dict.fromkeys(row.policy for row in rows))
    rng = np.random.default_rng(1)
    shown = ("kg", "fed", "sprays", "handwork", "hours", "faults", "barred", "shut", "left")
    yield f"{'a season':16s}" + "".join(f"{name:>22s}" for name in shown)
    for policy in names:
        cells = [interval(column(rows, policy, name), rng) for name in shown]
        yield f"{policy:16s}" + "".join(f"{m:8.2f} ({a:5.1f}, {b:5.1f})" for m, a, b in cells)
    yield ""
    yield f"{'kg, difference to':20s}{'nothing':>30s}{'rule of thumb':>30s}   worse in"
    for policy in names[1:]:
        mine, words = column(rows, policy, "kg"), f"{policy:20s}"
        worse = []
        for rival in ("nothing", "rule of thumb"):
            apart = mine - column(rows, rival, "kg")
            m, a, b = interval(apart, rng)
            share = 100 * m / column(rows, rival, "kg").mean()
            words += (
                f"{m:8.2f} ({a:5.2f}, {b:5.2f}) {share:+5.1f} %" if rival != policy else " " * 30
            )
            worse.append(f"{int((apart < 0).sum())} of {len(apart)}" if rival != policy else "-")
        yield words + "   " + ", ".join(worse)
    yield ""
    yield "kg by season: year, " + ", ".join(names)
    years = column(rows, names[0], "year")
    for n, year in enumerate(years):
        yield f"{year:.0f} " + " ".join(f"{column(rows, name, 'kg')[n]:7.2f}" for name in names)
    for row in rows:
        for fault in row.faults:
            yield f"{row.policy}, {row.year}, seed {row.seed}: {fault}"


def main() -> None:
    """Play, print, and write the rows where a file is named."""
    words = argparse.ArgumentParser(description="Seasons in nature under four ways of treating.")
    words.add_argument("--seasons", type=int, default=SEASONS)
    words.add_argument("--seed", type=int, default=SEED)
    words.add_argument("--workers", type=int, default=WORKERS)
    words.add_argument("--csv", type=Path)
    asked = words.parse_args()
    rows: list[Outcome] = []
    begun = time.perf_counter()
    with ProcessPoolExecutor(max_workers=asked.workers) as pool:
        playing = [pool.submit(season, n, asked.seed) for n in range(asked.seasons)]
        try:
            for done, one in enumerate(as_completed(playing), start=1):
                rows += one.result()
                print(f"\r{done} of {asked.seasons} seasons", end="", file=sys.stderr, flush=True)
                if asked.csv:
                    write(asked.csv, rows)
        except KeyboardInterrupt:
            pool.shutdown(wait=False, cancel_futures=True)
            print("\nStopped; the seasons that are whole:", file=sys.stderr)
    print(file=sys.stderr)
    if not rows:
        return
    rows.sort(key=lambda row: row.seed)
    print(f"{len(rows) // 4} seasons, {time.perf_counter() - begun:.0f} s")
    for line in table(rows):
        print(line)


def write(path: Path, rows: Sequence[Outcome]) -> None:
    """All outcomes as CSV, one a season and policy."""
    with path.open("w", newline="", encoding="utf-8") as out:
        writer = csv.writer(out)
        writer.writerow([one.name for one in dataclasses.fields(Outcome)])
        for row in rows:
            cells = dataclasses.astuple(row)
            writer.writerow([f"{c:.4g}" if isinstance(c, float) else c for c in cells])


if __name__ == "__main__":
    main()
